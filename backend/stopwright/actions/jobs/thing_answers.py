"""What the bench says to a thing to make: what follows line by line, every formula, what was changed by hand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any, get_args, get_origin

from stopwright.actions.jobs.joints_editing import faults_in, rows_of
from stopwright.intake.documents import Reading
from stopwright.intake.draft import CellFault, whole_number
from stopwright.intake.keys import is_length, keys_of
from stopwright.intake.things import CHANGED, with_lists
from stopwright.lengths import Nm, show_in
from stopwright.model.counts import neighbours
from stopwright.model.cuts import Cut
from stopwright.model.joints import Joint
from stopwright.model.parts import MadePart, Part
from stopwright.model.things import Changed, Thing
from stopwright.plan.making.expand import ByHand, Expanded, Lot, expand
from stopwright.plan.making.formulas import Formula, Sum
from stopwright.plan.making.known import THINGS

PART_FIGURES = ("length", "width", "thickness")

_NO_FORM = ("of", "measured")


@dataclass(frozen=True, slots=True)
class Figure:
    """One measure of a line: what it is called, its value, the formula behind it, and what was written by hand."""

    field: str
    label: str
    value: Nm
    formula: Sum | None
    by_hand: Any = None

    @property
    def steps(self) -> tuple[Sum, ...]:
        """The formulas behind it, those first that others are worked out from."""
        return () if self.formula is None else (*dict.fromkeys(self.formula.before()), self.formula)


@dataclass(frozen=True, slots=True)
class Line:
    """A part or a cut as the thing makes it, with its figures. `others` are changes by hand of what is none of them."""

    made: Part | Cut
    figures: tuple[Figure, ...]
    others: tuple[ByHand, ...] = ()

    @property
    def is_changed(self) -> bool:
        """Whether something of it was changed by hand."""
        return bool(self.others) or any(one.by_hand is not None for one in self.figures)

    @property
    def changeable(self) -> tuple[tuple[str, str], ...]:
        """What can be changed of it by hand, each with its label."""
        has = {field.name for field in fields(self.made)}
        words = [(field.name, field.metadata["words"].label) for field in fields(Changed) if field.name in has]
        return tuple((name, label) for name, label in words if name not in _NO_FORM)


@dataclass(frozen=True, slots=True)
class LotShown:
    """Equal things of the batch with all that they make; `which` says which they are, "" where it is all of them."""

    which: str
    parts: tuple[Line, ...]
    cuts: tuple[Line, ...]
    joints: tuple[Joint, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ThingAnswer:
    """What is said to a thing as typed."""

    faults: tuple[CellFault, ...]
    lots: tuple[LotShown, ...] = ()


def things_in(document: Mapping[str, Any]) -> Expanded:
    """What all things of a document make that can be read, whatever else is wrong with it."""
    places = [(name, row) for name in THINGS for row in range(len(rows_of(document, name)))]
    things = [thing for name, row in places for thing in _thing(document, name, row)]
    return expand(things, changes_in(document), _units(document), show_in(_unit(document)))


def made_lines(document: Mapping[str, Any]) -> list[tuple[Part, str, bool]]:
    """Every part that things make, where its thing stands (`drawer.0`), and whether it was changed by hand."""
    made = things_in(document)
    changed = {one.of for one in made.by_hand}
    at = {str(row.get("mark")): f"{name}.{n}" for name in THINGS for n, row in enumerate(rows_of(document, name))}
    return [(part, at[part.thing], part.mark in changed) for part in made.parts if isinstance(part, MadePart)]


def answer_thing(document: Mapping[str, Any], table: str, row: int) -> ThingAnswer:
    """The answer to a thing as typed: its faults, and what follows from it where its measures go together."""
    faults = faults_in(document, table, row)
    things = _thing(document, table, row)
    made = expand(things, changes_in(document), _units(document), show_in(_unit(document)))
    by_hand: dict[str, list[ByHand]] = {}
    for one in made.by_hand:
        by_hand.setdefault(one.of, []).append(one)
    whole = sum(thing.count for thing in things) * _units(document)
    return ThingAnswer(faults, tuple(_shown(lot, by_hand, whole) for lot in made.lots))


def changes_in(document: Mapping[str, Any]) -> list[Changed]:
    """The changes by hand that can be read."""
    reading = Reading("", unit=_unit(document))
    rows = (reading.table(Changed, with_lists(row, Changed), (CHANGED, 0)) for row in rows_of(document, CHANGED))
    return [one for one in rows if one is not None]


def _thing(document: Mapping[str, Any], table: str, row: int) -> list[Thing]:
    reading = Reading("", unit=_unit(document))
    thing = reading.table(THINGS[table], with_lists(rows_of(document, table)[row], THINGS[table]), (table, row))
    return [] if thing is None else [thing]


def _unit(document: Mapping[str, Any]) -> str:
    return "in" if document.get("lengths") == "in" else "mm"


def _units(document: Mapping[str, Any]) -> int:
    units = whole_number(document.get("units", 1))
    return min(units, 1000) if isinstance(units, int) and units > 0 else 1


def _shown(lot: Lot, by_hand: Mapping[str, list[ByHand]], whole: int) -> LotShown:
    return LotShown(
        "" if len(lot.numbers) == whole else _numbers(lot.numbers),
        tuple(_line(part, PART_FIGURES, lot.formulas, by_hand.get(part.mark, ())) for part in lot.parts),
        tuple(_line(cut, _lengths_of(cut), lot.formulas, by_hand.get(cut.mark, ())) for cut in lot.cuts),
        lot.joints,
        lot.notes,
    )


def _line(made: Part | Cut, names: Sequence[str], formulas: Sequence[Formula], by_hand: Sequence[ByHand]) -> Line:
    changed = {one.field: one.now for one in by_hand}
    figures: list[Figure] = []
    for name in names:
        several = _several(getattr(made, name))
        nows = _several(changed.get(name)) or (None,) * len(several)
        behind = [one.sum for one in formulas if (one.of, one.field) == (made.mark, name)]
        for number, value in enumerate(several):
            formula = behind[number] if number < len(behind) else None
            by_hand_now = nows[number] if number < len(nows) else None
            figures.append(Figure(name, _label(made, name), value, formula, by_hand_now))
    return Line(made, tuple(figures), tuple(one for one in by_hand if one.field not in names))


def _several(value: Any) -> tuple[Any, ...]:
    return value if isinstance(value, tuple) else () if value is None else (value,)


def _lengths_of(cut: Cut) -> list[str]:
    """The fields of a cut that hold a length that is something."""
    names = []
    for key in keys_of(type(cut)).values():
        kind = get_args(key.kind)[0] if get_origin(key.kind) is tuple else key.kind
        if is_length(kind) and getattr(cut, key.field):
            names.append(key.field)
    return names


def _label(made: Part | Cut, name: str) -> str:
    if isinstance(made, Part):
        return name.capitalize()
    words = next(field.metadata["words"] for field in fields(made) if field.name == name)
    return str(words.label)


def _numbers(numbers: Sequence[int]) -> str:
    """Which of a batch, stretches joined.

    >>> _numbers((1, 2, 4, 5, 6, 9))
    '1, 2, 4 to 6, 9'
    """
    joined = (f"{one[0]} to {one[-1]}" if len(one) > 2 else ", ".join(map(str, one)) for one in neighbours(numbers))
    return ", ".join(joined)
