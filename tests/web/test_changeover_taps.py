"""A changeover without scripts: the form of the run's page asks for it first, and what it loses is kept."""

import re

from tests.web.conftest import Shopfloor

from stopwright.actions.planning import plan_for
from stopwright.actions.shop_keeping import save_shop
from stopwright.intake.shop_file import default_shop, shop_to_document

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
