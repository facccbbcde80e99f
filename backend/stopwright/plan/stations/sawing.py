"""What the operations of the saw share: their names, sizes at one stop each, and how the saw is drawn."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from operator import attrgetter

from stopwright.lengths import Nm
from stopwright.model.parts import Kind, drawn_size
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.operations.operation import Setup, Setups, Stage, Task
from stopwright.plan.run_sheet import Move, Remark, Run
from stopwright.plan.stations.stop_settings import axis_remarks, set_stop, strictest_tolerance
from stopwright.plan.timber.dry_fit import sawn_from_blanks
from stopwright.plan.timber.panels import Panel
from stopwright.plan.timber.sawn import Sawn, count_sawn

RIP, SQUARE, CROSSCUT = "rip", "square", "crosscut"
PANELS = "panels"
"""Tells the runs in which panels get their thickness and size from those in which boards become strips and pieces."""
DRY_REASON = "what it goes into is worked and was put together dry, so it is sawn to what was measured there"
"""Why a panel gets its size so late."""
NOTES = {
    SQUARE: "one end square: it becomes the marked end",
    CROSSCUT: "marked end against the stop",
}

ripped_at: Callable[[Sawn], Nm] = attrgetter("rip")
crosscut_at: Callable[[Sawn], Nm] = attrgetter("crosscut")


def one_stop_a_size(
    sawn: Sequence[Sawn],
    shop: Shop,
    station: Station,
    work: str,
    sets: str,
    stage: Stage,
    size: Callable[[Sawn], Nm],
    lot: str = "",
    note: str = "",
) -> Setups:
    """A run a size, the greatest first."""
    axis = station.axis(sets)
    if not sawn:
        return Setups()
    if axis is None:
        text = f"the {station.name} has no stop for the {sets}; add an axis that sets {sets}"
        return Setups(faults=(Remark(station.name, text),))
    setups = []
    for target, here in sorted(_by_size(sawn, size).items(), reverse=True):
        stop = set_stop(axis, target, Move.SET, strictest_tolerance([one.part for one in here], target))
        said = note or (rip_note(here) if work == RIP else NOTES[work])
        run = Run(0, station.name, work, (stop,), count_sawn(here), note=said, lot=lot)
        setups.append(Setup(stage, (run,)))
    faults, warnings = saw_remarks(sawn, axis, shop, station, size)
    return Setups(tuple(setups), faults=faults, warnings=warnings)


def rip_note(sawn: Sequence[Sawn]) -> str:
    """Which edge goes against the fence: no edge of a sheet was jointed."""
    are_sheets = {one.part.kind is Kind.SHEET for one in sawn}
    if are_sheets == {True, False}:
        return "face edge against the fence, of a sheet its straight edge"
    return "the sheet's straight edge against the fence" if True in are_sheets else "face edge against the fence"


def sawn_panels(panels: Iterable[Panel]) -> list[Sawn]:
    """Panels as they are sawn to size: every one to its own width and length."""
    return [Sawn(one.part, one.part.width, one.part.length, one.part.quantity) for one in panels]


def sawn_at_last(task: Task) -> tuple[list[Sawn], list[Sawn]]:
    """What is sawn to size from panels, and what is so only after the dry fit, from panels and from blanks of sheet."""
    panels = sawn_panels(task.panels)
    dry = [one for one in panels if drawn_size(one.part)]
    return [one for one in panels if one not in dry], [*dry, *sawn_from_blanks(task.job)]


def saw_remarks(
    sawn: Sequence[Sawn], axis: Axis, shop: Shop, station: Station, size: Callable[[Sawn], Nm]
) -> tuple[tuple[Remark, ...], tuple[Remark, ...]]:
    """Faults and warnings of a saw's axis for the sizes that these pieces need there."""
    by_size = {target: [one.part for one in here] for target, here in _by_size(sawn, size).items()}
    return axis_remarks(axis, station, by_size, shop)


def _by_size(sawn: Sequence[Sawn], size: Callable[[Sawn], Nm]) -> dict[Nm, list[Sawn]]:
    by_size: dict[Nm, list[Sawn]] = defaultdict(list)
    for one in sawn:
        by_size[size(one)].append(one)
    return by_size
