"""Slots in pieces that are mitred or moulded: where the reference they are measured from is cut away before."""

from collections.abc import Iterator

from stopwright.model.job import Job
from stopwright.model.joints import RailEnds, Side
from stopwright.plan.joinery.hands import side_down
from stopwright.plan.joinery.mitre_slots import MitreSlot
from stopwright.plan.joinery.slots import Slot, parts_with_slots
from stopwright.plan.run_sheet import Remark
from stopwright.plan.stations.runs_long import runs_long

ENDS = (Side.MARKED_END, Side.OTHER_END)
MITRED = {RailEnds.BOTH: ENDS, RailEnds.MARKED: (Side.MARKED_END,), RailEnds.OTHER: (Side.OTHER_END,)}


def mitred_slots(job: Job) -> Iterator[Remark]:
    """Faults: slots that are reckoned square to an end, in that end or measured from it, where it is mitred."""
    mitred = {mitre.part: MITRED[mitre.ends] for mitre in job.mitres}
    square_to_it = {(cut.mark,) for cut in job.cuts if isinstance(cut, MitreSlot)}
    for mark, slots in parts_with_slots(job).items():
        for slot in slots:
            end = slot.stands_on or (slot.side if slot.side in ENDS else Side.MARKED_END)
            if end in mitred.get(mark, ()) and slot.joints not in square_to_it:
                text = f"the slot of {', '.join(slot.joints)} ({slot.side}) is measured from a square end"
                yield Remark(mark, f"{text}, and the {end} is mitred; leave out the mitre or the joint")
                break


def moulded_slots(job: Job) -> Iterator[Remark]:
    """Warnings: face edges that are moulded before they lie at a stop or on the table of the mortiser."""
    moulded = {
        mark: one.mark
        for one in job.mouldings
        if Side.EDGE in one.edges
        for mark in one.parts
        if runs_long(one, job.part(mark))
    }
    for mark, slots in parts_with_slots(job).items():
        if mark in moulded and any(map(_needs_the_face_edge, slots)):
            text = f"{moulded[mark]} moulds its face edge, and its slots are made with that edge at the stop or table"
            yield Remark(mark, f"{text}; mould the far edge, or leave enough of it flat")


def _needs_the_face_edge(slot: Slot) -> bool:
    return slot.reference == "face edge" or side_down(slot.side) is Side.EDGE
