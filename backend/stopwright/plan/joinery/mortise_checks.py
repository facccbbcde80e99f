"""What a joint must not be, and what it had better not be: in words, with numbers."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from stopwright.lengths import INCH, MM, Nm, format_length
from stopwright.model.counts import counted
from stopwright.model.gear import SlotBits
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, Joint, RailEnds
from stopwright.model.parts import Hand, Part
from stopwright.model.stations import Shop, Station
from stopwright.plan.joinery.hands import needs_pairs
from stopwright.plan.joinery.joint_advice import nearest_bit
from stopwright.plan.joinery.slot_clashes import check_slots
from stopwright.plan.joinery.slots import ends_in_doubt, parts_with_slots, rail_slots
from stopwright.plan.joinery.spacing import divide_slot
from stopwright.plan.run_sheet import Remark
from stopwright.plan.sourcing.shop_figures import about

DEEPEST = 5
"""A mortise is 3 to 5 times as deep as the bit is thick (published rule, secondary copy)."""
LEAST_CLEARANCE: Nm = INCH // 16
GREATEST_CLEARANCE: Nm = 32 * MM // 10
"""A mortise is 1/16 to 1/8 in deeper than the tenon reaches (published rule)."""
LEAST_TO_CLAMP: Nm = 100 * MM
"""The clamp wants so much length (common practice), unless the station says what it takes."""

Remarks = tuple[tuple[Remark, ...], tuple[Remark, ...]]


def check_joints(job: Job, shop: Shop, station: Station) -> Remarks:
    """Faults and warnings of all joints: each joint by itself, then rail by rail, then every slotted part."""
    checks = _Checks(job, shop, station)
    faults: list[Remark] = []
    warnings: list[Remark] = []
    for joint in job.joints:
        faults += [Remark(joint.mark, text) for check in checks.forbidden for text in check(joint)]
        warnings += [Remark(joint.mark, text) for check in checks.doubtful for text in check(joint)]
    faults += [*checks.ends_not_named(), *checks.cannot_pair()]
    warnings += [*checks.ends_without_slots(), *checks.too_short(), *checks.counted_in_pairs()]
    for mark, slots in parts_with_slots(job).items():
        broken, thin = check_slots(job, job.part(mark), slots, shop)
        faults += broken
        warnings += thin
    return tuple(dict.fromkeys(faults)), tuple(dict.fromkeys(warnings))


@dataclass(frozen=True)
class _Checks:
    job: Job
    shop: Shop
    station: Station

    @property
    def forbidden(self) -> tuple[Callable[[Joint], Iterator[str]], ...]:
        return (self.bit_not_on_hand, self.too_long, self.out_of_reach, self.beside_the_rail, self.rails_overlap)

    @property
    def doubtful(self) -> tuple[Callable[[Joint], Iterator[str]], ...]:
        return (self.far_from_a_third, self.long, self.deep, self.clearance, self.near_the_rails_edge, self.proud)

    def show(self, length: Nm) -> str:
        return format_length(length, self.shop.show)

    def bit_not_on_hand(self, joint: Joint) -> Iterator[str]:
        bits = self.station.of(SlotBits).bits
        if bits and joint.bit not in bits:
            on_hand = ", ".join(map(self.show, sorted(bits)))
            yield f"the {self.station.name} has no bit of {self.show(joint.bit)}; on hand: {on_hand}"

    def far_from_a_third(self, joint: Joint) -> Iterator[str]:
        whole = self.job.part(joint.rail).thickness
        thick = whole if joint.apart is None else whole // 2  # each of two has half of the rail
        if not thick <= 4 * joint.bit <= 2 * thick:
            near = nearest_bit(thick, self.station.of(SlotBits).bits, self.shop.show)
            share = "a third of the rail" if joint.apart is None else "a third of half the rail"
            text = f"a bit of {self.show(joint.bit)} is far from {share}, {self.show(whole)} thick"
            yield f"{text}; {self.show(near)} is nearer" if near != joint.bit else text

    def too_long(self, joint: Joint) -> Iterator[str]:
        length, limit = joint.slot_to - joint.slot_from, round(self.shop.limits.slot_length_stop * joint.bit)
        if length > limit:
            times = self.shop.limits.slot_length_stop
            text = f"the slot is {self.show(length)} long, more than {times:g} × the bit ({self.show(limit)})"
            yield f"{text}; {self._divided(joint, limit)}"

    def _divided(self, joint: Joint, limit: Nm) -> str:
        shares = divide_slot(joint.slot_from, joint.slot_to, joint.bit, limit)
        if shares is None or joint.count > 1:
            return "take a thicker bit"
        first = f"the first from {self.show(shares.first)} to {self.show(shares.first + shares.length)}"
        return (
            f"make {shares.count} slots of {self.show(shares.length)} with {self.show(shares.between)} between, "
            f"{first}, each {self.show(shares.pitch)} on from the one before"
        )

    def long(self, joint: Joint) -> Iterator[str]:
        length, limit = joint.slot_to - joint.slot_from, round(self.shop.limits.slot_length_warn * joint.bit)
        if limit < length <= round(self.shop.limits.slot_length_stop * joint.bit):
            text = f"the slot is {self.show(length)} long, more than {self.shop.limits.slot_length_warn:g} × the bit"
            yield f"{text} ({self.show(limit)}); better a thicker bit or two slots"

    def out_of_reach(self, joint: Joint) -> Iterator[str]:
        reach = self.station.of(SlotBits).reach
        for depth, where in ((joint.depth_post, "post"), (joint.depth_rail, "rail")):
            if reach is not None and depth > reach:
                text = f"the {self.station.name} reaches {self.show(reach)} deep"
                yield f"{text}, not the {self.show(depth)} wanted in the {where}; make it shallower"

    def deep(self, joint: Joint) -> Iterator[str]:
        for depth, where in ((joint.depth_post, "post"), (joint.depth_rail, "rail")):
            if depth > DEEPEST * joint.bit:
                text = f"{self.show(depth)} deep in the {where} is more than {DEEPEST} × the bit"
                yield f"{text} ({self.show(DEEPEST * joint.bit)}); go in by steps, or take a thicker bit"

    def clearance(self, joint: Joint) -> Iterator[str]:
        clear = self.shop.tenon.clearance if joint.clearance is None else joint.clearance
        if not LEAST_CLEARANCE <= clear <= GREATEST_CLEARANCE:
            span = " to ".join(about(one, self.shop.show) for one in (LEAST_CLEARANCE, GREATEST_CLEARANCE))
            yield f"{self.show(clear)} stays empty below each tenon end; {span} is usual, room for glue"

    def beside_the_rail(self, joint: Joint) -> Iterator[str]:
        rail, last = self.job.part(joint.rail), _last(joint)
        if last > rail.width:
            text = f"the slot ends at {self.show(last)}, rail {rail.mark} is only {self.show(rail.width)} wide"
            yield f"{text}; end it within the rail"

    def near_the_rails_edge(self, joint: Joint) -> Iterator[str]:
        rail, last = self.job.part(joint.rail), _last(joint)
        wall = min(joint.slot_from, rail.width - last)
        if 0 <= wall < self.shop.limits.slot_wall:
            text = f"only {self.show(wall)} of wood between the slot and an edge of rail {rail.mark}"
            yield f"{text}; leave {self.show(self.shop.limits.slot_wall)}"

    def rails_overlap(self, joint: Joint) -> Iterator[str]:
        rail = self.job.part(joint.rail)
        if joint.repeat > 1 and (joint.spacing or 0) < rail.width:
            text = f"{joint.repeat} rails {self.show(rail.width)} wide would overlap"
            yield f"{text} at a spacing of {self.show(joint.spacing or 0)}; write the distance from rail to rail"

    def proud(self, joint: Joint) -> Iterator[str]:
        post, rail = self.job.part(joint.post), self.job.part(joint.rail)
        deep = post.thickness if joint.side in EDGES else post.width
        over = joint.setback + rail.thickness - deep
        if over > 0:
            yield f"rail {rail.mark} stands {self.show(over)} out behind post {post.mark}; reduce the setback"

    def ends_not_named(self) -> Iterator[Remark]:
        for mark in dict.fromkeys(joint.rail for joint in self.job.joints):
            joints = ends_in_doubt(self.job, mark)
            if joints:
                text = "the joints of this rail need different slots; say for each at which end it is (ends), or"
                yield Remark(f"{mark}, {', '.join(joints)}", f"{text} give the rails two marks. Its slots are left out")

    def cannot_pair(self) -> Iterator[Remark]:
        for part in self.unpaired():
            if part.quantity % 2:
                text = f"half the pieces must be mirror images, and an odd quantity ({part.quantity}) cannot make pairs"
                yield Remark(part.mark, f"{text}; make it even")

    def counted_in_pairs(self) -> Iterator[Remark]:
        for part in self.unpaired():
            text = "the slots differ on the two hands, so half the pieces are mirror images and are counted so"
            yield Remark(part.mark, f"{text}; set hand to pairs")

    def unpaired(self) -> list[Part]:
        """Parts that come in pairs whatever the part list says."""
        slotted = [self.job.part(mark) for mark in parts_with_slots(self.job)]
        return [part for part in slotted if part.hand is Hand.SAME and needs_pairs(self.job, part)]

    def ends_without_slots(self) -> Iterator[Remark]:
        lots: dict[tuple[object, ...], list[Joint]] = {}
        for joint in self.job.joints:
            lots.setdefault(self._shared(joint), []).append(joint)
        for here in lots.values():
            mark = here[0].rail
            ends = self.job.part(mark).quantity * (1 if here[0].ends in (RailEnds.MARKED, RailEnds.OTHER) else 2)
            slots = sum(self.job.part(joint.post).quantity * joint.repeat for joint in here)
            if ends != slots:
                marks = ", ".join(joint.mark for joint in here)
                text = f"{counted(ends, 'end')} of rail {mark} for {counted(slots, 'place')} in posts"
                yield Remark(marks, f"{text}; correct a quantity or repeat")

    def _shared(self, joint: Joint) -> tuple[object, ...]:
        """What joints have in common that share out one lot of rails: the rail, and slots in a named end."""
        if joint.ends not in (RailEnds.MARKED, RailEnds.OTHER):
            return (joint.rail,)
        return (joint.rail, *(replace(slot, joints=()) for slot in rail_slots(self.job, joint)))

    def too_short(self) -> Iterator[Remark]:
        least = self.station.of(SlotBits).rollers or LEAST_TO_CLAMP
        for mark in parts_with_slots(self.job):
            length = self.job.part(mark).length
            if length < least:
                text = f"{self.show(length)} is too short to clamp well, {about(least, self.shop.show)} is needed"
                yield Remark(mark, f"{text}; slot it while it is longer, or hold it in a jig")


def _last(joint: Joint) -> Nm:
    return joint.slot_to + (joint.count - 1) * (joint.pitch or 0)
