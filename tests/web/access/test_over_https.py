"""Letting in where the bench is reached over HTTPS too: the certificate can be had, all else is refused alike."""

from datetime import UTC, datetime

import pytest
from tests.conftest import ROOT
from tests.web.conftest import Client

from stopwright.actions.shop.pairing import Door
from stopwright.intake.shop_file import default_shop
from stopwright.web.access.certificate import shop_certificate
from stopwright.web.access.doorway import COOKIE
from stopwright.web.app import create_app

PLAIN, SECURE = "http://192.168.1.5:8765", "https://192.168.1.5:8766"
HTML = {"accept": "text/html"}


@pytest.fixture
def app(floor, tmp_path):
    certificate = shop_certificate(tmp_path / "certificate", ["192.168.1.5"], datetime.now(UTC))
    hosts, frontend = ["192.168.1.5"], ROOT / "frontend"
    return create_app(
        floor.store, default_shop(), frontend, hosts=hosts, address=SECURE, tls_port=8766, certificate=certificate,
        door=Door(floor.store),
    )  # fmt: skip


def a_phone(app, base=PLAIN):
    return Client(app, base, "192.168.1.77")


def test_a_stranger_gets_the_certificate_and_how_to_install_it(app):
    page = a_phone(app).get("/pair/certificate", headers=HTML)
    assert page.status_code == 200 and app.state.web.certificate.fingerprint in page.text
    got = a_phone(app).get("/pair/certificate.crt")
    assert got.content == app.state.web.certificate.authority
    assert got.headers["content-type"] == "application/x-x509-ca-cert"


def test_the_certificate_is_led_to_step_by_step_by_the_kind_of_phone_and_tried_at_the_end(app):
    def steps(agent: str, base: str = PLAIN) -> str:
        answer = a_phone(app, base).get("/pair/certificate", headers=HTML | {"user-agent": agent})
        return " ".join(answer.text.split())

    for agent, first, second in (
        ("Mozilla/5.0 (Linux; Android 16)", "Android", "iPhone and iPad"),
        ("Mozilla/5.0 (iPhone; CPU iPhone OS 19_0)", "iPhone and iPad", "Android"),
        ("something else", "Android", "iPhone and iPad"),
    ):
        page = steps(agent)
        assert page.index(f"<details open><summary><b>{first}") < page.index(f"<details><summary><b>{second}")
        for step in range(1, 5):
            assert f"Step {step}:" in page
        assert f'href="{SECURE}/pair/certificate"' in page and "came over HTTPS" not in page
    assert "came over HTTPS" in steps("Android", SECURE)


def test_over_plain_http_it_is_said_what_is_not_there_and_the_two_ways_to_have_it(app, floor):
    page = a_phone(app).get("/pair/plain-http", headers=HTML).text
    for said in ("Kept pages", "stays awake", "camera live", "own certificate", "own screen", "/pair/certificate"):
        assert said in page
    without = floor.phone().get("/pair/plain-http", headers=HTML).text
    assert "stopwright serve --phones --tls" in without and 'href="/pair/certificate"' not in without
    assert "/pair/plain-http" in floor.bench.get("/phones", headers=HTML).text


def test_a_strangers_page_over_plain_http_is_sent_to_https_whether_it_is_there_or_not(app):
    for path in ("/jobs/1/runs/1", "/P/0000001", "/no-such-page?x=1", "/jobs/9999/runs"):
        answer = a_phone(app).get(path, headers=HTML)
        assert (answer.status_code, answer.headers["location"]) == (307, f"{SECURE}{path}")
        assert a_phone(app, SECURE).get(path, headers=HTML).status_code == 403
        assert a_phone(app).get(path).status_code == 403, "no page was asked for"
        elsewhere = a_phone(app).get(path, headers=HTML | {"host": "evil.example"})
        assert elsewhere.status_code == 403 and "location" not in elsewhere.headers


def test_a_phone_paired_over_https_keeps_its_secret_for_https(app):
    code = app.state.web.door.new_code()
    answer = a_phone(app, SECURE).post(f"/pair/{code}", data={"name": "Saw"})
    assert answer.status_code == 303 and "; secure" in answer.headers["set-cookie"].lower()


def test_a_phone_paired_over_plain_http_goes_on_as_before(app, floor):
    phone = a_phone(app)
    answer = phone.post(f"/pair/{app.state.web.door.new_code()}", data={"name": "Saw"})
    assert "; secure" not in answer.headers["set-cookie"].lower() and COOKIE in phone.cookies
    assert phone.get(f"/jobs/{floor.job}/runs", headers=HTML).status_code == 200


def test_without_a_certificate_there_is_none_to_be_had(floor):
    assert floor.phone().get("/pair/certificate", headers=HTML).status_code == 403
    assert floor.phone().get("/pair/certificate.crt").status_code == 403
