"""Slots that meet, break out, or leave too little wood: each slotted part looked at as a solid."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from stopwright.lengths import Nm, format_length
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, ENDS, Side
from stopwright.model.parts import Part
from stopwright.model.stations import Shop
from stopwright.plan.joinery.slots import Box, Slot, body_of, box_of
from stopwright.plan.run_sheet import Remark

OPPOSITE = {
    Side.FACE: Side.BACK,
    Side.BACK: Side.FACE,
    Side.EDGE: Side.FAR_EDGE,
    Side.FAR_EDGE: Side.EDGE,
    Side.MARKED_END: Side.OTHER_END,
    Side.OTHER_END: Side.MARKED_END,
}


def check_slots(
    job: Job, part: Part, slots: Sequence[Slot], shop: Shop
) -> tuple[tuple[Remark, ...], tuple[Remark, ...]]:
    """Faults (slots that meet or break out) and warnings (thin walls, too near an end) of one part."""
    look = _Look(job, part, slots, shop)
    return (
        tuple(Remark(part.mark, text) for text in (*look.broken_out(), *look.meeting())),
        tuple(Remark(part.mark, text) for text in (*look.near_an_end(), *look.thin_walls())),
    )


AXIS = {Side.MARKED_END: 0, Side.OTHER_END: 0, Side.EDGE: 1, Side.FAR_EDGE: 1, Side.FACE: 2, Side.BACK: 2}
"""Along which axis of the piece a slot in each side goes deep: x, y, z."""


def greatest_clear_depth(side: Side, body: tuple[Nm, Nm, Nm], neighbour: Box, wall: Nm = 0) -> Nm:
    """How deep a slot in `side` may go and leave a `wall` before its neighbour, nm; 0 where there is no room for that.

    That is as far as the neighbour's near wall, less the wall that stays. For a neighbour measured from the far
    reference side it is W − h − d/2 (geometry, K), for one measured from the slotted side itself h − d/2.

    >>> from stopwright.lengths import MM
    >>> post = (400 * MM, 45 * MM, 45 * MM)
    >>> other = box_of(Slot("A", Side.BACK, 20 * MM, 80 * MM, 13 * MM, 26 * MM, 10 * MM), post)
    >>> greatest_clear_depth(Side.FAR_EDGE, post, other) // MM, greatest_clear_depth(Side.EDGE, post, other) // MM
    (27, 8)
    """
    axis = AXIS[side]
    low, high = neighbour[axis]
    free = low if side in (Side.FACE, Side.EDGE, Side.MARKED_END) else body[axis] - high
    return max(free - wall, 0)


class _Look:
    def __init__(self, job: Job, part: Part, slots: Sequence[Slot], shop: Shop) -> None:
        self.job, self.part, self.slots, self.shop = job, part, slots, shop
        self.body = body_of(job, part)
        self.boxes = [box_of(slot, self.body) for slot in slots]

    def show(self, length: Nm) -> str:
        return format_length(length, self.shop.show)

    def broken_out(self) -> Iterator[str]:
        length = self.body[0]
        for slot in self.slots:
            through, beside = self._across(slot)
            if slot.depth >= through:
                text = f"{_name(slot)} is {self.show(slot.depth)} deep, the piece measures {self.show(through)} there"
                yield f"{text}; make it shallower"
            if slot.centre - slot.bit // 2 <= 0 or slot.centre + slot.bit // 2 >= beside:
                text = f"{_name(slot)} has its centre line {self.show(slot.centre)} from the reference side and breaks"
                yield f"{text} out of the piece, {self.show(beside)} there; change setback or bit"
            if slot.stands_on:
                if slot.end > self.body[1]:
                    text = f"{_name(slot)} ends {self.show(slot.end)} from the face edge, the piece is"
                    yield f"{text} {self.show(self.body[1])} wide; end it within"
            elif slot.side not in ENDS and slot.end > length:
                text = f"{_name(slot)} ends {self.show(slot.end)} from the marked end, the piece is"
                yield f"{text} {self.show(length)} long; change drop or spacing"

    def meeting(self) -> Iterator[str]:
        for (one, a), (two, b) in combinations(zip(self.slots, self.boxes, strict=True), 2):
            if not _overlap(a, b) or self._mitred(one, two):
                continue
            text = f"{_name(one)} and {_name(two)} meet inside the piece"
            if one.side is two.side:
                yield f"{text}; move one of them"
            elif OPPOSITE[one.side] is two.side:
                together = self.show(self._across(one)[0])
                yield f"{text}: {self.show(one.depth + two.depth)} deep together in {together}; make them shallower"
            else:
                yield f"{text}; {self._clear_of(one, b, two, a)}mitre the tenon ends (mitred)"

    def _clear_of(self, one: Slot, of_one: Box, two: Slot, of_two: Box) -> str:
        """How deep either may be at most, with the wall that the shop wants between them; "" where nothing is left."""
        wall = self.shop.limits.between_slots
        deep = [greatest_clear_depth(slot.side, self.body, box, wall) for slot, box in ((one, of_one), (two, of_two))]
        if not all(deep):
            return ""
        first, second = (self.show(one) for one in deep)
        clear = f"{first} deep" if first == second else f"{first} or the second {second} deep"
        return f"{self.show(wall)} of wood is left between them when the first is at most {clear}; or "

    def near_an_end(self) -> Iterator[str]:
        least, length = self.shop.limits.slot_from_end, self.body[0]
        for slot in self.slots:
            if slot.side in ENDS or slot.stands_on:
                continue
            if slot.start < least:
                text = f"{_name(slot)} begins {self.show(slot.start)} from the marked end, {self.show(least)} is needed"
                yield f"{text}; leave a horn of {self.show(least - slot.start)} or more and cut it off after glue-up"
            if 0 <= length - slot.end < least:
                text = f"{_name(slot)} ends {self.show(length - slot.end)} from the other end"
                yield f"{text}, {self.show(least)} is needed; make the post longer or move the slot"

    def thin_walls(self) -> Iterator[str]:
        least = self.shop.limits.slot_wall
        for slot in self.slots:
            through, beside = self._across(slot)
            wall = min(slot.centre, beside - slot.centre) - slot.bit // 2
            if 0 < wall < least:
                text = f"only {self.show(wall)} of wood is left beside {_name(slot)}, {self.show(least)} is needed"
                yield f"{text}; change setback, offset or bit"
            if 0 < through - slot.depth < least:
                left = self.show(through - slot.depth)
                text = f"only {left} of wood is left behind {_name(slot)}, {self.show(least)} is needed"
                yield f"{text}; make it shallower"
        for (one, a), (two, b) in combinations(zip(self.slots, self.boxes, strict=True), 2):
            if two.side in (one.side, OPPOSITE[one.side]) and not _overlap(a, b):
                gaps = [
                    max(low_b - high_a, low_a - high_b) for (low_a, high_a), (low_b, high_b) in zip(a, b, strict=True)
                ]
                open_ways = [gap for gap in gaps if gap >= 0]
                if len(open_ways) == 1 and open_ways[0] < least:
                    text = f"only {self.show(open_ways[0])} of wood is left between {_name(one)} and {_name(two)}"
                    yield f"{text}, {self.show(least)} is needed; move one of them"

    def _across(self, slot: Slot) -> tuple[Nm, Nm]:
        """What the piece measures in the direction of the slot's depth, and across its centre line."""
        length, width, thickness = self.body
        if slot.stands_on:
            return thickness, length
        if slot.side in ENDS:
            return length, thickness
        return (width, thickness) if slot.side in EDGES else (thickness, width)

    def _mitred(self, one: Slot, two: Slot) -> bool:
        """Whether the joints of both slots say that their tenons are mitred where they meet."""
        neighbours = one.side is not two.side and OPPOSITE[one.side] is not two.side
        mitred = {joint.mark for joint in self.job.joints if joint.mitred}
        return neighbours and {*one.joints, *two.joints} <= mitred


def _name(slot: Slot) -> str:
    return f"the slot of {', '.join(slot.joints)} ({slot.side})"


def _overlap(a: Box, b: Box) -> bool:
    return all(low_a < high_b and low_b < high_a for (low_a, high_a), (low_b, high_b) in zip(a, b, strict=True))
