"""Things to make: what a few measures describe, so that lines of the part list, cuts and joints follow from them.

The kinds themselves are dataclasses in the files of `plan/making`. As with cuts, their fields carry the words of the
form in which they are typed, so that reader, writer and page are made from them.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Self

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import Nm
from stopwright.model.cuts import asked

MOST_IN_A_UNIT = 1000
LONGEST_THING_MARK = 8
"""Signs of the mark of a thing: its parts add theirs, and all of it stands on a label."""
MEASURED = ("width", "height", "depth")
"""What can be measured of an opening."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What was measured of one thing of the batch, or of all where `number` is None; nm.

    Each measure may have been taken in several places, the smallest of them counts.
    """

    number: int | None = asked("Which one", "counted from 1 through the whole batch; empty: all of them", None)
    width: tuple[Nm, ...] = asked("Width as measured", "at front and back, with ; between them: the smaller counts", ())
    height: tuple[Nm, ...] = asked("Height as measured", "left and right, with ; between them", ())
    depth: tuple[Nm, ...] = asked("Depth as measured", "the smallest counts", ())

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent("opening", problems)

    def _problems(self) -> Iterator[Problem]:
        if self.number is not None and self.number < 1:
            yield Problem("number", "is less than 1", "count the openings from 1, or leave it out for all of them")
        if not any(getattr(self, one) for one in MEASURED):
            yield Problem("width", "is empty, and so is everything else", "write what was measured")
        for one in MEASURED:
            if min(getattr(self, one), default=1) <= 0:
                yield Problem(one, "is not above 0", f"measure the {one} again")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """`count` equal things in each unit. Raises Inconsistent with every field at fault.

    Whether its measures go together is said when its parts are worked out, for only then it is known what would do.
    """

    kind: ClassVar[str] = "thing"
    letter: ClassVar[str] = ""
    called: ClassVar[str] = "thing"
    """What a person calls it."""
    first: ClassVar[tuple[str, ...]] = ()
    """What is asked first in its form; all else has a usual value and stands below."""
    measured: ClassVar[tuple[str, ...]] = ()
    """Which of its measures are those of an opening, so that they are measured before anything is cut to them."""

    mark: str = asked("Mark", "short, such as D; the marks of its parts begin with it")
    name: str = asked("Name", "what it is called in the names of its parts; empty: as the kind", "")
    count: int = asked("How many", "in one unit", 1)
    openings: tuple[Opening, ...] = asked("Openings as measured", "of all of them, or of one", ())

    def __post_init__(self) -> None:
        problems = [*self._of_everything(), *self.problems()]
        if problems:
            raise Inconsistent(f"{self.called} {self.mark}".rstrip(), problems)

    def problems(self) -> Iterator[Problem]:
        """What contradicts itself in this kind of thing, whatever its measures."""
        yield from ()

    def _of_everything(self) -> Iterator[Problem]:
        if not self.mark:
            yield Problem("mark", "is empty", f"write a mark such as {self.letter or 'D'}")
        elif not self.mark.isalnum() or len(self.mark) > LONGEST_THING_MARK:
            text = f"write at most {LONGEST_THING_MARK} letters and digits"
            yield Problem("mark", f"'{self.mark[:40]}' is not a short mark", text)
        if not 1 <= self.count <= MOST_IN_A_UNIT:
            yield Problem("count", f"{self.count} is not from 1 to {MOST_IN_A_UNIT}", "write how many are in one unit")
        for opening in self.openings:
            for one in MEASURED:
                if getattr(opening, one) and one not in self.measured:
                    yield Problem("opening", f"a {self.called} has no {one} that is measured", f"leave the {one} out")

    @property
    def words(self) -> str:
        """What it is called in the names of its parts."""
        return self.name or self.called

    def as_measured(self, number: int | None) -> Self:
        """It with what was measured of all of them, and of the one of this number, in place of what was drawn."""
        found: dict[str, Any] = {}
        for opening in sorted(self.openings, key=lambda one: one.number is not None):
            if opening.number in (None, number):
                found |= {one: min(getattr(opening, one)) for one in MEASURED if getattr(opening, one)}
        return replace(self, openings=(), **found)

    @property
    def is_fitted(self) -> bool:
        """Whether it is made for an opening or something else that stands already, so that it is measured first."""
        return bool(self.measured)


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """A part or cut that a thing makes, changed by hand: what is given here stands in place of what follows.

    `of` is the mark of the part or the cut. `measured` is no change: what the thing makes follows from it.
    """

    of: str = asked("Mark", "of the part or cut that is changed")
    quantity: int | None = asked("Quantity", "of a part", None)
    length: Nm | None = asked("Length", "of a part, or of a tenon", None)
    width: Nm | None = asked("Width", "of a part, or of a cut", None)
    thickness: Nm | None = asked("Thickness", "of a part, or of a tenon", None)
    material: str | None = asked("Material", "of a part", None)
    tolerance: Nm | None = asked("Tolerance ±", "of a part", None)
    measured: Nm | None = asked("Measured", "how thick the part really is", None)
    note: str | None = asked("Note", "for whoever cuts the part", None)
    at: tuple[Nm, ...] = asked("Places", "of a cut, from its reference, with ; between them", ())
    depth: Nm | None = asked("Depth", "of a cut", None)
    play: Nm | None = asked("Play", "of a cut", None)
    station: str | None = asked("Station", "where a cut is made", None)

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"change of {self.of}", problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.of:
            yield Problem("of", "is empty", "write the mark of the part or cut that is changed")
        if not any(getattr(self, one) not in (None, ()) for one in CHANGEABLE):
            yield Problem("of", "changes nothing", "write what is other than the thing makes it, or leave it out")


CHANGEABLE = tuple(name for name in Changed.__dataclass_fields__ if name != "of")
"""What can be changed by hand."""
