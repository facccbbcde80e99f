"""Only who scanned a code on the bench comes in; everybody else learns nothing at all."""

import pytest
from tests.web.conftest import PHONE, Shopfloor

from stopwright.actions.shop.pairing import CODE_SECONDS, Door
from stopwright.web.access.doorway import COOKIE

HTML = {"accept": "text/html"}
ROUTES = [
    ("GET", "/"),
    ("GET", "/jobs/1/runs"),
    ("GET", "/jobs/1/runs/1"),
    ("GET", "/jobs/999/runs"),
    ("GET", "/jobs/1/standing"),
    ("GET", "/jobs/1/live"),
    ("POST", "/jobs/1/events"),
    ("GET", "/P/00000AA"),
    ("GET", "/phones"),
    ("POST", "/phones/code"),
    ("GET", "/styles/base.css"),
    ("GET", "/scripts/wire.js"),
    ("GET", "/styles/../pages/runs.html"),
    ("GET", "/pair"),
    ("GET", "/pair/GUESSED"),
    ("GET", "/PAIR/GUESSED"),
    ("POST", "/pair/GUESSED"),
    ("GET", "/no-such-page"),
    ("DELETE", "/jobs/1"),
    ("OPTIONS", "/jobs/1/events"),
]


def pair(floor: Shopfloor, name: str = "Marta's phone"):
    phone = floor.phone()
    answer = phone.post(f"/pair/{floor.door.new_code()}", data={"name": name})
    assert answer.status_code == 303
    return phone


@pytest.mark.parametrize("accept", ["text/html", "application/json"])
def test_a_stranger_gets_the_same_refusal_on_every_route(floor, accept):
    phone = floor.phone()
    answers = {
        (answer.status_code, answer.content)
        for answer in (phone.request(*route, headers={"accept": accept}) for route in ROUTES)
    }
    assert len(answers) == 1
    status, content = answers.pop()
    assert status == 403 and b"is not paired" in content


def test_every_route_of_the_program_refuses_a_stranger(floor):
    phone = floor.phone()
    paths = list(phone.app.openapi()["paths"])
    assert len(paths) > 12
    for path in paths:
        if not path.startswith("/pair/"):
            assert phone.get(path.replace("{", "").replace("}", "")).status_code == 403, path


def test_a_scanned_code_lets_one_phone_in_once(floor):
    code = floor.door.new_code()
    first, second = floor.phone(), floor.phone()
    asked = first.get(f"/PAIR/{code}", headers=HTML)
    assert asked.status_code == 200 and "/pair/base.css" in asked.text
    assert first.get("/pair/base.css").status_code == 200
    assert first.post(f"/pair/{code}", data={"name": "Marta's phone"}).headers["location"] == "/"
    assert first.get("/jobs/1/runs").status_code == 200
    assert second.post(f"/pair/{code}", data={"name": "Thief"}).status_code == 403
    assert second.get("/jobs/1/runs").status_code == 403


def test_looking_at_the_page_does_not_use_the_code_up(floor):
    code = floor.door.new_code()
    phone = floor.phone()
    for _ in range(3):
        assert phone.get(f"/pair/{code}").status_code == 200
    assert phone.post(f"/pair/{code}").status_code == 303


def test_a_code_is_dead_after_two_minutes(floor):
    code = floor.door.new_code()
    floor.clock.now += CODE_SECONDS - 1
    assert floor.phone().get(f"/pair/{code}").status_code == 200
    floor.clock.now += 1
    assert floor.phone().get(f"/pair/{code}").status_code == 403
    assert floor.phone().post(f"/pair/{code}").status_code == 403


def test_the_cookie_is_kept_from_scripts_and_from_other_sites(floor):
    answer = floor.phone().post(f"/pair/{floor.door.new_code()}")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie


def test_the_log_holds_no_secret_and_no_code(floor):
    code = floor.door.new_code()
    phone = floor.phone()
    phone.post(f"/pair/{code}")
    secret = phone.cookies[COOKIE].partition(".")[2]
    written = repr(floor.store.events())
    assert len(secret) >= 40 and secret not in written and code not in written


def test_a_device_that_is_shut_out_stays_out(floor):
    phone = pair(floor)
    device = floor.door.devices()[0]
    assert device.name == "Marta's phone"
    assert floor.bench.post(f"/phones/{device.id}/out").status_code == 303
    assert phone.get("/jobs/1/runs").status_code == 403
    assert floor.door.devices() == []


def test_a_device_is_renamed_at_the_bench_only(floor):
    phone = pair(floor)
    device = floor.door.devices()[0]
    assert phone.post(f"/phones/{device.id}/name", data={"name": "Boss"}).status_code == 403
    assert phone.get("/phones").status_code == 403
    floor.bench.post(f"/phones/{device.id}/name", data={"name": "Saw phone"})
    assert floor.door.devices()[0].name == "Saw phone"
    assert "Saw phone" in floor.bench.get("/phones", headers=HTML).text


@pytest.mark.parametrize("cookie", ["", "x", "x.y", "a" * 4000, "né.é", "..", '"'])
def test_a_made_up_cookie_is_a_stranger(floor, cookie):
    phone = floor.phone()
    pair(floor)
    assert phone.get("/", headers={"cookie": f"{COOKIE}={cookie}".encode()}).status_code == 403
    device = floor.door.devices()[0].id
    assert phone.get("/", headers={"cookie": f"{COOKIE}={device}.guess"}).status_code == 403


def test_another_name_for_the_bench_is_refused_even_from_this_machine(floor):
    """A page elsewhere may let its own name point at this machine; the name tells it apart."""
    for host in ("evil.example", "evil.example:8765", "127.0.0.1.evil.example", "", "[", "localhost@evil.example"):
        assert floor.bench.get("/jobs/1/runs", headers={"host": host}).status_code == 403, host
    for host in ("localhost:8765", "127.0.0.1", "[::1]:8765", "192.168.1.5:8765", "BENCH.local.:8765"):
        assert floor.bench.get("/jobs/1/runs", headers={"host": host}).status_code == 200, host


def test_what_another_page_sends_is_refused(floor):
    path = "/jobs/1/events"
    body: dict[str, list[object]] = {"events": []}
    assert floor.bench.post(path, json=body).status_code == 200
    assert floor.bench.post(path, json=body, headers={"origin": "http://127.0.0.1:8765"}).status_code == 200
    for headers in (
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "https://127.0.0.1:8765"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ):
        assert floor.bench.post(path, json=body, headers=headers).status_code == 403, headers


def test_a_header_does_not_make_a_phone_the_bench(floor):
    headers = {"x-forwarded-for": "127.0.0.1", "forwarded": "for=127.0.0.1", "x-real-ip": "127.0.0.1"}
    assert floor.phone().get("/", headers=headers).status_code == 403


def test_the_bench_shows_a_code_as_a_picture_that_is_read_back(floor):
    page = floor.bench.post("/phones/code", headers=HTML).text
    assert f"{PHONE}/PAIR/".upper() in page and "<svg" in page


def test_no_more_than_twenty_codes_are_good_at_once(floor):
    codes = [floor.door.new_code() for _ in range(25)]
    assert [floor.door.is_good(code) for code in codes] == [False] * 5 + [True] * 20


def test_a_door_made_anew_knows_the_devices_and_no_codes(floor):
    phone = pair(floor)
    code = floor.door.new_code()
    again = Door(floor.store, floor.clock)
    assert again.who(phone.cookies[COOKIE]).name == "Marta's phone"
    assert not again.is_good(code)
