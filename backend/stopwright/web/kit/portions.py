"""No more than so many bytes at once: what is larger is refused before it is read into memory."""

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from stopwright.errors import StopwrightError
from stopwright.web.kit.faults import FaultPages

MOST_BYTES = 8_000_000
"""A part list of 5 000 lines as a spreadsheet stays well below."""

TOO_MUCH = StopwrightError("That is more than is accepted at once.", next_step="Send it in smaller portions.")


class Portions:
    """Refuses a body over `MOST_BYTES`, whether it says its size beforehand or not."""

    def __init__(self, app: ASGIApp, faults: FaultPages) -> None:
        self._app = app
        self._faults = faults

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        said = Headers(scope=scope).get("content-length", "0")
        if not said.isdecimal() or len(said) > 15 or int(said) > MOST_BYTES:
            await self._faults.answer(Request(scope), TOO_MUCH, 413)(scope, receive, send)
            return
        taken = 0

        async def receive_some() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > MOST_BYTES:
                raise HTTPException(413)
            return message

        await self._app(scope, receive_some, send)
