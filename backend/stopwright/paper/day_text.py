"""How the day of a run sheet is said: when a run falls, what goes on while the glue sets, when clamps come free."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from stopwright.lengths import Show, format_length
from stopwright.model.counts import counted
from stopwright.model.whose import lot_for
from stopwright.paper.wording import minutes_text, runs_text
from stopwright.plan.day.hours import DAY, Seconds
from stopwright.plan.day.timetable import DayPlan, Entry, Outlook, day_and_time
from stopwright.plan.run_sheet import Run, RunSheet


@dataclass(frozen=True, slots=True)
class DayLine:
    """One line of the day: from when to when, what is done, and what is said of it."""

    when: str
    what: str
    said: str
    is_glued: bool


def moment_text(at: Seconds, seen_from: int = 0) -> str:
    """A moment, with its day where it is another than the one it is seen from; 0 names it always.

    >>> moment_text(DAY + 14 * 3600), moment_text(14 * 3600, 1), moment_text(DAY + 14 * 3600, 1)
    ('day 2, 14:00', '14:00', 'day 2, 14:00')
    """
    day, time = day_and_time(at)
    return time if day == seen_from else f"day {day}, {time}"


def span_text(begin: Seconds, end: Seconds) -> str:
    """From when to when.

    >>> span_text(27_000, 28_320), span_text(57_600, DAY + 27_600)
    ('day 1, 07:30–07:52', 'day 1, 16:00 – day 2, 07:40')
    """
    day, _ = day_and_time(begin)
    until = moment_text(end, day)
    return f"{moment_text(begin)}{'–' if ',' not in until else ' – '}{until}"


def falls_of(sheet: RunSheet) -> dict[str, str]:
    """From when to when each run falls, by its id; empty where the shop says no day."""
    return {id_: span_text(begin, end) for id_, (begin, end) in sheet.day.of_run.items()} if sheet.day else {}


def done_text(plan: DayPlan) -> str:
    """When the batch is done and what is known of that."""
    said = f"begun in the morning, done on {moment_text(plan.done)}, clamps off"
    return f"{said}; sooner is not possible" if plan.proven else f"{said}; not before {moment_text(plan.least)}"


def outlook_text(one: Outlook) -> str:
    """One order to choose, in figures.

    >>> from stopwright.plan.day.timetable import DayOrderName
    >>> outlook_text(Outlook(DayOrderName.SOONEST, DAY + 14 * 3600, 4, 19.0, 36))
    'done soonest: day 2, 14:00; 4 changeovers, 19 min; 36 settings'
    """
    changes = f"{counted(one.changeovers, 'changeover')}, {minutes_text(one.changing_minutes)}"
    changes = changes if one.changeovers else "no changeover"
    return f"{one.name}: {moment_text(one.done)}; {changes}; {counted(one.settings, 'setting')}"


def day_lines(sheet: RunSheet, show: Show) -> list[DayLine]:
    """The day line by line: runs that follow each other as one, every glue-up with what goes on while it sets."""
    plan = sheet.day
    if plan is None:
        return []
    number = {run.id: run for run in sheet.runs}
    lines = []
    for is_glued, together in groupby(plan.entries, key=lambda one: one.is_glued):
        here = list(together)
        for several in [[one] for one in here] if is_glued else _day_by_day(here):
            what = _glued_text(several[0], number, show) if is_glued else _runs_text(several, number)
            said = _sets_text(several[0], plan.entries, number) if is_glued else ""
            lines.append(DayLine(span_text(several[0].begin, several[-1].end), what, said, is_glued))
    return lines


def _day_by_day(entries: Sequence[Entry]) -> list[list[Entry]]:
    return [list(several) for _, several in groupby(entries, key=lambda one: one.begin // DAY)]


def _runs_text(entries: Sequence[Entry], number: dict[str, Run]) -> str:
    return runs_text(sorted(number[one.run].number for one in entries))


def _glued_text(one: Entry, number: dict[str, Run], show: Show) -> str:
    if one.stage:
        what = f"{lot_for(one.whose, '') if one.whose else ''}glue-up, stage {one.stage} of unit {one.unit}"
    else:
        run = number[one.run]
        made = [lot.name for lot in run.gives for _ in range(lot.count)]
        what = f"run {run.number}, panel {made[one.nth - 1]}, {one.nth} of {len(made)}"
    clamps = ", ".join(f"{counted(count, 'clamp')} of {format_length(opening, show)}" for opening, count in one.clamps)
    return f"{what}, {clamps}" if clamps else what


def _sets_text(one: Entry, entries: Sequence[Entry], number: dict[str, Run]) -> str:
    """When clamps come free, until when a panel rests, and which runs go on meanwhile."""
    day, _ = day_and_time(one.begin)
    said = [f"clamps come free at {moment_text(one.free, day)}"] if one.free > one.end else []
    if one.rested > one.free:
        said.append(f"rests until {moment_text(one.rested, day)}")
    until = max(one.free, one.rested)
    meanwhile = sorted(
        {
            number[other.run].number
            for other in entries
            if other.run and not other.nth and one.end <= other.begin < until
        }
    )
    return "; ".join([*said, *([f"meanwhile {runs_text(meanwhile)}"] if meanwhile else [])])
