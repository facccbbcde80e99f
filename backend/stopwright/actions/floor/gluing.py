"""Dry fit and glue-up of one unit: its stages with the pieces' own labels, how far each is, the open time of glues."""

from collections.abc import Iterator
from dataclasses import dataclass

from stopwright.actions.floor.working import JobState
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import NotFound
from stopwright.lengths import format_length
from stopwright.model.joints import ENDS, Side
from stopwright.model.stations import Glue
from stopwright.paper.afterwards import afterwards_told
from stopwright.plan.assembling.assembly import AssemblyPlan, assembly_stages
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.loose_parts import Loose
from stopwright.plan.assembling.pieces import number_of_piece
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.assembling.unit_layout import Joining
from stopwright.plan.operations.finish import FINISH_IT
from stopwright.plan.operations.finish import WORK as FINISH
from stopwright.plan.operations.operation import said_together
from stopwright.store.piece_fold import Stage as Stands

UNTOUCHED = Stands()


@dataclass(frozen=True, slots=True)
class GlueStep:
    """One screen of a glue-up: a joint to close or a clamp to put on. `name` is what its event is called.

    `shown` are the pieces that meet, what goes in before what it goes into, or those that the clamp presses.
    """

    name: str
    title: str
    words: str
    shown: tuple[Nth, ...]
    is_clamp: bool = False


@dataclass(frozen=True, slots=True)
class UnitStage:
    """A stage of one unit. `brings` says in words what earlier stages made; `pieces` are the labels of the others."""

    stage: Stage
    unit: int
    pieces: tuple[str, ...]
    brings: tuple[str, ...]
    loose: tuple[GlueStep, ...]
    joints: tuple[GlueStep, ...]
    clamps: tuple[GlueStep, ...]
    stands: Stands

    @property
    def tried(self) -> tuple[GlueStep, ...]:
        """What is tried dry: what lies loose goes in, then the joints."""
        return (*self.loose, *self.joints)

    @property
    def steps(self) -> tuple[GlueStep, ...]:
        """What lies loose, then joints, then clamps."""
        return (*self.tried, *self.clamps)


@dataclass(frozen=True, slots=True)
class UnitAssembly:
    """One unit on its way together: its stages, joints tried dry by name, and in words what is done after gluing."""

    number: int
    stages: tuple[UnitStage, ...]
    dry: frozenset[str]
    afterwards: tuple[str, ...] = ()

    def stage(self, number: int) -> UnitStage | None:
        """Its stage of that number, None where it has none."""
        return next((one for one in self.stages if one.stage.number == number), None)

    @property
    def joints(self) -> tuple[GlueStep, ...]:
        """All joints and what lies loose between them, in the order in which they are tried."""
        return tuple(one for stage in self.stages for one in stage.tried)

    @property
    def tried(self) -> int:
        """How many joints were tried dry."""
        return sum(joint.name in self.dry for joint in self.joints)

    @property
    def glued(self) -> int:
        """How many stages are done."""
        return sum(bool(stage.stands.done) for stage in self.stages)


def unit_assembly(planned: Planned, state: JobState, unit: int) -> UnitAssembly:
    """How a unit stands. Raises NotFound for a unit that the job does not have."""
    if not 1 <= unit <= planned.job.units:
        raise NotFound(f"there is no unit {unit}", planned.job.name, f"choose one from 1 to {planned.job.units}")
    plan = assembly_stages(planned.job)
    return UnitAssembly(
        unit,
        tuple(_of_unit(planned, stage, unit, state) for stage in plan.of_unit(unit)),
        frozenset(state.assembly.dry.get(unit, frozenset())),
        tuple(_afterwards(planned, plan, unit)),
    )


def unit_stage(planned: Planned, state: JobState, unit: int, number: int) -> UnitStage:
    """One stage of a unit. Raises NotFound."""
    if stage := unit_assembly(planned, state, unit).stage(number):
        return stage
    raise NotFound(f"there is no stage {number}", f"unit {unit}", "choose one from the list of stages")


