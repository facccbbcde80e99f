"""What a finished article needs besides wood: slides, hinges, knobs, screws, fasteners."""

from collections.abc import Iterator
from dataclasses import dataclass

from stopwright.errors import Inconsistent, Problem
from stopwright.model.parts import GREATEST_QUANTITY


@dataclass(frozen=True, slots=True)
class Hardware:
    """So many of one thing in every unit: `count` of them, `note` says where or which."""

    name: str
    count: int
    note: str = ""

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"hardware {self.name}".rstrip(), problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.name.strip():
            yield Problem("name", "is empty", "write what it is, such as Knob")
        if not 1 <= self.count <= GREATEST_QUANTITY:
            text = f"{self.count} is not from 1 to {GREATEST_QUANTITY}"
            yield Problem("count", text, "write how many one unit needs, 1 or more")
