"""Working out one thing: the measures it begins with, and the parts, cuts and joints that follow from them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from stopwright.errors import Problem
from stopwright.lengths import MM, Nm, Show, format_length
from stopwright.model.cuts import Cut
from stopwright.model.joints import Joint, Side
from stopwright.model.meetings import Meeting
from stopwright.model.parts import MadePart
from stopwright.model.shaping import Mitre
from stopwright.model.things import Changed, Thing
from stopwright.plan.making.formulas import Formula, Measure, Named, Sum, enough

MOST_OFF: Nm = 5 * MM
"""How far a frame that is put together dry may be from what was worked out (common practice): more is a slip."""

T = TypeVar("T", bound=Thing)


@dataclass(frozen=True, slots=True)
class ThingKind(Generic[T]):
    """One kind of thing: what a job asks for, and how its parts, cuts and joints are worked out.

    `about` says in a line or two what is worked out of what, for the page on which it is chosen.
    """

    asked: type[T]
    work_out: Callable[[T, "Work"], None]
    about: str


@dataclass(slots=True)
class Work:
    """What is worked out of one thing, of which `count` are made alike. The marks of its parts begin with `mark`.

    `units` are those, from 0, that each of them belongs to, empty where every unit has as many. `changes` are those by
    hand, by mark: here only what was measured is looked at.
    """

    thing: Thing
    mark: str
    count: int
    units: tuple[int, ...]
    show: Show
    changes: Mapping[str, Changed]
    parts: list[MadePart] = field(default_factory=list)
    opposite: set[str] = field(default_factory=set)
    """Parts of which two face each other, so that they are pairs where their cuts are handed."""
    by_thickness: set[str] = field(default_factory=set)
    """Parts whose thickness, as measured, something is worked out from."""
    cuts: list[Cut] = field(default_factory=list)
    joints: list[Joint] = field(default_factory=list)
    mitres: list[Mitre] = field(default_factory=list)
    meetings: list[Meeting] = field(default_factory=list)
    """How its parts sit in one another where no joint says it."""
    formulas: list[Formula] = field(default_factory=list)
    refused: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    """What a person has to know besides the figures."""
    dry: dict[str, Nm] = field(default_factory=dict)
    """What is measured when it is put together dry, as worked out, nm; its last parts are cut to what is measured."""

    def typed(self, entry: str, words: str) -> Measure:
        """What was typed in an entry, under the name that it has in formulas."""
        return Measure(words, getattr(self.thing, entry) or 0, entry)

    def thick(self, suffix: str, entry: str, words: str) -> Measure:
        """How thick a part is for what has to fit it: as it was measured, else as typed."""
        measured = self._measured(suffix)
        self.by_thickness.add(self.mark + suffix)
        return self.typed(entry, words) if measured is None else Measure(f"{words} as measured", measured, entry)

    def measured_dry(self, entry: str, drawn: Sum) -> Named:
        """A length as it was measured when the thing was put together dry, until then as it is worked out.

        Refused is what misses that by more than a frame does that was cut right.
        """
        self.dry[entry] = drawn.value
        measured = next((opening.of_light[entry] for opening in self.thing.openings if entry in opening.of_light), None)
        if measured is None:
            return drawn
        if abs(measured - drawn.value) > MOST_OFF:
            text = f"{drawn.words} measured {self.said(measured)} is far from the {self.said(drawn.value)} worked out"
            self.refuse("opening", text, "measure again, or look for what was cut wrong")
        return Measure(f"{drawn.words}, as measured", measured, entry)

    def said(self, length: Nm) -> str:
        """A length as the shop reads it."""
        return format_length(length, self.show)

    def refuse(self, entry: str, what: str, next_step: str) -> None:
        """Notes what cannot be made, at its entry, and the number that would do."""
        self.refused.append(Problem(entry, what, next_step))

    def joint(self, number: int, post: str, rail: str, **asked: Any) -> None:
        """Makes a joint between two parts of the thing; lengths in nm."""
        self.joints.append(Joint(f"{self.mark}J{number}", post, rail, **asked))

    def meet(self, cut: str, post: str, rail: str, side: Side, **asked: Any) -> None:
        """Says how the ends of a rail sit in a post, held there by a cut of the thing; lengths in nm."""
        self.meetings.append(Meeting(cut, post, rail, side, **asked))

    def half_unless(self, entry: str, words: str, of: Named) -> Named:
        """What was typed in an entry, else half of something."""
        if getattr(self.thing, entry) is not None:
            return self.typed(entry, words)
        return Sum(words, ((1, of),), "half of the wood: a workshop programme’s grooves (seen)", 2)

    def at_most(self, entry: str, words: str, value: Nm, most: Nm, of_what: str = "half of the wood") -> None:
        """Refuses an entry that is greater than it may be, and one that is nothing."""
        if value > most:
            text = f"{words} would be {self.said(value)}, {of_what} is {self.said(most)}"
            self.refuse(entry, text, f"write at most {self.said(most)}")

    def above(self, one: Named, least: Nm = 0) -> bool:
        """Whether a length is more than `least`; where it is not, what would do is noted."""
        if one.value > least:
            return True
        if isinstance(one, Measure):
            self.refuse(one.field, f"{one.words} is not above {self.said(least)}", f"measure the {one.words}")
            return False
        entry, would_do = enough(one, least, self.show)
        text = f"{one.words} would be {self.said(one.value)}: {one.in_figures(self.show)}"
        if would_do:
            text = f"{text} ({one.in_words()})"
        self.refuse(entry or "mark", text, f"make {would_do}" if would_do else "look at the measures it is made of")
        return False

    def part(
        self,
        suffix: str,
        name: str,
        each: int,
        size: tuple[Named, Named, Named],
        material: str,
        opposite: bool = False,
        **more: Any,
    ) -> str:
        """Makes a line of the part list, `each` pieces of length, width and thickness in every thing; its mark."""
        mark = self.mark + suffix
        named = ", ".join(filter(None, (f"{self.thing.words} {self.mark}", name)))
        above = [self.above(one) for one in size]
        for entry, one in zip(("length", "width", "thickness"), size, strict=True):
            if isinstance(one, Sum):
                self.formulas.append(Formula(mark, entry, one))
        if all(above):
            length, width, thickness = (one.value for one in size)
            quantity = each * self.count
            named = named[:1].upper() + named[1:]
            more |= {"measured": self._measured(suffix), "thing": self.thing.mark, "lot": self.mark, "each": each}
            more["units"] = tuple(unit for unit in self.units for _ in range(each))
            self.parts.append(MadePart(mark, named, quantity, length, width, thickness, material, **more))
            if opposite:
                self.opposite.add(mark)
        return mark

    def cut(self, kind: type[Cut], number: int, parts: tuple[str, ...], **asked: Any) -> str:
        """Makes a cut in parts of the thing; lengths with their names stand for their values. Its mark."""
        mark = f"{self.mark}{kind.letter}{number}"
        plain: dict[str, Any] = dict(asked)
        fine = True
        for entry, given in asked.items():
            several = given if isinstance(given, tuple) else (given,)
            for one in several:
                if isinstance(one, Sum):
                    self.formulas.append(Formula(mark, entry, one))
                if isinstance(one, Measure | Sum):
                    fine &= self.above(one, -1 if entry in ("at", "play") else 0)
            values = tuple(one.value if isinstance(one, Measure | Sum) else one for one in several)
            plain[entry] = values if isinstance(given, tuple) else values[0]
        if fine:
            self.cuts.append(kind(mark=mark, parts=parts, **plain))
        return mark

    def _measured(self, suffix: str) -> Nm | None:
        """How thick a part really is, nm: of one of the batch, else of all of them."""
        for mark in (self.mark + suffix, self.thing.mark + suffix):
            change = self.changes.get(mark)
            if change is not None and change.measured is not None:
                return change.measured
        return None
