"""Everything that can be said to a person when something is wrong.

    StopwrightError          what is wrong, where, and the next step
    ├── Inconsistent         a thing of the model contradicts itself; one Problem a field
    ├── BadInput             files or forms that cannot be read; every Fault with its place
    ├── NotFound             what was asked for is not there
    ├── NotPaired             this device is not paired
    ├── ChangedMeanwhile     somebody else changed it first
    └── StoreTrouble         the disk or the database does not take or give what it should

The deep function says what, the outer layer adds where. Nobody decides by the text of a message.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any


class StopwrightError(Exception):
    """Something a person can be told: what is wrong, where, and what to do next."""

    def __init__(self, what: str, where: str = "", next_step: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.next_step = next_step

    def __reduce__(self) -> tuple[Any, ...]:
        return _again, (type(self), self.args, self.__dict__)

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        step = f"; {self.next_step}" if self.next_step else ""
        return f"{place}{self.what}{step}"


def _again(kind: type[StopwrightError], args: tuple[Any, ...], said: dict[str, Any]) -> StopwrightError:
    """An error as it was in another process."""
    error = kind.__new__(kind, *args)
    error.__dict__.update(said)
    return error


@dataclass(frozen=True, slots=True)
class Problem:
    """One field of one thing that cannot stand: which field, what is wrong, what to do."""

    field: str
    what: str
    next_step: str


class Inconsistent(StopwrightError):
    """A part, a station or a joint that contradicts itself; `problems` lists every field at fault."""

    def __init__(self, about: str, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{p.field}: {p.what}" for p in self.problems), about, self.problems[0].next_step)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in what a person brought, with its place.

    >>> print(Fault("parts.csv", 4, "length", "'abc' is not a length", "write for example 450 or 17 3/4"))
    parts.csv:4: length: 'abc' is not a length; write for example 450 or 17 3/4
    """

    file: str
    row: int
    column: str
    what: str
    next_step: str

    def __str__(self) -> str:
        return f"{self.file}:{self.row}: {self.column}: {self.what}; {self.next_step}"


class BadInput(StopwrightError):
    """What was brought cannot be read as it stands; nothing of it has been taken over."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        count = len(self.faults)
        super().__init__(
            "1 fault in what was read" if count == 1 else f"{count} faults in what was read",
            self.faults[0].file,
            "fix them and read it again",
        )


class NotFound(StopwrightError):
    """What was asked for is not there."""


class NotPaired(StopwrightError):
    """This device is not paired; says nothing about what it asked for."""


class ChangedMeanwhile(StopwrightError):
    """Somebody else changed it since it was read; nothing was written."""


class StoreTrouble(StopwrightError):
    """The disk or the database does not take or give what it should."""
