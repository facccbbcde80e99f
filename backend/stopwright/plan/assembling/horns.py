"""Horns, what posts are left longer at their marked ends: cut off when all is glued, at the saw or by hand."""

from collections.abc import Iterator, Mapping, Sequence

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.parts import units_of
from stopwright.plan.assembling.glue_up_told import Horn
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.poses import Pose, spans_of
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.joinery.slots import horn_of


def horns_in(job: Job, stages: Sequence[Stage], poses: Mapping[Nth, Pose]) -> Iterator[Horn]:
    """The horns of a job, in the order of its parts."""
    for part in job.parts:
        if long := horn_of(job, part.mark):
            posts = [(part.mark, nth) for nth in range(max(units_of(part, job.units)))]
            flat = all(_lies_flat(job, post, stages, poses) for post in posts)
            yield Horn(part.mark, long, part.length, flat)


def _lies_flat(job: Job, post: Nth, stages: Sequence[Stage], poses: Mapping[Nth, Pose]) -> bool:
    """Whether what a post is glued to lies flat with it: in some direction across it as thick as one piece."""
    body = next((stage.pieces for stage in reversed(stages) if post in stage.pieces), ())
    spans = [spans_of(poses[piece], job.part(piece[0]).size) for piece in body if piece in poses]
    if not spans:
        return False
    along = next(axis for axis in range(3) if poses[post].x[axis])
    return any(_thick(spans, axis) == max(high - low for low, high in _of(spans, axis)) for axis in {0, 1, 2} - {along})


def _thick(spans: Sequence[Sequence[tuple[Nm, Nm]]], axis: int) -> Nm:
    return max(high for _, high in _of(spans, axis)) - min(low for low, _ in _of(spans, axis))


def _of(spans: Sequence[Sequence[tuple[Nm, Nm]]], axis: int) -> list[tuple[Nm, Nm]]:
    return [one[axis] for one in spans]
