"""Glue: strips to panels, edge to edge, that rest before they are planed and get their size."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from stopwright.model.job import Job
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import Caution, always
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
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Form, Gluing, Lot, Pieces, Run
from stopwright.plan.said_lengths import said
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.timber.panels import JOINTING, REST_HOURS, Panel, clamps_along, panel_in
from stopwright.plan.timber.sub_panels import passes_of
from stopwright.plan.timber.way import Way

WORK = "glue"
SUB_PANELS = "sub-panels"
"""Tells the run in which strips become sub-panels from the one in which these become the panel."""
GAP = 12.0
"""Between what is glued together and what is glued besides, in the picture."""
MOST_NUMBERED = 16
"""So many strips are numbered in the picture; of more the numbers would run into each other."""


def _setups(task: Task) -> Setups:
    """A run for each panel: strips, clamps, and how long it rests; two for one that is glued in sub-panels first."""
    if not task.panels:
        return Setups()

    def plan(station: Station) -> Setups:
        setups = []
        for panel in task.panels:
            if panel.own:
                setups += [Setup(Stage.GLUE, (_of_boards(panel, nth, station),)) for nth in _numbers(panel)]
                continue
            strips = Gluing((panel.split.jointed,) * panel.strips, panel.split.each, panel.clamps, REST_HOURS)
            if panel.is_split:
                first = _run(panel, station, strips, _first_note(panel, task.shop), SUB_PANELS)
                setups.append(Setup(Stage.GLUE, (first,)))
                setups.append(Setup(Stage.LAST_JOINT, (_run(panel, station, _last(panel), _last_note(panel)),)))
            else:
                setups.append(Setup(Stage.GLUE, (_run(panel, station, strips, _note(panel)),)))
        return Setups(tuple(setups))

    return at_station(task.shop, WORK, plan)


def _run(panel: Panel, station: Station, gluing: Gluing, note: str, what: str = "") -> Run:
    part = panel.part
    lot = f"{part.mark}, {what}" if what else part.mark
    pieces = (Pieces(part.mark, part.name, part.quantity),)
    return Run(0, station.name, WORK, (), pieces, note=note, lot=lot, gluing=gluing)


def _numbers(panel: Panel) -> range:
    return range(1, panel.part.quantity + 1)


def _named(panel: Panel, nth: int) -> str:
    """What the panel of this number is called where its strips are not those of the others."""
    mark = panel.part.mark
    return f"{mark}, panel {nth}" if panel.part.quantity > 1 else mark


def _of_boards(panel: Panel, nth: int, station: Station) -> Run:
    """The run for one panel of strips that are as wide as their boards."""
    strips = panel.strips_of(nth)
    widths = tuple(strip.width - 2 * JOINTING for strip in strips)
    clamps = clamps_along(strips[0].length, min(widths[0], widths[-1]))
    note = (
        f"from the left {', '.join(strip.mark for strip in strips)}, a triangle across them; {clamps} clamps; it rests "
        f"{REST_HOURS} h before it is planed"
    )
    pieces = (Pieces(panel.part.mark, panel.part.name, 1),)
    gluing = Gluing(widths, (len(widths),), clamps, REST_HOURS)
    return Run(0, station.name, WORK, (), pieces, note=note, lot=_named(panel, nth), gluing=gluing)


def _last(panel: Panel) -> Gluing:
    """The sub-panels side by side."""
    return Gluing(panel.sub_panels, (len(panel.sub_panels),), panel.last_clamps, REST_HOURS, are_sub_panels=True)


def _size(panel: Panel) -> str:
    return said(*panel.glued)


def _note(panel: Panel) -> str:
    return (
        f"{panel.strips} strips to a panel of {_size(panel)}, numbered from the left, a triangle across them; "
        f"{panel.clamps} clamps; it rests {REST_HOURS} h before it is planed"
    )


def _first_note(panel: Panel, shop: Shop) -> str:
    each, passes = panel.split.each, passes_of(shop) or 0
    strips = f"{each[0]} strips" if each[0] == each[-1] else f"{each[0]} or {each[-1]} strips"
    return (
        f"{panel.strips} strips numbered from the left, a triangle across all of them; {len(each)} sub-panels of "
        f"{strips}, the widest {_size(panel)}, for {said(passes)} is the widest that passes; "
        f"{panel.clamps} clamps each; they rest {REST_HOURS} h before they are planed"
    )


def _last_note(panel: Panel) -> str:
    subs = len(panel.split.each)
    joints, are = ("joint", "is") if subs == 2 else ("joints", "are")
    return (
        f"{subs} sub-panels side by side, the triangle closed, faces flush; {panel.last_clamps} clamps; when it has "
        f"rested {REST_HOURS} h the last {joints} {are} cleaned by hand"
    )


def _follow(way: Way, run: Run, _: Station) -> Worked:
    """Strips are taken and sub-panels given, or the panel: of strips, or of sub-panels that are there."""
    panel = panel_in(way.job, run.pieces[0].mark)
    mark, count = panel.part.mark, panel.part.quantity
    if panel.own:
        return _follow_boards(way, run, panel)
    if run.lot == f"{mark}, {SUB_PANELS}":
        takes = way.pieces.pop(panel.strip.mark, [])
        way.pieces[mark] = _sub_panels(panel, takes[0]) if takes else []
        return takes, list(way.pieces[mark])
    takes = way.pieces.pop(mark if panel.is_split else panel.strip.mark, [])
    if not takes:
        return [], []
    one = takes[0]
    width = sum(lot.width for lot in takes) if panel.is_split else panel.strips * one.width
    size = (one.length, width, one.thickness)
    lot = Lot(mark, Form.PANEL, count, panel.part.material, *size, ((mark, count),), chalk=mark)
    way.pieces[mark] = [lot]
    return takes, [lot]


def _follow_boards(way: Way, run: Run, panel: Panel) -> Worked:
    """The strips of one panel are taken, as wide as each is, and the panel is given."""
    nth = next(number for number in _numbers(panel) if _named(panel, number) == run.lot)
    takes = [lot for strip in panel.strips_of(nth) for lot in way.pieces.pop(strip.mark, [])]
    if not takes:
        return [], []
    mark, one = panel.part.mark, takes[0]
    size = (one.length, sum(lot.width for lot in takes), one.thickness)
    lot = Lot(run.lot, Form.PANEL, 1, panel.part.material, *size, ((mark, 1),), chalk=mark)
    way.pieces.setdefault(mark, []).append(lot)
    return takes, [lot]


def _sub_panels(panel: Panel, strip: Lot) -> list[Lot]:
    """The sub-panels, from the left: `A, sub-panel 1`, chalked `A 1/2`; their strips are not a panel yet."""
    mark, count = panel.part.mark, panel.part.quantity
    return [
        replace(
            strip,
            name=f"{mark}, sub-panel {number}",
            form=Form.PANEL,
            count=count,
            width=strips * strip.width,
            becomes=((panel.strip.mark, strips * count),),
            chalk=f"{mark} {number}/{len(panel.split.each)}",
        )
        for number, strips in enumerate(panel.split.each, start=1)
    ]


def _reason(run: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    if not run.lot.endswith(SUB_PANELS) and any(lot.form is Form.PANEL for lot in run.takes):
        yield "each sub-panel is at its thickness; the whole is too wide to be brought there"
        return
    yield "as soon as its edges are jointed; what does not need it can go on while it rests"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """What is glued side by side, as wide as it is, numbered, a triangle across all of it; a gap between glue-ups."""
    if run.gluing is None:
        return
    widths, groups = run.gluing.widths, run.gluing.groups
    left, right, top, foot = 12.0, canvas.wide - 12, 12.0, 92.0
    scale = (right - left - GAP * (len(groups) - 1)) / sum(widths)
    begins = {sum(groups[:place]) for place in range(1, len(groups))}
    whole, at, x = sum(widths), 0, left
    for place, wide in enumerate(widths):
        x += GAP if place in begins else 0
        canvas.wood_upright(x, top, wide * scale, foot - top)
        ends = [at, whole / 2, at + wide] if at < whole / 2 < at + wide else [at, at + wide]
        points = [(x + (end - at) * scale, _side(end / whole, top, foot)) for end in ends]
        for one, two in pairwise(points):
            canvas.line("arrow", *one, *two)
        canvas.line("arrow", x, foot - 10, x + wide * scale, foot - 10)
        said = f"{place + 1}/{len(widths)}" if run.gluing.are_sub_panels else str(place + 1)
        if len(widths) <= MOST_NUMBERED:
            canvas.words(said, x + wide * scale / 2, foot + 17, kind="said small")
        at += wide
        x += wide * scale
    canvas.tall = foot + 24
    what = "Sub-panels" if run.gluing.are_sub_panels else "Strips"
    canvas.label = f"{what} side by side, numbered from the left, a triangle drawn across all of them"


def _side(along: float, top: float, foot: float) -> float:
    """Where the sides of the triangle stand, `along` from 0 to 1 across all that lies there."""
    base, apex = foot - 10, top + 8
    return base - (base - apex) * (1 - abs(2 * along - 1))


OPERATION = Operation(
    work=WORK,
    stage=Stage.GLUE,
    title="glue",
    comes_to="cuts",
    roles=(),
    gear=(),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=(
        Caution(
            "Dry fit with all clamps first. Gloves or a wash for the glue, as its maker says.",
            "common practice",
            "P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
