"""A changeover without scripts, and what the memory offers of how long changeovers took."""

import re

from tests.web.conftest import Shopfloor

from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.shop.keeping import current_shop, save_shop
from stopwright.intake.shop_file import default_shop, shop_to_document
from stopwright.store.events import Event, new_id

HTML = {"accept": "text/html"}


def test_without_scripts_the_machine_is_made_ready_before_the_stops_are_set(floor: Shopfloor) -> None:
    change = {"from": "saw", "to": "spindle", "minutes": 6, "loses": ["blade height"]}
    saw_side = {"name": "saw side", "stations": ["saw", "spindle"], "minutes": 5, "change": [change]}
    save_shop(floor.store, shop_to_document(default_shop()) | {"machine": [saw_side]}, 0, "bench")
    sheet = plan_for(floor.store, floor.job, default_shop()).sheet
    run = next(run for run in sheet.runs if run.change and run.station == "spindle")
    address = f"/jobs/{floor.job}/runs/{run.number}"

    def asked() -> list[str]:
        page = floor.bench.get(address, headers=HTML).text
        form = page[page.index('class="plain-taps"') :]
        return re.findall(r'name="tap" value="([^"]+)"', form[: form.index("</form>")])

    assert asked() == ["ready"]
    assert floor.bench.post(f"{address}/tap", data={"tap": "ready", "id": "plain-0001"}).status_code == 303
    assert asked() == ["set"]
    (event,) = floor.store.events(floor.job, kinds=("machine made ready",))
    assert event.body == {
        "run": run.id, "machine": "saw side", "from": "saw", "to": "spindle", "lost": [["saw", "blade height"]],
    }  # fmt: skip
    first = sheet.runs[0]
    refused = floor.bench.post(f"/jobs/{floor.job}/runs/{first.number}/tap", data={"tap": "ready", "id": "plain-0002"})
    assert refused.status_code == 404 and "no machine is changed over" in refused.text


def test_the_memory_offers_what_changeovers_took_and_takes_it_once_it_is_accepted(floor: Shopfloor) -> None:
    saw_side = {"name": "saw side", "stations": ["saw", "spindle"], "minutes": 5}
    save_shop(floor.store, shop_to_document(default_shop()) | {"machine": [saw_side]}, 0, "bench")
    assert 'id="changeovers"' not in floor.bench.get("/memory", headers=HTML).text
    for hour in range(3):
        made = {"run": "rnext", "machine": "saw side", "from": "saw", "to": "spindle", "lost": []}
        for kind, minute, body in (("run done", 0, {"run": "rlast"}), ("machine made ready", 8, made)):
            at = f"2026-03-01T{7 + hour:02}:{minute:02}:00.000Z"
            floor.store.append([Event(new_id(), floor.job, kind, at, "phone", body)])
    page = floor.bench.get("/memory", headers=HTML).text
    assert "saw side, from saw to spindle" in page and "Take 8.0 min from saw to spindle" in page
    taken = {"machine": "saw side", "from": "saw", "to": "spindle", "seconds": 480}
    assert floor.bench.post("/memory/changeover", data=taken).status_code == 303
    (machine,) = current_shop(floor.store, default_shop()).machines
    assert machine.between == {("saw", "spindle"): 8, ("spindle", "saw"): 5}
    assert "agrees" in floor.bench.get("/memory", headers=HTML).text
    assert floor.bench.post("/memory/changeover", data=taken | {"to": "lathe"}).status_code == 404
