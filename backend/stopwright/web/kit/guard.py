"""Who may do what: every route is for the bench only, unless it says that it is for phones too."""

from enum import Enum

from starlette.requests import Request

from stopwright.actions.shop.pairing import BENCH
from stopwright.errors import NotPaired

FOR_PHONES: list[str | Enum] = ["for phones"]
"""The tag of a route, or of all routes of a router, that devices other than the bench may ask for."""


async def at_the_bench(request: Request) -> None:
    """Raises NotPaired where another device asks for what is done on the machine on which the program runs."""
    if request.state.device != BENCH and FOR_PHONES[0] not in request.scope["route"].tags:
        raise NotPaired("This is done at the bench only.", next_step="Go to the machine on which the program runs.")
