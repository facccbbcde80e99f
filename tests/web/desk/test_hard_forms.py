"""Forms and files as no browser would send them: any field, any size, any bytes; and devices nobody paired."""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from urllib.parse import quote_from_bytes

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from tests.conftest import ROOT
from tests.web.access.strangers import DATA, MARKUP, PAGE, REAL, Told, expect_sense, furnished
from tests.web.conftest import Client, Shopfloor

HUGE = "9" * 5000
"""More figures than Python turns into a number."""
ODD_BYTES = [b"", b"\0", b"\xed\xa0\x80", b"\xff", b"\xf0\x9f\xaa\x91", "²".encode(), MARKUP.encode(), HUGE.encode()]
UPLOADS = [
    *sorted((ROOT / "fixtures" / "imports").iterdir()),
    *sorted((ROOT / "fixtures" / "bad").glob("*.xlsx")),
    ROOT / "fixtures" / "bakery-stools" / "job.toml",
]
BODIES = [
    (b"--b\r\n", "multipart/form-data; boundary=b"),
    (b'--b\r\ncontent-disposition: form-data; name="file"\r\n\r\nx', "multipart/form-data; boundary=b"),
    (b'--b\r\ncontent-disposition: form-data; name="file"\r\n\r\nx\r\n--b--', "multipart/form-data; boundary=b"),
    (b"\0" * 99, "multipart/form-data; boundary="),
    (b"x", "multipart/form-data"),
    (b"&".join(b"a=1" for _ in range(3000)), "application/x-www-form-urlencoded"),
    (b"[" * 20_000, "application/json"),
    (b"1" * 5000, "application/json"),
    (b'"\\ud800"', "application/json"),
    (b"\xff\xfe", "application/json; charset=utf-16"),
    (b'{"base":1e999,"fields":[["\\ud800","\\ud800"]],"save":true}', "application/json"),
    (b'{"base":0,"fields":[["station.' + HUGE.encode() + b'.name","x"]],"save":true}', "application/json"),
    (b'{"rows":[{"length":{"a":[1e999,NaN]},"mark":null}],"base":-1}', "application/json"),
    (b'{"\\ud800":1}', "application/json"),
    (b'{"events":[{"id":"abcdefgh","kind":"piece measured","at":"2026-01-01","body":{"text":"\\ud800"}}]}',
     "application/json"),
    (b'{"rows":[{"name":"\\ud800"}],"settings":{"units":"' + HUGE.encode() + b'"},"base":1}', "application/json"),
    (b'{"events":[{"id":"\\ud800abcdefgh","kind":"stop set","at":"2026-01-01","body":{"run":"\\ud800"}}]}',
     "application/json"),
]  # fmt: skip
_BRIEF = settings(
    max_examples=4,
    deadline=None,
    database=None,
    derandomize=True,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)


def addresses(floor: Shopfloor, method: str) -> dict[str, Any]:
    """Every address that is asked in this way, with what is said of it."""
    every = floor.bench.app.openapi()["paths"]
    return {path: ways[method] for path, ways in every.items() if method in ways}


def fields_of(floor: Shopfloor, described: dict[str, Any]) -> list[str]:
    """The names of the fields that a form of this address has."""
    forms = floor.bench.app.openapi()["components"]["schemas"]
    names: set[str] = set()
    for form in described.get("requestBody", {}).get("content", {}).values():
        names |= forms[form["schema"]["$ref"].rsplit("/", 1)[1]].get("properties", {}).keys()
    return sorted(names | {"units", "column-0", "base", "name"})


def filled(path: str, at: int = 0) -> str:
    """The address with a value in the place of every name: the one that leads furthest, or a later one."""
    return re.sub(
        r"{(\w+)}", lambda found: str((REAL.get(found[1]) or ["x"])[at % len(REAL.get(found[1]) or "x")]), path
    )


def values(name: str) -> st.SearchStrategy[bytes]:
    """What is typed into the field of this name, well or badly."""
    real = [str(one).encode() for one in REAL.get(name, []) if one != 10**400]
    return st.sampled_from(real + ODD_BYTES) | st.text(max_size=20).map(lambda text: text.encode(errors="replace"))


def test_a_form_filled_in_with_anything_is_taken_or_refused(floor: Shopfloor, subtests: pytest.Subtests) -> None:
    furnished(floor)
    for path, described in addresses(floor, "post").items():
        with subtests.test(path):
            fill_in(floor.bench, path, fields_of(floor, described))


