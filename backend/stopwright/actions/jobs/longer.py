"""A longer search for a job's plan, or the quick plan at once."""

from dataclasses import dataclass

from stopwright.actions.jobs.keeping import choose_plan, chosen
from stopwright.actions.jobs.planning import Asked, asked_for, make_sheet, sheet_search, version_of
from stopwright.actions.jobs.searching import Search, Searches
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.weighing.alternatives import figures
from stopwright.store.log import Store

QUICK = 0
"""Steps of search for the plan that is there at once."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a longer search found: the better plan's figures, and whether it is better than the one before."""

    sheet: RunSheet
    steps: int
    better: bool


_LONGER = Searches()


def take_the_quick_plan(store: Store, job: str, device: str) -> None:
    """Ends waiting for a plan: the one that is there at once is taken, and that is taken down. Raises NotFound."""
    _choose_steps(store, job, QUICK, version_of(store, job), device)


def search_longer(store: Store, job: str, default_shop: Shop, seconds: float, device: str) -> Search[Found]:
    """Begins a longer search for the job's plan, or returns the one that is on. Raises NotFound and BadInput.

    When it ends, by itself or by `stop`, its plan is chosen if it is better than the one before: fewer pieces
    without wood, then fewer boards, settings, handlings, minutes, or the same and now proven. The steps it took are
    taken down, so that the plan can be made again alike. It also ends when what it plans has changed.
    """
    asked = asked_for(store, job, default_shop)

    def work(search: Search[Found]) -> Found:
        before = sheet_search(asked).answer()
        assert before is not None
        sheet = make_sheet(search, asked, search)
        found = Found(sheet, search.looked, _worth(sheet, asked) < _worth(before, asked))
        if found.better and asked_for(store, job, default_shop) == asked:
            _choose_steps(store, job, found.steps, asked.version, device)
        return found

    seen = store.last_seq

    def outdated() -> bool:
        nonlocal seen
        before, seen = seen, store.last_seq
        return seen != before and asked_for(store, job, default_shop) != asked

    known = _LONGER.known((job, asked))
    if known and known.finished:
        _LONGER.forget((job, asked))
    return _LONGER.begin((job, asked), work, seconds=seconds, outdated=outdated)


def longer_search(store: Store, job: str, default_shop: Shop) -> Search[Found] | None:
    """The longer search of the job's plan that is on, or that ended without a better plan; None if there is none."""
    return _LONGER.known((job, asked_for(store, job, default_shop)))


def _choose_steps(store: Store, job: str, steps: int, version: int, device: str) -> None:
    choose_plan(store, job, {**chosen(store, job), "steps": steps, "version": version}, device)


def _worth(sheet: RunSheet, asked: Asked) -> tuple[float, ...]:
    """What a shop wants of a plan, the less the better; at last the gaps that are still open."""
    gaps = (sheet.wood.boards_used - sheet.wood.least_possible, sheet.settings.made - sheet.settings.least_possible)
    return (len(sheet.faults), *figures(sheet, asked.choices).costs, *gaps)
