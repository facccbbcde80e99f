"""Break down: boards crosscut roughly into sections, by mark, before anything is made true."""

from collections.abc import Iterator, Sequence

from stopwright.model.gear import Blade
from stopwright.model.job import Job
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
)
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.run_sheet import Layout, Lot, Pieces, Run
from stopwright.plan.said_lengths import said
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.timber.rack import Stack
from stopwright.plan.timber.sections import BREAK_DOWN
from stopwright.plan.timber.way import Way


def _setups(task: Task) -> Setups:
    """One run without a stop for all boards that are laid out in sections."""
    broken = [layout for layout in task.wood.wood.layouts if layout.sections]
    if not broken:
        return Setups()
    marks = {placed.mark for layout in broken for placed in layout.placements}
    pieces = tuple(Pieces(part.mark, part.name, part.quantity) for part in task.parts if part.mark in marks)

    def plan(station: Station) -> Setups:
        note = f"by mark, each section measured from the cut before; {_said(broken)}"
        return Setups((Setup(Stage.BREAK_DOWN, (Run(0, station.name, BREAK_DOWN, (), pieces, note=note),)),))

    return at_station(task.shop, BREAK_DOWN, plan)


def _said(broken: Sequence[Layout]) -> str:
    """How boards are cut, alike ones together: how long each section is but the last, which is the rest."""
    alike: dict[str, list[str]] = {}
    for layout in broken:
        lengths = ", ".join(said(one.length) for one in layout.sections[:-1])
        alike.setdefault(f"{lengths} and the rest", []).append(layout.lot)
    return "; ".join(f"{', '.join(lots)}: {lengths}" for lengths, lots in alike.items())


def _follow(way: Way, _: Run, __: Station) -> Worked:
    """Every board that is laid out in sections is taken, its sections are given."""
    takes: list[Lot] = []
    gives: list[Lot] = []
    stacks: list[Stack] = []
    for stack in way.stacks:
        if not stack.sections:
            stacks.append(stack)
            continue
        takes.append(stack.lot)
        for section in stack.sections:
            if section.strips:
                stacks.append(section)
                gives.append(section.lot)
            else:
                gives += way.rest(section.lot)
    way.stacks = stacks
    return takes, gives


def _reason(_: Run, __: Sequence[Run], ___: Sequence[Run], ____: Shop) -> Iterator[str]:
    yield "before the jointer: a shorter board is lighter to feed and loses less of its thickness to a bow"


def _picture(canvas: Canvas, run: Run, _: Job, __: FlipStops | None) -> None:
    """A bowed board from the side above its sections, each nearly straight."""
    count = max(2, *(sum(one.source == board.name for one in run.gives) for board in run.takes[:1]))
    canvas.path("wood", f"M20 34Q{WIDE / 2} 6 {WIDE - 20} 34v14Q{WIDE / 2} 20 20 48z")
    wide = (WIDE - 40 - 10 * (count - 1)) / count
    for number in range(count):
        canvas.wood(20 + number * (wide + 10), 66, wide, 14)
    canvas.tall = 96
    canvas.label = f"A bowed board from the side, and its {count} sections below, each nearly straight"


OPERATION = Operation(
    work=BREAK_DOWN,
    stage=Stage.BREAK_DOWN,
    title="break down",
    comes_to="cuts",
    roles=(),
    gear=(Blade,),
    asked=(),
    setups=_setups,
    follow=_follow,
    measured=as_the_stop_stands,
    cautions=ACROSS_AT_A_SAW,
    reason=_reason,
    picture=_picture,
)
