"""What one thing makes, for tests: its parts and cuts by mark, lengths in mm."""

from typing import Any

from tests.builders import mm

from stopwright.lengths import MM, Show
from stopwright.model.things import Changed
from stopwright.plan.making.expand import Expanded, expand
from stopwright.plan.making.known import THINGS


def a_thing(kind: str, **measures: Any) -> Any:
    """A thing whose numbers are mm, but for those that count."""
    counts = ("count", "lights", "rows", "shelves")
    given = {
        name: mm(value)
        if isinstance(value, int | float) and not isinstance(value, bool) and name not in counts
        else value
        for name, value in measures.items()
    }
    return THINGS[kind](**({"mark": THINGS[kind].letter} | given))


def made(*things: Any, changes: tuple[Changed, ...] = (), units: int = 1) -> Expanded:
    """What they make."""
    return expand(things, changes, units, Show.MM)


def sizes(found: Expanded) -> dict[str, tuple[float, ...]]:
    """Length, width, thickness of every part, in mm."""
    return {part.mark: tuple(one / MM for one in part.size) for part in found.parts}


def cut(found: Expanded, mark: str) -> Any:
    """The cut of a mark."""
    return next(one for one in found.cuts if one.mark == mark)


def refusals(found: Expanded) -> list[str]:
    """What is refused, each with its entry and what would do."""
    return [f"{problem.field}: {problem.what}; {problem.next_step}" for _, problem in found.refused]
