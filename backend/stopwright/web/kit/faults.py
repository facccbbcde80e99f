"""One shape for every error: a page for people, {"error": {"what", "where", "next_step"}} for scripts, by Accept."""

import logging
from http import HTTPStatus

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from stopwright.errors import BadInput, ChangedMeanwhile, NotFound, NotPaired, StopwrightError, StoreTrouble
from stopwright.web.kit.headers import SAFE_HEADERS
from stopwright.web.kit.pages import Pages

STATUS: tuple[tuple[type[StopwrightError], int], ...] = (
    (NotPaired, 403),
    (NotFound, 404),
    (ChangedMeanwhile, 409),
    (StoreTrouble, 503),
    (StopwrightError, 422),
)

_SAID = {
    404: ("There is no such page.", "Go back to the start and choose from there."),
    405: ("This page does not take requests of that kind.", "Go back and use the buttons of the page."),
    413: ("That is more than is accepted at once.", "Send it in smaller portions."),
}

log = logging.getLogger(__name__)


class FaultPages:
    """Turns an error into an answer. Knows pages, not routes, so that the doorway can use it too."""

    def __init__(self, pages: Pages) -> None:
        self._pages = pages

    def answer(self, request: Request, error: StopwrightError, status: int = 0) -> Response:
        """The answer to show for an error, in the shape that the request accepts."""
        status = status or status_of(error)
        faults = [str(fault) for fault in error.faults] if isinstance(error, BadInput) else []
        if not wants_page(request):
            shape = {"what": error.what, "where": error.where, "next_step": error.next_step}
            return JSONResponse({"error": shape | ({"faults": faults} if faults else {})}, status)
        paired = request.scope.get("state", {}).get("device")
        return self._pages.show(
            request,
            "trouble.html",
            status,
            error=error,
            faults=faults,
            styles="/styles" if paired else "/pair",
            home="/" if paired else "",
        )

    def install(self, app: FastAPI) -> None:
        """Makes every error of the program come out in this shape."""

        def told(request: Request, error: Exception) -> Response:
            assert isinstance(error, StopwrightError)
            return self.answer(request, error)

        def http(request: Request, error: Exception) -> Response:
            assert isinstance(error, HTTPException)
            what, step = _SAID.get(error.status_code, (f"{_phrase(error.status_code)}.", "Go back and try again."))
            answer = self.answer(request, StopwrightError(what, request.url.path, step), error.status_code)
            answer.headers.update(error.headers or {})
            return answer

        def invalid(request: Request, error: Exception) -> Response:
            assert isinstance(error, RequestValidationError)
            first = error.errors()[0] if error.errors() else {"loc": (), "msg": "cannot be read"}
            where = ".".join(str(part) for part in first["loc"])
            what = f"What was sent cannot be read: {first['msg']}."
            return self.answer(request, StopwrightError(what, where, "Reload the page and repeat it."), 422)

        def unexpected(request: Request, error: Exception) -> Response:
            log.error("unexpected at %s", request.url.path, exc_info=error)
            what = "Unexpected error; nothing you tapped is lost."
            step = "Reload the page. If it happens again, show the terminal of the bench to whoever looks after it."
            answer = self.answer(request, StopwrightError(what, request.url.path, step), 500)
            answer.headers.update(SAFE_HEADERS)  # this one is made outside the doorway
            return answer

        app.add_exception_handler(StopwrightError, told)
        app.add_exception_handler(HTTPException, http)
        app.add_exception_handler(RequestValidationError, invalid)
        app.add_exception_handler(Exception, unexpected)


def status_of(error: StopwrightError | None) -> int:
    """The HTTP status of an answer that tells of an error; 200 where there is none."""
    return 200 if error is None else next(code for kind, code in STATUS if isinstance(error, kind))


def wants_page(request: Request) -> bool:
    """True when a person's browser asks; scripts and command-line tools get JSON."""
    return "text/html" in request.headers.get("accept", "")


def _phrase(status: int) -> str:
    try:
        return HTTPStatus(status).phrase
    except ValueError:
        return f"Answer {status}"
