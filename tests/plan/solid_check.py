"""An independent look at the mortiser's runs: slots as solids on the machine, carried back to piece and article.

Shares no code with the planner; it reads only job and runs. The machine's axes: right as seen from the bit, up, and
back (from the work towards the bit), a right-handed three. The table lies at up = 0, the slotted side at back = 0.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from itertools import permutations, product

import numpy as np
from tests.builders import at_length

from stopwright.model.job import Job
from stopwright.model.joints import Joint
from stopwright.model.parts import Hand
from stopwright.plan.run_sheet import Pieces, Run

Box = tuple[tuple[int, int], tuple[int, int], tuple[int, int]]

NORMAL = {
    "marked end": (-1, 0, 0),
    "other end": (1, 0, 0),
    "edge": (0, -1, 0),
    "far edge": (0, 1, 0),
    "face": (0, 0, -1),
    "back": (0, 0, 1),
}
RIGHT, UP, BACK = np.eye(3, dtype=np.int64)


def turnings(mirrored: bool) -> Iterator[np.ndarray]:
    """The 24 ways to lay a squared piece down; of a mirror image on the axes of the master piece the other 24."""
    for order in permutations(range(3)):
        for signs in product((1, -1), repeat=3):
            turning = np.zeros((3, 3), dtype=np.int64)
            for row, (column, sign) in enumerate(zip(order, signs, strict=True)):
                turning[row, column] = sign
            if round(np.linalg.det(turning)) == (-1 if mirrored else 1):
                yield turning


def carried(box: Box, turning: np.ndarray, shift: np.ndarray) -> Box:
    """The box turned, then shifted."""
    corners = turning @ np.array(box, dtype=np.int64) + shift[:, None]
    across, up, back = ((int(min(row)), int(max(row))) for row in corners)
    return across, up, back


def carried_back(box: Box, turning: np.ndarray, shift: np.ndarray) -> Box:
    """The box on the piece's own axes, from where `carried` would bring it."""
    return carried(box, turning.T, -turning.T @ shift)


def block_of(size: tuple[int, int, int]) -> Box:
    """A squared piece on its own axes."""
    length, width, thickness = size
    return (0, length), (0, width), (0, thickness)


def body_of(job: Job, mark: str) -> tuple[int, int, int]:
    """Length (with the horn), width, thickness."""
    part = job.part(mark)
    return part.length + max([j.horn for j in job.joints if j.post == mark], default=0), part.width, part.thickness


