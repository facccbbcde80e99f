"""Every route of the program walked: what is not said to be for phones too is done at the bench only."""

import re

import pytest

from stopwright.web.kit.guard import FOR_PHONES

READ_ONLY = {
    "/",
    "/jobs",
    "/jobs/{job}",
    "/jobs/{job}/choices",
    "/jobs/{job}/choices/progress",
    "/jobs/{job}/hardware",
    "/jobs/{job}/hardware/now",
    "/jobs/{job}/joints",
    "/jobs/{job}/layouts",
    "/jobs/{job}/master",
    "/jobs/{job}/master-pieces.pdf",
    "/jobs/{job}/master/{mark}",
    "/jobs/{job}/paper",
    "/jobs/{job}/paper/{what}.pdf",
    "/jobs/{job}/parts",
    "/jobs/{job}/parts/now",
    "/jobs/{job}/sheet",
    "/jobs/{job}/sheet/progress",
    "/jobs/{job}/story-stick",
    "/jobs/{job}/story-stick.pdf",
    "/jobs/{job}/things",
    "/jobs/{job}/version",
    "/jobs/{job}/wood",
    "/jobs/{job}/wood/now",
    "/jobs/{job}/wood/outlook",
    "/memory",
    "/shelf",
    "/shop",
    "/sources",
}
"""What phones may look at, but not change."""

AT_THE_MACHINE = {
    "/PAIR/{code}",
    "/P/{code}",
    "/jobs/{job}/board",
    "/jobs/{job}/events",
    "/jobs/{job}/day",
    "/jobs/{job}/glue-up",
    "/jobs/{job}/glue-up.pdf",
    "/jobs/{job}/glue-up/{unit}/dry-fit",
    "/jobs/{job}/glue-up/{unit}/standing",
    "/jobs/{job}/glue-up/{unit}/{number}",
    "/jobs/{job}/labels",
    "/jobs/{job}/labels.pdf",
    "/jobs/{job}/labels/progress",
    "/jobs/{job}/live",
    "/jobs/{job}/pages-to-keep",
    "/jobs/{job}/phone",
    "/jobs/{job}/pictures/{event}",
    "/jobs/{job}/pieces",
    "/jobs/{job}/pieces/standing",
    "/jobs/{job}/rack",
    "/jobs/{job}/rack/frames/{mark}",
    "/jobs/{job}/rack/openings/{mark}",
    "/jobs/{job}/rack/parts/{mark}",
    "/jobs/{job}/rack/{place}",
    "/jobs/{job}/remake/{code}",
    "/jobs/{job}/remake/{code}/passed",
    "/jobs/{job}/remake/{code}/whole",
    "/jobs/{job}/remake/{code}/wood",
    "/jobs/{job}/runs",
    "/jobs/{job}/runs/{number}",
    "/jobs/{job}/runs/{number}/tap",
    "/jobs/{job}/sort",
    "/jobs/{job}/sort/{portion}",
    "/jobs/{job}/spoiled",
    "/jobs/{job}/standing",
    "/jobs/{job}/worked-before",
    "/pair/base.css",
    "/pair/icon.svg",
    "/pair/plain-http",
    "/pair/{code}",
    "/out-of-reach",
    "/p/{code}",
    "/reach",
    "/scan",
    "/scripts/bundle/{page}.js",
    "/styles/bundle/{page}.css",
    "/worker.js",
}
"""What phones are there for: they may read and write it."""


def routes_of(app):
    """Method, path, and whether it is said to be for phones, of every route."""
    for path, methods in app.openapi()["paths"].items():
        for method, said in methods.items():
            yield method.upper(), path, FOR_PHONES[0] in said.get("tags", ())


@pytest.fixture
def phone(floor):
    phone = floor.phone()
    assert phone.post(f"/pair/{floor.door.new_code()}", data={"name": "Marta"}).status_code == 303
    return phone


def test_phones_may_do_what_is_listed_here_and_nothing_else(floor):
    open_to_phones = {(method, path) for method, path, is_open in routes_of(floor.bench.app) if is_open}
    assert {path for _, path in open_to_phones} == READ_ONLY | AT_THE_MACHINE
    assert {path for method, path in open_to_phones if method != "GET"} <= AT_THE_MACHINE


def test_a_phone_is_refused_wherever_a_route_does_not_say_otherwise(floor, phone):
    walked = [(method, path) for method, path, is_open in routes_of(floor.bench.app) if not is_open]
    assert len(walked) > 40
    for method, path in walked:
        answer = phone.request(method, re.sub(r"\{[^}]*\}", "1", path))
        assert answer.status_code == 403, (method, path)
        assert "at the bench only" in answer.text
