"""Things to make in a job file: read, worked out beside the job's own lines, and left out when it is written."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, is_dataclass
from typing import Any, get_args, get_origin

from stopwright.intake.documents import Reading
from stopwright.intake.keys import keys_of
from stopwright.intake.scalars import shortened
from stopwright.lengths import show_in
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.joints import Joint
from stopwright.model.parts import Part
from stopwright.model.shaping import Mitre
from stopwright.model.things import Changed, Thing
from stopwright.plan.making.expand import Expanded, expand, made_by
from stopwright.plan.making.known import THINGS

CHANGED = "changed"
"""The name of the table of what was changed by hand."""


@dataclass(frozen=True, slots=True)
class Own:
    """What of a job stands in its file: not what its things make."""

    parts: tuple[Part, ...]
    joints: tuple[Joint, ...]
    mitres: tuple[Mitre, ...]
    cuts: tuple[Cut, ...]


def own_lines(job: Job) -> Own:
    """The parts, joints, mitres and cuts of a job that no thing makes."""
    made = made_by(job)
    parts, cuts = {part.mark for part in made.parts}, {cut.mark for cut in made.cuts}
    joints, mitred = {joint.mark for joint in made.joints}, {mitre.part for mitre in made.mitres}
    return Own(
        tuple(part for part in job.parts if part.mark not in parts),
        tuple(joint for joint in job.joints if joint.mark not in joints),
        tuple(mitre for mitre in job.mitres if mitre.part not in mitred),
        tuple(cut for cut in job.cuts if cut.mark not in cuts),
    )


def read_things(document: Mapping[str, Any], reading: Reading) -> tuple[tuple[str, int, Thing], ...]:
    """The things of every kind that can be read, each with the name of its table and its place in it."""
    return tuple(_read(document, reading))


def _read(document: Mapping[str, Any], reading: Reading) -> Iterator[tuple[str, int, Thing]]:
    for name, kind in THINGS.items():
        tables = document.get(name, [])
        if not isinstance(tables, list):
            reading.fault((name,), "is not a list of tables", f"write it as [[{name}]]")
            continue
        for number, table in enumerate(tables):
            thing = reading.table(kind, with_lists(table, kind), (name, number))
            if thing is not None:
                yield name, number, thing


def add_made(
    values: Mapping[str, Any], things: Sequence[tuple[str, int, Thing]], document: Mapping[str, Any], reading: Reading
) -> dict[str, Any]:
    """The fields of a job with what its things make behind its own lines; `cuts` holds only what is made."""
    changes: dict[int, Changed] = {n: one for n, one in enumerate(values.get("changes", ())) if one is not None}
    units = max(values.get("units", 1), 1)
    made = expand([thing for _, _, thing in things], list(changes.values()), units, show_in(reading.unit))
    for place, problem in made.refused:
        name, number, _ = things[place]
        reading.fault((name, number, problem.field.rstrip("_")), problem.what, problem.next_step)
    parts = values["parts"]
    written = sum(len(document[name]) for name in THINGS if isinstance(document.get(name), list))
    if written > len(things):
        made = Expanded()  # a thing that cannot be read is said already, and nothing follows from the others
    for place, problem in made.stray:
        reading.fault((CHANGED, list(changes)[place], problem.field), problem.what, problem.next_step)
    _refuse_taken(parts, things, made, reading)
    return {
        **values,
        "parts": (*parts, *made.parts),
        "joints": (*values.get("joints", ()), *made.joints),
        "mitres": (*values.get("mitres", ()), *made.mitres),
        "meetings": made.meetings,
        "cuts": made.cuts,
        "things": tuple(thing for _, _, thing in things),
    }


def _refuse_taken(
    own: Sequence[Part], things: Sequence[tuple[str, int, Thing]], made: Expanded, reading: Reading
) -> None:
    """Marks that what is made would share with a line of the list, or with what another thing makes."""
    taken = {part.mark for part in own}
    times = Counter(part.mark for part in made.parts)
    for lot in made.lots:
        name, number, _ = things[lot.place]
        for part in lot.parts:
            if part.mark in taken or times[part.mark] > 1:
                text = f"its part {shortened(part.mark)} would have a mark that is used already"
                reading.fault((name, number, "mark"), text, "give the thing another mark")
                break


def with_lists(table: object, kind: Any) -> object:
    """A table in which one value stands for a list of one, wherever the kind holds a list; in its tables too."""
    if not isinstance(table, Mapping):
        return table
    whole = dict(table)
    for name, key in keys_of(kind).items():
        if get_origin(key.kind) is not tuple or name not in whole:
            continue
        inside = get_args(key.kind)[0]
        if is_dataclass(inside):
            if isinstance(whole[name], list):
                whole[name] = [with_lists(one, inside) for one in whole[name]]
        elif not isinstance(whole[name], list):
            whole[name] = [whole[name]]
    return whole
