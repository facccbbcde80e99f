"""What the screen of one run shows: its stops, pieces and picture, and the facts that scripts need."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from markupsafe import Markup

from stopwright.actions.shop.memory import Readings
from stopwright.lengths import Show
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.paper.wording import change_text
from stopwright.plan.operations.known import OPERATIONS, ROLES
from stopwright.plan.run_sheet import Move, Position, Run, Stop
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.true_sides import Whole
from stopwright.store.memory import Remembered
from stopwright.store.run_fold import Note, RunState
from stopwright.web.drawings import draw_groups
from stopwright.web.kit.notes_shown import notes_shown
from stopwright.web.kit.pages import opened
from stopwright.web.kit.run_titles import run_title
from stopwright.web.kit.shown import BETWEEN, position_texts
from stopwright.web.phone.change_facts import change_facts
from stopwright.web.phone.run_pieces import PieceView, RunPieces
from stopwright.web.phone.run_shares import RunShares
from stopwright.web.phone.run_trials import RunTrials
from stopwright.web.phone.same_mark import same_mark
from stopwright.web.phone.scale_reads import ScaleReads, scale_facts

_RUNS_ON = (" to", " from", " left", " right")
"""How names of stops end that would run into the sentence around them."""


@dataclass(frozen=True, slots=True)
class Memory:
    """What is remembered for the runs of a job: readings that worked, and the job it repeats, "" if none.

    `notes` are those of the set-ups of that job, by run.
    """

    readings: Readings
    repeats: str = ""
    notes: Mapping[str, Sequence[Note]] = field(default_factory=dict)


class RunView:
    """One run as its screen shows it."""

    def __init__(
        self,
        run: Run,
        earlier: list[Run],
        state: RunState,
        job: Job,
        shop: Shop,
        show: Show,
        memory: Memory,
        reads: Mapping[str, ScaleReads],
        flips: FlipStops | None,
        cut_before: CutBefore,
        shares: RunShares,
        later: list[Run],
    ) -> None:
        self.run = run
        self.reads = reads
        self.flips = flips
        self.is_done = state.done
        self.is_set = state.is_set
        self.is_ready = state.is_ready
        self._cut = state.cut
        self._counted = RunPieces(run, earlier, later, state.cut, job, shop, shares)
        self.note = run.note
        self._station = next((station for station in shop.stations if station.name == run.station), None)
        self._trials = RunTrials(run, self._station)
        self._earlier = earlier
        self._job = job
        self._shop = shop
        self._machine = shop.machine_of(run.station)
        self._show = show
        self._memory = memory
        self._cut_before = cut_before
        self._shares = shares

    @property
    def title(self) -> str:
        """Station and work: `Saw, rip`; the station alone where it does nothing else."""
        return run_title(self.run, self._station)

    @property
    def large_stops(self) -> list[Stop]:
        """What is shown large: the stops to be made now, then, for when they were moved, all that are to stand."""
        return [
            *self.shown_stops,
            *(replace(stop, move=Move.SET) for stop in self.run.stops if stop.move is Move.STANDS),
        ]

    @property
    def asks_change(self) -> bool:
        """Whether the machine is to be made ready for the run, as far as the run itself tells."""
        return bool(self.run.change) and not (self.is_ready or self.is_set or any(self._cut.values()))

    @property
    def work(self) -> str:
        """What is done, under the name of its station: `Rip`."""
        return opened(OPERATIONS[self.run.work].title or self.run.work)

    @property
    def minutes(self) -> float:
        """How long the run takes, with the changeover before it, as far as the sheet knows."""
        return self.run.minutes + (self.run.change.minutes if self.run.change else 0)

    @property
    def change(self) -> str:
        """How the machine is made ready before this run; "" where it is."""
        return change_text(self.run.change) if self.run.change else ""

    @property
    def shown_stops(self) -> list[Stop]:
        """The stops to be made now, each to be seen large; where all stand, the first of them."""
        made = [stop for stop in self.run.stops if stop.move is Move.SET]
        return made or list(self.run.stops[:1])

    @property
    def standing_stops(self) -> list[Stop]:
        """The stops to be left alone, besides one that is shown large."""
        return [stop for stop in self.run.stops if stop not in self.shown_stops]

    @property
    def several(self) -> bool:
        """True when more than one stop is to be made."""
        return len(self.shown_stops) > 1

    def name(self, stop: Stop) -> str:
        """The stop as a person calls it: `rip fence`; one of several flip stops is a `flip stop`."""
        axis = next((a for a in self._station.axes if a.name == stop.axis), None) if self._station else None
        if axis and axis.holds > 1 and stop.axis.endswith("s"):
            return stop.axis[:-1]
        return stop.axis

    def called(self, stop: Stop) -> str:
        """The stop inside a sentence: `the rip fence`, `a flip stop`, `“travel to”`."""
        name = self.name(stop)
        if name.endswith(_RUNS_ON):
            return f"“{name}”"
        return f"a {name}" if name != stop.axis and stop.move is Move.SET else f"the {name}"

    def label(self, stop: Stop) -> str:
        """The stop at the head of a sentence: `Rip fence`, `“Travel to”`."""
        name = opened(self.name(stop))
        return f"“{name}”" if name.endswith(_RUNS_ON) else name

    def say(self, stop: Stop) -> str:
        """What to do with the stop, before its number."""
        if stop.move is Move.STANDS:
            return f"{self.called(stop)} stands, leave it at"
        if ROLES[stop.sets].is_put_in:
            return f"put in {self.called(stop)}"
        return f"set {self.called(stop)} to"

    def said(self, stop: Stop) -> str:
        """What the person answers when it is made, or when all stand as they should."""
        if stop.move is Move.STANDS:
            return "It stands right" if len(self.run.stops) == 1 else "All stops stand"
        return self.made(stop)

    def made(self, stop: Stop) -> str:
        """What the person answers when it is made."""
        return f"{self.label(stop)} {'is in' if ROLES[stop.sets].is_put_in else 'is set'}"

    def worked(self, stop: Stop) -> Remembered | None:
        """Where a trial piece for this very stop was within tolerance before, if it was not at the sheet's reading."""
        if not isinstance(stop.target, int) or self._station is None:
            return None
        found = self._memory.readings.get((self.run.station, stop.axis, self._station.of(Blade).blade, stop.target))
        return found if found and found.proved and found.reading != stop.reading else None

    def start(self, stop: Stop) -> Position:
        """The reading to begin with: the sheet's, and in a repeated job the one that worked."""
        found = self.worked(stop) if self._memory.repeats else None
        return found.reading if found else stop.reading

    def instead(self, stop: Stop) -> str:
        """How a reading that was corrected later is called beside the one this page began with."""
        if stop.to_mark:
            return "as noted; the sheet says"
        return "corrected; the sheet says" if self.start(stop) == stop.reading else "corrected; remembered was"

    @property
    def noted_before(self) -> list[dict[str, Any]]:
        """Notes and pictures of this very set-up from the job that this one repeats, as a page shows them."""
        notes = self._memory.notes.get(self.run.id, ()) if self._memory.repeats else ()
        return notes_shown(self._memory.repeats, notes)

    def same_mark(self, stop: Stop) -> int | None:
        """The run that left the stop at this very mark, so that it need not be moved."""
        return same_mark(stop, self._station, self._earlier) if self._station else None

    def texts(self, stop: Stop) -> str:
        """What the sheet says in every way to show it, for the scripts."""
        return BETWEEN.join(position_texts(stop.reading))

    @property
    def cuts_word(self) -> str:
        """What happens at the nearest graduation."""
        return OPERATIONS[self.run.work].comes_to

    @cached_property
    def drawings(self) -> tuple[Markup, ...]:
        """The drawn scale, and each group of pieces as it lies."""
        return draw_groups(self.run, self._job, self._shop, self._show, self.flips, self._cut_before)

    @cached_property
    def pieces(self) -> list[PieceView]:
        """What is counted, line by line."""
        wholes = self._cut_before.true_sides.wholes(self.run)
        return [replace(one, far=one.far or _far_words(one, wholes)) for one in self._counted.views]

    @property
    def trials(self) -> list[Stop]:
        """The stops that a trial piece can prove."""
        return self._trials.stops

    @property
    def asks_trial(self) -> bool:
        """True when a trial piece is asked for before counting."""
        return self._trials.are_asked

    @property
    def notes(self) -> list[Stop]:
        """The stops without a scale, whose reading can be written down once they are set to the mark."""
        return [stop for stop in self.run.stops if stop.to_mark and isinstance(stop.target, int)]

    def facts(self) -> dict[str, Any]:
        """What the scripts of the page need to know of the run; lengths only to be handed back."""
        return {
            "number": self.run.number,
            "key": self.run.id,
            "title": self.title,
            "minutes": self.minutes,
            "about": stops_told(self.run),
            "station": self.run.station,
            "scales": [
                scale
                | {
                    "name": self.name(stop),
                    "texts": position_texts(stop.reading),
                    "made": self.made(stop),
                    "stood": self.said(stop),
                }
                for scale, stop in zip(scale_facts(self.run), self.run.stops, strict=True)
            ],
            "machine": self._machine.name if self._machine else "",
            "change": change_facts(self.run.change) if self.run.change else None,
            "pieces": [
                {
                    "slot": one.slot,
                    "mark": one.mark,
                    "mirrored": one.mirrored,
                    "name": one.name,
                    "need": one.need,
                    "marks": one.marks,
                    "far": one.far,
                }
                | self._shares.facts_of(one.mark)
                for one in self.pieces
            ],
            "trials": [self._trials.facts(stop, self.called(stop), self.start(stop)) for stop in self.trials],
            "notes": [
                {
                    "title": f"Note where {self.called(stop)} stands",
                    "say": self.name(stop),
                    "target": position_texts(stop.target),
                    "body": {"axis": stop.axis},
                }
                for stop in self.notes
            ],
            "before": self._counted.before,
        } | self._shares.facts()


def _far_words(line: PieceView, wholes: Sequence[Whole]) -> tuple[str, ...]:
    """How what is counted lies, where that is told of the wood, not of the piece; nothing where it lies in two ways."""
    mine = {whole.far for whole in wholes if line.mark in whole.marks}
    return next(iter(mine)) if len(mine) == 1 else ()


def stops_told(run: Run) -> dict[str, Any]:
    """What is kept with "stop set": the station, its work, and where the stops stand by the sheet."""
    places = [[stop.axis, stop.told] for stop in run.stops]
    return {"station": run.station, "work": run.work, "stops": places}
