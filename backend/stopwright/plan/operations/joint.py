"""Joint: one face and one edge of every board true; every later measure is taken from them."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from stopwright.lengths import INCH, MM, format_length
from stopwright.model.gear import Knives, Tables
from stopwright.model.job import Job
from stopwright.model.parts import Kind
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import STOP_MOVES, Caution, Figure, Scene, always, shorter_than
from stopwright.plan.operations.operation import (
    Operation,
    Setup,
    Setups,
    Stage,
    Task,
    Worked,
    as_the_stop_stands,
    at_station,
    together,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Lot, Remark, Run
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.stop_settings import count_pieces
from stopwright.plan.timber.panels import JOINTING
from stopwright.plan.timber.way import Way

WORK = "joint"
EDGES = "edges of strips"
MEETING = "edges of sub-panels"

_SHORT: Figure = (400 * MM, 16 * INCH)
_TOO_SHORT: Figure = (300 * MM, 12 * INCH)


def _setups(task: Task) -> Setups:
    """One run without a stop for all boards, one for the edges of strips, one for those of sub-panels."""
    solid = [part for part in task.parts if part.kind is not Kind.SHEET]
    if not solid:
        return Setups()

    def plan(station: Station) -> Setups:
        note = "one face side and one face edge true; mark them"
        boards = Setup(Stage.TRUE, (Run(0, station.name, WORK, (), count_pieces(solid), note=note),))
        strips = [strip for panel in task.panels for strip in panel.all_strips]
        if not strips:
            return Setups((boards,))
        note = "both edges of every strip, one with its face at the fence, one with its back: so its error cancels"
        edges = Run(0, station.name, WORK, (), count_pieces(strips), note=note, lot=EDGES)
        joined = Setups((boards, Setup(Stage.GLUE_EDGES, (edges,))))
        split = [panel.part for panel in task.panels if panel.is_split]
        if not split:
            return joined
        note = "the edges that meet, one with its face at the fence, one with its back; nothing off the planed faces"
        meeting = Run(0, station.name, WORK, (), count_pieces(split), note=note, lot=MEETING)
        return together(joined, Setups((Setup(Stage.LAST_EDGES, (meeting,)),)))

    return at_station(task.shop, WORK, plan)


def _follow(way: Way, run: Run, _: Station) -> Worked:
    """Every board loses the allowance of an edge, and of its face the shop's allowance or its bow."""
    if run.lot == EDGES:
        return way.worked_pieces(run, lambda _: lambda lot: replace(lot, width=lot.width - 2 * JOINTING))
    if run.lot == MEETING:
        return way.panels(run, lambda lot: replace(lot, width=lot.width - JOINTING * _meeting(way, lot)))
    here = [stack for stack in way.stacks if not stack.is_sheet]
    takes = [stack.lot for stack in here]
    for stack in here:
        width = stack.lot.width - way.shop.allowance.width
        stack.lot = replace(stack.lot, width=width, thickness=stack.lot.thickness - stack.face)
    return takes, [stack.lot for stack in here]


def _meeting(way: Way, lot: Lot) -> int:
    """How many edges of a sub-panel meet another one: an outer one has one, those between have two."""
    row = next(here for here in way.pieces.values() if lot in here)
    return 1 if lot in (row[0], row[-1]) else 2


def too_long_to_joint(runs: Sequence[Run], shop: Shop) -> Iterator[Remark]:
    """Boards that are longer than the jointer makes true, as they come to it."""
    stations = {station.name: station for station in shop.stations}
    for run in runs:
        longest = stations[run.station].of(Tables).longest
        for lot in run.takes if run.work == WORK else ():
            if longest is not None and lot.length > longest:
                long, most = format_length(lot.length, shop.show), format_length(longest, shop.show)
                text = f"{lot.name}: {long} long, the {run.station} makes no more than {most} true"
                marks = ", ".join(mark for mark, _ in lot.becomes)
                yield Remark(marks, f"{text}; break it down first: a station whose work is break down plans that")


def _reason(run: Run, _: Sequence[Run], __: Sequence[Run], ___: Shop) -> Iterator[str]:
    if run.lot in (EDGES, MEETING):
        yield "just before gluing: edges that were jointed long before no longer meet"
        return
    yield "first of all: every later measure is taken from the true face and edge"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """The surface planer from the side: infeed table, knives, outfeed table, the piece; of a board no side is true."""
    canvas.box("table", 8, 66, 158, 9)
    canvas.box("table", 194, 62, 158, 13)
    canvas.circle("knives", 180, 74, 12)
    canvas.path("wood", "M60 30H300V62H180L178 66H60z")
    canvas.line("grain", 78, 42, 240, 42)
    canvas.line("grain", 100, 53, 190, 53)
    canvas.path("arrow", "M216 18h30m-6-4l6 4l-6 4")
    first = "both edges, nothing off the faces" if run.lot else "first the face side, then the face edge"
    canvas.words(first, 180, 98)
    canvas.tall = 106
    canvas.label = "Seen from the side: the piece passing from the lower infeed table over the knives"


def _short_for_the_hand(scene: Scene) -> bool:
    short, too_short = _SHORT[scene.inches], _TOO_SHORT[scene.inches]
    return any(too_short <= one < short for one in scene.lengths)


OPERATION = Operation(
    work=WORK,
    stage=Stage.TRUE,
    title="face and edge",
    comes_to="cuts",
    roles=(),
    gear=(Knives, Tables),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=(
        STOP_MOVES,
        Caution(
            "Guard down to less than {0} above the work.",
            "HSE planing machine guidance",
            "S",
            always,
            ((10 * MM, INCH * 3 // 8),),
        ),
        Caution(
            "Piece under {0}: feed tray or push blocks.",
            "BGHM 034",
            "S",
            _short_for_the_hand,
            (_SHORT,),
        ),
        Caution(
            "Piece under {0}: not over the jointer. True a longer piece and cut it afterwards.",
            "BGHM 034",
            "S",
            shorter_than(_TOO_SHORT),
            (_TOO_SHORT,),
        ),
    ),
    reason=_reason,
    picture=_picture,
)
