"""What the order of the runs saves in changing machines over, and why one is changed over again."""

from collections.abc import Iterator, Sequence

from stopwright.model.machines import Machine
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import MachineChanges, Run, RunSheet


def machine_reasons(sheet: RunSheet, shop: Shop) -> dict[int, list[str]]:
    """By the number of a run what is true of it because its station shares a machine, without capital and full stop."""
    said: dict[int, list[str]] = {}
    machines = {machine.name: machine for machine in shop.machines}
    for changes in sheet.machines:
        for number, text in (*_forward(sheet.runs, changes), *_again(sheet.runs, changes, machines[changes.machine])):
            said.setdefault(number, []).append(text)
    return said


def times(number: int) -> str:
    """How often.

    >>> times(1), times(2), times(5)
    ('once', 'twice', '5 times')
    """
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def _forward(runs: Sequence[Run], changes: MachineChanges) -> Iterator[tuple[int, str]]:
    """Where a run comes before one of an earlier stage: what the whole order saves by that and its like."""
    saved = changes.usual_minutes - changes.minutes
    if saved <= 0:
        return
    work = {run.number: f"run {run.number}, {run.work}" for run in runs}
    for number, other in changes.forward:
        usual = sum(count for _, count in changes.usual)
        yield (
            number,
            f"now, before {work[other]}: in this order the {changes.machine} is changed over "
            f"{times(len(changes.changes))}, stage by stage it would be {times(usual)} and take {saved:g} min more",
        )


def _again(runs: Sequence[Run], changes: MachineChanges, machine: Machine) -> Iterator[tuple[int, str]]:
    """At each changeover: that it is the only one to this station, or what must have been done between."""
    place = {run.number: at for at, run in enumerate(runs)}
    usual = dict(changes.usual)
    for number, change in changes.changes:
        all_to = [one for one, other in changes.changes if other.to == change.to]
        earlier = [run for run in runs[: place[number]] if run.station == change.to]
        if not earlier:
            only = f"the {changes.machine} is made ready for the {change.to} only once"
            spared = f", stage by stage it would be {times(usual[change.to])}" if usual.get(change.to, 0) > 1 else ""
            if len(all_to) == 1:
                yield number, only + spared
            continue
        between = runs[place[earlier[-1].number] + 1 : place[number]]
        needed = _needed_by(runs, place[number], {run.id for run in between if run.station in machine.stations})
        if needed:
            yield number, f"the {change.to} once more: run {needed.number}, {needed.work}, had to come between"


def _needed_by(runs: Sequence[Run], at: int, between: set[str]) -> Run | None:
    """The last of the runs between that gives, over others too, what the station's runs from this place on take."""
    by_id = {run.id: run for run in runs}
    here = [run for run in runs[at:] if run.station == runs[at].station]
    found, wanted = set[str](), [id_ for run in here for id_ in run.after]
    while wanted:
        id_ = wanted.pop()
        if id_ not in found:
            found.add(id_)
            wanted += by_id[id_].after
    return max((by_id[id_] for id_ in found & between), key=lambda run: run.number, default=None)
