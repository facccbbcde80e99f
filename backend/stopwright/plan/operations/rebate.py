"""Rebate: a step along an edge or an end, in one pass at a spindle, or in two cuts at a saw."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Blade, Cutters, GroovingTools
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, ENDS, Side
from stopwright.model.parts import MadePart, Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import AT_A_CUT, END_GRAIN_WITH_A_BACKER, IN_A_TUNNEL, STRIP_FALLS_FREE
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.roles import (
    BLADE_HEIGHT,
    CUTTER,
    LENGTH,
    SPINDLE_FENCE,
    SPINDLE_HEIGHT,
    TOOL,
    WIDTH,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.pictures.slots import draw_slot
from stopwright.plan.run_sheet import Measured, Run
from stopwright.plan.stations.cut_fit import measured_before
from stopwright.plan.stations.cut_helpers import at_a_cut, beyond, follow_pieces, noted, shoulder, step_at_a_saw
from stopwright.plan.stations.cut_setups import Lying, MayUse, Pass, Places, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import size_along, slab

WORK = "rebate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebate(Cut):
    """A step `width` wide from an edge or end and `depth` deep from the side that gets thinner; nm.

    What it `holds` is laid into it when all is glued, as the back of a case is.
    """

    kind: ClassVar[str] = "rebate"
    letter: ClassVar[str] = "R"

    side: Side = asked("Side", "the side that gets thinner: face or back", among=(Side.FACE, Side.BACK))
    edge: Side = asked("Edge", "edge, far edge, marked end or other end", among=(*EDGES, *ENDS))
    width: Nm = asked("Width", "from the edge")
    depth: Nm = asked("Depth", "from the side")
    holds: str = asked("Holds", "the part that is laid into it when all is glued, such as a back", "", names_parts=True)

    @property
    def is_across(self) -> bool:
        """Whether it is in an end."""
        return self.edge in ENDS

    def problems(self) -> Iterator[Problem]:
        """A side that is no face, an edge that is none, nothing wide or deep."""
        if self.side not in (Side.FACE, Side.BACK):
            yield Problem("side", f"'{self.side}' cannot be the side that gets thinner", "choose face or back")
        if self.edge not in (*EDGES, *ENDS):
            yield Problem("edge", f"'{self.edge}' is not an edge", "choose edge, far edge, marked end or other end")
        for one in ("width", "depth"):
            if getattr(self, one) <= 0:
                yield Problem(one, "is not above 0", f"write how {'wide' if one == 'width' else 'deep'} it is")

    @property
    def needs_marked_end(self) -> bool:
        """Where it is along that end."""
        return self.edge is Side.MARKED_END

    def removes(self, _: Job, part: Part) -> Iterator[Solid]:
        """The step."""
        if part.mark in self.parts:
            yield slab(self.mark, part, {self.edge: (0, self.width), self.side: (0, self.depth)})


def rebated_to(part: Part, job: Job) -> Nm:
    """How thick a part is where its rebates leave it thinnest: as measured, less the deepest of either side; nm."""
    cuts = [cut for cut in job.cuts if isinstance(cut, Rebate) and part.mark in cut.parts]
    deepest = (max((cut.depth for cut in cuts if cut.side is side), default=0) for side in (Side.FACE, Side.BACK))
    return part.goes_in - sum(deepest)


def laid_on_marks(job: Job) -> tuple[str, ...]:
    """The marks of parts that are laid into rebates when all is glued."""
    held = (cut.holds for cut in job.cuts if isinstance(cut, Rebate) and cut.holds)
    return tuple(dict.fromkeys(held))


def _setups(task: Task) -> Setups:
    wanted = [
        Wanted(cut, part, _stage(cut), partial(_told, cut, part, task), "" if cut.is_across else cut.kind)
        for cut in task.job.cuts
        if isinstance(cut, Rebate)
        for part in (task.job.part(mark) for mark in cut.parts)
    ]
    return plan_cuts(task, WORK, wanted)


def _told(cut: Rebate, part: Part, task: Task, station: Station, may_use: MayUse) -> Sequence[Pass] | str:
    """The passes; where they leave of a panel that is made what its groove takes, they say how thick it has to be."""
    found = _passes(cut, part, task.shop, station, may_use)
    lies_in = [one for one in task.job.cuts if ("fits", part.mark) in one.others()]
    if isinstance(found, str) or not isinstance(part, MadePart) or not lies_in:
        return found
    if any(part.mark in one.has_to_fit() for one in lies_in):
        return found
    return [noted(one, measured_before(part.mark, task.job)) for one in found]


def _stage(cut: Rebate) -> Stage:
    return Stage.ACROSS if cut.is_across else Stage.ALONG


def _passes(cut: Rebate, part: Part, shop: Shop, station: Station, _: MayUse) -> Sequence[Pass] | str:
    for text in beyond(part, {cut.edge: cut.width, cut.side: cut.depth}, shop):
        return text
    if cut.depth >= size_along(part, cut.side):
        return "it takes away the whole thickness; make it shallower"
    if station.axis(SPINDLE_HEIGHT.name) and station.axis(SPINDLE_FENCE.name):
        put_in: Places = ((CUTTER.name, _block(station)),) if station.axis(CUTTER.name) else ()
        places = (*put_in, (SPINDLE_HEIGHT.name, cut.depth), (SPINDLE_FENCE.name, cut.width))
        return (Pass(places, Lying(cut.side, cut.edge, "fence")),)
    if not station.axis(BLADE_HEIGHT.name):
        return f"the {station.name} has no blade height and no spindle height to set; add the axis"
    if cut.edge in ENDS:
        return _across(cut, station, shop)
    return step_at_a_saw((cut.side, cut.edge), cut.width, cut.depth, part, station)


def _across(cut: Rebate, station: Station, shop: Shop) -> Sequence[Pass] | str:
    """The shoulder at a stop on the waste side; what is beyond it is cleared to the end without a setting."""
    if not station.axis(LENGTH.name):
        return f"the {station.name} has no stop to set; add an axis that sets {LENGTH.name}"
    if cut.width < station.of(Blade).kerf:
        return f"it is narrower than the kerf of the {station.name}; give it to a spindle"
    return (shoulder(station, shop, cut.width, cut.depth, (cut.side, cut.edge)),)


def _block(station: Station) -> str:
    """The cutter for rebates, as the shop calls it."""
    return next((cutter for cutter in station.of(Cutters).cutters if "rebate" in cutter.lower()), "rebate block")


def _measured(run: Run) -> Mapping[str, Measured]:
    """At the spindle the step itself, at the saw each of its two cuts."""
    places = {stop.sets: stop.target for stop in run.stops if isinstance(stop.target, int)}
    if SPINDLE_HEIGHT.name not in places:
        return at_a_cut(run)
    return {
        SPINDLE_HEIGHT.name: Measured("depth of the rebate", places[SPINDLE_HEIGHT.name]),
        SPINDLE_FENCE.name: Measured("width of the rebate", places[SPINDLE_FENCE.name]),
    }


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    yield "after the length is cut; an end before an edge, so that the edge cleans the break-out"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    draw_slot(canvas, run, job)


OPERATION = Operation(
    work=WORK,
    stage=Stage.ALONG,
    title="rebate",
    comes_to="comes to",
    roles=(TOOL, CUTTER, WIDTH, LENGTH, BLADE_HEIGHT, SPINDLE_HEIGHT, SPINDLE_FENCE),
    gear=(Blade, GroovingTools, Cutters),
    asked=(Rebate,),
    setups=_setups,
    follow=follow_pieces,
    measured=_measured,
    cautions=(
        *AT_A_CUT,
        IN_A_TUNNEL,
        STRIP_FALLS_FREE,
        END_GRAIN_WITH_A_BACKER,
    ),
    reason=_reason,
    picture=_picture,
)
