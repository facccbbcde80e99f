"""Joints while they are drawn up: usual figures for two pieces, and what would put a joint right, field by field."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

from stopwright.lengths import INCH, MM, Nm, Show, format_length
from stopwright.model.gear import SlotBits
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, ENDS, Joint, RailEnds, Side
from stopwright.model.parts import Part
from stopwright.model.stations import Shop, Station
from stopwright.plan.joinery.slot_clashes import OPPOSITE, greatest_clear_depth
from stopwright.plan.joinery.slots import Slot, body_of, box_of, ends_in_doubt, post_slots, slots_of
from stopwright.plan.joinery.spacing import divide_slot

USUAL_DEPTH = 3
"""Times the bit: the shallow end of 3 to 5 × (published rule, secondary copy)."""

Value: TypeAlias = Nm | int | bool | str | None
LENGTHS = ("slot_from", "slot_to", "bit", "depth_post", "depth_rail", "drop", "horn", "pitch", "spacing", "setback")


@dataclass(frozen=True, slots=True)
class Advice:
    """What could be changed in a joint, in words, and the fields that do it: lengths in nm (`LENGTHS`), else as is."""

    words: str
    sets: Mapping[str, Value]


def nearest_bit(thickness: Nm, bits: tuple[Nm, ...], show: Show) -> Nm:
    """The bit nearest to a third of a rail; the thinner of two equally near, nm.

    Where no bits are listed it is a third itself, down to a whole millimetre or a sixteenth of an inch.

    >>> nearest_bit(22 * MM, (6 * MM, 8 * MM, 10 * MM), Show.MM) // MM, nearest_bit(22 * MM, (), Show.MM) // MM
    (8, 7)
    """
    step = _step(show)
    return min(bits or (max(_whole(thickness // 3, step), step),), key=lambda bit: (abs(3 * bit - thickness), bit))


def usual_joint(post: Part, rail: Part, side: Side, shop: Shop, station: Station) -> dict[str, Value]:
    """Usual figures for a rail into a side of a post: bit a third, slot clear of the edges, depth 3 × the bit, nm.

    >>> from stopwright.model.stations import Work
    >>> rail, post = Part("B", "Rail", 4, 400 * MM, 60 * MM, 22 * MM), Part("A", "Leg", 4, 450 * MM, 38 * MM, 38 * MM)
    >>> mortiser = Station("mortiser", ("mortise",), gear=(SlotBits(bits=(6 * MM, 8 * MM, 10 * MM)),))
    >>> figures = usual_joint(post, rail, Side.EDGE, Shop("Ours", (mortiser,)), mortiser)
    >>> [(name, value // MM) for name, value in figures.items() if value]
    [('slot_from', 10), ('slot_to', 50), ('bit', 8), ('depth_post', 24), ('depth_rail', 24)]
    """
    step = _step(shop.show)
    bit = nearest_bit(rail.thickness, station.of(SlotBits).bits, shop.show)
    wall = max(shop.limits.slot_from_end, _whole(rail.width // 6, step))
    if rail.width - 2 * wall < bit:
        wall = max((rail.width - bit) // 2, 0)
    longest = round(shop.limits.slot_length_warn * bit)
    start, end, count, pitch = wall, max(rail.width - wall, wall + bit), 1, None
    if end - start > longest and (shares := divide_slot(start, end, bit, longest)):
        start, end, count, pitch = shares.first, shares.first + shares.length, shares.count, shares.pitch
    through = post.width if side in EDGES else post.thickness
    deep = min(USUAL_DEPTH * bit, station.of(SlotBits).reach or USUAL_DEPTH * bit)
    figures: dict[str, Value] = {"slot_from": start, "slot_to": end, "bit": bit}
    figures["depth_post"] = max(min(deep, _whole(through - shop.limits.slot_wall, step)), step)
    return figures | {"depth_rail": deep, "count": count if count > 1 else None, "pitch": pitch}


def advice_for(job: Job, joint: Joint, shop: Shop, station: Station) -> Iterator[Advice]:
    """Everything that one change of the joint would better, the gravest first."""
    look = _Look(job, joint, shop, station)
    for found in (look.bit, look.two_slots, look.clear_depth, look.horn, look.ends):
        yield from found()


def depth_that_stays_clear(job: Job, joint: Joint, shop: Shop) -> Nm | None:
    """The greatest depth in the post that leaves the shop's wall to each slot beside it, nm; None where none is."""
    return min((depth for _, depth in _neighbours(job, joint, shop)), default=None)


@dataclass(frozen=True)
class _Look:
    job: Job
    joint: Joint
    shop: Shop
    station: Station

    def show(self, length: Nm) -> str:
        return format_length(length, self.shop.show)

    def bit(self) -> Iterator[Advice]:
        thick = self.job.part(self.joint.rail).thickness
        near = nearest_bit(thick, self.station.of(SlotBits).bits, self.shop.show)
        slot = self.joint.slot_to - self.joint.slot_from
        if near != self.joint.bit and near <= slot and abs(3 * near - thick) < abs(3 * self.joint.bit - thick):
            of_those = "of those on hand " if self.station.of(SlotBits).bits else ""
            words = f"Take the bit of {self.show(near)}: {of_those}it is nearest to a third of the rail"
            yield Advice(words, {"bit": near})

    def two_slots(self) -> Iterator[Advice]:
        joint, limits = self.joint, self.shop.limits
        if joint.count > 1 or joint.slot_to - joint.slot_from <= round(limits.slot_length_warn * joint.bit):
            return
        for times in (limits.slot_length_warn, limits.slot_length_stop):
            shares = divide_slot(joint.slot_from, joint.slot_to, joint.bit, round(times * joint.bit))
            if shares:
                words = f"Make {shares.count} slots of {self.show(shares.length)}, {self.show(shares.between)} apart"
                sets: dict[str, Value] = {"slot_to": shares.first + shares.length}
                yield Advice(words, sets | {"count": shares.count, "pitch": shares.pitch})
                return

    def clear_depth(self) -> Iterator[Advice]:
        post, own = self.job.part(self.joint.post), list(post_slots(self.job, self.joint))
        near = _neighbours(self.job, self.joint, self.shop)
        met = [clear for other, clear in near if any(_meets(one, other, post) for one in own)]
        clear = min(met, default=self.joint.depth_post)
        if self.joint.depth_post <= clear or self.joint.mitred:
            return
        step = self.shop.show.mark if self.shop.show is not Show.MM else MM // 2
        depth = _whole(clear, step)
        if depth > 0:
            wall = self.show(self.shop.limits.between_slots)
            words = (
                f"Go {self.show(depth)} deep into the post: there at least {wall} of wood is left before the next slot"
            )
            yield Advice(words, {"depth_post": depth})
        yield Advice("Leave it that deep and mitre the tenons where they meet", {"mitred": True})

    def horn(self) -> Iterator[Advice]:
        first = min(post_slots(self.job, self.joint), key=lambda slot: slot.start)
        least = self.shop.limits.slot_from_end
        if first.start < least:
            horn = self.joint.horn + least - first.start
            words = f"Leave the post {self.show(horn)} longer at its marked end and cut that off after glue-up"
            yield Advice(words, {"horn": horn})

    def ends(self) -> Iterator[Advice]:
        if self.joint.mark in ends_in_doubt(self.job, self.joint.rail):
            for end in (RailEnds.MARKED, RailEnds.OTHER):
                yield Advice(f"This joint is at the rail’s {end} only", {"ends": str(end)})


def _neighbours(job: Job, joint: Joint, shop: Shop) -> list[tuple[Slot, Nm]]:
    """Slots of other joints on the sides next to this one, beside it along the post, and the depth clear of them."""
    body = body_of(job, job.part(joint.post))
    own = list(post_slots(job, joint))
    found = []
    for other in slots_of(replace(job, joints=tuple(j for j in job.joints if j.mark != joint.mark)), joint.post):
        beside = other.side not in (joint.side, OPPOSITE[joint.side], *ENDS)
        if beside and any(one.start < other.end and other.start < one.end for one in own):
            found.append(
                (other, greatest_clear_depth(joint.side, body, box_of(other, body), shop.limits.between_slots))
            )
    return found


def _meets(one: Slot, other: Slot, post: Part) -> bool:
    """Whether the slots would meet if this one were cut right through: the neighbour is deep enough for that."""
    across = post.width if other.side in EDGES else post.thickness
    low, high = one.centre - one.bit // 2, one.centre + one.bit // 2
    if other.side in (Side.FACE, Side.EDGE):
        return other.depth > low
    return across - other.depth < high


def _step(show: Show) -> Nm:
    """To what one rounds figures that one is free to choose."""
    return MM if show is Show.MM else INCH // 16


def _whole(length: Nm, step: Nm) -> Nm:
    return length - length % step
