"""What every page works with: the store, the shop to start from, the templates, the door."""

from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import HTMLResponse

from stopwright.actions.floor.worked_together import part_of
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.planning import Planned, asked_for, sheet_search
from stopwright.actions.jobs.together import together_with
from stopwright.actions.shop.pairing import Door
from stopwright.errors import StopwrightError
from stopwright.model.stations import Shop
from stopwright.store.log import Store
from stopwright.web.kit.pages import Pages
from stopwright.web.kit.shop_certificate import ShopCertificate
from stopwright.web.kit.waiting import answer_of, tell_failure


@dataclass(frozen=True, slots=True)
class Web:
    """Made once by `create_app`. `shop` holds until one is saved; `address` is where phones reach the bench, or "".

    `certificate` is there when they reach it over HTTPS.
    """

    store: Store
    shop: Shop
    pages: Pages
    door: Door
    address: str = ""
    certificate: ShopCertificate | None = None

    def planned(self, job: str) -> Planned:
        """The plan of a job as it is worked now: where it is worked together with others, what of theirs is its own.

        Raises NotFound, BadInput, and StillPlanning while it is not made. The request is then put aside and comes again
        when the plan is there: ask before anything is written down.
        """
        number = together_with(self.store, job)
        if number:
            with suppress(StopwrightError):  # another of them stands in the way: then it is looked at by itself
                return part_of(self.planned_alone(number), job, job_document(self.store, job).version)
        return self.planned_alone(job)

    def planned_alone(self, job: str) -> Planned:
        """The run sheet of a job by itself as it stands now, or of several under the number of these; see `planned`."""
        tell_failure()
        asked = asked_for(self.store, job, self.shop)
        sheet = answer_of(sheet_search(asked))
        assert sheet is not None
        return asked.planned(sheet)

    def job_page(self, request: Request, name: str, job: str, planned: Planned, **data: Any) -> HTMLResponse:
        """A page of a job: its number and name are there, and lengths are shown as its shop does."""
        show, title = planned.shop.show, planned.job.name
        return self.pages.show(request, name, shop_show=show, job=job, job_name=title, **data)

    @property
    def on_labels(self) -> str:
        """The address that is printed: the name on the network where no phone can reach the bench now."""
        return self.address or "http://stopwright.local:8765"