def glues_for(planned: Planned) -> tuple[Glue, ...]:
    """The glues of the shop, that of the job first."""
    return tuple(sorted(planned.shop.glues, key=lambda glue: glue.name != planned.job.glue))


def label_in(planned: Planned, piece: Nth, unit: int) -> str:
    """The label of the nth piece of a mark in a unit: A-07."""
    mark, nth = piece
    return f"{mark}-{number_of_piece(planned.job, mark, nth, unit):02}"


def _of_unit(planned: Planned, stage: Stage, unit: int, state: JobState) -> UnitStage:
    earlier = {
        piece for one in assembly_stages(planned.job).stages if one.number in stage.brings for piece in one.pieces
    }
    return UnitStage(
        stage,
        unit,
        tuple(label_in(planned, piece, unit) for piece in stage.pieces if piece not in earlier),
        tuple(f"what stage {number} made" for number in stage.brings),
        tuple(_loose(planned, stage, loose, unit) for loose in stage.loose),
        tuple(_joint(planned, closing, unit) for closing in stage.closings),
        tuple(_clamps(planned, stage, unit)),
        state.assembly.stages.get((unit, stage.number), UNTOUCHED),
    )


def _afterwards(planned: Planned, plan: AssemblyPlan, unit: int) -> Iterator[str]:
    """What is done to a unit when its glue has set."""
    yield from afterwards_told(planned.job, plan, lambda piece: label_in(planned, piece, unit), planned.shop.show, unit)
    if planned.shop.station_for(FINISH):
        yield FINISH_IT


def _loose(planned: Planned, stage: Stage, loose: Loose, unit: int) -> GlueStep:
    label = label_in(planned, loose.piece, unit)
    holders = loose.holders_in(stage.pieces)
    where, shown = said_together(label_in(planned, holder, unit) for holder in holders), (loose.piece, *holders)
    cuts = said_together(mouth.cut for mouth in loose.mouths)
    words = f"{cuts}, no glue: it has to move. It does not go in later."
    return GlueStep(f"loose {label}", f"{label} into the {loose.held_in} of {where}", words, shown)


def _joint(planned: Planned, closing: Joining, unit: int) -> GlueStep:
    post, rail = label_in(planned, closing.post, unit), label_in(planned, closing.rail, unit)
    name, side = f"{closing.joint or 'mitre'} {post} {rail}", closing.side
    pieces = (closing.rail, closing.post)
    if side in ENDS:
        return GlueStep(name, f"{rail} to {post}", f"{_held_by(planned, closing)}, {closing.end} to {side}", pieces)
    into = f"the {side} side" if side in (Side.FACE, Side.BACK) else f"the {side}"
    return GlueStep(name, f"{rail} into {post}", f"{_held_by(planned, closing)}, into {into} of {post}", pieces)


def _held_by(planned: Planned, closing: Joining) -> str:
    """What holds a rail end in its post: `joint J1`, `housing H1`, or two ends at each other: `mitre, slot M1`."""
    kinds = {cut.mark: cut.kind for cut in planned.job.cuts} | {one.mark: "joint" for one in planned.job.joints}
    held = f"{kinds.get(closing.joint, 'joint')} {closing.joint}" if closing.joint else ""
    return ", ".join(filter(None, ("mitre" if closing.side in ENDS else "", held)))


def _clamps(planned: Planned, stage: Stage, unit: int) -> Iterator[GlueStep]:
    opening = format_length(stage.opening, planned.shop.show)
    if stage.all_round:
        words = f"around all corners, at least {opening} long, a block on each; or a corner clamp on each"
        pieces = tuple(closing.rail for closing in stage.closings)
        yield GlueStep("clamp 1", "Band clamp", f"{words}. Lay it flat, both diagonals alike", pieces, True)
    for number, rails in enumerate(stage.lines, start=1):
        over = " and ".join(label_in(planned, rail, unit) for rail in rails)
        words = f"in line with {over}, opened to {opening} and the cauls, a caul at either end"
        yield GlueStep(f"clamp {number}", f"Clamp {number} of {stage.clamps}", words, rails, True)