def fill_in(client: Client, path: str, names: list[str]) -> None:
    """Sends forms of these fields, each any number of times with anything in it."""
    field = st.sampled_from(names).flatmap(lambda name: st.tuples(st.just(name), values(name)))

    @_BRIEF
    @given(st.lists(field), st.integers(0, 5))
    def sent(fields: list[tuple[str, bytes]], at: int) -> None:
        body = "&".join(f"{name}={quote_from_bytes(typed)}" for name, typed in fields)
        post(client, filled(path, at), body.encode(), "application/x-www-form-urlencoded")

    sent()


@pytest.mark.parametrize("upload", UPLOADS, ids=lambda path: path.name)
def test_a_file_cut_off_or_gone_bad_is_taken_or_refused(floor: Shopfloor, upload: Path) -> None:
    whole = upload.read_bytes()
    bad = [whole, whole[: len(whole) // 2], whole[:40], whole[:60] + b"\xff\0" + whole[62:], whole + b"\0" * 9]
    for data in bad:
        for at, field in (("/import", "file"), ("/jobs/1/import", "file"), ("/shop/file", "file"), ("/scan", "photo")):
            for name in (upload.name, MARKUP, ""):
                answer = floor.bench.post(at, files={field: (name, data)}, headers={"accept": PAGE})
                expect_sense(Told(f"POST {at} {name} {data[:40]!r}", answer))
                if answer.status_code == 303:
                    there = floor.bench.get(answer.headers["location"], headers={"accept": PAGE})
                    expect_sense(Told(f"GET {answer.headers['location']}", there))


def test_a_body_that_nobody_would_send_is_refused_everywhere(floor: Shopfloor) -> None:
    furnished(floor)
    for path in addresses(floor, "post"):
        for body, kind in BODIES:
            post(floor.bench, filled(path), body, kind, (DATA,))
    for path in addresses(floor, "get"):
        expect_sense(Told(f"GET {path} after it", floor.bench.get(filled(path), headers={"accept": PAGE})))


@pytest.mark.parametrize("host", ["192.168.1.5:8765", "evil.example", "127.0.0.1:8765", ""])
def test_a_device_that_was_not_paired_is_told_the_same_wherever_it_asks(floor: Shopfloor, host: str) -> None:
    stranger = floor.phone()
    scripts = [f"/{one.relative_to(ROOT / 'frontend')}" for one in (ROOT / "frontend").rglob("*") if one.is_file()]
    paths = {filled(path) for path in floor.bench.app.openapi()["paths"]} | {"/", "/none", "/docs", *scripts}
    for accept in (PAGE, DATA):
        headers = {"accept": accept, "host": host, "cookie": "stopwright_device=x.y"}
        refusal = stranger.get("/no-such-page", headers=headers)
        assert refusal.status_code == 403 and "is not paired" in refusal.text
        for path in sorted(paths):
            if path.lower().startswith("/pair/"):
                continue
            for method in ("GET", "POST", "HEAD", "PUT", "DELETE", "OPTIONS"):
                answer = stranger.request(method, path, headers=headers)
                told = refusal.content if method != "HEAD" else b""
                assert (answer.status_code, answer.content) == (403, told), f"{method} {path}"
                assert answer.headers == refusal.headers, f"{method} {path}"


def test_the_page_that_lets_in_tells_nothing_else(floor: Shopfloor) -> None:
    stranger = floor.phone()
    for path in ("/pair/x", "/PAIR/X", "/pair/%00", "/pair/²"):
        for accept in (PAGE, DATA):
            answer = stranger.get(path, headers={"accept": accept})
            assert answer.status_code == 403 and "is not paired" in answer.text, path
    assert stranger.post("/pair/x", data={"name": MARKUP}).status_code == 403
    assert stranger.get("/pair/../jobs/1/runs").status_code == 403
    assert stranger.get("/pair/%2e%2e/jobs/1/runs").status_code in (403, 404)


def post(client: Client, at: str, body: bytes, kind: str, ways: Sequence[str] = (PAGE, DATA)) -> None:
    """Sends a body and expects sense, as page and as data."""
    for accept in ways:
        answer = client.post(at, content=body, headers={"content-type": kind, "accept": accept})
        expect_sense(Told(f"POST {at} {kind} {body[:600]!r}", answer))
