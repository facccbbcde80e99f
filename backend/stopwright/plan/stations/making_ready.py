"""Making a machine ready for another of its stations: what to do, what stands afterwards, what to take care of."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from stopwright.model.gear import MakingReady
from stopwright.model.machines import Machine
from stopwright.model.stations import Shop
from stopwright.plan.operations.caution import Caution, always
from stopwright.plan.operations.known import ROLES, gear_for
from stopwright.plan.operations.roles import THICKNESS
from stopwright.plan.run_sheet import Changeover, Move, Run, Stop

CAUTIONS = (
    Caution(
        "Make it ready at standstill only, isolated from the mains.",
        "HSE woodworking questions and answers",
        "S",
        always,
    ),
    Caution(
        "Every tool that does not work is covered or lowered, and a bit is out of its chuck, before the machine runs.",
        "common practice at combined machines; ISO 19085-11 not seen itself",
        "P",
        always,
    ),
    Caution("Guards of the station back on before the first cut.", "HSE Wood Information Sheet 16, copy", "C", always),
)
"""What holds at every changeover."""


def changeover(shop: Shop, machine: Machine, from_: str, to: str) -> Changeover:
    """What making a machine ready takes, loses and asks for: in the shop's own words, else as it usually is."""
    told = machine.change(from_, to)
    off, cover, on = (told.take_off, told.cover, told.put_on) if told else ((), (), ())
    if not (off or cover or on):
        leaving, beginning = _usual(shop, from_), _usual(shop, to)
        off = _each(one.off for one in leaving)
        cover = _each(one.cover for one in leaving)
        on = _each(one.on for one in beginning)
    lost = tuple(sorted(machine.lost(from_, to)))
    return Changeover(machine.name, from_, to, machine.between[from_, to], lost, off, cover, on)


def usually_lost(left: Sequence[str], sets: Sequence[str], begun: Sequence[str]) -> list[str]:
    """What of what a station's axes set is usually lost when it is left, by the works of both stations.

    What is put in comes out, and what stands with it goes with it; the planer's table goes down for the jointer's
    tables (handbook of the trade, 31.2; common practice). A shop knows better.

    >>> usually_lost(["mould"], ["cutter", "spindle height", "front stop"], ["rip"])
    ['cutter', 'spindle height']
    """
    lost = [one for one in sets if ROLES[one].is_put_in or ROLES[one].stands_with]
    tables_down = "plane" in left and "joint" in begun
    return lost + [one for one in sets if tables_down and one == THICKNESS.name]


def _usual(shop: Shop, station: str) -> list[MakingReady]:
    """What is usually done with the gear of what a station chiefly does: its first work."""
    works = next(one.work for one in shop.stations if one.name == station)
    return [kind.ready for kind in gear_for(works[:1])]


def _each(words: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for several in words for one in several))


def with_what_stands(runs: Sequence[Run], shop: Shop) -> list[Run]:
    """The runs, their stops settled and numbered, each changeover with what stands afterwards and what is set again."""
    told = []
    for at, run in enumerate(runs):
        change = run.change
        if change:
            machine = next(one for one in shop.machines if one.name == change.machine)
            mine = [(place, one) for place, one in enumerate(runs) if one.station in machine.stations]
            before, after = [one for place, one in mine if place < at], [one for place, one in mine if place >= at]
            set_before = {(one.station, stop.axis) for one in before for stop in one.stops}
            again = dict.fromkeys(
                stop.axis
                for one in after
                for stop in one.stops
                if stop.sets in change.lost and (one.station, stop.axis) in set_before and stop.move is Move.SET
            )
            run = replace(run, change=replace(change, stands=tuple(_left_alone(after)), again=tuple(again)))
        told.append(run)
    return told


def _left_alone(after: Sequence[Run]) -> Iterator[tuple[Stop, int]]:
    """Stops that a later run finds standing before anything else is done with them, with its number."""
    seen: set[tuple[str, str, object]] = set()
    for run in after:
        for stop in run.stops:
            place = (run.station, stop.axis, stop.place)
            if place not in seen and stop.move is Move.STANDS:
                yield stop, run.number
            seen.add(place)
