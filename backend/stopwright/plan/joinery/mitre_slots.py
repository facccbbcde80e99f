"""Slots at the mortiser in mitred ends, for loose tenons square to the mitre: what is asked for, what cannot be."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import cos, radians, tan
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm, format_length
from stopwright.model.counts import counted
from stopwright.model.cuts import Cut, MortiseAsked, TenonAsked, asked
from stopwright.model.gear import SlotBits
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, RailEnds, Side
from stopwright.model.parts import Part
from stopwright.model.shaping import Mitre
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.run_sheet import Remark
from stopwright.plan.stations.part_sides import slab


@dataclass(frozen=True, slots=True, kw_only=True)
class MitreSlot(Cut):
    """A slot in every mitred end of parts, square to the mitre, for a loose tenon between two of them; nm.

    It begins `start` from the face edge, along the mitre, and is `length` long with its round ends. Its centre line
    lies `offset` behind the face side, in the middle of the wood where that is None.
    """

    kind: ClassVar[str] = "slot"
    letter: ClassVar[str] = "M"

    start: Nm = asked("Begins", "from the face edge, along the mitre")
    length: Nm = asked("Length", "from end to end, along the mitre")
    bit: Nm = asked("Bit", "its diameter; about a third of the wood")
    depth: Nm = asked("Depth", "square to the mitre, in each of the two ends")
    offset: Nm | None = asked("From the face side", "to its centre line; empty: in the middle", None)

    def problems(self) -> Iterator[Problem]:
        """Nothing wide or deep, a slot shorter than its bit."""
        for one, words in (("bit", "thick"), ("depth", "deep")):
            if getattr(self, one) <= 0:
                yield Problem(one, "is not above 0", f"write how {words} it is")
        if self.length < self.bit:
            yield Problem("length", "is less than the bit is thick", "make it longer, or take a thinner bit")
        if self.offset is not None and self.offset <= 0:
            yield Problem("offset", "is not above 0", "leave it out for the middle of the wood")

    def mortises(self, job: Job, part: Part) -> Iterator[MortiseAsked]:
        """One in each mitred end, as if the mitre were an end of that length."""
        mitre = mitre_of(part, job)
        if part.mark in self.parts and mitre:
            centre = part.thickness // 2 if self.offset is None else self.offset
            for end in mitred_ends(mitre):
                yield MortiseAsked(end, self.start, self.start + self.length, centre, self.depth, self.bit)

    def loose_tenons(self, job: Job) -> Iterator[TenonAsked]:
        """One for every two ends."""
        parts = [job.part(mark) for mark in self.parts]
        ends = sum(part.quantity * sum(1 for _ in self.mortises(job, part)) for part in parts)
        if ends:
            yield TenonAsked(self.mark, self.bit, self.length, 2 * self.depth, ends // 2, parts[0].material)

    def removes(self, job: Job, part: Part) -> Iterator[Solid]:
        """The slots as if the ends were square, as the mitre itself is drawn."""
        for one in self.mortises(job, part):
            wide = (one.centre - one.bit // 2, one.centre + one.bit // 2)
            walls = {Side.EDGE: (one.start, one.end), Side.FACE: wide, one.side: (0, one.depth)}
            yield slab(self.mark, part, walls)


def mitre_of(part: Part, job: Job) -> Mitre | None:
    """How a part is mitred, None if it is not."""
    return next((mitre for mitre in job.mitres if mitre.part == part.mark), None)


def mitred_ends(mitre: Mitre) -> tuple[Side, ...]:
    """The ends of a part that are mitred."""
    named = {RailEnds.MARKED: (Side.MARKED_END,), RailEnds.OTHER: (Side.OTHER_END,)}
    return named.get(mitre.ends, ENDS)


def along_the_mitre(part: Part, job: Job) -> Nm:
    """How long the mitre of a part is from point to point, nm; its width where it is not mitred.

    >>> from stopwright.lengths import MM
    >>> frame = Part("F", "Frame", 4, 300 * MM, 60 * MM, 22 * MM)
    >>> along_the_mitre(frame, Job("Mirror", (frame,), mitres=(Mitre("F", sides=4),))) / MM
    84.852814
    """
    mitre = mitre_of(part, job)
    return round(part.width / cos(radians(mitre.degrees))) if mitre else part.width


def lies_in_a_jig(job: Job, marks: Iterable[str]) -> list[str]:
    """How pieces with slots in their mitres are held, a sentence for each part."""
    held = ((mark, mitre_of(job.part(mark), job)) for mark in marks)
    return [
        f"{mark} in a jig at {float(mitre.degrees):g}°, its mitre square to the bit" for mark, mitre in held if mitre
    ]


def check_mitre_slots(job: Job, shop: Shop, station: Station) -> tuple[list[Remark], list[Remark]]:
    """Faults and warnings of all slots in mitres; what holds for every slot is looked at elsewhere."""
    faults, warnings = [], []
    for cut in job.cuts:
        if isinstance(cut, MitreSlot):
            sizes = (cut.bit, cut.depth, cut.length)
            faults += [Remark(cut.mark, text) for text in at_this_mortiser(cut, sizes, shop, station)]
            for part in (job.part(mark) for mark in cut.parts):
                broken, doubtful = _in_this_part(cut, part, job, shop)
                faults += [Remark(part.mark, f"slot {cut.mark}: {text}") for text in broken]
                warnings += [Remark(part.mark, f"slot {cut.mark}: {text}") for text in doubtful]
            ends = sum(
                job.part(mark).quantity * sum(1 for _ in cut.mortises(job, job.part(mark))) for mark in cut.parts
            )
            if ends % 2:
                text = (
                    f"{counted(ends, 'end')} cannot make pairs, each tenon sits in two; correct a quantity or the parts"
                )
                warnings.append(Remark(cut.mark, text))
    return faults, warnings


def at_this_mortiser(cut: Cut, sizes: tuple[Nm, Nm, Nm], shop: Shop, station: Station) -> Iterator[str]:
    """Why slots of a cut, `sizes` of bit, depth and length, nm, are not made at a mortiser."""
    bit, depth, length = sizes
    bits, reach = station.of(SlotBits).bits, station.of(SlotBits).reach
    if cut.station not in ("", station.name):
        yield f"all slots are made at the {station.name}; name that station, or leave it out"
    if bits and bit not in bits:
        on_hand = ", ".join(format_length(one, shop.show) for one in sorted(bits))
        yield f"the {station.name} has no bit of {format_length(bit, shop.show)}; on hand: {on_hand}"
    if reach is not None and depth > reach:
        far, deep = format_length(reach, shop.show), format_length(depth, shop.show)
        yield f"the {station.name} reaches {far} deep, not the {deep} wanted; make it shallower"
    limit = round(shop.limits.slot_length_stop * bit)
    if length > limit:
        long, most = format_length(length, shop.show), format_length(limit, shop.show)
        yield f"the slot is {long} long, more than {shop.limits.slot_length_stop:g} × the bit ({most}); shorten it"


def _in_this_part(cut: MitreSlot, part: Part, job: Job, shop: Shop) -> tuple[list[str], list[str]]:
    """A slot beyond the mitre, or so near its long point that it comes out at the edge: at depth × tan it does (K)."""
    mitre = mitre_of(part, job)
    if mitre is None:
        return [f"part {part.mark} is not mitred; mitre it, or join it with a joint"], []
    whole = along_the_mitre(part, job)
    far, long = format_length(cut.start + cut.length, shop.show), format_length(whole, shop.show)
    if cut.start + cut.length > whole:
        return [f"it ends {far} from the face edge, the mitre is only {long} long; end it within the mitre"], []
    needed = round(cut.depth * tan(radians(mitre.degrees)))
    before, behind = cut.start < needed, whole - cut.start - cut.length < needed
    room = format_length(needed, shop.show)
    if before and behind:
        return [f"it would come out at the long point, where {room} are needed; make it shallower or shorter"], []
    if before or behind:
        edge = "face edge" if before else "far edge"
        return [], [f"it comes out at the {edge} if the long point is there, {room} from it are needed"]
    return [], []
