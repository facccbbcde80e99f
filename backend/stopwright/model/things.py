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
MEASURED_DRY = ("light_width", "light_height")
"""What can be measured of a frame that was put together dry: a light, clear from wood to wood."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What was measured of one thing of the batch, or of all where `number` is None; nm.

    Each measure may have been taken in several places, the smallest of them counts. Those of a light are taken when the
    parts of the frame are worked, of all frames alike.
    """

    number: int | None = asked("Which one", "counted from 1 through the whole batch; empty: all of them", None)
    width: tuple[Nm, ...] = asked("Width as measured", "at front and back, with ; between them: the smaller counts", ())
    height: tuple[Nm, ...] = asked("Height as measured", "left and right, with ; between them", ())
    depth: tuple[Nm, ...] = asked("Depth as measured", "the smallest counts", ())
    light_width: tuple[Nm, ...] = asked(
        "Light measured dry, width",
        "clear, from wood to wood, with ; between: the smallest of all alike counts",
        (),
    )
    light_height: tuple[Nm, ...] = asked(
        "Light measured dry, height", "clear, left and right, with ; between: the smallest of all alike counts", ()
    )

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent("opening", problems)

    def _problems(self) -> Iterator[Problem]:
        if self.number is not None and self.number < 1:
            yield Problem("number", "is less than 1", "count the openings from 1, or leave it out for all of them")
        if not self.of_opening and not self.of_light:
            yield Problem("width", "is empty, and so is everything else", "write what was measured")
        elif self.number is not None and not self.of_opening:
            text = "frames alike are measured dry together, and the smallest light counts"
            yield Problem("number", text, "leave it out, or write what the opening of this one measures")
        for one in (*MEASURED, *MEASURED_DRY):
            if min(getattr(self, one), default=1) <= 0:
                yield Problem(one, "is not above 0", f"measure the {one.replace('_', ' ')} again")

    @property
    def of_opening(self) -> dict[str, Nm]:
        """What counts of each measure of the opening, nm."""
        return {one: min(getattr(self, one)) for one in MEASURED if getattr(self, one)}

    @property
    def of_light(self) -> dict[str, Nm]:
        """What counts of each measure of a light, nm."""
        return {one: min(getattr(self, one)) for one in MEASURED_DRY if getattr(self, one)}


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
    measured_dry: ClassVar[tuple[str, ...]] = ()
    """What may be measured of it when it is put together dry, before the rest of it is cut."""

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
            for one in (*opening.of_opening, *opening.of_light):
                if one not in (*self.measured, *self.measured_dry):
                    named = one.replace("_", " ")
                    text = f"a {self.called} has no {named} that is measured"
                    yield Problem("opening", text, f"leave the {named} out")

    @property
    def words(self) -> str:
        """What it is called in the names of its parts."""
        return self.name or self.called

    def as_measured(self, number: int | None) -> Self:
        """It with what was measured of all of them, and of the one of this number, in place of what was drawn.

        Of its openings only what was measured dry is left: one that was measured by itself has lights of its own.
        """
        found: dict[str, Any] = {}
        dry: dict[str, Nm] = {}
        for opening in sorted(self.openings, key=lambda one: one.number is not None):
            if opening.number in (None, number):
                found |= opening.of_opening
            if opening.number == number:
                dry |= opening.of_light
        measured: dict[str, Any] = {name: (one,) for name, one in dry.items()}
        lights = (Opening(**measured),) if measured else ()
        return replace(self, openings=lights, **found)

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
