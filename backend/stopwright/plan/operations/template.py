"""Template: an edge shaped along a template at a spindle; the plan knows the cutter and its height, not the shape."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import INCH, MM, Nm, SignedNm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Cutters
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, ENDS, Side
from stopwright.model.parts import Part
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import STOP_MOVES, Caution, Figure, always
from stopwright.plan.operations.operation import (
    Operation,
    Setups,
    Stage,
    Task,
    as_the_stop_stands,
    said_together,
)
from stopwright.plan.operations.roles import CUTTER, SPINDLE_HEIGHT
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.pictures.section import BELOW, TABLE, the_table
from stopwright.plan.run_sheet import Run
from stopwright.plan.said_lengths import said
from stopwright.plan.stations.cut_helpers import follow_pieces
from stopwright.plan.stations.cut_setups import CALLED, Lying, MayUse, Pass, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops

WORK = "template"
_OUTSIDE_THE_LINE: tuple[Figure, Figure] = ((2 * MM, INCH // 16), (3 * MM, INCH // 8))


@dataclass(frozen=True, slots=True, kw_only=True)
class Template(Cut):
    """Edges or ends shaped along a template, the face side down; nm.

    `height` is that of the lower edge of the cutter. `cutter_diameter` and `follower` (the ring or bearing that runs
    along the template) say how much smaller than the part the template has to be.
    """

    kind: ClassVar[str] = "template"
    letter: ClassVar[str] = "V"

    edges: tuple[Side, ...] = asked("Edges", "those that are shaped", among=(*EDGES, *ENDS))
    cutter: str = asked("Cutter", "as the shop calls it")
    height: Nm = asked("Spindle height", "from the table to the lower edge of the cutter")
    cutter_diameter: Nm | None = asked("Diameter of the cutter", "where ring and cutter differ", None)
    follower: Nm | None = asked("Diameter of the ring", "that runs along the template", None)

    def problems(self) -> Iterator[Problem]:
        """No edges, a face, an edge twice, no cutter, one diameter of two, a diameter of nothing."""
        if not self.edges or not set(self.edges) <= {*EDGES, *ENDS}:
            yield Problem("edges", "is not a list of edges", "choose from edge, far edge, marked end, other end")
        if len(set(self.edges)) < len(self.edges):
            yield Problem("edges", "names an edge twice", "name each edge once")
        if not self.cutter:
            yield Problem("cutter", "is empty", "name the cutter as the shop calls it")
        for one, other in (("cutter_diameter", self.follower), ("follower", self.cutter_diameter)):
            if other is not None and getattr(self, one) is None:
                yield Problem(one, "is missing", "give both diameters, or leave both out")
            if getattr(self, one) is not None and getattr(self, one) <= 0:
                yield Problem(one, "is not above 0", "measure it across")

    @property
    def needs_marked_end(self) -> bool:
        """Where that end is shaped."""
        return Side.MARKED_END in self.edges


def smaller_by(cutter: Nm, follower: Nm) -> SignedNm:
    """How much the template lies within the outline of the part where the ring is larger than the cutter, nm.

    Half the difference of the diameters: the ring keeps the axis farther off than the cutter reaches. Below 0 the
    template stands out; for a hollow it is the other way round (geometry).

    >>> smaller_by(16 * MM, 19 * MM) / MM
    1.5
    """
    return (follower - cutter) // 2


def _setups(task: Task) -> Setups:
    wanted = [
        Wanted(cut, part, Stage.LAST, partial(_passes, cut, part, task.shop))
        for cut in task.job.cuts
        if isinstance(cut, Template)
        for part in (task.job.part(mark) for mark in cut.parts)
    ]
    return plan_cuts(task, WORK, wanted)


def _passes(cut: Template, part: Part, shop: Shop, station: Station, _: MayUse) -> Sequence[Pass] | str:
    if cut.height >= part.thickness:
        high, thick = format_length(cut.height, shop.show), format_length(part.thickness, shop.show)
        return f"the cutter at {high} stands above the part, which is {thick} thick; lower it"
    if not (station.axis(CUTTER.name) and station.axis(SPINDLE_HEIGHT.name)):
        return f"the {station.name} has no cutter and spindle height to set; add the axes that set them"
    if station.of(Cutters).cutters and cut.cutter not in station.of(Cutters).cutters:
        return f"the {station.name} has no cutter '{cut.cutter}'; on hand: {', '.join(station.of(Cutters).cutters)}"
    places = ((CUTTER.name, cut.cutter), (SPINDLE_HEIGHT.name, cut.height))
    note = "; ".join(filter(None, ("the fence off, the ring on", _template(cut))))
    in_order = [edge for edge in (*ENDS, *EDGES) if edge in cut.edges]
    return [Pass(places, Lying(Side.FACE, edge, "template"), note=note) for edge in in_order]


def _template(cut: Template) -> str:
    if cut.cutter_diameter is None or cut.follower is None:
        return ""
    by = smaller_by(cut.cutter_diameter, cut.follower)
    if not by:
        return f"the template of {cut.mark} is as large as the part"
    size = said(abs(by))
    return f"the template of {cut.mark} is {size} {'smaller' if by > 0 else 'larger'} all round, in a hollow reversed"


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    edges = said_together(one.reference for pieces in run.pieces for one in pieces.each)
    yield f"after every cut that is measured from the {edges}: once shaped, it is no longer a reference"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    """In section, to scale: the piece on the table, the template on it, the ring against that, the cutter below.

    Where both diameters are given, the ring reaches less far than the cutter, or farther, by as much as it is larger.
    How high the cutter, the ring and the template are is not known; the cutter is drawn as high as the wood.
    """
    height = next((stop for stop in run.stops if stop.sets == SPINDLE_HEIGHT.name), None)
    pieces = next((one for one in run.pieces if one.down), None)
    if height is None or pieces is None or pieces.down is None or not isinstance(height.target, int):
        return
    cut = next(
        one for one in job.cuts if isinstance(one, Template) and one.mark in run.cuts and pieces.mark in one.parts
    )
    part, edge, templates = job.part(pieces.mark), 176.0, 12
    wide = part.length if any(one in ENDS for one in cut.edges) else part.width
    scale = min(44 / part.thickness, 150 / min(wide, 3 * part.thickness))
    top, shown = TABLE - part.thickness * scale, min(wide * scale, 150)
    behind = smaller_by(cut.cutter_diameter, cut.follower) * scale if cut.cutter_diameter and cut.follower else 0.0
    against = edge + min(max(behind, -30), 30)
    level = TABLE - height.target * scale
    the_table(canvas)
    canvas.wood(edge, top, shown, TABLE - top)
    canvas.box("fence", against, top - templates, edge + shown - against, templates)
    canvas.box("knives", 74, top, edge - 74, level - top)
    canvas.box("stop stands", 86, top - templates, against - 86, templates)
    canvas.line("tick", 74, level, 52, level)
    canvas.upright(52, level, TABLE)
    canvas.length_inside(height.reads, 52, BELOW, height.axis)
    canvas.words("ring", (86 + against) / 2, top - templates - 6, kind="said small")
    canvas.words("template", (against + edge + shown) / 2, top - templates - 6, kind="said small")
    down = f"{CALLED.get(pieces.down, str(pieces.down))} down"
    canvas.words(down, WIDE - 6, BELOW, "end")
    canvas.label = f"In section, to scale: {down}, the template on it, the ring of the spindle against that"


OPERATION = Operation(
    work=WORK,
    stage=Stage.LAST,
    title="template",
    comes_to="comes to",
    roles=(CUTTER, SPINDLE_HEIGHT),
    gear=(Cutters,),
    asked=(Template,),
    setups=_setups,
    follow=follow_pieces,
    measured=as_the_stop_stands,
    cautions=(
        STOP_MOVES,
        Caution(
            "Curved work: ring guard on, back stop or lead-in before the cutter, the piece in a jig or holder. "
            "Accidents have happened without them.",
            "HSE Wood Information Sheet 18, copy of the sheet",
            "S",
            always,
        ),
        Caution(
            "Saw {0} to {1} outside the line first; the lead-in of the template is longer than the cutter's radius.",
            "common practice",
            "P",
            always,
            _OUTSIDE_THE_LINE,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
