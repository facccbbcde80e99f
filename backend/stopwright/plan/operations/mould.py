"""Mould: profiles along edges and ends, all stock through one set-up of the spindle, then all through the next."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stopwright.lengths import INCH, MM, Nm
from stopwright.model.gear import Cutters
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, Side
from stopwright.model.parts import Kind, LooseTenon, Part
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.operations.caution import STOP_MOVES, Caution, Figure, Scene, always
from stopwright.plan.operations.operation import (
    Operation,
    Setup,
    Setups,
    Stage,
    Task,
    Worked,
    as_the_stop_stands,
    at_station,
)
from stopwright.plan.operations.roles import CUTTER, SPINDLE_FENCE, SPINDLE_HEIGHT
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.section import TABLE, height_over_table, the_table
from stopwright.plan.run_sheet import Form, Move, Position, Remark, Run
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.runs_long import runs_long
from stopwright.plan.stations.stop_settings import (
    axis_remarks,
    cannot_be_set,
    count_pieces,
    set_stop,
    strictest_tolerance,
)
from stopwright.plan.timber.way import Way

WORK = "mould"

ROUND = (*ENDS, Side.EDGE, Side.FAR_EDGE)
"""End grain first, then long grain: what breaks out at the end of an end is taken off by the edge."""
_WORDS = {Side.EDGE: "face edge"}
_SHORT: Figure = (300 * MM, 12 * INCH)


@dataclass(frozen=True, slots=True)
class _Step:
    """One pass of one moulding, of its parts that are run while they are long or of those that are not."""

    moulding: Moulding
    number: int
    set_up: Pass
    parts: tuple[Part, ...]
    is_long: bool


def _setups(task: Task) -> Setups:
    """A setup a pass of a moulding, a later pass never before an earlier one of the same moulding."""
    if not task.job.mouldings:
        return Setups()
    return at_station(task.shop, WORK, lambda station: mould_setups(task.job, task.shop, station))


def mould_setups(job: Job, shop: Shop, station: Station) -> Setups:
    """What is run long, and what is run when it is cut to length; the notes say which edges, in which order."""
    steps = [
        _Step(moulding, number, set_up, parts, is_long)
        for moulding in job.mouldings
        for is_long, parts in _by_length(moulding, job)
        for number, set_up in enumerate(moulding.passes, start=1)
    ]
    axes = [axis for role in OPERATION.roles if (axis := station.axis(role.name))]
    setups = (Setup(Stage.LONG if step.is_long else Stage.EDGES, (_run(step, axes, station),)) for step in steps)
    before = frozenset(
        (i, j)
        for i, one in enumerate(steps)
        for j, two in enumerate(steps)
        if one.moulding is two.moulding and one.is_long is two.is_long and two.number == one.number + 1
    )
    faults, warnings = _remarks(steps, axes, job, shop, station)
    return Setups(tuple(setups), before, faults=tuple(faults), warnings=tuple(warnings))


def edges_in_order(moulding: Moulding) -> tuple[Side, ...]:
    """The edges as they are run: end grain first, then long grain.

    >>> one_pass = Pass("cove 12", 8, 12)
    >>> panel = Moulding("P", ("F",), (one_pass,), (Side.EDGE, Side.MARKED_END, Side.FAR_EDGE, Side.OTHER_END))
    >>> ", ".join(edges_in_order(panel))
    'marked end, other end, edge, far edge'
    """
    return tuple(side for side in ROUND if side in moulding.edges)


def _by_length(moulding: Moulding, job: Job) -> Iterator[tuple[bool, tuple[Part, ...]]]:
    """The parts that are run while they are long, then those that have their size already; none is left out."""
    parts = [job.part(mark) for mark in moulding.parts]
    for is_long in (True, False):
        found = tuple(part for part in parts if runs_long(moulding, part) is is_long)
        if found:
            yield is_long, found


def _place(step: _Step, axis: Axis) -> Nm | str:
    if axis.sets == CUTTER.name:
        return step.set_up.cutter
    return step.set_up.height if axis.sets == SPINDLE_HEIGHT.name else step.set_up.fence


def _run(step: _Step, axes: Sequence[Axis], station: Station) -> Run:
    stops = []
    for axis in axes:
        place: Position = _place(step, axis)
        tolerance = strictest_tolerance(step.parts, place) if isinstance(place, int) else None
        stops.append(set_stop(axis, place, Move.SET, tolerance))
    passes = len(step.moulding.passes)
    lot = f"{step.moulding.mark} pass {step.number}" if passes > 1 else step.moulding.mark
    return Run(0, station.name, WORK, tuple(stops), count_pieces(step.parts), note=_note(step), lot=lot)


def _note(step: _Step) -> str:
    edges = edges_in_order(step.moulding)
    ends = [_WORDS.get(side, str(side)) for side in edges if side in ENDS]
    along = [_WORDS.get(side, str(side)) for side in edges if side not in ENDS]
    passes = len(step.moulding.passes)
    text = f"{step.moulding.mark}, pass {step.number} of {passes}: " if passes > 1 else f"{step.moulding.mark}: "
    if ends and along:
        return f"{text}end grain first ({', '.join(ends)}), then {', '.join(along)}, turning the same way round"
    return f"{text}{', '.join(ends or along)}{'; run long, crosscut after' if step.is_long else ''}"


def _remarks(
    steps: Sequence[_Step], axes: Sequence[Axis], job: Job, shop: Shop, station: Station
) -> tuple[list[Remark], list[Remark]]:
    missing = list(_missing(steps, station))
    faults = cannot_be_set(station, (role.name for role in OPERATION.roles))
    faults += dict.fromkeys(remark for step, remark in missing if not _rounds_tenons(step))
    warnings = [*dict.fromkeys(remark for step, remark in missing if _rounds_tenons(step)), *_moulded_ends(job)]
    for axis in axes:
        targets: dict[Nm, list[Part]] = defaultdict(list)
        for step in steps:
            place = _place(step, axis)
            if isinstance(place, int):
                targets[place] += step.parts
        off, coarse = axis_remarks(axis, station, targets, shop)
        faults += off
        warnings += coarse
    return faults, warnings


def _rounds_tenons(step: _Step) -> bool:
    """Loose tenons can be rounded by hand as well, so a cutter for them is not a must."""
    return all(isinstance(part, LooseTenon) for part in step.parts)


def _missing(steps: Sequence[_Step], station: Station) -> Iterator[tuple[_Step, Remark]]:
    for step in steps:
        cutter = step.set_up.cutter
        if station.of(Cutters).cutters and cutter not in station.of(Cutters).cutters:
            text = f"the {station.name} has no cutter '{cutter}'; on hand: {', '.join(station.of(Cutters).cutters)}"
            yield step, Remark(step.moulding.mark, text)


def _moulded_ends(job: Job) -> Iterator[Remark]:
    for moulding in job.mouldings:
        for mark in moulding.parts:
            if job.part(mark).kind is Kind.MOULDING and set(moulding.edges) & set(ENDS):
                text = "its ends are moulded, and parts of kind moulding are cut to length after; make it solid"
                yield Remark(mark, text)


def _follow(way: Way, run: Run, _: Station) -> Worked:
    """The strips that hold these parts while they are long, else the pieces."""
    return way.strips_or_pieces(run)


def _reason(run: Run, _: Sequence[Run], __: Sequence[Run], ___: Shop) -> Iterator[str]:
    long = any(lot.form is not Form.PIECE for lot in run.takes)
    yield "while the stock is long, crosscut after" if long else "after crosscutting: the piece has its size"
    cutter = next((stop for stop in run.stops if stop.sets == CUTTER.name), None)
    if cutter and cutter.move is Move.STANDS:
        yield f"the cutter {cutter.target} stays in"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """In section, to scale: the piece at the fence, the line of the height, how far the fence is set.

    The profile is the cutter's own, so what it takes is not drawn; a broken line goes as far as the fence is set.
    """
    by_role = {stop.sets: stop for stop in run.stops}
    height, fence = by_role.get(SPINDLE_HEIGHT.name), by_role.get(SPINDLE_FENCE.name)
    if height is None or fence is None or not run.takes:
        return
    up, out = (stop.target if isinstance(stop.target, int) else 0 for stop in (height, fence))
    thick, wide = run.takes[0].thickness, run.takes[0].width
    scale = min(60 / max(thick, up), 160 / max(min(wide, 3 * thick), out, 1))
    front, top, level, reach = 110.0, TABLE - thick * scale, TABLE - up * scale, max(out * scale, 1)
    the_table(canvas)
    canvas.box("fence", front - 14, TABLE - 70, 14, 70)
    canvas.wood(front, top, min(wide * scale, 160), TABLE - top)
    canvas.box("unseen now", front, top, reach, TABLE - top)
    canvas.box("knives", front - 60, top, 46, TABLE - top)
    canvas.line("centre", front - 60, level, front + max(reach, 24), level)
    height_over_table(canvas, height, (front - 60, front - 74), level)
    canvas.across(front, front + reach, TABLE + 15, fence.reads, fence.axis)
    canvas.label = "In section, to scale: the piece at the fence, height and fence as they are set, no profile drawn"


def _short(scene: Scene) -> bool:
    """A piece may have its ends run as well, which are as long as the piece is wide."""
    lengths = (min(lot.length, lot.width) if lot.form is Form.PIECE else lot.length for lot in scene.run.takes)
    return min(lengths, default=_SHORT[1]) < _SHORT[scene.inches]


OPERATION = Operation(
    work=WORK,
    stage=Stage.LONG,
    title="",
    comes_to="comes to",
    roles=(CUTTER, SPINDLE_HEIGHT, SPINDLE_FENCE),
    gear=(Cutters,),
    asked=(Moulding,),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=(
        STOP_MOVES,
        Caution(
            "Only tooling marked MAN for hand feed. False fence and pressure pads on; set the spindle at standstill "
            "only.",
            "HSE spindle moulder guidance",
            "S",
            always,
        ),
        Caution(
            "Piece under {0}: work it in a holder; stopped work needs stops or a jig.",
            "HSE Wood Information Sheet 18, secondary copy, for short pieces; the figure is common practice",
            "C/P",
            _short,
            (_SHORT,),
        ),
    ),
    reason=_reason,
    picture=_picture,
)
