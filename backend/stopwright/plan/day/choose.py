"""The two orders of a day that a run sheet offers: least changed over, and done soonest; each with its figures."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from stopwright.lengths import Show, format_length
from stopwright.model.job import Job
from stopwright.model.stations import Glue, Shop
from stopwright.model.whose import lot_for
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.begun import Begun
from stopwright.plan.day.activities import Work
from stopwright.plan.day.batch import GLUE, Assembly, Batch, seconds_of, work_as_told, work_of
from stopwright.plan.day.bound import soonest
from stopwright.plan.day.hours import hours_of
from stopwright.plan.day.search import put_into_the_day
from stopwright.plan.day.timetable import DayOrderName, DayPlan, Entry, Outlook
from stopwright.plan.day.timing import Timed, in_order
from stopwright.plan.effort import Effort
from stopwright.plan.joinery.tenons import tenon_marks
from stopwright.plan.run_sheet import Move, Remark, Run

USUAL_GLUE = Glue("any glue", 8, 45)
"""What glue-ups are reckoned with where the shop names no glue: white glue, by common practice."""
MOST = 600
"""So many runs and glue-ups are put into the day at most."""

Again: TypeAlias = Callable[[Sequence[Run]], tuple[Run, ...]]
"""The runs in another order, with all that follows from it: what is set, what stands, minutes."""


@dataclass(frozen=True, slots=True)
class InTheDay:
    """The runs in the order that was chosen, when they fall, and what is to be said of it."""

    runs: tuple[Run, ...]
    plan: DayPlan | None
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class _Way:
    """One order as a whole sheet in the day."""

    runs: tuple[Run, ...]
    timed: tuple[Timed, ...]
    outlook: Outlook
    least: int

    @property
    def as_least_changed(self) -> tuple[float, ...]:
        """What is weighed where changeovers count first; to the minute, so that nothing moves for a second."""
        one = self.outlook
        return (one.changing_minutes, one.settings, one.done // 60)

    @property
    def as_soonest(self) -> tuple[float, ...]:
        """What is weighed where the end counts first."""
        one = self.outlook
        return (one.done // 60, one.changing_minutes, one.settings)


def in_the_day(
    runs: tuple[Run, ...],
    again: Again,
    by_itself: Callable[[Sequence[Run]], Sequence[Run]],
    begun: Begun,
    shop: Shop,
    ready: Mapping[str, str],
    soonest_first: bool = False,
    effort: Effort | None = None,
) -> InTheDay:
    """The runs of a sheet put into the hours of the shop with all glue-ups, least changed over or soonest done.

    Runs keep the order of the sheet where another is no better. `by_itself` gives runs as if no changeover lost
    anything, `ready` the station that each machine stands ready for. Where the shop says no day, nothing is timed.
    """
    if not shop.day.is_said or not runs:
        return InTheDay(runs, None)
    assemblies = tuple(_assembly(whose, job, shop) for whose, job in begun.assembled)
    panels = {
        mark: panel for panel in begun.panels for mark in (panel.part.mark, *(one.mark for one in panel.all_strips))
    }
    batch = Batch(runs, panels, assemblies, shop, hours_of(shop.day.stretches), ready)
    not_timed = _why_not(batch)
    if not_timed:
        return InTheDay(runs, None, (Remark("the day", not_timed),))
    ways = list(_ways(batch, again, by_itself, effort))
    least = max(way.least for way in ways)
    fewest = min(ways, key=lambda way: way.as_least_changed)
    quickest = min(ways, key=lambda way: way.as_soonest)
    if quickest.as_soonest[0] == fewest.as_soonest[0]:
        quickest = fewest
    chosen = quickest if soonest_first else fewest
    outlooks = [replace(fewest.outlook, name=DayOrderName.FEWEST_CHANGES)]
    if quickest is not fewest:
        outlooks.append(replace(quickest.outlook, name=DayOrderName.SOONEST))
    work = work_as_told(replace(batch, runs=chosen.runs))
    entries = tuple(_entries(replace(batch, runs=chosen.runs), work, chosen.timed))
    plan = DayPlan(
        entries,
        tuple(outlooks),
        DayOrderName.SOONEST if chosen is not fewest else DayOrderName.FEWEST_CHANGES,
        min(least, *(one.done for one in outlooks)),
        tuple(dict.fromkeys(one.glue for one in assemblies)) if any(one.is_glued for one in entries) else (),
        work,
    )
    return InTheDay(chosen.runs, plan, tuple(_remarks(batch, bool(shop.glues))))


def _assembly(whose: str, job: Job, shop: Shop) -> Assembly:
    glue = next((one for one in shop.glues if one.name == job.glue), None) or next(iter(shop.glues), USUAL_GLUE)
    stages, tenons = assembly_stages(job).stages, tenon_marks(job, shop)
    needs = {
        stage.number: frozenset(
            [*(mark for mark, _ in stage.members), *(tenons[one] for one in stage.joints if one in tenons)]
        )
        for stage in stages
    }
    return Assembly(whose, frozenset(part.mark for part in job.parts), stages, needs, job.units, glue)


def _why_not(batch: Batch) -> str:
    """Why nothing can be timed, "" where it can."""
    glued = sum(1 for one in batch.assemblies for _ in one.each)
    glued += sum(batch.times(run) for run in batch.runs if run.work == GLUE)
    if len(batch.runs) + glued > MOST:
        return f"{len(batch.runs)} runs and {glued} glue-ups are more than are put into the day; make it in batches"
    for run in batch.runs:
        if run.work == GLUE and seconds_of(run.minutes / batch.times(run)) > batch.hours.longest:
            return f"gluing a panel {run.lot} takes longer than any stretch between two breaks; nothing is timed"
    for one in batch.assemblies:
        if one.stages and one.open > batch.hours.longest:
            return f"{one.glue.name} stays open longer than any stretch between two breaks; nothing is timed"
    return ""


def _ways(
    batch: Batch, again: Again, by_itself: Callable[[Sequence[Run]], Sequence[Run]], effort: Effort | None
) -> Iterator[_Way]:
    """The order of the sheet with its glue-ups where they are best, least changed over, done soonest; each as it is."""
    alone = by_itself(batch.runs)
    as_it_is = work_of(batch, alone, in_sheet_order=True)
    free = work_of(batch, alone, in_sheet_order=False)
    for (work, stretches), changes_first in ((as_it_is, False), (free, True), (free, False)):
        found = put_into_the_day(work, effort=effort, changes_first=changes_first)
        order = _runs_in(found.timed, stretches)
        runs = batch.runs if order == [run.id for run in batch.runs] else again(_in(order, batch.runs))
        if Counter(run.id for run in runs) != Counter(order):
            continue  # in another order other runs would be left without wood
        told = replace(batch, runs=runs)
        ids = [id_ for one in found.timed for id_ in ([run.id for run in stretches.get(one.id, ())] or [one.id])]
        clamps = {one.id: one.clamps for one in found.timed if one.clamps}
        timed, standing = in_order(work_as_told(told), ids, clamps=clamps)
        changes = [run.change for run in runs if run.change]
        outlook = Outlook(
            DayOrderName.FEWEST_CHANGES,
            standing.done,
            len(changes),
            round(sum(change.minutes for change in changes), 6),
            sum(stop.move is Move.SET for run in runs for stop in run.stops),
        )
        yield _Way(runs, tuple(timed), outlook, found.least if work is free[0] else soonest(free[0]))


def _runs_in(timed: Sequence[Timed], stretches: Mapping[str, tuple[Run, ...]]) -> list[str]:
    """The ids of the runs as they fall; one that makes several panels where its first falls."""
    order = []
    for one in timed:
        run, _, nth = one.id.partition(" ")
        if one.id in stretches:
            order += [each.id for each in stretches[one.id]]
        elif run in stretches and nth == "1":
            order.append(run)
    return order


def _in(order: Sequence[str], runs: Sequence[Run]) -> list[Run]:
    by_id = {run.id: run for run in runs}
    return [by_id[id_] for id_ in order]


def _entries(batch: Batch, work: Work, timed: Sequence[Timed]) -> Iterator[Entry]:
    """The lines of the day."""
    units = {id_: (stage.number, unit, one.whose) for one in batch.assemblies for stage, unit, id_ in one.each}
    kinds = work.clamps or ()
    for one in timed:
        hands = work.activities[work.number[one.id]].seconds
        clamps = tuple((opening, count) for (opening, _), count in zip(kinds, one.clamps, strict=False) if count)
        if one.id in units:
            stage, unit, whose = units[one.id]
            yield Entry(one.begin, one.end, one.free, hands, "", 0, stage, unit, whose, clamps, one.free)
            continue
        run, _, nth = one.id.partition(" ")
        rested = max(one.free, one.end + batch.rest_after(run)) if nth else one.free
        yield Entry(one.begin, one.end, one.free, hands, run, int(nth or 0), clamps=clamps, rested=rested)


def _remarks(batch: Batch, has_glue: bool) -> Iterator[Remark]:
    """What the times leave out: clamps that are not there, a glue that nobody wrote down."""
    show: Show = batch.shop.show
    wanted = [
        (
            f"{lot_for(one.whose, '') if one.whose else ''}stage {stage.number} of the glue-up",
            stage.opening,
            stage.bars,
        )
        for one in batch.assemblies
        for stage in one.stages
    ]
    wanted += [(f"panel {run.lot}", batch.opening(run), batch.clamps_of(run)) for run in batch.runs if run.work == GLUE]
    for about, opening, clamps in wanted if batch.shop.clamps else ():
        there = batch.clamps_there(opening)
        if there < clamps:
            asked = f"asks for {clamps} clamps that open to {format_length(opening, show)}"
            yield Remark(about, f"{asked}; the shop has {there or 'none'}, and the times of the day are based on that")
    if wanted and not has_glue:
        open_, held = f"{USUAL_GLUE.open_minutes:g} min open", f"{USUAL_GLUE.clamp_minutes:g} min in clamps"
        yield Remark("glue-up", f"the shop names no glue: the day assumes {open_}, {held}")
