"""Mortise: every slot of every piece at the slot mortiser, each stop set as seldom as can be."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from stopwright.lengths import Nm, format_length
from stopwright.model.gear import EndStops, SlotBits
from stopwright.model.job import Job
from stopwright.model.joints import ENDS, Joint
from stopwright.model.parts import Part, mark_order
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.effort import Effort
from stopwright.plan.joinery.at_the_slot import at_the_slot
from stopwright.plan.joinery.corner_slots import CornerSlots, check_corners, stands_on_its_end
from stopwright.plan.joinery.mitre_slots import MitreSlot, check_mitre_slots, lies_in_a_jig
from stopwright.plan.joinery.mortise_checks import check_joints
from stopwright.plan.joinery.mortise_placings import item_of, place_pieces
from stopwright.plan.joinery.mortise_setups import MORTISER_AXES, Positions, Working, blocks_for, positions, workings_of
from stopwright.plan.joinery.mortise_worth import Blocks, Standing
from stopwright.plan.joinery.shaped_references import mitred_slots, moulded_slots
from stopwright.plan.joinery.tenons import tenon_remarks
from stopwright.plan.operations.caution import STOP_MOVES, Caution, Scene, always
from stopwright.plan.operations.operation import (
    Operation,
    Setup,
    Setups,
    Stage,
    Task,
    Worked,
    at_station,
    marks_of,
    said_together,
)
from stopwright.plan.operations.roles import (
    BIT,
    DEPTH,
    END_STOP_LEFT,
    END_STOP_RIGHT,
    TABLE_HEIGHT,
    TRAVEL_FROM,
    TRAVEL_TO,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.mortise import draw_mortise
from stopwright.plan.run_sheet import Move, Pieces, Remark, Run, Spacer, SpacerBlock, rows_together
from stopwright.plan.stations.blocks import blocks_to_make
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.stop_settings import axis_remarks, cannot_be_set, set_stop, strictest_tolerance
from stopwright.plan.timber.way import Way

WORK = "mortise"
_END_STOPS = (END_STOP_LEFT.name, END_STOP_RIGHT.name)
BEFORE = "between end stop and piece"
BENEATH = "under the piece"

Block = tuple[Nm, int, str]
"""Thickness, count and place of a spacer; count 0 where there is none."""
Groups = dict[Positions, dict[Block, list[Working]]]
NO_BLOCK: Block = (0, 0, "")


def _setups(task: Task) -> Setups:
    if not task.job.joints and not any(isinstance(cut, CornerSlots | MitreSlot) for cut in task.job.cuts):
        return Setups()

    def plan(station: Station) -> Setups:
        standing = (task.standing or {}).get(station.name)
        return mortise_setups(task.job, task.shop, station, task.effort, standing)

    return at_station(task.shop, WORK, plan)


def mortise_setups(
    job: Job, shop: Shop, station: Station, effort: Effort | None = None, standing: Standing | None = None
) -> Setups:
    """A setup for each place of the stops, with a run for each block that is put in at it.

    Which side lies down and which end touches which stop follow from the geometry (`hands`), mirrored pieces of a
    handed pair apart. Spacers and moved end stops are taken where they save minutes (`place_pieces`). `standing`
    tells by the axis's name what stands on the machine already.
    """
    workings = workings_of(job)
    checked = (check_mitre_slots(job, shop, station), check_corners(job, shop, station))
    not_so, doubted = ([remark for some in both for remark in some] for both in zip(*checked, strict=True))
    if not workings:
        return Setups(faults=tuple(not_so))
    cost = Blocks(shop.spacers, shop.block_minutes, frozenset(shop.shims))
    chosen = place_pieces(workings, station, cost, standing, effort)
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
    setups = []
    for one in stands:
        blocks = sorted(groups[one].items(), key=lambda pair: (pair[0][2], pair[0][:2]))
        setups.append(Setup(Stage.SLOTS, tuple(_run(one, block, here, job, station) for block, here in blocks)))
    faults, warnings = check_joints(job, shop, station)
    nothing, doubtful = tenon_remarks(job, shop)
    off, coarse = _remarks_on_stops(stands, groups, job, shop, station)
    needed = (*MORTISER_AXES[:5], *(working.stop for working in workings))
    return Setups(
        tuple(setups),
        faults=(*cannot_be_set(station, needed), *faults, *not_so, *nothing, *mitred_slots(job), *off),
        warnings=(*warnings, *doubted, *moulded_slots(job), *coarse, *doubtful),
        spacers=_blocks({block for blocks in groups.values() for block in blocks}),
    )


def _run(stands: Positions, block: Block, workings: Sequence[Working], job: Job, station: Station) -> Run:
    first = workings[0]
    parts = [job.part(working.slot.part) for working in workings]
    stops = []
    for sets, place in stands:
        axis = station.axis(sets)
        if axis:
            tolerance = None if sets == BIT.name else strictest_tolerance(parts, place)
            stops.append(set_stop(axis, place, Move.SET, tolerance, _mark(axis, first)))
    rows = rows_together(_pieces(working, part) for working, part in zip(workings, parts, strict=True))
    spacer = Spacer(*block) if block != NO_BLOCK else None
    lot = BENEATH if block[2] == BENEATH else ""  # the same block before a piece makes another run
    note = "; ".join((_note(workings, station), *_held(workings, job)))
    if any(sets in _END_STOPS and place < 0 for sets, place in stands):
        note += "; the end stop stands beyond the zero of the travel"
    return Run(0, station.name, WORK, tuple(stops), rows, spacer=spacer, note=note, lot=lot)


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
    if axis.step is not None or axis.sets == BIT.name:
        return ""
    return f"mark {working.number} on master {working.slot.part}"


def _note(workings: Sequence[Working], station: Station) -> str:
    joints = sorted({joint for working in workings for joint in working.slot.joints}, key=mark_order)
    text = f"for {', '.join(joints)}"
    if all(working.at == "right" for working in workings) and not station.of(EndStops).one_scale:
        text += "; the same numbers, counted from the right-hand stop"
    if any(working.mirrored for working in workings):
        text += "; mirrored pieces among them"
    return text


def _held(workings: Sequence[Working], job: Job) -> list[str]:
    """How the pieces with slots in their mitres are held, and those that stand on an end."""
    marks = {cut.mark for cut in job.cuts if isinstance(cut, MitreSlot)}
    in_jigs = lies_in_a_jig(job, dict.fromkeys(one.slot.part for one in workings if marks & set(one.slot.joints)))
    return in_jigs + stands_on_its_end((one.slot.part, one.down) for one in workings if one.slot.stands_on)


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
    order = sorted(used - {NO_BLOCK}, key=lambda block: (block[0], block[2]))
    return blocks_to_make(SpacerBlock(*block) for block in order)


def _follow(way: Way, run: Run, _: Station) -> Worked:
    return way.worked_pieces(run)


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    last = next((other for other in reversed(before) if other.work == WORK), None)
    moved = [stop for stop in run.stops if stop.move is Move.SET]
    bit = next((stop for stop in run.stops if stop.sets == BIT.name), None)
    size = format_length(bit.target, shop.show) if bit and isinstance(bit.target, int) else ""
    if last is None:
        yield "first at the mortiser; the runs that share most with it come next"
    elif not moved:
        yield "every stop stands from before"
    elif all(stop.sets in _END_STOPS for stop in moved):
        mirror = set(marks_of(run)) & set(marks_of(last))
        turned = {pieces.at for pieces in run.pieces} != {pieces.at for pieces in last.pieces}
        what = f"the mirror image of {said_together(mirror)}: " if mirror and turned else ""
        yield f"{what}only the end stop is new"
    elif bit and bit.move is Move.STANDS:
        verb = "moves" if len(moved) == 1 else "move"
        yield f"the {size} bit stays in; only {said_together(stop.axis for stop in moved)} {verb}"
    elif bit:
        yield f"all slots of the {size} bit follow each other: changing it costs most"
    if run.spacer:
        kept = "the table height" if run.spacer.place == BENEATH else "the end stop"
        yield f"a block of {format_length(run.spacer.thickness, shop.show)} saves moving {kept}"


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    draw_mortise(canvas, run, job)


def _on_its_end(scene: Scene) -> bool:
    return any(pieces.down in ENDS for pieces in scene.run.pieces)


OPERATION = Operation(
    work=WORK,
    stage=Stage.SLOTS,
    title="",
    comes_to="comes to",
    roles=(BIT, TABLE_HEIGHT, DEPTH, TRAVEL_FROM, TRAVEL_TO, END_STOP_LEFT, END_STOP_RIGHT),
    gear=(SlotBits, EndStops),
    asked=(Joint, MitreSlot, CornerSlots),
    setups=_setups,
    follow=_follow,
    measured=at_the_slot,
    cautions=(
        STOP_MOVES,
        Caution(
            "Clamp the piece before the motor starts; change a setting at standstill only.",
            "SafeWork New South Wales machine sheet",
            "S",
            always,
        ),
        Caution(
            "A piece on its end tips: clamp it to a high fence that is fast to the table, never hold it by hand.",
            "common practice",
            "P",
            _on_its_end,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
