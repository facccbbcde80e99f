"""What the bench's page of a run sheet shows: the proof, the way through the shop, the rules, every run and why."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import Any

from markupsafe import Markup

from stopwright.actions.floor.replanning import StillToMake, WorkedBefore
from stopwright.actions.floor.stopping import SetAgain
from stopwright.actions.jobs.planning import Planned
from stopwright.lengths import Show, format_length
from stopwright.model.counts import counted
from stopwright.model.stations import Station
from stopwright.paper.day_text import DayLine, day_lines, done_text, falls_of, outlook_text
from stopwright.paper.wording import (
    becomes_text,
    change_leaves,
    change_steps,
    change_text,
    line_text,
    lying_text,
    machine_text,
    minutes_text,
    off_by_text,
    reading_text,
    runs_text,
    spacer_text,
)
from stopwright.plan.day.timetable import Outlook
from stopwright.plan.operations.known import ROLES
from stopwright.plan.pictures.of_runs import pictures_of
from stopwright.plan.run_sheet import Move, Run, RunSheet, Settings, Stop
from stopwright.plan.weighing.list_order import AsListed, settings_as_listed
from stopwright.plan.weighing.reasons import reasons
from stopwright.store.run_fold import RunState
from stopwright.web.drawings.scale_rail import SetAt, draw_rail
from stopwright.web.drawings.svg import svg_of
from stopwright.web.kit.pages import opened
from stopwright.web.kit.run_titles import run_title
from stopwright.web.kit.script_data import as_script_data


@dataclass(frozen=True, slots=True)
class Visit:
    """One stay at a station: runs that follow each other there."""

    station: str
    rows: tuple["Row", ...]

    @property
    def first(self) -> int:
        """The number of its first run."""
        return self.rows[0].run.number

    @property
    def runs(self) -> str:
        """Which runs: `runs 2–13`."""
        return runs_text([row.run.number for row in self.rows])

    @property
    def settings(self) -> int:
        """Settings made here."""
        return sum(stop.move is Move.SET for row in self.rows for stop in row.run.stops)

    @property
    def minutes(self) -> str:
        """How long it takes, in words."""
        return minutes_text(sum(row.run.minutes for row in self.rows))


@dataclass(frozen=True, slots=True)
class CountedLine:
    """One line of what a run counts: what is written on the wood, how many, what they are, and what is said of them."""

    sign: str
    count: int
    name: str
    said: str
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One run as a row of the table, with why it stands there."""

    run: Run
    station: Station
    is_done: bool
    why: tuple[str, ...]
    show: Show
    pictures: tuple[Markup, ...] = ()

    @property
    def title(self) -> str:
        """Station and work: `Saw, rip`."""
        return run_title(self.run, self.station)

    @property
    def change(self) -> str:
        """The changeover before the run, "" where the machine is ready."""
        return change_text(self.run.change) if self.run.change else ""

    @property
    def change_steps(self) -> list[tuple[str, str]]:
        """What to do for it, what stands afterwards, what is set again."""
        change = self.run.change
        return [*change_steps(change), *change_leaves(change, self.show)] if change else []

    def name(self, stop: Stop) -> str:
        """The stop as a person calls it: one of several flip stops is a `flip stop`."""
        several = any(axis.name == stop.axis and axis.holds > 1 for axis in self.station.axes)
        return stop.axis.removesuffix("s") if several else stop.axis

    @property
    def lines(self) -> list[CountedLine]:
        """What is counted: boards or strips with what they become, then pieces with how they lie."""
        if self.run.lines:
            return [
                CountedLine(one.chalk, one.count, line_text(one), becomes_text(one.becomes)) for one in self.run.lines
            ]
        return [
            CountedLine(
                one.mark,
                one.count,
                one.name,
                "; ".join(filter(None, (lying_text(one).replace(", mirrored", ""), one.note))),
                one.mirrored,
            )
            for one in self.run.pieces
        ]

    @property
    def made(self) -> list[Stop]:
        """The stops to set now."""
        return [stop for stop in self.run.stops if stop.move is Move.SET]

    @property
    def stands(self) -> list[Stop]:
        """The stops to leave alone."""
        return [stop for stop in self.run.stops if stop.move is Move.STANDS]

    def off(self, stop: Stop) -> str:
        """What the nearest mark is off by, empty if it is not off."""
        return off_by_text(stop, self.show)

    @property
    def spacer(self) -> str:
        """The block to use, if one is used."""
        return spacer_text(self.run.spacer, self.show) if self.run.spacer else ""

    @property
    def need(self) -> int:
        """How many boards, strips or pieces are worked."""
        return self.run.count


