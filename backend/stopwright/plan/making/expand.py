"""Everything that the things of a job make: parts, cuts and joints of all of them, what was changed by hand applied."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import Nm, Show, show_in
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.joints import Joint
from stopwright.model.meetings import Meeting
from stopwright.model.parts import Hand, Part
from stopwright.model.shaping import Mitre
from stopwright.model.things import CHANGEABLE, Changed, Thing
from stopwright.plan.joinery.hands import is_handed
from stopwright.plan.making.formulas import Formula
from stopwright.plan.making.known import KINDS
from stopwright.plan.making.work import Work

MEASURED = "measured"
"""The change that is none: it says how thick a part really is."""


@dataclass(frozen=True, slots=True)
class Lot:
    """Equal things of a batch, made alike: the thing as measured, which of the batch they are, and what they make.

    `parts` and `cuts` are as the thing makes them; what was changed by hand is not in them.
    """

    thing: Thing
    place: int
    mark: str
    numbers: tuple[int, ...]
    parts: tuple[Part, ...]
    cuts: tuple[Cut, ...]
    joints: tuple[Joint, ...]
    mitres: tuple[Mitre, ...]
    meetings: tuple[Meeting, ...]
    formulas: tuple[Formula, ...]
    notes: tuple[str, ...]
    opposite: frozenset[str]
    """Parts of which two face each other."""
    by_thickness: frozenset[str]
    """Parts whose thickness, as measured, something is worked out from."""
    dry: tuple[tuple[str, Nm], ...] = ()
    """What is measured when it is put together dry, as worked out, nm."""


@dataclass(frozen=True, slots=True)
class ByHand:
    """One field of a part or cut that was changed by hand, and what the thing says to it."""

    of: str
    field: str
    now: Any
    by_the_thing: Any


@dataclass(frozen=True, slots=True)
class Expanded:
    """What all things make. `refused` names the place of the thing, `stray` that of the change, and what is wrong."""

    lots: tuple[Lot, ...] = ()
    parts: tuple[Part, ...] = ()
    cuts: tuple[Cut, ...] = ()
    joints: tuple[Joint, ...] = ()
    mitres: tuple[Mitre, ...] = ()
    meetings: tuple[Meeting, ...] = ()
    by_hand: tuple[ByHand, ...] = ()
    refused: tuple[tuple[int, Problem], ...] = ()
    stray: tuple[tuple[int, Problem], ...] = ()


def expand(things: Sequence[Thing], changes: Sequence[Changed], units: int, show: Show) -> Expanded:
    """What the things make for so many units, each after the other, nothing that contradicts itself left out unsaid."""
    by_mark = {change.of: change for change in changes}
    lots: list[Lot] = []
    refused: list[tuple[int, Problem]] = []
    for place, thing in enumerate(things):
        for mark, numbers, one in _alike(thing, units):
            belong = tuple((number - 1) // thing.count for number in numbers)
            belong = belong if len(numbers) < thing.count * units else ()
            lot, problems = _worked_out(Work(one, mark, len(numbers), belong, show, by_mark), place, numbers)
            lots += [lot] if lot else []
            refused += [(place, problem) for problem in problems]
        refused += ((place, problem) for problem in _beyond(thing, units))
    parts = [part for lot in lots for part in lot.parts]
    cuts = [cut for lot in lots for cut in lot.cuts]
    parts, cuts, by_hand, stray = _changed(parts, cuts, changes, bool(refused))
    joints = [joint for lot in lots for joint in lot.joints]
    opposite = {mark for lot in lots for mark in lot.opposite}
    return Expanded(
        tuple(lots),
        tuple(_in_pairs(parts, joints, cuts, opposite)),
        tuple(cuts),
        tuple(joints),
        tuple(mitre for lot in lots for mitre in lot.mitres),
        tuple(meeting for lot in lots for meeting in lot.meetings),
        tuple(by_hand),
        tuple(dict.fromkeys(refused)),
        tuple(stray),
    )


def made_by(job: Job) -> Expanded:
    """What the things of a job make."""
    if not job.things:
        return Expanded()
    return expand(job.things, job.changes, job.units, show_in(job.lengths))


def _alike(thing: Thing, units: int) -> Iterator[tuple[str, tuple[int, ...], Thing]]:
    """Equal things of the batch together: the mark that their parts begin with, which they are, and one of them.

    Those that were not measured one by one keep the mark of the thing, the others add their number: D.3.
    """
    whole = thing.count * units
    own = {opening.number for opening in thing.openings if opening.number is not None and opening.number <= whole}
    groups: dict[Thing, list[int]] = {}
    usual = thing.as_measured(None)
    if len(own) < whole:
        groups[usual] = [number for number in range(1, whole + 1) if number not in own]
    for number in sorted(one for one in own if one is not None):
        groups.setdefault(thing.as_measured(number), []).append(number)
    for one, numbers in groups.items():
        mark = thing.mark if one == usual else f"{thing.mark}.{numbers[0]}"
        yield mark, tuple(sorted(numbers)), one


def _beyond(thing: Thing, units: int) -> Iterator[Problem]:
    whole = thing.count * units
    for opening in thing.openings:
        if opening.number is not None and opening.number > whole:
            text = f"there is no opening {opening.number}, only {whole} in the batch"
            yield Problem("opening", text, f"write a number from 1 to {whole}")


def _worked_out(work: Work, place: int, numbers: tuple[int, ...]) -> tuple[Lot | None, list[Problem]]:
    try:
        KINDS[work.thing.kind].work_out(work.thing, work)
    except Inconsistent as error:  # a cut or part that cannot be, whatever the kind did not foresee
        work.refused += [Problem("mark", f"{error.where}: {one.what}", one.next_step) for one in error.problems]
    if work.refused:
        return None, work.refused
    made = tuple(work.parts), tuple(work.cuts), tuple(work.joints), tuple(work.mitres), tuple(work.meetings)
    said = tuple(work.formulas), tuple(work.notes), frozenset(work.opposite), frozenset(work.by_thickness)
    return Lot(work.thing, place, work.mark, numbers, *made, *said, tuple(work.dry.items())), []


def _in_pairs(parts: Sequence[Part], joints: Sequence[Joint], cuts: Sequence[Cut], opposite: set[str]) -> list[Part]:
    """The parts, those that face each other as pairs where their cuts are not the same seen from either side."""
    marks = {part.mark for part in parts}
    inside = tuple(cut for cut in cuts if {*cut.parts, *(mark for _, mark in cut.others())} <= marks)
    if not opposite or len(marks) < len(parts):  # a mark that stands twice is refused where things are read
        return list(parts)
    job = Job("what is made", tuple(parts), joints=tuple(joints), cuts=inside)
    turned = {part.mark for part in parts if part.mark in opposite and part.quantity % 2 == 0 and is_handed(job, part)}
    return [replace(part, hand=Hand.PAIRS) if part.mark in turned else part for part in parts]


def _changed(
    parts: Iterable[Part], cuts: Iterable[Cut], changes: Sequence[Changed], unsure: bool
) -> tuple[list[Part], list[Cut], list[ByHand], list[tuple[int, Problem]]]:
    lines: dict[str, Part | Cut] = {part.mark: part for part in parts}
    lines |= {cut.mark: cut for cut in cuts}
    by_hand: list[ByHand] = []
    stray: list[tuple[int, Problem]] = []
    for place, change in enumerate(changes):
        line = lines.get(change.of)
        if line is None:
            if not unsure:
                text = f"nothing that is made has the mark {change.of[:40]}"
                stray.append((place, Problem("of", text, "write the mark of a part or cut that a thing makes")))
            continue
        now, odd = _given(change, line)
        try:
            lines[line.mark] = replace(line, **now)
        except Inconsistent as error:
            odd += error.problems
        stray += [(place, problem) for problem in odd]
        was = {name: getattr(line, name) for name in now}
        named = [name for name in now if name != MEASURED]
        by_hand += [ByHand(line.mark, name, now[name], was[name]) for name in named if now[name] != was[name]]
    return (
        [one for one in lines.values() if isinstance(one, Part)],
        [one for one in lines.values() if isinstance(one, Cut)],
        by_hand,
        stray,
    )


def _given(change: Changed, line: Part | Cut) -> tuple[dict[str, Any], list[Problem]]:
    """What a change gives of a line, in the form that the line has; and what the line does not have."""
    now: dict[str, Any] = {}
    odd = []
    has = {field.name for field in fields(line)}
    called = f"part {line.mark}" if isinstance(line, Part) else f"{line.kind} {line.mark}"
    for name in CHANGEABLE:
        value = getattr(change, name)
        if value in (None, ()):
            continue
        if name not in has:
            odd.append(Problem(name, f"{called} has no {name}", "leave it out"))
        elif name != "at" or isinstance(getattr(line, "at", None), tuple):
            now[name] = value
        elif len(value) == 1:
            now[name] = value[0]
        else:
            odd.append(Problem(name, f"{called} has one place", "write one length"))
    return now, odd
