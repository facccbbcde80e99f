"""How the runs stand that a number of the list of jobs stands for: those of one job, or of several worked together."""

from collections.abc import Sequence

from stopwright.actions.floor.worked_together import machines_of, runs_of_several, taps_of
from stopwright.actions.jobs.keeping import members_of
from stopwright.actions.jobs.planning import Planned, asked_for, sheet_search
from stopwright.actions.jobs.together import JOINS
from stopwright.errors import StopwrightError
from stopwright.store.events import Event
from stopwright.store.job_fold import SAVES
from stopwright.store.log import Store
from stopwright.store.machine_fold import Machines
from stopwright.store.shop_fold import SHOP_KINDS
from stopwright.web.kit.context import Web
from stopwright.web.phone.run_state import Standing, StandingSoFar, machines_json, plain_run

_CHANGES_SHEET = frozenset({*SAVES, *JOINS, "plan chosen", *SHOP_KINDS})
_NOT_KNOWN = Standing(0, {}, (), machines_json(Machines()))
"""What stands while the plan of several jobs is not made; a page holds to what it knows."""


def standing_now(web: Web, job: str) -> tuple[Standing, str]:
    """How the runs stand, and what names the run sheet."""
    return standing_of(web, job), sheet_mark(web.store, job)


def standing_of(web: Web, job: str) -> Standing:
    """How the runs of a job stand, or those on the sheet of several."""
    if not members_of(web.store, job):
        return web.store.grown(job, StandingSoFar)
    planned = _at_hand(web, job)
    if planned is None:
        return _NOT_KNOWN
    taps = taps_of(web.store, job)
    runs = {id_: plain_run(one.state, one.taps, one.before) for id_, one in runs_of_several(planned, taps).items()}
    machines = machines_json(machines_of(web.store, job, planned))
    return Standing(taps.seq, runs, taps.recent, machines)


def sheet_mark(store: Store, job: str) -> str:
    """What names the run sheet that a job has now; it changes with whatever the sheet is made from."""
    made_from = (job, *members_of(store, job), "")
    return ".".join(str(store.folded(one, _last, _CHANGES_SHEET)) for one in made_from)


def _at_hand(web: Web, job: str) -> Planned | None:
    """The plan of several jobs if it is made, without waiting for it."""
    try:
        asked = asked_for(web.store, job, web.shop)
        sheet = sheet_search(asked).answer(0)
    except StopwrightError:
        return None
    return asked.planned(sheet) if sheet else None


def _last(events: Sequence[Event]) -> int:
    return max((event.seq for event in events), default=0)