@dataclass(frozen=True, slots=True)
class Rule:
    """One axis with its stops drawn, and how many stand at a time."""

    name: str
    station: str
    holds: int
    drawn: Markup
    large: bool


class SheetView:
    """The page of one run sheet. `still` and `before` say what of it was worked already."""

    def __init__(
        self,
        job: str,
        planned: Planned,
        states: Mapping[str, RunState],
        standing: Mapping[str, Any],
        show: Show,
        still: StillToMake,
        before: Sequence[WorkedBefore],
        again: Sequence[SetAgain] = (),
    ) -> None:
        self.job, self.planned, self.still, self.before, self.again = job, planned, still, before, again
        self._states, self._standing, self._show = states, standing, show

    @property
    def sheet(self) -> RunSheet:
        """The plan itself."""
        return self.planned.sheet

    @property
    def proof(self) -> tuple[str, str]:
        """What is known of the number of settings, in two sentences."""
        return proof_sentences(self.sheet)

    @property
    def times(self) -> str:
        """Minutes of setting and in all, in words."""
        in_all = sum(run.minutes for run in self.sheet.runs)
        return f"{minutes_text(self.sheet.settings.minutes)} of setting, about {minutes_text(in_all)} in all"

    @cached_property
    def day_lines(self) -> list[DayLine]:
        """The day line by line, empty where the shop says none."""
        return day_lines(self.sheet, self._show)

    @property
    def day_done(self) -> str:
        """When the batch is done, and what is known of that."""
        return opened(done_text(self.sheet.day)) if self.sheet.day else ""

    @property
    def glue_minutes(self) -> str:
        """What glue-ups are reckoned with."""
        glues = self.sheet.day.glues if self.sheet.day else ()
        return "; ".join(
            f"{one.name}: {minutes_text(one.open_minutes)} a glue-up, {minutes_text(one.clamp_minutes)} in clamps"
            for one in glues
        )

    @property
    def outlooks(self) -> list[tuple[Outlook, str, bool]]:
        """The orders to choose from, each in words, and whether it is the one of this sheet."""
        plan = self.sheet.day
        return [(one, outlook_text(one), one.name is plan.chosen) for one in plan.outlooks] if plan else []

    @cached_property
    def falls(self) -> dict[str, str]:
        """From when to when each run falls, by its id."""
        return falls_of(self.sheet)

    @property
    def machines(self) -> list[str]:
        """How often each machine that is several stations is changed over, in words."""
        return [machine_text(machine) for machine in self.sheet.machines]

    @cached_property
    def listed(self) -> AsListed:
        """What working down the list would cost."""
        return settings_as_listed(self.planned.job, self.planned.shop, self.sheet)

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """Every run."""
        stations = {station.name: station for station in self.planned.shop.stations}
        whys = reasons(self.sheet, self.planned.shop)
        boards = pictures_of(self.sheet.runs, self.planned.job, self.planned.shop)
        drawn = {number: tuple(svg_of(board, self._show) for board in here) for number, here in boards.items()}
        return tuple(
            Row(run, stations[run.station], self._state(run).done, why, self._show, drawn.get(run.number, ()))
            for run, why in zip(self.sheet.runs, whys, strict=True)
        )

    @cached_property
    def visits(self) -> tuple[Visit, ...]:
        """The way through the shop."""
        return tuple(
            Visit(station, tuple(rows)) for station, rows in groupby(self.rows, key=lambda row: row.run.station)
        )

    @cached_property
    def rules(self) -> tuple[Rule, ...]:
        """A drawn rule for every axis with something to see on it, as a piece meets them."""
        shop, drawn = self.planned.shop, []
        for name in dict.fromkeys(run.station for run in self.sheet.runs):
            station = next(one for one in shop.stations if one.name == name)
            for axis in station.axes:
                places = self._set_at(name, axis.name)
                role = ROLES[axis.sets]
                large = role.has_rail
                if role.is_length and len(places) > (0 if large else 1) and any(p.position for p in places):
                    picture = draw_rail(axis.name, places, self._show)
                    drawn.append(Rule(axis.name, name, axis.holds, picture, large))
        return tuple(drawn)

    def _state(self, run: Run) -> RunState:
        return self._states.get(run.id, RunState())

    def _set_at(self, station: str, axis: str) -> list[SetAt]:
        return [
            SetAt(stop.reading, run.number)
            for run in self.sheet.runs
            if run.station == station
            for stop in run.stops
            if stop.axis == axis and stop.move is Move.SET and isinstance(stop.reading, int) and stop.reading >= 0
        ]

    @property
    def unit(self) -> str:
        """The unit of the figures on the rules."""
        return self._show.unit

    @property
    def wood(self) -> str:
        """Boards used and least possible, in words; empty without boards."""
        return wood_sentence(self.sheet)

    @property
    def done(self) -> int:
        """How many runs are done."""
        return sum(row.is_done for row in self.rows)

    @property
    def still_words(self) -> str:
        """What is still to be set, in words."""
        if not self.still.runs:
            return "all done"
        count = counted(self.still.settings, "setting")
        changes = f" and {counted(self.still.changes, 'changeover')}" if self.still.changes else ""
        return f"{count}{changes} still to make, {minutes_text(self.still.minutes)}"

    @property
    def standing_json(self) -> Markup:
        """How the runs stand, for the script."""
        return as_script_data(self._standing)

    def reading(self, stop: Stop) -> str:
        """The mark a stop without a scale is set to, else empty."""
        return reading_text(stop, self._show) if stop.to_mark else ""

    def length_of(self, position: object) -> str:
        """A position of an earlier plan in words."""
        return format_length(position, self._show) if isinstance(position, int) else str(position)


