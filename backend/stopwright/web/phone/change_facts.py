"""What the screen of a run must know of changeovers: what to do, what it loses, what it leaves alone."""

from typing import Any, TypeAlias

from stopwright.actions.floor.stopping import lost_in_change
from stopwright.errors import NotFound
from stopwright.model.machines import Machine
from stopwright.model.stations import Shop
from stopwright.paper.wording import change_steps, change_text
from stopwright.plan.run_sheet import Changeover, Run
from stopwright.plan.stations.making_ready import CAUTIONS, changeover
from stopwright.web.kit.pages import opened
from stopwright.web.kit.shown import position_texts

Told: TypeAlias = list[Any]
"""A head, and below it lines, each of words and of a length in every way to show it."""


def machine_facts(shop: Shop) -> dict[str, Any]:
    """Every machine by its name: its stations, and what each changeover from one to another asks for.

    A changeover is named by both stations on two lines.
    """
    return {
        machine.name: {"stations": machine.stations, "changes": _changes(shop, machine)} for machine in shop.machines
    }


def _changes(shop: Shop, machine: Machine) -> dict[str, Any]:
    return {
        f"{from_}\n{to}": _change(shop, machine, changeover(shop, machine, from_, to))
        for from_ in machine.stations
        for to in machine.stations
        if from_ != to
    }


def _change(shop: Shop, machine: Machine, change: Changeover) -> dict[str, Any]:
    return {
        "title": change_text(change),
        "steps": [[opened(head), [words]] for head, words in change_steps(change)],
        "lost": lost_in_change(shop, machine, change.from_, change.to),
        "cautions": [caution.text for caution in CAUTIONS],
    }


def ready_told(run: Run, shop: Shop) -> dict[str, Any]:
    """What is kept with "machine made ready" before this run. Raises NotFound where no changeover comes before it."""
    change, machine = run.change, shop.machine_of(run.station)
    if change is None or machine is None:
        raise NotFound(f"no machine is changed over before run {run.number}", "the run", "reload the page")
    lost = [list(one) for one in lost_in_change(shop, machine, change.from_, change.to)]
    return {"machine": machine.name, "from": change.from_, "to": change.to, "lost": lost}


def change_facts(change: Changeover) -> dict[str, Any]:
    """What the sheet knows of the changeover before a run: what stands afterwards for which run, what is set again."""
    leaves: list[Told] = []
    if change.stands:
        rows = [
            [f"{stop.axis} ", [stop.to_mark] if stop.to_mark else position_texts(stop.reading), f" for run {number}"]
            for stop, number in change.stands
        ]
        leaves.append(["Leave as it stands", *rows])
    if change.again:
        leaves.append(["Set again later", ["; ".join(change.again)]])
    return {"from": change.from_, "leaves": leaves}
