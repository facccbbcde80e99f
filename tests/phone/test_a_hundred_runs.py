"""A job of a hundred runs: one in the page at a time, the list by station, few requests, little to draw for a tap."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, Route, expect
from tests.conftest import Running, a_phone
from tests.phone.tap_to_paint import NEXT_PIECE, a_hundred_parts, counted
from tests.phone.taps import DRAWN_HEIGHTS, GO, ON_SCREEN, PHASE, SETTLED, begin_counting, tap, wait_until_sent
from tests.phone.test_counting import WHOLE

from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.job_file import job_to_document
from stopwright.intake.shop_file import default_shop

NODES = "document.querySelectorAll('*').length"
OPEN = "#list details[open]"
LINKS = "#list [data-number]"


@pytest.fixture
def hundred(start_server) -> Running:
    """A server with a job of a hundred runs and more, besides the demo job."""
    running = start_server("bakery-stools")
    number = create_job(running.store, job_to_document(a_hundred_parts()), "bench")
    assert len(plan_for(running.store, number, default_shop()).sheet.runs) >= 100
    return Running(running.address, running.store, running.app, number)


def test_a_page_of_a_hundred_runs_is_light(hundred, phone):
    begun: list[str] = []
    phone.on("request", lambda request: begun.append(request.url))
    phone.goto(f"{hundred.address}/jobs/{hundred.job}/runs")
    expect(phone.locator(GO)).to_be_enabled()
    assert phone.evaluate(NODES) < 2500  # 12 000 with every run in the page
    assert len(begun) <= 20
    assert phone.locator("main > .run").count() == 0
    tap(phone, GO)
    expect(phone.locator("main > .run")).to_have_count(1)
    for _ in range(3):
        while phone.locator(f"{ON_SCREEN}[data-phase=set]").count():
            tap(phone, GO)
        for _ in range(2):
            tap(phone, WHOLE)
        assert phone.locator("main > .run").count() == 1
    begin_counting(phone)
    phone.evaluate(
        """() => { window.changed = [];
          new MutationObserver((seen) => changed.push(...seen.map(({ target }) => target))).observe(document,
            { subtree: true, childList: true, attributes: true, characterData: true }); }"""
    )
    tap(phone, f"{ON_SCREEN} [data-count='1'] >> nth=0")
    expect(phone.locator(f"{ON_SCREEN} [data-say=cut] >> nth=0")).to_have_text("1")
    assert 0 < phone.evaluate("changed.length") <= 30
    assert phone.evaluate("changed.filter((one) => one.parentElement?.closest('#list')).length") == 0


def test_a_tap_lays_the_page_out_once_and_touches_what_it_changes(hundred, phone):
    """Four layouts a tap before, and one for each of thirty lines when all of a run was counted at once."""
    phone.goto(f"{hundred.address}/jobs/{hundred.job}/runs/1")
    begin_counting(phone)
    lines = phone.locator(f"{ON_SCREEN} .pieces > li").count()
    assert lines >= 20
    for where, layouts in ((NEXT_PIECE, 3), (f"{ON_SCREEN} [data-do=undo]", 3), (WHOLE, 3), (WHOLE, 8)):
        phone.wait_for_function(SETTLED)
        with counted(phone) as found:
            tap(phone, where)
            wait_until_sent(phone)
        assert 0 < found["LayoutCount"] <= layouts, (where, found["LayoutCount"])
        assert found["RecalcStyleCount"] <= 30, (where, found["RecalcStyleCount"])
    with counted(phone) as found:
        tap(phone, GO if phone.locator(PHASE.format("change")).count() else "footer .all")
        tap(phone, GO)
    assert 0 < found["LayoutCount"] <= 8, found["LayoutCount"]


REST = "/runs?whole"


def bytes_on_the_wire(page: Page, address: str) -> dict[str, int]:
    """What a first visit brings over the network, heads included, by address, in the order of asking."""
    line = page.context.new_cdp_session(page)
    line.send("Network.enable")
    asked: dict[str, str] = {}
    sizes: dict[str, int] = {}

    def ask(told: Any) -> None:
        asked.setdefault(told["requestId"], told["request"]["url"])

    line.on("Network.requestWillBeSent", ask)
    line.on("Network.loadingFinished", lambda told: sizes.update({told["requestId"]: told["encodedDataLength"]}))
    with page.expect_response(lambda answer: answer.url.endswith(REST)) as rest:
        page.goto(address)
    rest.value.finished()
    expect(page.locator(GO)).to_be_enabled()
    return {url: sizes.get(id_, 0) for id_, url in asked.items()}


@pytest.mark.parametrize("open_at", ["", "/60"])
def test_the_first_load_of_a_hundred_runs_is_less_than_60_kb_and_20_requests(hundred, phone, open_at):
    found = bytes_on_the_wire(phone, f"{hundred.address}/jobs/{hundred.job}/runs{open_at}")
    first = list(found)[: [url.endswith(REST) for url in found].index(True)]
    assert len(first) <= 20
    assert 10_000 < sum(found[url] for url in first) < 60_000
    loaded = phone.evaluate("performance.getEntriesByType('navigation')[0].loadEventStart")
    begun = phone.evaluate(
        f"performance.getEntriesByType('resource').find((one) => one.name.endsWith('{REST}')).startTime"
    )
    assert begun >= loaded > 0  # nothing on the screen waits for the other runs


def test_the_first_load_of_the_demo_is_less_than_60_kb(running_server, phone):
    found = bytes_on_the_wire(phone, f"{running_server.address}/jobs/{running_server.job}/runs")
    assert 10_000 < sum(size for url, size in found.items() if not url.endswith(REST)) < 60_000


def last_of_the_list(page: Page) -> Locator:
    """The link to the last run of the last station."""
    page.locator("#list summary").last.click()
    return page.locator(f"{LINKS}:visible").last


def test_a_run_whose_screen_is_still_on_its_way_opens_when_it_has_come(hundred, phone):
    held: list[Route] = []
    phone.route(f"**{REST}", lambda route: held.append(route))
    phone.goto(f"{hundred.address}/jobs/{hundred.job}/runs")
    link = last_of_the_list(phone)
    number = link.get_attribute("data-number") or ""
    link.click()
    expect(phone.locator(GO)).to_have_text(f"Loading run {number}")
    expect(phone.locator(GO)).to_be_disabled()
    phone.wait_for_function("() => document.readyState === 'complete'")
    held[0].abort()  # out of reach for a moment: asked again
    expect(phone.locator(GO)).to_have_text(f"Loading run {number}")
    phone.unroute(f"**{REST}")
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-number", number, timeout=20_000)
    assert phone.url.endswith(f"/runs/{number}")


def test_a_run_chosen_after_the_sheet_has_changed_is_that_of_the_new_sheet(hundred, phone):
    def changed(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(
            response=answer, body=answer.text().replace('<run-stepper data-sheet="', '<run-stepper data-sheet="9')
        )

    phone.route(f"**{REST}", changed)
    phone.goto(f"{hundred.address}/jobs/{hundred.job}/runs")
    expect(phone.locator(GO)).to_be_enabled()
    link = last_of_the_list(phone)
    number = link.get_attribute("data-number") or ""
    with phone.expect_request(f"**/runs/{number}"):  # the page is made anew
        link.click()
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-number", number)


def test_the_list_is_by_station_and_opens_where_one_stands(running_server, chromium: Browser):
    runs = plan_for(running_server.store, running_server.job, default_shop()).sheet.runs
    mortise = next(run for run in runs if run.work == "mortise")
    with a_phone(chromium, 360, 640) as page:
        page.goto(f"{running_server.address}/jobs/{running_server.job}/runs")
        expect(page.locator(OPEN)).to_have_count(1)  # where the next run is
        expect(page.locator(f"{OPEN} summary")).to_contain_text("next: run 1")
        stations = list(dict.fromkeys(run.station for run in runs))
        found = page.locator("#list details").evaluate_all("all => all.map((one) => one.dataset.station)")
        assert found == stations
        page.goto(f"{running_server.address}/jobs/{running_server.job}/runs/{mortise.number}")
        tap(page, "footer [data-do=list]")
        expect(page.locator(OPEN)).to_have_attribute("data-station", mortise.station)
        expect(page.locator(f"{OPEN} summary")).to_be_in_viewport()
        numbers = page.locator(f"{OPEN} a").evaluate_all("all => all.map((one) => Number(one.dataset.number))")
        assert numbers == [run.number for run in runs if run.station == mortise.station]
        page.reload()  # remembered on this phone
        expect(page.locator(OPEN)).to_have_attribute("data-station", mortise.station)
        tap(page, "#list summary >> nth=0")
        tap(page, f"#list details[data-station='{stations[0]}'] a >> nth=0")
        expect(page.locator(ON_SCREEN)).to_have_attribute("data-number", "1")


def test_the_list_stands_where_it_is_when_the_page_comes_alive(running_server, chromium: Browser):
    with a_phone(chromium, 360, 640) as page:
        page.goto(f"{running_server.address}/jobs/{running_server.job}/runs")
        expect(page.locator("[data-say=left]")).to_contain_text("left")
        expect(page.locator("h1")).to_be_in_viewport(ratio=1)
        assert page.evaluate("scrollY") == 0


def test_lengths_of_a_run_that_comes_into_the_page_are_in_the_unit_chosen(running_server, phone):
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/runs/6")
    phone.evaluate("document.querySelector('shown-ways').choose('show', '1/32 in')")
    tap(phone, "footer [data-do=list]")
    for station in phone.locator("#list details:not([open]) summary").all()[:1]:
        tap(phone, station)
    phone.locator(f"{LINKS}:visible").last.tap()
    for texts, shown in phone.locator(f"{ON_SCREEN} .length[data-texts]").evaluate_all(
        "all => all.map((one) => [one.dataset.texts.split('\\n'), one.textContent])"
    ):
        assert shown == texts[2], texts


def _names(page: Page) -> Iterator[str]:
    yield from page.locator("[data-say=who]").all_inner_texts()


def test_the_board_shows_each_stations_run_and_who_is_at_it_as_it_goes_on(running_server, chromium: Browser):
    runs = plan_for(running_server.store, running_server.job, default_shop()).sheet.runs
    crosscut = next(run for run in runs if run.work == "crosscut" and run.stops and run.pieces[0].count == 24)
    with a_phone(chromium, 1440, 900) as board, a_phone(chromium) as one:
        board.goto(f"{running_server.address}/jobs/{running_server.job}/board")
        saw = board.locator(f"[data-station='{crosscut.station}']")
        assert not any(_names(board))
        left = board.locator("[data-say=left]")
        expect(left).to_contain_text("left")
        one.goto(f"{running_server.address}/jobs/{running_server.job}/runs/{crosscut.number}")
        expect(saw.locator("[data-say=who]")).to_have_text("The bench")
        expect(saw.locator(".figure .heard")).to_have_text("450 mm")
        begin_counting(one)
        tap(one, f"{ON_SCREEN} [data-count='1']")
        expect(saw.locator(".figure .heard")).to_have_text("23")
        expect(saw.locator("[data-say=what]")).to_have_text("left of 24")
        before = left.inner_text()
        tap(one, "footer [data-do=whole]")
        tap(one, "footer [data-do=whole]")
        expect(saw.locator("[data-say=runs]")).to_contain_text("1 of ")
        expect(left).not_to_have_text(before)
        heights = board.evaluate(DRAWN_HEIGHTS, "job-board .digits")
        # on a screen of 24 inches, 324 mm high, from 4 m: 4000 × tan(22′) = 25.6 mm (K)
        assert len(heights) > 1 and min(heights) * 324 / 900 >= 25.6, heights
        assert board.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert board.evaluate("document.documentElement.scrollHeight <= innerHeight + 1")
