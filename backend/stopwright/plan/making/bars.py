"""Stiles, rails and uprights of a frame: what they leave between them, their lines, and loose tenons between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Protocol

from stopwright.lengths import MM, Nm
from stopwright.model.joints import RailEnds, Side
from stopwright.model.stations import Limits
from stopwright.plan.making.formulas import GEOMETRY, Named, Sum
from stopwright.plan.making.work import Work

FROM_OUTSIDE: Nm = 15 * MM
"""Wood between the outer edge of a rail and its slot (common practice)."""
LEAST_BEHIND: Nm = 5 * MM
"""Wood that a slot leaves to the other edge (common practice)."""
BETWEEN_SLOTS: Nm = 10 * MM
"""Wood between two slots that share the width of a rail (common practice)."""

UPRIGHTS = (
    ("tr", Side.FAR_EDGE, RailEnds.MARKED),
    ("mr", Side.EDGE, RailEnds.OTHER),
    ("mr", Side.FAR_EDGE, RailEnds.MARKED),
    ("br", Side.EDGE, RailEnds.OTHER),
)
"""Which rails an upright may sit in, at which edge, and by which of its ends."""


class HasBars(Protocol):
    """A thing that is a frame; lengths in nm."""

    @property
    def top(self) -> Nm | None: ...
    @property
    def bottom(self) -> Nm | None: ...
    @property
    def middle(self) -> Nm | None: ...
    @property
    def thickness(self) -> Nm: ...
    @property
    def bit(self) -> Nm: ...
    @property
    def tenon_depth(self) -> Nm: ...


@dataclass(frozen=True, slots=True)
class Bars:
    """The outside of a frame and how wide its stiles, rails and what lies between openings are."""

    wide: Named
    high: Named
    stile: Named
    top: Named
    bottom: Named
    middle: Named

    @property
    def clear(self) -> Sum:
        """Between the stiles."""
        return Sum("between the stiles", ((1, self.wide), (-2, self.stile)), GEOMETRY)

    def light(self, lights: int) -> Sum:
        """The width of each of so many equal openings side by side."""
        return Sum("light, width", ((1, self.clear), *_times(1 - lights, self.middle)), GEOMETRY, lights)

    def tall(self, rows: int) -> Sum:
        """The height of each of so many equal openings one above the other."""
        taken = ((-1, self.top), (-1, self.bottom), *_times(1 - rows, self.middle))
        return Sum("light, height", ((1, self.high), *taken), GEOMETRY, rows)

    def drops(self, rows: int) -> list[Nm]:
        """Where each middle rail begins, from the top of the stiles, nm."""
        tall = self.tall(rows).value
        return [self.top.value + tall + number * (tall + self.middle.value) for number in range(rows - 1)]


def bars_of(frame: HasBars, work: Work, wide: Named, high: Named) -> Bars:
    """The bars of a frame; what is not typed is as wide as the stiles."""
    stile = work.typed("stiles", "stile")
    words = {"top": "top rail", "bottom": "bottom rail", "middle": "between lights"}
    given = {entry: getattr(frame, entry) for entry in words}
    top, bottom, middle = (stile if given[one] is None else work.typed(one, words[one]) for one in words)
    return Bars(wide, high, stile, top, bottom, middle)


def lines_of(
    work: Work, bars: Bars, material: str, long: tuple[Named, Named], middle_rails: int, uprights: int
) -> dict[str, str]:
    """Stiles, rails and uprights, `long` the length of a rail and of an upright; their marks by suffix."""
    thick, (rail, upright) = work.typed("thickness", "thickness"), long
    marks = {"st": work.part("st", "stile", 2, (bars.high, bars.stile, thick), material, opposite=True)}
    marks["tr"] = work.part("tr", "top rail", 1, (rail, bars.top, thick), material)
    marks["br"] = work.part("br", "bottom rail", 1, (rail, bars.bottom, thick), material)
    if middle_rails:
        marks["mr"] = work.part("mr", "middle rail", middle_rails, (rail, bars.middle, thick), material)
    if uprights:
        marks["up"] = work.part("up", "upright", uprights, (upright, bars.middle, thick), material)
    return marks


def loose_tenons(
    frame: HasBars, work: Work, bars: Bars, marks: dict[str, str], drops: Sequence[Nm], lights: int, inner: Nm
) -> None:
    """Rails into stiles, uprights into rails, each slot `inner` from the inner edges and well away from the outer one.

    A rail's face edge lies towards the marked end of the stiles, an upright's towards that of the rails.
    """
    slots = {
        "tr": (FROM_OUTSIDE, bars.top.value - inner),
        "br": (inner, bars.bottom.value - FROM_OUTSIDE),
        "mr": (inner, bars.middle.value - inner),
        "up": (inner, bars.middle.value - inner),
    }
    _refuse(frame, work, bars, marks, slots)
    _refuse_short(frame, work, bars, [bars.tall(len(drops) + 1)] if "up" in marks else [])
    if "up" in marks:
        _refuse_meeting(frame, work, bars.light(lights).value + inner)
    if work.refused:
        return
    number = 0

    def join(post: str, rail: str, side: Side, drop: Nm, **more: Any) -> None:
        nonlocal number
        number += 1
        start, end, several = shared_slots(*slots[rail], frame.bit)
        depth = {"bit": frame.bit, "depth_rail": frame.tenon_depth, "depth_post": frame.tenon_depth}
        slot = {"side": side, "slot_from": start, "slot_to": end, "drop": drop}
        work.joint(number, marks[post], marks[rail], **slot, **depth, **several, **more)

    join("st", "tr", Side.EDGE, 0)
    apart = {after - before for before, after in pairwise(drops)}
    if len(apart) == 1:
        join("st", "mr", Side.EDGE, drops[0], repeat=len(drops), spacing=apart.pop())
    else:
        for drop in drops:
            join("st", "mr", Side.EDGE, drop)
    join("st", "br", Side.EDGE, bars.high.value - bars.bottom.value)
    if "up" in marks:
        light = bars.light(lights).value
        many = {"repeat": lights - 1, "spacing": light + bars.middle.value} if lights > 2 else {}
        for post, side, ends in UPRIGHTS:
            if post in marks:
                join(post, "up", side, light, ends=ends, **many)


def sunk_rails(
    work: Work, bars: Bars, marks: dict[str, str], drops: Sequence[Nm], lights: int, cut: str, sunk: Nm
) -> None:
    """Says where rails sit in stiles and uprights in rails, their tongues, made by a cut, sunk so far; nm."""
    for suffix, begins in (("tr", [0]), ("mr", drops), ("br", [bars.high.value - bars.bottom.value])):
        for drop in begins:
            work.meet(cut, marks["st"], marks[suffix], Side.EDGE, drop=drop, sunk=sunk)
    if "up" in marks:
        light = bars.light(lights).value
        many = {"repeat": lights - 1, "spacing": light + bars.middle.value}
        for post, side, ends in UPRIGHTS:
            if post in marks:
                work.meet(cut, marks[post], marks["up"], side, drop=light + sunk, sunk=sunk, ends=ends, **many)


def shared_slots(start: Nm, end: Nm, bit: Nm) -> tuple[Nm, Nm, dict[str, Any]]:
    """From and to of the first slot, and how many share the room where one alone would be too long for its bit.

    >>> shared_slots(12 * MM, 65 * MM, 8 * MM)
    (12000000, 33500000, {'count': 2, 'pitch': 31500000})
    """
    longest = round(Limits().slot_length_warn * bit)
    count = -(-(end - start + BETWEEN_SLOTS) // (longest + BETWEEN_SLOTS))
    if count < 2:
        return start, end, {}
    each = (end - start - (count - 1) * BETWEEN_SLOTS) // count
    return start, start + each, {"count": count, "pitch": each + BETWEEN_SLOTS}


def _refuse_short(frame: HasBars, work: Work, bars: Bars, uprights: Sequence[Sum]) -> None:
    """Slots in both ends of a rail, or of an upright, that would meet in it."""
    short = min(one.value for one in (bars.clear, *uprights))
    if 2 * frame.tenon_depth + LEAST_BEHIND > short:
        most = (short - LEAST_BEHIND) // 2
        text = f"slots {work.said(frame.tenon_depth)} deep from both ends meet in a piece of {work.said(short)}"
        work.refuse("tenon_depth", text, f"write at most {work.said(max(most, 0))}, or make the openings larger")


def _refuse_meeting(frame: HasBars, work: Work, begins: Nm) -> None:
    """Slots in the end of a rail that reach the slot of its first upright, which `begins` so far from there, nm."""
    most = begins - LEAST_BEHIND
    if frame.tenon_depth > most:
        text = f"a slot {work.said(frame.tenon_depth)} deep in the end of a rail reaches that of its first upright"
        work.refuse("tenon_depth", text, f"write at most {work.said(most)}")


def _refuse(frame: HasBars, work: Work, bars: Bars, marks: dict[str, str], slots: dict[str, tuple[Nm, Nm]]) -> None:
    """Rails without room for a slot, slots deeper than the wood, a bit too thick."""
    entries = {"tr": "top", "br": "bottom", "mr": "middle", "up": "middle"}
    widths = {"tr": bars.top, "br": bars.bottom, "mr": bars.middle, "up": bars.middle}
    for suffix in dict.fromkeys(one for one in slots if one in marks):
        start, end = slots[suffix]
        if end - start < frame.bit:
            least = work.said(frame.bit + widths[suffix].value - (end - start))
            text = f"{work.said(max(end - start, 0))} are left for the slot of a bit of {work.said(frame.bit)}"
            work.refuse(entries[suffix], text, f"make it at least {least} wide, or take a thinner bit")
    posts = [bars.stile] + ([bars.middle, bars.top, bars.bottom] if "up" in marks else [])
    most = min(one.value for one in posts) - LEAST_BEHIND
    if frame.tenon_depth > most:
        text = f"a slot {work.said(frame.tenon_depth)} deep leaves less than {work.said(LEAST_BEHIND)} of the wood"
        work.refuse("tenon_depth", text, f"write at most {work.said(most)}")
    if frame.bit * 2 > frame.thickness:
        work.refuse("bit", "it is thicker than half of the frame", f"write at most {work.said(frame.thickness // 2)}")


def _times(times: int, one: Named) -> tuple[tuple[int, Named], ...]:
    return ((times, one),) if times else ()
