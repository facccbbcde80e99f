"""The master piece: the one piece of a part that is marked out; all others are made from the stops set to it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, Side
from stopwright.model.parts import Part, mark_order
from stopwright.model.stations import Shop
from stopwright.plan.joinery.cut_marks import CutMark, cut_marks
from stopwright.plan.joinery.hands import count_hands, end_stop, side_down
from stopwright.plan.joinery.mitre_slots import along_the_mitre, mitre_of, mitred_ends
from stopwright.plan.joinery.slots import Slot, body_of, horn_of, parts_with_slots
from stopwright.plan.run_sheet import Run

MARKING_OUT = (
    "with the face side towards you and the face edge down, the marked end is at your right hand; "
    "on the mirror image it is at your left"
)
"""How a piece is held while it is marked out, so that the hand is never left to chance."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One slot as it is marked out, numbered as the runs name it ("mark 3 on master A"). Lengths in nm.

    `start` and `end` are both measured from `reference` (marked end or face edge), never from another mark;
    `centre` from `beside`, the reference side next to it, which is also the side that lies on the table. `at` is
    the end stop of the piece as it is, its mirror image lies at the other.
    """

    number: int
    side: Side
    reference: str
    start: Nm
    end: Nm
    beside: Side
    centre: Nm
    depth: Nm
    bit: Nm
    joints: tuple[str, ...]
    at: str

    @property
    def is_across(self) -> bool:
        """Whether it runs across a long side, measured from the face edge, its centre line from an end."""
        return self.side not in ENDS and self.beside in ENDS

    def centre_along(self, length: Nm) -> Nm:
        """How far the centre line of one that runs across lies from the marked end of a piece so long, nm."""
        return length - self.centre if self.beside is Side.OTHER_END else self.centre


@dataclass(frozen=True, slots=True)
class MasterPiece:
    """One drawing: the piece with its horn, nm, and its marks; how many follow it, and in how many runs.

    `copies` are the pieces made as it is, itself included; `mirrored` those made as its mirror image. `holding`
    says in words how it is held while it is marked out. `mitred` ends are so long from point to point; `cuts` are all
    cuts that the mortiser does not make.
    """

    part: str
    name: str
    length: Nm
    width: Nm
    thickness: Nm
    horn: Nm
    marks: tuple[Mark, ...]
    copies: int
    mirrored: int
    runs: int
    holding: str = MARKING_OUT
    mitred: tuple[tuple[Side, Nm], ...] = ()
    cuts: tuple[CutMark, ...] = ()

    def across(self, end: Side) -> Nm:
        """How far an end goes from the face edge: the width, or along its mitre, nm."""
        return dict(self.mitred).get(end, self.width)

    def on(self, side: Side) -> tuple[Mark, ...]:
        """The marks of one side, along the side."""
        return tuple(mark for mark in self.marks if mark.side is side)

    def cuts_on(self, side: Side) -> tuple[CutMark, ...]:
        """The cuts that open in one side."""
        return tuple(cut for cut in self.cuts if cut.side is side)


@dataclass(frozen=True, slots=True)
class StickMark:
    """One line across a story stick: how far from its end (nm), and what it stands for."""

    position: Nm
    part: str
    number: int
    side: Side
    what: str


@dataclass(frozen=True, slots=True)
class StoryStick:
    """All marks of one job on one strip, every one measured from the same end; length in nm."""

    length: Nm
    marks: tuple[StickMark, ...]


def master_pieces(job: Job, shop: Shop, sheet_runs: Iterable[Run]) -> tuple[MasterPiece, ...]:
    """One master piece for every part with slots or cuts, marks A … Z, AA …; `runs` counts those it serves.

    That are the runs in which it is laid down to be cut; of slots only those of the station that does the mortising.
    """
    station = shop.station_for("mortise")
    at_another = {"mortise"} if station is None else {one.name for one in shop.stations} - {station.name}
    runs = [run for run in sheet_runs if run.work != "mortise" or run.station not in at_another]
    slotted = parts_with_slots(job)
    cut = {part.mark: marks for part in job.parts if (marks := cut_marks(job, part))}
    found = []
    for mark in sorted({*slotted, *cut}, key=mark_order):
        part, slots = job.part(mark), slotted.get(mark, ())
        copies, mirrored = count_hands(job, part)
        length, width, thickness = body_of(job, part)
        found.append(
            MasterPiece(
                mark,
                part.name,
                length,
                width,
                thickness,
                horn_of(job, mark),
                tuple(_mark(number, slot) for number, slot in enumerate(slots, start=1)),
                copies,
                mirrored,
                sum(any(pieces.mark == mark and pieces.down for pieces in run.pieces) for run in runs),
                mitred=_mitred(job, part),
                cuts=cut.get(mark, ()),
            )
        )
    return tuple(found)


def _mitred(job: Job, part: Part) -> tuple[tuple[Side, Nm], ...]:
    mitre = mitre_of(part, job)
    return tuple((end, along_the_mitre(part, job)) for end in mitred_ends(mitre)) if mitre else ()


def story_stick(masters: Iterable[MasterPiece]) -> StoryStick:
    """Where every slot and cut of a job begins and ends, as lines on one strip; what shares a line is named together.

    Cuts are taken from the long sides, without what begins or ends at an end of the piece.
    """
    pieces = list(masters)
    lines = [
        StickMark(place, piece.part, mark.number, mark.side, what)
        for piece in pieces
        for mark in piece.marks
        for slot in ["slot across" if mark.is_across else "slot"]
        for place, what in ((mark.start, f"{slot} begins"), (mark.end, f"{slot} ends"))
    ]
    lines += [line for piece in pieces for line in _of_cuts(piece)]
    horns = [piece for piece in pieces if piece.horn]
    lines += [StickMark(piece.horn, piece.part, 0, Side.MARKED_END, "horn is cut off here") for piece in horns]
    reach = [piece.length if piece.cuts or _from_the_end(piece) else piece.width for piece in pieces]
    lines.sort(key=lambda line: (line.position, mark_order(line.part), line.number))
    return StoryStick(max(reach, default=0), tuple(lines))


def _from_the_end(piece: MasterPiece) -> bool:
    return any(mark.reference == "marked end" for mark in piece.marks)


def _of_cuts(piece: MasterPiece) -> Iterator[StickMark]:
    """The lines of the cuts of a piece, each place of a cut once."""
    seen = set()
    for cut in piece.cuts:
        for place, what in zip(cut.places, ("begins", "ends"), strict=False):
            key = (cut.cut, place)
            if cut.side not in ENDS and 0 < place < piece.length and key not in seen:
                seen.add(key)
                named = f"{cut.kind} {cut.cut}"
                yield StickMark(
                    place, piece.part, 0, cut.side, f"centre in {named}" if cut.by_centre else f"{named} {what}"
                )


def _mark(number: int, slot: Slot) -> Mark:
    return Mark(
        number=number,
        side=slot.side,
        reference=slot.reference,
        start=slot.start,
        end=slot.end,
        beside=side_down(slot.side, slot.stands_on),
        centre=slot.centre,
        depth=slot.depth,
        bit=slot.bit,
        joints=slot.joints,
        at=end_stop(slot.side, stands_on=slot.stands_on),
    )
