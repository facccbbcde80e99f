"""Letting phones in: the page a scanned code opens, and the bench page that shows codes and names."""

from math import ceil
from pathlib import Path

from fastapi import APIRouter, Form, Request
from markupsafe import Markup
from starlette.responses import FileResponse, RedirectResponse, Response

from stopwright.actions.shop.pairing import CODE_SECONDS
from stopwright.errors import NotPaired
from stopwright.paper.qr import QUIET, qr_code
from stopwright.web.access.doorway import COOKIE, REFUSAL
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES

A_YEAR = 365 * 24 * 3600


def pair_routes(web: Web, frontend: Path) -> APIRouter:
    """The routes of the door. Only `/pair/…` is answered to a device that is not paired."""
    routes = APIRouter()

    @routes.get("/pair/base.css", tags=FOR_PHONES)
    def style() -> FileResponse:
        return FileResponse(frontend / "styles" / "base.css", media_type="text/css")

    @routes.get("/pair/icon.svg", tags=FOR_PHONES)
    def icon() -> FileResponse:
        return FileResponse(frontend / "styles" / "icon.svg", media_type="image/svg+xml")

    if web.certificate:
        certificate = web.certificate

        @routes.get("/pair/certificate", tags=FOR_PHONES)
        def install(request: Request) -> Response:
            """Step by step; over HTTPS it says that it has come so."""
            agent = request.headers.get("user-agent", "")
            ours = [kind for kind, names in PHONES.items() if any(name in agent for name in names)]
            return web.pages.show(
                request,
                "certificate.html",
                fingerprint=certificate.fingerprint,
                address=web.address,
                secure_address=_secure_address(web),
                here_securely=request.url.scheme == "https",
                kinds=[*ours, *(kind for kind in PHONES if kind not in ours)],
                styles="/pair",
            )

        @routes.get("/pair/certificate.crt", tags=FOR_PHONES)
        def authority() -> Response:
            headers = {"content-disposition": "attachment; filename=stopwright.crt"}
            return Response(certificate.authority, media_type="application/x-x509-ca-cert", headers=headers)

    @routes.get("/pair/plain-http", tags=FOR_PHONES)
    def plain(request: Request) -> Response:
        return web.pages.show(request, "plain_http.html", secure_address=_secure_address(web), styles="/pair")

    @routes.get("/pair/{code}", tags=FOR_PHONES)
    @routes.get("/PAIR/{code}", tags=FOR_PHONES)
    def ask(request: Request, code: str) -> Response:
        if not web.door.is_good(code):
            raise REFUSAL
        return web.pages.show(request, "pair.html", code=code.upper(), styles="/pair")

    @routes.post("/pair/{code}", tags=FOR_PHONES)
    def pair(request: Request, code: str, name: str = Form("", max_length=400)) -> Response:
        try:
            cookie = web.door.pair(code, name)
        except NotPaired as error:
            raise REFUSAL from error
        answer = RedirectResponse("/", 303)
        secure = request.url.scheme == "https"
        answer.set_cookie(COOKIE, cookie, max_age=A_YEAR, httponly=True, samesite="strict", secure=secure)
        return answer

    @routes.get("/phones")
    def phones(request: Request) -> Response:
        return _phones(web, request)

    @routes.post("/phones/code")
    def new_code(request: Request) -> Response:
        return _phones(web, request, web.door.new_code() if web.address else "")

    @routes.post("/phones/{device}/name")
    def rename(device: str, name: str = Form("", max_length=400)) -> Response:
        web.door.rename(device, name)
        return RedirectResponse("/phones", 303)

    @routes.post("/phones/{device}/out")
    def shut_out(device: str) -> Response:
        web.door.shut_out(device)
        return RedirectResponse("/phones", 303)

    return routes


PHONES = {"Android": ("Android",), "iPhone and iPad": ("iPhone", "iPad", "Macintosh")}
"""Kinds of phones that take a certificate differently, and what their browsers call themselves (a tablet may say that
it is a desktop)."""


def _secure_address(web: Web) -> str:
    """Where the bench is reached over HTTPS, "" where it is not."""
    return web.address if web.certificate and web.address.startswith("https:") else ""


def pair_address(address: str, code: str) -> str:
    """The web address that a code stands for, in the letters that a QR code packs densely.

    >>> pair_address("http://192.168.1.5:8765", "7K3M")
    'HTTP://192.168.1.5:8765/PAIR/7K3M'
    """
    return f"{address}/pair/{code}".upper()


def qr_svg(text: str) -> Markup:
    """The text as a QR code, SVG without any style in it; dark on light whatever the page's colours."""
    code = qr_code(text)
    dark = "".join(f"M{column + QUIET} {row + QUIET}h{length}v1h-{length}z" for column, row, length in code.runs)
    return Markup(
        '<svg viewBox="0 0 {side} {side}" role="img" aria-label="Code to scan" shape-rendering="crispEdges">'
        '<path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path fill="#000" d="{dark}"/></svg>'
    ).format(side=code.whole, dark=dark)


def _phones(web: Web, request: Request, code: str = "") -> Response:
    address = pair_address(web.address, code) if code else ""
    return web.pages.show(
        request,
        "phones.html",
        here="phones",
        code=code,
        qr=qr_svg(address) if code else "",
        address=address,
        seconds=ceil(CODE_SECONDS),
        reachable=bool(web.address),
        fingerprint=web.certificate.fingerprint if web.certificate else "",
        devices=web.door.devices(),
    )
