"""Crosscut: every length at one stop; what is mitred later is cut off roughly, by mark."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from stopwright.lengths import Nm
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.parts import mark_order
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import ACROSS_AT_A_SAW
from stopwright.plan.operations.operation import (
    Operation,
    Setup,
    Setups,
    Stage,
    Task,
    Worked,
    as_the_stop_stands,
    at_station,
    marks_of,
    said_together,
    together,
)
from stopwright.plan.operations.roles import LENGTH
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.crosscut import draw_crosscut
from stopwright.plan.run_sheet import Form, Lot, Move, Run
from stopwright.plan.said_lengths import said
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_by_part import by_flow
from stopwright.plan.stations.sawing import CROSSCUT, DRY_REASON, PANELS, crosscut_at, one_stop_a_size, sawn_at_last
from stopwright.plan.timber.rack import becomes_of
from stopwright.plan.timber.sawn import Sawn, count_sawn
from stopwright.plan.timber.way import Way, target_of


def _setups(task: Task) -> Setups:
    """A run a length, longest first, so that what is too short for one stop serves the next."""
    _, later = by_flow(task.wood.sawn, task.job, task.shop, task.flow)
    mitred = {mitre.part for mitre in task.job.mitres}
    at_stops = [one for one in later if one.part.mark not in mitred]
    roughly = [one for one in later if one.part.mark in mitred]
    panels, dry = sawn_at_last(task)
    if not later and not panels and not dry:
        return Setups()

    def plan(saw: Station) -> Setups:
        return together(
            one_stop_a_size(at_stops, task.shop, saw, CROSSCUT, LENGTH.name, Stage.LENGTH, crosscut_at),
            _by_mark(roughly, saw),
            one_stop_a_size(panels, task.shop, saw, CROSSCUT, LENGTH.name, Stage.PANEL_LENGTH, crosscut_at, PANELS),
            one_stop_a_size(dry, task.shop, saw, CROSSCUT, LENGTH.name, Stage.DRY_LENGTH, crosscut_at, PANELS),
        )

    return at_station(task.shop, CROSSCUT, plan)


def _by_mark(sawn: Sequence[Sawn], station: Station) -> Setups:
    """One run without a stop: what gets its length at the mitre is cut off by mark, the shop's allowance longer."""
    if not sawn:
        return Setups()
    lengths = {one.part.mark: said(one.crosscut) for one in sawn}
    note = "roughly, by mark: " + ", ".join(f"{mark} {lengths[mark]}" for mark in sorted(lengths, key=mark_order))
    run = Run(0, station.name, CROSSCUT, (), count_sawn(sawn), note=note, lot="rough")
    return Setups((Setup(Stage.LENGTH, (run,)),))


def _follow(way: Way, run: Run, station: Station) -> Worked:
    """Pieces come off every strip that holds some of this length; what is left of a strip keeps its name."""
    length = target_of(run, LENGTH.name)
    if run.lot == PANELS and length is not None:
        return way.panels(run, lambda lot: replace(lot, form=Form.PIECE, length=length))
    width = run.size[0] if run.size else None
    marks = set(marks_of(run))
    way.take_unripped(marks)
    takes: list[Lot] = []
    rests: list[Lot] = []
    cut: Counter[tuple[str, Nm, Nm]] = Counter()
    for strip in way.strips:
        here = {one: n for one, n in strip.plan.cuts.items() if one[0] in marks and length in (None, one[1])}
        if not here or width not in (None, strip.lot.width):
            continue
        takes.append(strip.lot)
        for (mark, along), count in here.items():
            cut[mark, along, strip.lot.thickness] += count * strip.lot.count
            del strip.plan.cuts[mark, along]
            long = strip.lot.length - count * (along + station.of(Blade).kerf)
            strip.lot = replace(strip.lot, length=max(0, long))
        strip.lot = replace(strip.lot, becomes=becomes_of(strip.plan.counts(), strip.lot.count))
        rests += [strip.lot] if strip.plan.cuts else way.rest(strip.lot)
    way.strips = [strip for strip in way.strips if strip.plan.cuts]
    form = Form.BLANK if length is None else Form.PIECE
    gives = [way.cut_off(*one, count, form) for one, count in sorted(cut.items(), key=_in_order_of_marks)]
    return takes, [*gives, *rests]


def _in_order_of_marks(one: tuple[tuple[str, Nm, Nm], int]) -> tuple[tuple[int, str], Nm, Nm]:
    (mark, along, thickness), _ = one
    return (mark_order(mark), along, thickness)


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], __: Shop) -> Iterator[str]:
    lengths = (target_of(other, LENGTH.name) for other in reversed(before) if other.work == CROSSCUT)
    last = next((length for length in lengths if length is not None), None)
    if run.after_dry_fit:
        yield DRY_REASON
    elif run.stops and all(stop.move is Move.STANDS for stop in run.stops):
        yield "the stop stands right already"
    elif run.size:
        yield "the same lot goes straight on"
    elif last is None:
        yield "longest first: what is too short for one stop still serves the next"
    elif (target_of(run, LENGTH.name) or 0) > last:
        yield "after a shorter one, so that the stop stands where later work needs it"
    else:
        yield "the next length down"
    if len(marks_of(run)) > 1:
        yield f"{said_together(marks_of(run))} share one setting, so they match"


def _picture(canvas: Canvas, run: Run, job: Job, flips: FlipStops | None) -> None:
    draw_crosscut(canvas, run, job, flips)


OPERATION = Operation(
    work=CROSSCUT,
    stage=Stage.LENGTH,
    title="crosscut",
    comes_to="cuts",
    roles=(LENGTH,),
    gear=(Blade,),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=ACROSS_AT_A_SAW,
    reason=_reason,
    picture=_picture,
)
