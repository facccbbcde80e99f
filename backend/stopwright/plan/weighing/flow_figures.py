"""Both ways through the saw side by side: what each costs, and what the flip stops have to do with it."""

from collections import Counter
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.counts import counted
from stopwright.model.stations import Shop, Station
from stopwright.plan.ordering.flip_stops import bound_stops
from stopwright.plan.run_sheet import Move, Run, RunSheet


@dataclass(frozen=True, slots=True)
class FlipStops:
    """How many flip stops this saw `has`, how many set nothing twice part by part, and what is set again with those.

    Fewer than `least` cannot do, `enough` do; they are the same up to some 20 widths. `again` counts settings of
    fence and stops beyond one for each position.
    """

    has: int
    least: int
    enough: int
    again: int

    @property
    def sentence(self) -> str:
        """What a shop wants to know of it.

        >>> print(FlipStops(2, 3, 3, 2).sentence)
        With 3 flip stops nothing is set twice part by part; with your 2, two settings are made again.
        >>> print(FlipStops(2, 1, 1, 0).sentence)
        With your 2 flip stops nothing is set twice part by part; 1 would be enough.
        """
        if not self.again:
            spare = f"; {self.enough} would be enough" if self.enough < self.has else ""
            return f"With your {counted(self.has, 'flip stop')} nothing is set twice part by part{spare}."
        at_most = "" if self.least == self.enough else "at most "
        number = _WORDS.get(self.again, str(self.again))
        again = "one setting is" if self.again == 1 else f"{number} settings are"
        return (
            f"With {at_most}{counted(self.enough, 'flip stop')} nothing is set twice part by part; "
            f"with your {self.has}, {again} made again."
        )


_WORDS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight", 9: "nine"}


def flip_stops(part_by_part: RunSheet, shop: Shop) -> FlipStops | None:
    """What flip stops do for a sheet worked part by part; None where nothing is worked so."""
    saw = shop.station_for("rip")
    stops = saw.axis("length") if saw else None
    pairs = size_pairs(part_by_part)
    if saw is None or stops is None or not pairs:
        return None
    needed = bound_stops(pairs)
    return FlipStops(stops.holds, needed.least, needed.enough, _again(part_by_part, saw))


def size_pairs(sheet: RunSheet) -> set[tuple[Nm, Nm]]:
    """Every (width, length) that is worked by itself, part by part, nm."""
    return {run.size for run in sheet.runs if run.size and run.work == "crosscut"}


def _again(sheet: RunSheet, saw: Station) -> int:
    """Settings beyond the first of each position, over the lots of the saw."""
    made: Counter[tuple[str, object]] = Counter()
    for run in sheet.runs:
        if run.station == saw.name and _is_sized(run):
            made.update((stop.axis, stop.place) for stop in run.stops if stop.move is Move.SET)
    return sum(count - 1 for count in made.values())


def _is_sized(run: Run) -> bool:
    return bool(run.size) and run.work in ("rip", "crosscut")
