"""Who asks and how: what is passed on has not the rights of the bench, HEAD is answered, a GET never writes."""

import re

import pytest
from tests.web.kit.test_guard import routes_of

from stopwright.actions.jobs import planning
from stopwright.actions.jobs.numbering import code_of, pieces_of
from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.jobs.searching import Searches
from stopwright.intake.shop_file import default_shop

HTML = {"accept": "text/html"}
FORWARDED = [
    {"forwarded": "for=192.168.1.7"}, {"x-forwarded-for": "192.168.1.7"}, {"x-real-ip": "192.168.1.7"},
    {"via": "1.1 somewhere"}, {"x-forwarded-host": "bench"}, {"x-forwarded-proto": "https"},
    {"x-forwarded-server": "bench"}, {"x-client-ip": "192.168.1.7"}, {"true-client-ip": "192.168.1.7"},
    {"x-original-host": "bench"},
]  # fmt: skip


@pytest.mark.parametrize("headers", FORWARDED, ids=lambda one: next(iter(one)))
def test_what_somebody_on_this_machine_passes_on_has_not_the_rights_of_the_bench(floor, headers):
    assert floor.bench.get("/shop", headers=HTML).status_code == 200
    answer = floor.bench.get("/shop", headers=HTML | headers)
    assert answer.status_code == 403 and "is not paired" in answer.text


def test_head_is_answered_as_get_without_its_body(floor):
    for path in ("/", f"/jobs/{floor.job}/sheet", "/nowhere"):
        whole = floor.bench.get(path, headers=HTML)
        head = floor.bench.request("HEAD", path, headers=HTML)
        assert head.status_code == whole.status_code, path
        assert head.content == b""


def test_opening_a_page_writes_nothing_down(floor):
    before = floor.store.last_seq
    for page in ("sort", "pieces", "sheet", "runs/1", "glue-up", "glue-up/1/dry-fit", "rack", "spoiled", "labels"):
        floor.bench.get(f"/jobs/{floor.job}/{page}", headers=HTML)
        floor.phone().get(f"/jobs/{floor.job}/{page}", headers=HTML)
    assert floor.store.last_seq == before


def test_no_get_of_any_route_writes_anything_down(floor):
    code = code_of(floor.job, pieces_of(floor.store, floor.job, plan_for(floor.store, floor.job, default_shop()))[0])
    known = {"job": floor.job, "code": code, "mark": "A", "what": "run-sheet"}
    before, asked = floor.store.last_seq, 0
    for method, path, _ in routes_of(floor.bench.app):
        if method == "GET" and not path.endswith("/live"):  # a line that stays open
            address = re.sub(r"\{(\w+)(:\w+)?\}", lambda name: known.get(name[1], "1"), path)
            assert floor.bench.get(address, headers=HTML).status_code < 500, address
            assert floor.store.last_seq == before, address
            asked += 1
    assert asked > 50


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
@pytest.mark.parametrize("dest", ["image", "iframe", "script", "empty"])
def test_a_page_of_somebody_else_has_no_plan_made(floor, monkeypatch, site, dest):
    monkeypatch.setattr(planning, "_SHEETS", Searches(2))
    foreign = {"sec-fetch-site": site, "sec-fetch-dest": dest}
    answer = floor.bench.get(f"/jobs/{floor.job}/sheet/progress", headers=foreign)
    assert answer.status_code == 403 and not planning._SHEETS._known
    followed = foreign | {"sec-fetch-dest": "document", "sec-fetch-mode": "navigate"} | HTML
    assert floor.bench.get("/", headers=followed).status_code == 200