def proof_sentences(sheet: RunSheet) -> tuple[str, str]:
    """How many settings, whether each is made once, and whether fewer are possible."""
    settings = sheet.settings
    made = "1 setting" if settings.made == 1 else f"{settings.made} settings"
    places = [(run.station, stop.axis, stop.place) for run in sheet.runs for stop in run.stops if stop.move is Move.SET]
    if not places:
        return "Nothing has to be set.", ""
    once = ", each made once" if len(set(places)) == len(places) and settings.made > 1 else ""
    return f"{made}{once}.", _bound(settings)


def _bound(settings: Settings) -> str:
    if settings.proven and settings.made == settings.least_possible:
        return "Fewer is not possible."
    if settings.proven:
        return f"{settings.least_possible} would be possible, but in more minutes."
    return f"At least {settings.least_possible} are needed."


def wood_sentence(sheet: RunSheet) -> str:
    """Boards and sheets used and least possible, in words; empty without wood on hand."""
    wood = sheet.wood
    if not wood.boards_used:
        return ""
    count = "1 board or sheet" if wood.boards_used == 1 else f"{wood.boards_used} boards and sheets"
    if wood.proven and wood.boards_used == wood.least_possible:
        return f"{count}. Fewer is not possible with one width in each strip."
    return f"{count}; at least {wood.least_possible} are needed."
