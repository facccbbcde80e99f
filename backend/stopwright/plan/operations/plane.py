"""Thickness planing: every thickness at as few heights as possible, thick to thin, each set once."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from stopwright.lengths import Nm, format_length
from stopwright.model.gear import Blade, Knives, Rollers, Throat
from stopwright.model.job import Job
from stopwright.model.parts import Part, mark_order
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import STOP_MOVES, Caution, always
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
from stopwright.plan.operations.roles import THICKNESS
from stopwright.plan.pictures.above_the_bed import BED, DRUM, draw_bed, height_set
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Remark, Run
from stopwright.plan.said_lengths import said
from stopwright.plan.sourcing.shop_figures import about, own_show
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.heights import Down, come_down, heights_down, too_wide_for
from stopwright.plan.stations.sawing import PANELS
from stopwright.plan.stations.thickness import (
    GREATEST_CUT_ON_WIDE_STOCK,
    GREATEST_SAFE_CUT,
    GREATEST_SAFE_CUT_UP_TO,
)
from stopwright.plan.timber.calibrating import left_for_calibrating, planed_part
from stopwright.plan.timber.sawn import Rough
from stopwright.plan.timber.way import Way, target_of

WORK = "plane"


def _setups(task: Task) -> Setups:
    """A run a height. It holds all still thicker than its height, from the first one below their rough thickness on."""
    if not task.wood.rough and not task.panels:
        return Setups()
    glued = [
        Rough(planed_part(one.part, task.shop), one.glued[2], one.part.quantity, one.glued[2]) for one in task.panels
    ]

    def note(parts: Sequence[Part]) -> str:
        return _note(parts, task)

    def plan(station: Station) -> Setups:
        down = Down(WORK, station.of(Knives).greatest_cut, note)
        boards = heights_down(task.wood.rough, task.shop, station, down, Stage.THICKNESS)
        panels = heights_down(glued, task.shop, station, down, Stage.PANEL_THICKNESS, PANELS)
        resawn = [one for one in task.wood.rough if one.thickness > one.part.thickness]
        doubtful = (*_too_deep(task.shop, station), *_better_resawn(resawn, task.shop, station))
        return together(boards, panels, Setups(warnings=doubtful))

    return at_station(task.shop, WORK, plan)


def _note(parts: Sequence[Part], task: Task) -> str:
    """Whose last height it is, and what is left for calibrating."""
    left = left_for_calibrating(task.shop)
    for_it = [part.mark for part in parts if part.thickness != task.job.part(part.mark).thickness]
    finished = [part.mark for part in parts if part.mark not in for_it]
    told = [f"finished thickness of {', '.join(finished)}"] if finished else []
    if for_it:
        told.append(f"{', '.join(for_it)}: {said(left)} left for calibrating")
    return "; ".join(told)


def _too_deep(shop: Shop, station: Station) -> Iterator[Remark]:
    if station.of(Knives).greatest_cut > GREATEST_SAFE_CUT:
        text = f"takes {format_length(station.of(Knives).greatest_cut, shop.show)} in one pass, more than "
        yield Remark(station.name, f"{text}{about(GREATEST_SAFE_CUT, shop.show)}; set a smaller greatest cut")


def _better_resawn(worked: Sequence[Rough], shop: Shop, station: Station) -> Iterator[Remark]:
    """Pieces from wood so thick that sawn flat it would give two, each with a cut of the planer left to take off."""
    saw = shop.station_for("rip")
    for one in worked:
        if 2 * (one.part.thickness + station.of(Knives).greatest_cut) + (saw.of(Blade).kerf if saw else 0) <= one.wood:
            thick, away = (format_length(it, shop.show) for it in (one.wood, one.wood - one.part.thickness))
            come = "1 piece comes" if one.count == 1 else f"{one.count} pieces come"
            text = f"{come} from wood of {thick}, {away} of it planed away; resaw it first, or bring thinner wood"
            yield Remark(one.part.mark, text)


def too_short_to_plane(runs: Sequence[Run], shop: Shop) -> Iterator[Remark]:
    """Workpieces that the feed rollers cannot carry, as long as they are when they come to the planer."""
    stations = {station.name: station for station in shop.stations}
    told: set[str] = set()
    for run in runs:
        rollers = stations[run.station].of(Rollers).rollers
        for lot in run.takes if run.work == WORK else ():
            if lot.length < rollers and lot.name not in told:
                told.add(lot.name)
                long, apart = format_length(lot.length, shop.show), format_length(rollers, shop.show)
                text = f"{lot.name}: {long} long, the feed rollers of the {run.station} are {apart} apart"
                marks = ", ".join(mark for mark, _ in lot.becomes)
                yield Remark(marks, f"{text}; plane it as a longer piece and crosscut after")


def too_wide_to_plane(runs: Sequence[Run], shop: Shop) -> Iterator[Remark]:
    """Boards wider than what passes through the planer."""
    return too_wide_for(WORK, runs, shop, "plane it by hand, or make it a panel of strips")


def too_deep_for_its_width(runs: Sequence[Run], shop: Shop) -> Iterator[Remark]:
    """Wide workpieces of which one pass takes more than it may on wide stock; the deepest pass is named."""
    deepest: dict[str, Nm] = {}
    marks: dict[str, set[str]] = defaultdict(set)
    for run in runs:
        height = target_of(run, THICKNESS.name)
        for lot in run.takes if run.work == WORK and height is not None else ():
            cut = lot.thickness - (height or 0)
            if lot.width > GREATEST_SAFE_CUT_UP_TO and cut > GREATEST_CUT_ON_WIDE_STOCK:
                deepest[run.station] = max(cut, deepest.get(run.station, 0))
                marks[run.station] |= {mark for mark, _ in lot.becomes}
    for station, cut in deepest.items():
        wide, most = (about(figure, shop.show) for figure in (GREATEST_SAFE_CUT_UP_TO, GREATEST_CUT_ON_WIDE_STOCK))
        text = f"wider than {wide}, and one pass takes off {format_length(cut, shop.show)}; take at most {most} off "
        text += f"wide stock: set a smaller greatest cut at the {station}"
        yield Remark(", ".join(sorted(marks[station], key=mark_order)), text)


def _follow(way: Way, run: Run, _: Station) -> Worked:
    """Every board that is still thicker comes down to the height."""
    return come_down(way, run, lambda stack: stack.finished)


def _reason(run: Run, before: Sequence[Run], after: Sequence[Run], shop: Shop) -> Iterator[str]:
    planed = [other for other in before if other.work == WORK]
    later = {mark for other in after if other.work == WORK for mark in marks_of(other)}
    finished = [mark for mark in marks_of(run) if mark not in later]
    station = shop.station_for(WORK)
    if not planed:
        yield "heights only go down, so each is set once"
    if finished:
        last = "planed" if left_for_calibrating(shop) else "finished"
        yield f"{last} thickness of {said_together(finished)}"
    elif station:
        yield f"on the way down: no cut is deeper than {format_length(station.of(Knives).greatest_cut, own_show(shop))}"
    joined = [mark for mark in marks_of(run) if planed and mark not in marks_of(planed[-1])]
    if joined:
        verb = "joins" if len(joined) == 1 else "join"
        yield f"{said_together(joined)} {verb} here, now that the height is below the rough"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """The thickness planer from the side: bed, piece, knives above it, the height between to proportion."""
    found = height_set(run)
    if found is None:
        return
    stop, height = found
    high = 12 + 40.0 * height / canvas.span(height)
    top = BED - high
    canvas.path("wood", f"M24 {BED}V{top - 9:.1f}H{DRUM - 12}Q{DRUM - 4} {top:.1f} {DRUM + 6} {top:.1f}H270V{BED}z")
    canvas.line("grain", 44, BED - high * 0.35, 220, BED - high * 0.35)
    canvas.line("grain", 70, BED - high * 0.7, 150, BED - high * 0.7)
    canvas.circle("knives", DRUM, top - 21, 21)
    canvas.path("blade-thin", f"M{DRUM - 14} {top - 35:.1f}l28 28M{DRUM + 14} {top - 35:.1f}l-28 28")
    canvas.circle("roller", DRUM - 62, top - 18, 9)
    canvas.circle("roller", DRUM + 62, top - 9, 9)
    draw_bed(canvas, stop, height, top, DRUM + 96)
    canvas.label = "Seen from the side: the piece on the bed, the knives above it, the height between them"


OPERATION = Operation(
    work=WORK,
    stage=Stage.THICKNESS,
    title="",
    comes_to="planes to",
    roles=(THICKNESS,),
    gear=(Knives, Rollers, Throat),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=(
        STOP_MOVES,
        Caution(
            "Never look into the infeed. Pieces of unequal thickness go one at a time. Half from each face.",
            "BGHM Kompakt 041",
            "S",
            always,
        ),
        Caution(
            "Piece shorter than the feed rollers are apart: plane it while it is long, or ends held in a carrier.",
            "BGHM Kompakt 041",
            "S",
            lambda scene: scene.shortest < scene.station.of(Rollers).rollers,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
