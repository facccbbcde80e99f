"""Rip: every width at one place of the fence, or part by part with the length that follows it at once."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from stopwright.lengths import INCH, MM, Nm
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.parts import row_of
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import AT_A_SAW, Caution, Figure, Scene, narrower_than
from stopwright.plan.operations.operation import (
    Operation,
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
from stopwright.plan.operations.roles import WIDTH
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.run_sheet import Form, Lot, Move, Run, Stop
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_by_part import by_flow, part_by_part
from stopwright.plan.stations.sawing import CROSSCUT, DRY_REASON, PANELS, RIP, one_stop_a_size, ripped_at, sawn_at_last
from stopwright.plan.timber.rack import Stack, StripPlan, becomes_of
from stopwright.plan.timber.way import Way, target_of

_LAST_OF_A_RIP: Figure = (300 * MM, 12 * INCH)
_NARROW: Figure = (150 * MM, 6 * INCH)
_NARROWER: Figure = (50 * MM, 2 * INCH)

_TRUE_EDGE_FIRST = "one edge straight first, on the sliding table or at the jointer; it goes against the fence"
_STRAIGHT_EDGE = "a straight edge against the fence: as sawn where it is of sheet, else made straight first"


def _setups(task: Task) -> Setups:
    """A run a width, widest first, so that the rest of the board stays wide enough to hold.

    Strips that are as wide as their boards are not ripped.
    """
    ripped = [one for one in task.wood.sawn if row_of(one.part) is None]
    now, later = by_flow(ripped, task.job, task.shop, task.flow)
    panels, dry = sawn_at_last(task)
    if not ripped and not panels and not dry:
        return Setups()

    def plan(saw: Station) -> Setups:
        widths = {one.rip for one in now}
        with_them = [one for one in later if one.rip in widths]
        by_themselves = [one for one in later if one.rip not in widths]
        return together(
            part_by_part(now, with_them, task.shop, saw),
            one_stop_a_size(by_themselves, task.shop, saw, RIP, WIDTH.name, Stage.WIDTH, ripped_at),
            one_stop_a_size(
                panels, task.shop, saw, RIP, WIDTH.name, Stage.PANEL_WIDTH, ripped_at, PANELS, _TRUE_EDGE_FIRST
            ),
            one_stop_a_size(dry, task.shop, saw, RIP, WIDTH.name, Stage.DRY_WIDTH, ripped_at, PANELS, _STRAIGHT_EDGE),
        )

    return at_station(task.shop, RIP, plan)


def _follow(way: Way, run: Run, station: Station) -> Worked:
    """Strips come off every board and sheet that holds some of this width; what is left keeps its name."""
    width = target_of(run, WIDTH.name)
    if run.lot == PANELS and width is not None:
        return way.panels(run, lambda lot: replace(lot, width=width))
    length = run.size[1] if run.size else None
    marks = set(marks_of(run))
    at_once = {one.mark for other in way.runs if other.size and other.work == CROSSCUT for one in other.pieces}
    takes: list[Lot] = []
    gives: list[Lot] = []
    for stack in way.stacks:
        here = [strip for strip in stack.strips if strip.width == width and _wanted(strip, length, at_once) & marks]
        if not here:
            continue
        takes.append(stack.lot)
        if stack.trim and stack.is_sheet and not stack.ripped:
            stack.lot = replace(stack.lot, width=stack.lot.width - station.of(Blade).trim)
        for strip in here:
            stack.strips.remove(strip)
            stack.ripped += 1
            gives.append(_strip(way, stack, strip, station.of(Blade).kerf))
        if stack.strips:
            left = stack.counts()
            stack.lot = replace(stack.lot, becomes=becomes_of(left, stack.lot.count))
            gives.append(stack.lot)
        else:
            gives += way.rest(stack.lot)
    way.stacks = [stack for stack in way.stacks if stack.strips]
    return takes, gives


def _wanted(strip: StripPlan, length: Nm | None, at_once: set[str]) -> set[str]:
    """The marks for which a strip is ripped now: part by part those of this length, and what is cut off later."""
    if length is None:
        return strip.marks()
    return strip.marks(length) | (strip.marks() - at_once)


def _strip(way: Way, stack: Stack, plan: StripPlan, kerf: Nm) -> Lot:
    lot = stack.lot
    name = f"{lot.name}, strip {stack.ripped}"
    becomes = becomes_of(plan.counts(), lot.count)
    given = replace(lot, name=name, form=Form.STRIP, width=plan.width, becomes=becomes, source=lot.name)
    way.add_strip(given, plan, stack.trim)
    stack.lot = replace(lot, width=max(0, lot.width - plan.width - kerf))
    return given


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], __: Shop) -> Iterator[str]:
    if run.after_dry_fit:
        yield DRY_REASON
        return
    if run.lot == PANELS:
        yield "glued, rested and planed: one edge trimmed, then to width"
        return
    first = not any(other.work == RIP for other in before)
    if run.stops and all(stop.move is Move.STANDS for stop in run.stops):
        yield "the fence stands right already"
    elif run.size:
        order = "sizes follow each other in the order with the least minutes of setting"
        yield order if first else "the next size in that order"
    elif first:
        yield "widest first, so that what is left of the board stays wide enough to hold"
    else:
        yield "the next width down"
    if len(marks_of(run)) > 1:
        yield f"{said_together(marks_of(run))} share one setting, so they match"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """From above: blade at the left, fence at the right, the strip between; the rest of the board falls outboard."""
    stop: Stop | None = next((stop for stop in run.stops if stop.sets == WIDTH.name), None)
    if stop is None or not isinstance(stop.target, int):
        return
    blade, scale, floor = 118.0, 214.0, 88.0
    wide = scale * stop.target / canvas.span(stop.target)
    canvas.wood_upright(blade, 8, wide, floor - 16)
    canvas.box("waste", blade - 76, 8, 73, floor - 16)
    canvas.box("stop" if stop.move is Move.SET else "stop stands", blade + wide, 2, 13, floor - 2)
    canvas.line("blade", blade, 14, blade, floor - 10)
    canvas.line("edge", 8, floor, WIDE - 8, floor)
    canvas.ticks(blade, blade + scale, floor)
    canvas.across(blade, blade + wide, floor + 11, stop.reads, stop.axis)
    canvas.tall = floor + 32
    canvas.label = "Seen from above: blade at the left, fence at the right, the strip between them"


def _wide_enough(scene: Scene) -> bool:
    return scene.narrowest >= _NARROW[scene.inches]


def _narrow(scene: Scene) -> bool:
    return _NARROWER[scene.inches] <= scene.narrowest < _NARROW[scene.inches]


OPERATION = Operation(
    work=RIP,
    stage=Stage.WIDTH,
    title="rip",
    comes_to="cuts",
    roles=(WIDTH,),
    gear=(Blade,),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=(
        *AT_A_SAW,
        Caution(
            "Push stick for the last {0} of every rip.",
            "HSE circular saw guidance",
            "S",
            _wide_enough,
            (_LAST_OF_A_RIP,),
        ),
        Caution(
            "Strip under {0}: push stick at least {1} long, the whole way through.",
            "HSE circular saw guidance",
            "S",
            _narrow,
            (_NARROW, (450 * MM, 18 * INCH)),
        ),
        Caution(
            "Strip under {0}: push block over the strip, hands well away.",
            "published pair of rules, secondary copy",
            "C",
            narrower_than(_NARROWER),
            (_NARROWER,),
        ),
    ),
    reason=_reason,
    picture=_picture,
)
