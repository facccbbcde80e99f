"""Pages that are about one job's own parts, wood and pieces: not there where several jobs are worked together."""

from collections.abc import Callable

from starlette.requests import Request

from stopwright.actions.jobs.keeping import members_of, refuse_several
from stopwright.store.log import Store


def one_job_only(store: Store) -> Callable[[Request], None]:
    """Refuses a page of a number under which several jobs are worked together, and says which jobs to open."""

    def check(request: Request) -> None:
        job = request.path_params.get("job", "")
        if members_of(store, job):
            refuse_several(store, job)

    return check
