"""Slots at the mortiser across the face of one part and along the ends of another: corners joined by loose tenons.

A board whose face is slotted across stands on an end, so that its width lies along the travel and the height of the
table is the slot's distance from that end (geometry, K).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm, format_length
from stopwright.model.counts import counted
from stopwright.model.cuts import Cut, MortiseAsked, TenonAsked, asked
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, MOST_SLOTS, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.joinery.mitre_slots import at_this_mortiser
from stopwright.plan.run_sheet import Remark
from stopwright.plan.stations.part_sides import slab

TALLEST: Nm = 600 * MM
"""What stands higher than this on the table of a mortiser wants a second pair of hands (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CornerSlots(Cut):
    """Both ends of the second part against a side of the first, its width across that; held by loose tenons; nm.

    The second part covers the first from `at` to as far as it is thick, its face side towards the middle of the first,
    and its face edge lies `below` the first's. In it `count` slots, `pitch` apart, begin `start` from its face edge,
    each `length` long with its round ends; their centre line is the middle of its thickness.
    """

    kind: ClassVar[str] = "corner"
    letter: ClassVar[str] = "E"
    is_joint: ClassVar[bool] = True

    side: Side = asked("Side", "of the first part: face or back", Side.FACE, among=(Side.FACE, Side.BACK))
    at: Nm = asked("Begins", "where the second part begins, from the marked end of the first")
    below: Nm = asked("Lies back", "the face edge of the second part, from that of the first", 0)
    start: Nm = asked("Slot begins", "from the face edge of the second part")
    length: Nm = asked("Slot, length", "from end to end, along the width of both parts")
    count: int = asked("Slots", "beside each other at a corner", 1)
    pitch: Nm | None = asked("From slot to slot", "where there are several", None)
    bit: Nm = asked("Bit", "its diameter; about a third of the second part")
    depth: Nm = asked("Depth in the first part", "of the slots in its side")
    end_depth: Nm = asked("Depth in the second part", "of the slots in its ends")

    @property
    def is_across(self) -> bool:
        """It runs across the first part."""
        return True

    def problems(self) -> Iterator[Problem]:
        """Not two parts, no face or back, nothing wide, deep or long, slots that run into each other."""
        if len(self.parts) != 2:
            yield Problem("parts", "are not two", "write the marks of the two parts that meet")
        if self.side not in (Side.FACE, Side.BACK):
            yield Problem("side", f"'{self.side}' is not slotted across", "choose face or back")
        for one, words in (("bit", "thick"), ("depth", "deep"), ("end_depth", "deep")):
            if getattr(self, one) <= 0:
                yield Problem(one, "is not above 0", f"write how {words} it is")
        for one in ("at", "below", "start"):
            if getattr(self, one) < 0:
                yield Problem(one, "is less than 0", "write 0 or more")
        if self.length < self.bit:
            yield Problem("length", "is less than the bit is thick", "make it longer, or take a thinner bit")
        if not 1 <= self.count <= MOST_SLOTS:
            yield Problem("count", f"{self.count} is not from 1 to {MOST_SLOTS}", "write how many slots a corner has")
        elif self.count > 1 and (self.pitch is None or self.pitch <= self.length):
            yield Problem("pitch", "the slots would run into each other", "write the distance from slot to slot")

    @property
    def along(self) -> tuple[tuple[Nm, Nm], ...]:
        """Where each slot begins and ends, from the face edge of the second part."""
        firsts = (self.start + number * (self.pitch or 0) for number in range(self.count))
        return tuple((first, first + self.length) for first in firsts)

    def stands_on(self, job: Job) -> Side:
        """The end of the first part that is nearer: on it that stands at the mortiser."""
        first, second = (job.part(mark) for mark in self.parts)
        return Side.MARKED_END if 2 * self.at + second.thickness <= first.length else Side.OTHER_END

    def face_each_other(self, _: Job) -> Iterator[str]:
        """Both ends of the second part meet the same side of the first."""
        yield self.parts[0]

    def mortises(self, job: Job, part: Part) -> Iterator[MortiseAsked]:
        """Across the side of the first part, which stands on an end for it; in both ends of the second."""
        first, second = (job.part(mark) for mark in self.parts)
        middle = second.thickness // 2
        if part.mark == first.mark:
            end = self.stands_on(job)
            centre = self.at + middle if end is Side.MARKED_END else first.length - self.at - middle
            for begins, ends in self.along:
                place = (self.below + begins, self.below + ends, centre)
                yield MortiseAsked(self.side, *place, self.depth, self.bit, end)
        elif part.mark == second.mark:
            for end in ENDS:
                for begins, ends in self.along:
                    yield MortiseAsked(end, begins, ends, middle, self.end_depth, self.bit)

    def loose_tenons(self, job: Job) -> Iterator[TenonAsked]:
        """One for each slot of the first part."""
        first, second = (job.part(mark) for mark in self.parts)
        deep = self.depth + self.end_depth
        yield TenonAsked(self.mark, self.bit, self.length, deep, first.quantity * self.count, second.material)

    def removes(self, job: Job, part: Part) -> Iterator[Solid]:
        """Its slots, their round ends as if square."""
        for one in self.mortises(job, part):
            wide = (one.centre - one.bit // 2, one.centre + one.bit // 2)
            beside = Side.FACE if one.stands_on is None else one.stands_on
            yield slab(self.mark, part, {Side.EDGE: (one.start, one.end), beside: wide, one.side: (0, one.depth)})


def check_corners(job: Job, shop: Shop, station: Station) -> tuple[list[Remark], list[Remark]]:
    """Faults and warnings of all corners; what holds for every slot is looked at elsewhere."""
    faults, warnings = [], []
    for cut in job.cuts:
        if isinstance(cut, CornerSlots):
            first, second = (job.part(mark) for mark in cut.parts)
            deep = max(cut.depth, cut.end_depth)
            broken = [*at_this_mortiser(cut, (cut.bit, deep, cut.length), shop, station), *_beyond(cut, second, shop)]
            faults += [Remark(cut.mark, text) for text in broken]
            warnings += [Remark(cut.mark, text) for text in (*_hard_to_hold(first, shop), *_counted(first, second))]
    return faults, warnings


def stands_on_its_end(slots: Iterable[tuple[str, Side]]) -> list[str]:
    """How boards are held that stand on an end, a sentence for each part and end; `slots` are both of each."""
    return [
        f"{mark} stands on its {end}, clamped to a high fence across the table, its slotted side to the bit"
        for mark, end in dict.fromkeys(slots)
    ]


def _beyond(cut: CornerSlots, second: Part, shop: Shop) -> Iterator[str]:
    last = cut.along[-1][1]
    if last > second.width:
        far, wide = format_length(last, shop.show), format_length(second.width, shop.show)
        yield f"its slots end {far} from the face edge of {second.mark}, which is {wide} wide; end them within it"


def _hard_to_hold(first: Part, shop: Shop) -> Iterator[str]:
    if first.length > TALLEST:
        high, most = format_length(first.length, shop.show), format_length(TALLEST, shop.show)
        yield (
            f"{first.mark} stands {high} high on the table of the mortiser, more than {most} is hard to hold (common "
            "practice); house it, or hold it with a second pair of hands"
        )


def _counted(first: Part, second: Part) -> Iterator[str]:
    if 2 * second.quantity != first.quantity:
        ends, places = counted(2 * second.quantity, "end"), counted(first.quantity, "place")
        yield f"{ends} of {second.mark} for {places} in {first.mark}; correct a quantity"
