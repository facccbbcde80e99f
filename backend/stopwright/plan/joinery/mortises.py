"""The mortiser: every slot of every piece, each stop set as seldom as can be."""

from collections import defaultdict
from collections.abc import Sequence

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.parts import Part, mark_order
from stopwright.model.stations import Axis, Sets, Shop, Station, Work
from stopwright.plan.effort import Effort
from stopwright.plan.joinery.mortise_checks import check_joints
from stopwright.plan.joinery.mortise_placings import item_of, place_pieces
from stopwright.plan.joinery.mortise_setups import (
    MORTISER_AXES,
    Positions,
    Working,
    blocks_for,
    needs_of,
    positions,
    workings_of,
)
from stopwright.plan.joinery.mortise_worth import Standing, sequence_axes
from stopwright.plan.joinery.shaped_references import mitred_slots, moulded_slots
from stopwright.plan.joinery.tenons import tenon_remarks
from stopwright.plan.run_sheet import Move, Pieces, Remark, Run, Spacer, SpacerBlock
from stopwright.plan.sequence import order_runs
from stopwright.plan.stations.station_plan import StationPlan
from stopwright.plan.stations.stop_settings import axis_remarks, set_stop, strictest_tolerance

BEFORE = "between end stop and piece"
BENEATH = "under the piece"

Block = tuple[Nm, int, str]
"""Thickness, count and place of a spacer; count 0 where there is none."""
Groups = dict[Positions, dict[Block, list[Working]]]
NO_BLOCK: Block = (0, 0, "")


def plan_mortises(
    job: Job, shop: Shop, station: Station, effort: Effort | None = None, standing: Standing | None = None
) -> StationPlan:
    """The runs of the mortiser: every slot of every piece made once, in the order with the fewest settings found.

    Which side lies down and which end touches which stop follow from the geometry (`hands`), mirrored pieces of a
    handed pair apart. Spacers and moved end stops are taken where they save minutes (`place_pieces`). `standing`
    tells by the axis's name what stands on the machine already. `least_possible` holds for these placings.
    """
    workings = workings_of(job)
    if not workings:
        return StationPlan()
    chosen = place_pieces(workings, station, shop.spacers, standing, effort)
    before = blocks_for(placing.spacer for placing in chosen.values())
    beneath = blocks_for(placing.under for placing in chosen.values())
    groups: Groups = defaultdict(lambda: defaultdict(list))
    for working in workings:
        placing = chosen[item_of(working)]
        block = NO_BLOCK
        if placing.spacer:
            block = (*before[placing.spacer], BEFORE)
        elif placing.under:
            block = (*beneath[placing.under], BENEATH)
        groups[positions(working, placing, station)][block].append(working)
    stands = sorted(groups)
    needs = [needs_of(one, station) for one in stands]
    found = order_runs(needs, sequence_axes(station), effort, standing=standing)
    runs: list[Run] = []
    for index, moves in zip(found.order, found.moves, strict=True):
        settled = False
        for block, here in sorted(groups[stands[index]].items(), key=lambda pair: (pair[0][2], pair[0][:2])):
            new = set() if settled else {name for name, (set_now, _) in moves.items() if set_now}
            runs.append(_run(stands[index], block, here, new, job, station))
            settled = True
    faults, warnings = check_joints(job, shop, station)
    nothing, doubtful = tenon_remarks(job, shop)
    off, coarse = _remarks_on_stops(stands, groups, job, shop, station)
    return StationPlan(
        tuple(runs),
        found.least_possible,
        found.proven,
        (*_not_to_be_set(workings, station), *faults, *nothing, *mitred_slots(job), *off),
        (*warnings, *moulded_slots(job), *coarse, *doubtful),
        _blocks({block for blocks in groups.values() for block in blocks}),
    )


def _not_to_be_set(workings: Sequence[Working], station: Station) -> list[Remark]:
    """A fault for every stop that the slots need and the mortiser does not have: its number would be missing."""
    needed = dict.fromkeys((*MORTISER_AXES[:5], *(working.stop for working in workings)))
    missing = [sets for sets in needed if station.axis(sets) is None]
    return [
        Remark(station.name, f"the {station.name} has no {sets} to set; add an axis that sets {sets}")
        for sets in missing
    ]


def _run(
    stands: Positions, block: Block, workings: Sequence[Working], new: set[str], job: Job, station: Station
) -> Run:
    first = workings[0]
    parts = [job.part(working.slot.part) for working in workings]
    stops = []
    for sets, place in stands:
        axis = station.axis(sets)
        if axis:
            move = Move.SET if axis.name in new else Move.STANDS
            tolerance = None if sets is Sets.BIT else strictest_tolerance(parts, place)
            stops.append(set_stop(axis, place, move, tolerance, _mark(axis, first)))
    rows = tuple(_pieces(working, part) for working, part in zip(workings, parts, strict=True))
    spacer = Spacer(*block) if block != NO_BLOCK else None
    lot = BENEATH if block[2] == BENEATH else ""  # the same block before a piece makes another run
    return Run(0, station.name, Work.MORTISE, tuple(stops), rows, spacer=spacer, note=_note(workings), lot=lot)


def _pieces(working: Working, part: Part) -> Pieces:
    return Pieces(
        part.mark,
        part.name,
        working.count,
        working.slot.side,
        working.down,
        working.slot.reference,
        working.at,
        working.mirrored,
    )


def _mark(axis: Axis, working: Working) -> str:
    if axis.step is not None or axis.sets is Sets.BIT:
        return ""
    return f"mark {working.number} on master {working.slot.part}"


def _note(workings: Sequence[Working]) -> str:
    joints = sorted({joint for working in workings for joint in working.slot.joints}, key=mark_order)
    text = f"for {', '.join(joints)}"
    if all(working.at == "right" for working in workings):
        text += "; the same numbers, counted from the right-hand stop"
    if any(working.mirrored for working in workings):
        text += "; mirrored pieces among them"
    return text


def _remarks_on_stops(
    stands: Sequence[Positions], groups: Groups, job: Job, shop: Shop, station: Station
) -> tuple[list[Remark], list[Remark]]:
    faults: list[Remark] = []
    warnings: list[Remark] = []
    for sets in MORTISER_AXES[1:]:
        targets: dict[Nm, list[Part]] = defaultdict(list)
        for one in stands:
            place = dict(one).get(sets)
            if place is not None:
                targets[place] += [job.part(w.slot.part) for here in groups[one].values() for w in here]
        axis = station.axis(sets)
        if axis:
            off, coarse = axis_remarks(axis, station, targets, shop)
            faults += off
            warnings += coarse
    return faults, warnings


def _blocks(used: set[Block]) -> tuple[SpacerBlock, ...]:
    most: dict[tuple[Nm, str], int] = defaultdict(int)
    for thickness, count, place in used - {NO_BLOCK}:
        most[thickness, place] = max(most[thickness, place], count)
    return tuple(SpacerBlock(thickness, count, place) for (thickness, place), count in sorted(most.items()))
