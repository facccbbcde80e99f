"""Tells the glue-up of every job of a plan, for its run sheet."""

from collections.abc import Iterable

from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.assembling.glue_up_told import GlueUpTold, Joined, LaidIn, StageTold
from stopwright.plan.assembling.loose_parts import Loose
from stopwright.plan.assembling.stage import Stage


def glue_ups_of(assembled: Iterable[tuple[str, Job]], shop: Shop) -> tuple[GlueUpTold, ...]:
    """The glue-up of each job that has one, by the job's number; the glue is None where the shop does not know it."""
    told = (_told(whose, job, shop) for whose, job in assembled)
    return tuple(one for one in told if one.stages)


def _told(whose: str, job: Job, shop: Shop) -> GlueUpTold:
    plan = assembly_stages(job)
    return GlueUpTold(
        whose,
        job.units,
        next((one for one in shop.glues if one.name == job.glue), None),
        tuple(map(_stage, plan.stages)),
        tuple(LaidIn(one.piece, one.holders, one.held_in, one.units) for one in plan.afterwards),
        plan.horns,
    )


def _stage(stage: Stage) -> StageTold:
    return StageTold(
        stage.number,
        stage.brings,
        stage.members,
        tuple(_laid_in(one, stage) for one in stage.loose),
        tuple(Joined(one.joint, one.rail, one.end, one.post, one.side) for one in stage.closings),
        stage.direction,
        stage.clamps,
        stage.opening,
        stage.cauls,
        stage.all_round,
        stage.units,
    )


def _laid_in(loose: Loose, stage: Stage) -> LaidIn:
    return LaidIn(loose.piece, loose.holders_in(stage.pieces), loose.held_in)
