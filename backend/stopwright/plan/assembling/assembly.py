"""The stages of a unit's glue-up: what comes together first, which joints close, what lies loose in them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from stopwright.lengths import MM, Nm, Show, format_difference, show_in
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.plan.assembling.closing_order import Body, Bond, GlueUp, closing_order
from stopwright.plan.assembling.glue_up_told import Horn
from stopwright.plan.assembling.horns import horns_in
from stopwright.plan.assembling.joint_poses import Nth, end_corner
from stopwright.plan.assembling.loose_parts import Loose, loose_parts
from stopwright.plan.assembling.loose_stages import folded
from stopwright.plan.assembling.meetings import left_out_of
from stopwright.plan.assembling.mitred_rings import Ring, Rings, mitred_rings, ring_stage
from stopwright.plan.assembling.own_things import by_themselves
from stopwright.plan.assembling.places import places_in_unit
from stopwright.plan.assembling.poses import Pose, spans_of
from stopwright.plan.assembling.stage import Stage, members_of
from stopwright.plan.assembling.unit_layout import Closing, UnitLayout, lay_out_unit
from stopwright.plan.operations.groove import Groove
from stopwright.plan.operations.operation import said_together
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.run_sheet import Remark

DIRECTIONS = ("left to right", "front to back", "up and down")
SHUT_OUT = (
    "it cannot be put in: what holds it closes in one go around it, in two directions at once; let its grooves or the "
    "joints around it close one after the other"
)
LATE = "put it in, without glue, before the last of them is closed; afterwards it may not go in any more"
AT_LAST = "lay it in when all is glued, where nothing stands in its way"
TOLD_FROM: Nm = MM // 2
"""A rail that misses its place by more is told of; less is what a saw leaves anyway."""
NOT_TOLD = (
    "the joints do not say how the pieces of a unit go together, so no order of glue-up is given; look at how many "
    "posts and rails a unit has, and at which end of the rail each joint is"
)
NO_RINGS = (
    "mitred at both ends, but the pieces of a unit do not make whole frames, or more than one kind of them; make each "
    "frame a thing of its own, and its glue-up is told"
)
NOT_BY_ITSELF = (
    "not as many in every unit, and held to other parts or changed in number by hand, so no stage says when they go "
    "in; put them in before what holds them is closed"
)
NOT_AS_MANY = (
    "holds parts of which the units have not as many each, so no stage says when it closes; correct a quantity, or "
    "close it before what stands around it"
)
STUCK = (
    "no order of glue-up closes these joints: when the others are closed, their pieces are held already and would "
    "have to move in two directions at once; let them close in one direction with their neighbours"
)


@dataclass(frozen=True, slots=True)
class AssemblyPlan:
    """The stages of every unit, or of some, in order. `faults` name joints that no stage can close.

    `afterwards` slide into their grooves, or are laid into their rebates, when all is glued; `horns` are cut off then.
    `poses` say how what hangs together stands, each such group for itself; `rings` are the mitred frames.
    """

    stages: tuple[Stage, ...]
    faults: tuple[Remark, ...] = ()
    warnings: tuple[Remark, ...] = ()
    afterwards: tuple[Loose, ...] = ()
    horns: tuple[Horn, ...] = ()
    poses: Mapping[Nth, Pose] = field(default_factory=dict)
    rings: tuple[Ring, ...] = ()

    def of_unit(self, unit: int) -> tuple[Stage, ...]:
        """The stages of a unit, from 1."""
        return tuple(stage for stage in self.stages if stage.is_of(unit))

    def stage(self, number: int) -> Stage | None:
        """The stage of that number, None if there is none."""
        return next((stage for stage in self.stages if stage.number == number), None)


@lru_cache(maxsize=64)
def assembly_stages(job: Job) -> AssemblyPlan:
    """How a unit of the job is glued up: the fewest rounds, each joint in one stage, sub-assemblies first.

    A stage holds only joints that close in one direction. Ties: what closes more joints goes first, so frames come
    before the rails across them. Things of which the units have not as many each come last, in stages of their own.
    """
    found = by_themselves(job)
    plan = _of_every_unit(found.rest) if found.rest else AssemblyPlan(())
    if found.joined:
        plan = replace(plan, warnings=(*plan.warnings, Remark(_marks(found.joined), NOT_BY_ITSELF)))
    for things in found.things:
        alone = assembly_stages(things.job)
        plan = replace(
            plan,
            faults=(*plan.faults, *alone.faults),
            warnings=(*plan.warnings, *alone.warnings),
            horns=(*plan.horns, *alone.horns),
        )
        for thing in things.each:
            plan = replace(
                plan,
                stages=(*plan.stages, *(thing.stage(stage, len(plan.stages)) for stage in alone.stages)),
                afterwards=(*plan.afterwards, *map(thing.loose, alone.afterwards)),
                poses={**plan.poses, **{thing.piece(piece): pose for piece, pose in alone.poses.items()}},
                rings=(*plan.rings, *map(thing.ring, alone.rings)),
            )
    return plan


def _of_every_unit(job: Job) -> AssemblyPlan:
    """How a unit is glued up, as far as every unit has as many pieces."""
    layout, rings = lay_out_unit(job), mitred_rings(job)
    poses = {**layout.poses, **rings.poses}
    loose = loose_parts(job, poses)
    in_rings, enclosed = _apart([one for one in loose.parts if one.slides is None], rings)
    number = {piece: place for place, piece in enumerate((*layout.poses, *(one.piece for one in enclosed)))}
    joints = [_bond(closing, number) for closing in layout.closings]
    order = closing_order([*joints, *(bond for one in enclosed for bond in _loose_bonds(one, number))])
    held = {layout.closings[place].joint for place in order.stuck if place < len(joints)}
    stuck = _marks(one.mark for one in layout.meetings if one.mark in held)
    faults = (Remark(stuck, STUCK),) if stuck else ()
    if order.stuck and not stuck:
        faults = (Remark(_marks(one.piece[0] for one in enclosed), SHUT_OUT),)
    stages = _Stages(job, layout, enclosed).of(folded(order.glue_ups, len(joints)))
    for ring in rings.rings:
        lies_in_it = [one for one in in_rings if one.mouths[0].piece in ring.pieces]
        stages = (*stages, ring_stage(ring, len(stages) + 1, lies_in_it))
    laid_in = {one.piece for stage in stages for one in stage.loose}
    left_over = dict.fromkeys(one.piece[0] for one in enclosed if one.piece not in laid_in)
    return AssemblyPlan(
        stages,
        faults,
        (*_not_told(job, layout, rings), *_of_the_loose(job, (*loose.not_told, *left_over))),
        tuple(one for one in loose.parts if one.slides is not None),
        tuple(horns_in(job, stages, poses)),
        poses,
        rings.rings,
    )


def _apart(enclosed: Sequence[Loose], rings: Rings) -> tuple[list[Loose], list[Loose]]:
    """What lies in grooves of mitred rings, and all other that goes in before something closes."""
    in_rings = [one for one in enclosed if one.mouths[0].piece in rings.poses]
    return in_rings, [one for one in enclosed if one not in in_rings]


def _not_told(job: Job, layout: UnitLayout, rings: Rings) -> Iterator[Remark]:
    if job.joints and not layout.told:
        yield Remark(_marks(joint.mark for joint in job.joints), NOT_TOLD)
    yield from _misses(layout, show_in(job.lengths))
    if left_out := left_out_of(job):
        yield Remark(_marks(one.mark for one in left_out), NOT_AS_MANY)
    if rings.not_told:
        yield Remark(_marks(rings.not_told), NO_RINGS)


class _Stages:
    def __init__(self, job: Job, layout: UnitLayout, enclosed: Sequence[Loose]) -> None:
        self.job = job
        self.layout = layout
        self.loose = {one.piece: one for one in enclosed}
        self.pieces = [*layout.poses, *self.loose]
        self.in_already: set[Nth] = set()
        self.placed = bool(places_in_unit(job))

    def of(self, glue_ups: Sequence[GlueUp]) -> tuple[Stage, ...]:
        """The stages of these glue-ups, numbered through."""
        made: dict[Body, int] = {}
        stages = []
        for number, one in enumerate(glue_ups, start=1):
            stages.append(self._stage(number, one, sorted(made[part] for part in one.bodies if part in made)))
            made[one.body] = number
        return tuple(stages)

    def _stage(self, number: int, glue_up: GlueUp, brings: Sequence[int]) -> Stage:
        axis = glue_up.axis
        pieces = tuple(sorted((self.pieces[one] for one in glue_up.body), key=self._in_the_list))
        closings = sorted(
            (self.layout.closings[bond] for bond in glue_up.bonds if bond < len(self.layout.closings)),
            key=lambda one: self._along(one, axis),
        )
        rails = list(dict.fromkeys(closing.rail for closing in closings))
        lines: dict[object, list[Nth]] = {}
        for rail in rails:
            lines.setdefault(self._line(rail, axis), []).append(rail)
        poses = self.layout.poses
        spans = [spans_of(poses[piece], self.job.part(piece[0]).size)[axis] for piece in pieces if piece in poses]
        return Stage(
            number=number,
            round=glue_up.round,
            members=members_of(pieces),
            pieces=pieces,
            brings=tuple(brings),
            closings=tuple(closings),
            direction=DIRECTIONS[axis] if self.placed else f"along {_marks(mark for mark, _ in rails)}",
            lines=tuple(map(tuple, lines.values())),
            opening=max(high for _, high in spans) - min(low for low, _ in spans),
            loose=self._going_in(pieces),
        )

    def _going_in(self, pieces: Sequence[Nth]) -> tuple[Loose, ...]:
        """The loose parts that no earlier stage holds."""
        new = [piece for piece in pieces if piece in self.loose and piece not in self.in_already]
        self.in_already |= set(new)
        return tuple(self.loose[piece] for piece in new)

    def _in_the_list(self, piece: Nth) -> tuple[int, int]:
        return ([part.mark for part in self.job.parts].index(piece[0]), piece[1])

    def _along(self, closing: Closing, axis: int) -> tuple[Nm, tuple[int, int], tuple[Nm, ...]]:
        """From one side to the other, post by post, from the top of each."""
        pose = self.layout.poses[closing.rail]
        corner, _ = end_corner(pose, closing.end, self.job.part(closing.rail[0]).length)
        return (corner[axis], self._in_the_list(closing.post), tuple(-one for one in corner[::-1]))

    def _line(self, rail: Nth, axis: int) -> tuple[tuple[Nm, Nm], ...]:
        """Where a rail lies when looked at along the axis: rails in one line share a clamp."""
        pose, size = self.layout.poses[rail], self.job.part(rail[0]).size
        return tuple(span for other, span in enumerate(spans_of(pose, size)) if other != axis)


def _bond(closing: Closing, number: Mapping[Nth, int]) -> Bond:
    axis, sign = closing.along
    post, rail = number[closing.post], number[closing.rail]
    return Bond(post, rail, axis) if sign > 0 else Bond(rail, post, axis)


def _loose_bonds(loose: Loose, number: Mapping[Nth, int]) -> Iterator[Bond]:
    """A loose part between its holders, and before what stands in its way out."""
    here = number[loose.piece]
    for mouth in loose.mouths:
        holder, (axis, way) = number[mouth.piece], mouth.out
        yield Bond(holder, here, axis) if way > 0 else Bond(here, holder, axis)
    for piece, (axis, way) in loose.blocked:
        yield Bond(here, number[piece], axis) if way > 0 else Bond(number[piece], here, axis)


def _of_the_loose(job: Job, marks: Iterable[str]) -> Iterator[Remark]:
    """What is said of loose parts of which the joints do not tell where they sit."""
    for mark in dict.fromkeys(marks):
        grooved = [cut for cut in job.cuts if isinstance(cut, Groove) and cut.fits == mark]
        if grooved:
            yield Remark(mark, f"lies loose in the grooves of {_parts_of(grooved)}: {LATE}")
        else:
            rebated = [cut for cut in job.cuts if isinstance(cut, Rebate) and cut.holds == mark]
            yield Remark(mark, f"lies in the rebates of {_parts_of(rebated)}: {AT_LAST}")


def _parts_of(cuts: Iterable[Cut]) -> str:
    return said_together(mark for cut in cuts for mark in cut.parts)


def _misses(layout: UnitLayout, show: Show) -> Iterator[Remark]:
    for mark, miss in layout.misses.items():
        meeting = next(one for one in layout.meetings if one.mark == mark)
        if miss > TOLD_FROM:
            text = f"{meeting.rail} misses its place by {format_difference(miss, show)}"
            yield Remark(mark, f"{text}: what stands between two parts must be of one length, at one height")


def _marks(marks: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(marks))
