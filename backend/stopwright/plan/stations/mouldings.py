"""Mouldings: all stock through the first set-up of the spindle, then all of it through the next."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind, LooseTenon, Part
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.stations import Axis, Sets, Shop, Station, Work
from stopwright.plan.effort import Effort
from stopwright.plan.run_sheet import Move, Position, Remark, Run
from stopwright.plan.sequence import order_runs
from stopwright.plan.stations.moves import places_of, sequence_axis
from stopwright.plan.stations.station_plan import StationPlan
from stopwright.plan.stations.stop_settings import axis_remarks, count_pieces, set_stop, strictest_tolerance

ROUND = (Side.MARKED_END, Side.OTHER_END, Side.EDGE, Side.FAR_EDGE)
"""End grain first, then long grain: what breaks out at the end of an end is taken off by the edge."""
WORDS = {Side.EDGE: "face edge"}


@dataclass(frozen=True, slots=True)
class _Step:
    """One pass of one moulding."""

    moulding: Moulding
    number: int
    set_up: Pass


def plan_mouldings(job: Job, shop: Shop, station: Station, effort: Effort | None = None) -> StationPlan:
    """The spindle's runs, one a pass of a moulding, a later pass never before an earlier one of the same moulding.

    What is run long comes before what is run when it is cut to length. Cutter, spindle height and fence are each set
    as seldom as that allows. The notes say which edges are run, in which order, and whether the stock is run long and
    crosscut after.
    """
    steps = [
        _Step(moulding, number, set_up)
        for moulding in job.mouldings
        for number, set_up in enumerate(moulding.passes, start=1)
    ]
    axes = [axis for sets in (Sets.CUTTER, Sets.SPINDLE_HEIGHT, Sets.SPINDLE_FENCE) if (axis := station.axis(sets))]
    if not steps:
        return StationPlan()
    needs = [places_of([set_stop(axis, _place(step, axis), Move.SET) for axis in axes], station) for step in steps]
    before = [(i, j) for i, one in enumerate(steps) for j, two in enumerate(steps) if _comes_before(one, two)]
    found = order_runs(needs, [sequence_axis(axis) for axis in axes], effort, before=before)
    runs = []
    for index, moves in zip(found.order, found.moves, strict=True):
        new = {name for name, (set_now, _) in moves.items() if set_now}
        runs.append(_run(steps[index], axes, new, job, station))
    faults, warnings = _remarks(steps, axes, job, shop, station)
    return StationPlan(tuple(runs), found.least_possible, found.proven, tuple(faults), tuple(warnings))


def runs_long(moulding: Moulding) -> bool:
    """Whether the stock is run while it is long: no end of it is moulded."""
    return not set(moulding.edges) & set(ROUND[:2])


def edges_in_order(moulding: Moulding) -> tuple[Side, ...]:
    """The edges as they are run: end grain first, then long grain.

    >>> one_pass = Pass("cove 12", 8, 12)
    >>> panel = Moulding("P", ("F",), (one_pass,), (Side.EDGE, Side.MARKED_END, Side.FAR_EDGE, Side.OTHER_END))
    >>> ", ".join(edges_in_order(panel))
    'marked end, other end, edge, far edge'
    """
    return tuple(side for side in ROUND if side in moulding.edges)


def _comes_before(one: _Step, two: _Step) -> bool:
    if one.moulding is two.moulding:
        return two.number == one.number + 1
    return runs_long(one.moulding) and not runs_long(two.moulding)


def _place(step: _Step, axis: Axis) -> Nm | str:
    if axis.sets is Sets.CUTTER:
        return step.set_up.cutter
    return step.set_up.height if axis.sets is Sets.SPINDLE_HEIGHT else step.set_up.fence


def _run(step: _Step, axes: Sequence[Axis], new: set[str], job: Job, station: Station) -> Run:
    parts = [job.part(mark) for mark in step.moulding.parts]
    stops = []
    for axis in axes:
        place: Position = _place(step, axis)
        tolerance = strictest_tolerance(parts, place) if isinstance(place, int) else None
        stops.append(set_stop(axis, place, Move.SET if axis.name in new else Move.STANDS, tolerance))
    passes = len(step.moulding.passes)
    lot = f"{step.moulding.mark} pass {step.number}" if passes > 1 else step.moulding.mark
    return Run(0, station.name, Work.MOULD, tuple(stops), count_pieces(parts), note=_note(step), lot=lot)


def _note(step: _Step) -> str:
    edges = edges_in_order(step.moulding)
    ends = [WORDS.get(side, str(side)) for side in edges if side in ROUND[:2]]
    along = [WORDS.get(side, str(side)) for side in edges if side in ROUND[2:]]
    passes = len(step.moulding.passes)
    text = f"{step.moulding.mark}, pass {step.number} of {passes}: " if passes > 1 else f"{step.moulding.mark}: "
    if ends and along:
        return f"{text}end grain first ({', '.join(ends)}), then {', '.join(along)}, turning the same way round"
    return f"{text}{', '.join(ends)}" if ends else f"{text}{', '.join(along)}; run long, crosscut after"


def _remarks(
    steps: Sequence[_Step], axes: Sequence[Axis], job: Job, shop: Shop, station: Station
) -> tuple[list[Remark], list[Remark]]:
    missing = list(_missing(steps, station))
    faults = [remark for step, remark in missing if not _rounds_tenons(step, job)]
    warnings = [*(remark for step, remark in missing if _rounds_tenons(step, job)), *_moulded_ends(job)]
    for axis in axes:
        targets: dict[Nm, list[Part]] = defaultdict(list)
        for step in steps:
            place = _place(step, axis)
            if isinstance(place, int):
                targets[place] += [job.part(mark) for mark in step.moulding.parts]
        off, coarse = axis_remarks(axis, station, targets, shop)
        faults += off
        warnings += coarse
    return faults, warnings


def _rounds_tenons(step: _Step, job: Job) -> bool:
    """Loose tenons can be rounded by hand as well, so a cutter for them is not a must."""
    return all(isinstance(job.part(mark), LooseTenon) for mark in step.moulding.parts)


def _missing(steps: Sequence[_Step], station: Station) -> Iterator[tuple[_Step, Remark]]:
    for step in steps:
        cutter = step.set_up.cutter
        if station.cutters and cutter not in station.cutters:
            text = f"the {station.name} has no cutter '{cutter}'; on hand: {', '.join(station.cutters)}"
            yield step, Remark(step.moulding.mark, text)


def _moulded_ends(job: Job) -> Iterator[Remark]:
    for moulding in job.mouldings:
        for mark in moulding.parts:
            if job.part(mark).kind is Kind.MOULDING and set(moulding.edges) & set(ROUND[:2]):
                text = "its ends are moulded, and parts of kind moulding are cut to length after; make it solid"
                yield Remark(mark, text)