def slot_made(run: Run, row: Pieces, body: tuple[int, int, int]) -> Box | str:
    """Where in the piece the slot of a run comes to lie, or why the piece cannot be laid down like that."""
    at = {str(stop.sets): at_length(stop.target) for stop in run.stops}
    bit, height, depth = at["bit"], at["table height"], at["depth"]
    end = at.get(f"end stop {row.at}")
    if end is None:
        return f"it lies at the {row.at} stop, which the run does not set"
    block = run.spacer.thickness * run.spacer.count if run.spacer else 0
    under = block if run.spacer and "under" in run.spacer.place else 0
    stop = end + block - under
    cut = (
        (at["travel from"] - bit // 2, at["travel to"] + bit // 2),
        (height - bit // 2, height + bit // 2),
        (-depth, 0),
    )
    fits = [
        turning
        for turning in turnings(row.mirrored)
        if (turning @ NORMAL[row.slotted] == BACK).all() and (turning @ NORMAL[row.down] == -UP).all()
    ]
    if len(fits) != 1:
        return "slotted side and side down do not go together"
    turning = fits[0]
    lies = carried(block_of(body), turning, np.zeros(3, dtype=np.int64))
    if row.at == "left":
        shift = np.array([stop - lies[0][0], under - lies[1][0], -lies[2][1]])
    elif end > at["travel to"]:  # one scale: the stop stands where it reads, the block to its left
        shift = np.array([end - block + under - lies[0][1], under - lies[1][0], -lies[2][1]])
    else:  # the mirror image: the same numbers, counted from the right-hand stop to the left
        shift = np.array([-stop - lies[0][1], under - lies[1][0], -lies[2][1]])
        cut = ((-cut[0][1], -cut[0][0]), *cut[1:])
    touching = NORMAL["edge" if row.reference == "face edge" else row.reference]
    if not (turning @ touching == (-RIGHT if row.at == "left" else RIGHT)).all():
        return f"its {row.reference} is not at the {row.at} stop"
    return carried_back(cut, turning, shift)


def tenons_wanted(job: Job, joint: Joint) -> Iterator[Box]:
    """The tenons of a joint as solids on the post's axes, from the bottom of one mortise to that of the other."""
    width, thickness = body_of(job, joint.post)[1:]
    horn = max(j.horn for j in job.joints if j.post == joint.post)
    between = joint.setback + (job.part(joint.rail).thickness // 2 if joint.offset is None else joint.offset)
    by = (-joint.apart // 2, joint.apart // 2) if joint.apart else (0,)
    for rail, slot, aside in product(range(joint.repeat), range(joint.count), by):
        middle = between + aside
        low = horn + joint.drop + rail * (joint.spacing or 0) + joint.slot_from + slot * (joint.pitch or 0)
        along = (low, low + joint.slot_to - joint.slot_from)
        beside = (middle - joint.bit // 2, middle + joint.bit // 2)
        match str(joint.side):
            case "edge":
                yield along, (-joint.depth_rail, joint.depth_post), beside
            case "far edge":
                yield along, (width - joint.depth_post, width + joint.depth_rail), beside
            case "face":
                yield along, beside, (-joint.depth_rail, joint.depth_post)
            case "back":
                yield along, beside, (thickness - joint.depth_post, thickness + joint.depth_rail)


def rail_on_post(job: Job, joint: Joint, end: str, number: int = 0) -> tuple[np.ndarray, np.ndarray]:
    """Turning and shift from rail to post: face side as the post's reference, face edge to the marked end."""
    body, rail = body_of(job, joint.post), job.part(joint.rail)
    horn = max(j.horn for j in job.joints if j.post == joint.post)
    out = np.array(NORMAL[joint.side])
    inward = np.array((0, 0, 1) if joint.side in ("edge", "far edge") else (0, 1, 0))
    away = out if end == "marked end" else -out
    turning = np.column_stack([away, (1, 0, 0), inward]).astype(np.int64)
    surface = np.maximum(out, 0) * np.array(body)
    corner = surface + np.array((horn + joint.drop + number * (joint.spacing or 0), 0, 0)) + inward * joint.setback
    return turning, corner - (away * rail.length if end == "other end" else 0)


def slots_wanted(job: Job, mark: str) -> set[Box]:
    """The slots of one piece as the joints have them: each tenon cut in two at the joint."""
    wanted: set[Box] = set()
    for joint in job.joints:
        ends = ("marked end", "other end") if joint.ends in (None, "both") else (str(joint.ends),)
        if mark == joint.post:
            wanted |= {_inside(tenon, body_of(job, mark)) for tenon in tenons_wanted(job, joint)}
        if mark == joint.rail:
            for end, tenon in product(ends, list(tenons_wanted(job, joint))[: joint.count]):
                wanted.add(_inside(carried_back(tenon, *rail_on_post(job, joint, end)), body_of(job, mark)))
    return wanted


def _inside(box: Box, body: tuple[int, int, int]) -> Box:
    along, across, through = ((max(low, 0), min(high, size)) for (low, high), size in zip(box, body, strict=True))
    return along, across, through


def complaints(job: Job, runs: Iterable[Run]) -> list[str]:
    """What is wrong with the runs: empty when every piece gets every slot once, where the joint has it."""
    wrong: list[str] = []
    made: dict[str, dict[bool, Counter[Box]]] = defaultdict(lambda: defaultdict(Counter))
    for run in runs:
        for row in (one for pieces in run.pieces for one in pieces.each):
            slot = slot_made(run, row, body_of(job, row.mark))
            if isinstance(slot, str):
                wrong.append(f"{row.mark}: {slot}")
            else:
                made[row.mark][row.mirrored][slot] += row.count
    for mark in {mark for joint in job.joints for mark in (joint.post, joint.rail)}:
        wanted, part = slots_wanted(job, mark), job.part(mark)
        counts = {hand: set(slots.values()) for hand, slots in made[mark].items()}
        if any(set(slots) != wanted for slots in made[mark].values()):
            wrong.append(f"{mark}: slots lie elsewhere")
        if any(len(count) != 1 for count in counts.values()) or sum(map(sum, counts.values())) != part.quantity:
            wrong.append(f"{mark}: not every piece gets every slot once")
        if part.hand is Hand.PAIRS and counts.get(True) != counts.get(False):
            wrong.append(f"{mark}: not half and half")
    return wrong


def slots_made(job: Job, runs: Iterable[Run], mark: str) -> dict[bool, set[Box]]:
    """The slots that the runs give a piece as it is (False) and its mirror image (True)."""
    made: dict[bool, set[Box]] = defaultdict(set)
    for run in runs:
        for row in (one for pieces in run.pieces for one in pieces.each):
            slot = slot_made(run, row, body_of(job, mark)) if row.mark == mark else ""
            if not isinstance(slot, str):
                made[row.mirrored].add(slot)
    return made
