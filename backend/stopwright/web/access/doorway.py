"""The doorway every request passes: known names only, paired devices only, our own pages only; and safe headers."""

from collections.abc import Collection
from http.cookies import CookieError, SimpleCookie
from ipaddress import ip_address
from urllib.parse import urlsplit

from starlette.datastructures import URL, Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from stopwright.actions.shop.pairing import BENCH, Door
from stopwright.errors import NotPaired
from stopwright.web.kit.faults import FaultPages
from stopwright.web.kit.headers import SAFE_HEADERS

COOKIE = "stopwright_device"

OPEN = "/pair/"
"""What a device may ask for that is not paired yet: the page that pairs it, and its style."""

THIS_MACHINE = ("localhost", "127.0.0.1", "::1")

REFUSAL = NotPaired(
    "This device is not paired.",
    next_step="Open “Phones” on the bench and scan the code that it shows.",
)
ELSEWHERE = NotPaired(
    "This did not come from one of our own pages.",
    next_step="Open the page from the bench's own address and try again.",
)


class Doorway:
    """Wraps the whole program; whoever is refused learns nothing, not even whether a page exists.

    Requests from this machine itself are the bench, unless somebody here passed them on for another. `hosts` are the
    names and addresses, besides this machine's own, under which the bench may be called: any other name in a request is
    somebody else's page pointing at us.
    With a `tls_port` a stranger who asks for a page without encryption is sent to the same page there: a phone let
    in over HTTPS keeps its secret for HTTPS, and may read a label printed before.
    """

    def __init__(
        self, app: ASGIApp, door: Door, faults: FaultPages, hosts: Collection[str] = (), tls_port: int = 0
    ) -> None:
        self._app = app
        self._door = door
        self._faults = faults
        self._tls_port = tls_port
        self._hosts = {host.lower().rstrip(".") for host in (*THIS_MACHINE, *hosts)}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return

        only_head = scope["method"] == "HEAD"
        if only_head:
            scope = {**scope, "method": "GET"}

        async def send_safely(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in SAFE_HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-cache")
                await send(message)
                if only_head:
                    await send({"type": "http.response.body", "body": b"", "more_body": False})
            elif not only_head:
                await send(message)

        headers = Headers(scope=scope)
        who = self._who(scope, headers)
        if who is None and scope["path"].lower().startswith(OPEN) and self._is_ours(headers):
            who = ("", "")
        if who is None and self._may_be_paired_over_https(scope, headers):
            to = URL(scope=scope).replace(scheme="https", port=self._tls_port)
            await RedirectResponse(to, 307)(scope, receive, send_safely)
        elif who is None:
            await self._faults.answer(Request(scope), REFUSAL)(scope, receive, send_safely)
        elif _is_built_into_another_page(headers) or (
            scope["method"] not in ("GET", "HEAD", "OPTIONS") and not _from_our_page(scope, headers)
        ):
            await self._faults.answer(Request(scope), ELSEWHERE)(scope, receive, send_safely)
        else:
            scope.setdefault("state", {})
            scope["state"]["device"], scope["state"]["device_name"] = who
            await self._app(scope, receive, send_safely)

    def _who(self, scope: Scope, headers: Headers) -> tuple[str, str] | None:
        """Id and name of the device that asks; None for a stranger."""
        if not self._is_ours(headers):
            return None
        if _is_this_machine(scope) and not _is_passed_on(headers):
            return BENCH, "The bench"
        device = self._door.who(_cookie(headers))
        return (device.id, device.name) if device else None

    def _may_be_paired_over_https(self, scope: Scope, headers: Headers) -> bool:
        asks = scope["method"] == "GET" and "text/html" in headers.get("accept", "")
        return bool(self._tls_port) and scope["scheme"] == "http" and asks and self._is_ours(headers)

    def _is_ours(self, headers: Headers) -> bool:
        if len(headers.getlist("host")) != 1:
            return False
        try:
            return (urlsplit(f"//{headers['host']}").hostname or "").rstrip(".") in self._hosts
        except ValueError:
            return False


def _is_this_machine(scope: Scope) -> bool:
    client = scope.get("client")
    try:
        address = ip_address(client[0]) if client else None
    except ValueError:
        return False
    if address is None:
        return False
    mapped = getattr(address, "ipv4_mapped", None)
    return bool((mapped or address).is_loopback)


PASSED_ON = ("forwarded", "via", "x-real-ip", "x-client-ip", "true-client-ip", "x-original-host")
"""What forwarders write of whom they pass on, besides all that begins with `x-forwarded-`."""


def _is_passed_on(headers: Headers) -> bool:
    """Whether a forwarder on this machine sends it: it then comes from somebody without the rights of the bench."""
    return any(name in PASSED_ON or name.startswith("x-forwarded-") for name in headers)


def _cookie(headers: Headers) -> str:
    try:
        jar = SimpleCookie(headers.get("cookie", ""))
    except CookieError:
        return ""
    return jar[COOKIE].value if COOKIE in jar else ""


def _is_built_into_another_page(headers: Headers) -> bool:
    """True when a browser says that somebody else's page asks by itself, for a picture, a frame or a script.

    It would learn nothing, but have plans made. A link there that a person follows is another thing.
    """
    other = headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none")
    return other and headers.get("sec-fetch-dest", "document") != "document"


def _from_our_page(scope: Scope, headers: Headers) -> bool:
    """True when a browser says that the request comes from our own page, or no browser sends it."""
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    return origin is None or origin.lower() == f"{scope['scheme']}://{headers['host']}".lower()
