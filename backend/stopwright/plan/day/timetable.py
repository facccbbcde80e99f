"""What a run sheet says of the day: when every run and glue-up falls, and both orders to choose from."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from stopwright.lengths import Nm
from stopwright.model.stations import Glue
from stopwright.plan.day.activities import Work
from stopwright.plan.day.hours import DAY, Seconds


class DayOrderName(StrEnum):
    """What the order of a day is chosen for."""

    FEWEST_CHANGES = "fewest changeovers"
    SOONEST = "done soonest"


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the day: a run, one panel of a run, or a stage of a unit that is glued up.

    From `begin` to `end` it takes the person; `clamps` (opening in nm, how many) come free at `free`, and what was
    glued may be gone on with at `rested`. `hands` is how long the person is at it, in seconds, breaks left
    out. `whose`: the number of the unit's job where several are worked together.
    """

    begin: Seconds
    end: Seconds
    free: Seconds
    hands: Seconds
    run: str = ""
    nth: int = 0
    stage: int = 0
    unit: int = 0
    whose: str = ""
    clamps: tuple[tuple[Nm, int], ...] = ()
    rested: Seconds = 0

    @property
    def is_glued(self) -> bool:
        """Whether something is glued, so that it sets by itself from its end on."""
        return self.free > self.end or self.nth > 0 or self.stage > 0

    @property
    def id(self) -> str:
        """What names it among the lines of a day."""
        return (
            glue_up_id(self.stage, self.unit, self.whose)
            if self.stage
            else self.run + (f" {self.nth}" if self.nth else "")
        )


def glue_up_id(stage: int, unit: int, whose: str = "") -> str:
    """What a stage of a unit is called among the lines of a day."""
    return f"stage {stage} unit {unit}" + (f" of {whose}" if whose else "")


@dataclass(frozen=True, slots=True)
class Outlook:
    """One order of the batch in figures: when it is done, and what it takes in changeovers and settings."""

    name: DayOrderName
    done: Seconds
    changeovers: int
    changing_minutes: float
    settings: int

    @property
    def figures(self) -> tuple[float, ...]:
        """What two orders are told apart by."""
        return (self.done, self.changeovers, self.changing_minutes, self.settings)


@dataclass(frozen=True, slots=True)
class DayPlan:
    """A batch in the hours of a shop. Moments are seconds from midnight before the first day; a day has 24 hours.

    `outlooks` are the orders to choose from, that of the sheet is `chosen`; none is done before `least`. `glues` are
    what glue-ups are reckoned with. `work` is what goes on from where it stands, None where the day is a job's share.
    """

    entries: tuple[Entry, ...]
    outlooks: tuple[Outlook, ...]
    chosen: DayOrderName
    least: Seconds
    glues: tuple[Glue, ...]
    work: Work | None = field(default=None, compare=False, repr=False)

    def of_job(self, whose: str, ids: Mapping[str, str]) -> "DayPlan":
        """What of the day is one job's of several: its runs by the `ids` that they have for it, and its units."""
        entries = tuple(
            replace(one, run=ids.get(one.run, ""), whose="")
            for one in self.entries
            if one.run in ids or (one.stage and one.whose == whose)
        )
        return replace(self, entries=entries, work=None)

    @property
    def outlook(self) -> Outlook:
        """The order of the sheet."""
        return next(one for one in self.outlooks if one.name is self.chosen)

    @property
    def other(self) -> Outlook | None:
        """The other order to choose, None where one order is both."""
        return next((one for one in self.outlooks if one.name is not self.chosen), None)

    @property
    def done(self) -> Seconds:
        """When all has ended and the last clamps may come off."""
        return self.outlook.done

    @property
    def proven(self) -> bool:
        """Whether no order is done sooner, to the minute."""
        return self.done // 60 == self.least // 60

    @property
    def of_run(self) -> Mapping[str, tuple[Seconds, Seconds]]:
        """From when to when each run falls, by its id; a run of several panels from the first to the last."""
        found: dict[str, tuple[Seconds, Seconds]] = {}
        for one in self.entries:
            if one.run:
                begin, _ = found.get(one.run, (one.begin, one.end))
                found[one.run] = (begin, one.end)
        return found


def day_and_time(at: Seconds) -> tuple[int, str]:
    """The day, counted from 1, and the time of day, to the nearest minute.

    >>> day_and_time(7 * 3600 + 1829), day_and_time(DAY + 14 * 3600)
    ((1, '07:30'), (2, '14:00'))
    """
    days, rest = divmod((at + 30) // 60 * 60, DAY)
    return days + 1, f"{rest // 3600:02}:{rest // 60 % 60:02}"
