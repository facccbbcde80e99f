"""One combination machine on the phone: the changeover as a step, and a machine needed in the middle of a run."""

import pytest
from playwright.sync_api import Page, expect
from tests.conftest import ROOT, Running, a_phone
from tests.phone.taps import GO, ON_SCREEN, PHASE, begin_counting, tap, wait_until_sent

from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import read_shop
from stopwright.plan.run_sheet import Run
from stopwright.store.machine_fold import fold_machines

SHOP = read_shop(ROOT / "fixtures" / "one-machine" / "shop.toml")
NEEDED = f"{ON_SCREEN} [data-do=needed]"
BOX = "machine-needed"


@pytest.fixture
def running(start_server) -> Running:
    return start_server("one-machine")


def runs_of(running: Running, work: str) -> list[Run]:
    sheet = plan_for(running.store, running.job, SHOP).sheet
    return [run for run in sheet.runs if run.work == work]


def at(running: Running, run: Run) -> str:
    return f"{running.address}/jobs/{running.job}/runs/{run.number}"


def told(running: Running, kind: str):
    return [event.body for event in running.store.events(running.job, kinds=(kind,))]


def open_at(page: Page, running: Running, run: Run) -> None:
    page.set_default_timeout(30_000)
    page.goto(at(running, run))
    expect(page.locator(GO)).to_be_enabled()


def set_all(page: Page) -> None:
    """Through the changeover and all stops of the run on the screen."""
    for _ in range(12):
        if page.locator(ON_SCREEN).get_attribute("data-phase") not in ("change", "set"):
            return
        tap(page, GO)
    raise AssertionError("the run is not set")


def test_a_changeover_is_a_step_that_is_confirmed_kept_and_can_be_taken_back(running, phone):
    mould = runs_of(running, "mould")[0]
    open_at(phone, running, mould)
    expect(phone.locator(PHASE.format("change"))).to_be_visible()
    step = phone.locator(f"{ON_SCREEN} .changeover")
    done = (
        "guard and riving knife; rip fence to its park",
        "blade, lowered below the table",
        "spindle fence and guard",
    )
    for words in ("from saw to spindle, 6 min", *done, "at standstill only"):
        expect(step).to_contain_text(words)
    expect(phone.locator(f"{ON_SCREEN} .stop-set.near")).to_be_hidden()
    expect(phone.locator(GO)).to_have_text("The spindle is ready")
    tap(phone, "header [data-far]")
    expect(phone.locator("far-view .words")).to_have_text("make ready: spindle")
    tap(phone, "header [data-far]")
    tap(phone, GO)
    expect(phone.locator(PHASE.format("set"))).to_be_visible()
    expect(step).to_be_hidden()
    wait_until_sent(phone)
    (body,) = told(running, "machine made ready")
    assert body == {
        "run": mould.id, "machine": "combination machine", "from": "saw", "to": "spindle",
        "lost": [["saw", "blade tilt"], ["saw", "blade height"]],
    }  # fmt: skip
    tap(phone, f"{ON_SCREEN} [data-do=unready]")
    expect(phone.locator(PHASE.format("change"))).to_be_visible()
    assert fold_machines(running.store.events(running.job)).ready == {}


def test_a_machine_that_stands_ready_for_something_else_is_made_ready_though_the_sheet_has_it_so(running, phone):
    """Out of order: the spindle is made ready, then a run at the saw is opened that follows another one there."""
    open_at(phone, running, runs_of(running, "mould")[0])
    tap(phone, GO)
    expect(phone.locator(PHASE.format("set"))).to_be_visible()
    second = runs_of(running, "rip")[1]
    assert second.change is None
    open_at(phone, running, second)
    expect(phone.locator(f"{ON_SCREEN} .changeover")).to_contain_text("from spindle to saw, 5 min")
    expect(phone.locator(GO)).to_have_text("The saw is ready")


def test_in_the_middle_of_a_run_what_was_moved_is_set_and_proved_again_and_the_count_stands(running, phone):
    first, second = runs_of(running, "mortise")[:2]
    open_at(phone, running, first)
    begin_counting(phone)
    tap(phone, f"{ON_SCREEN} [data-count='1'] >> nth=0")
    cut = phone.locator(f"{ON_SCREEN} [data-say=cut] >> nth=0")
    expect(cut).to_have_text("1")
    tap(phone, NEEDED)
    expect(phone.locator(f"{BOX} dialog")).to_be_visible()
    expect(phone.locator(f"{BOX} .goes")).to_have_text("Everything stays as it stands.")
    phone.check(f"{BOX} label:has-text('depth') input")
    expect(phone.locator(f"{BOX} .goes")).to_contain_text("One stop will not stand any more")
    phone.check(f"{BOX} [value=saw]")  # that takes the bit out as well
    expect(phone.locator(f"{BOX} .goes")).to_contain_text("2 stops will not stand any more")
    tap(phone, f"{BOX} .go")
    expect(phone.locator(f"{ON_SCREEN} .changeover")).to_contain_text("from saw to mortiser")
    tap(phone, GO)
    expect(phone.locator(PHASE.format("set"))).to_be_visible()
    made = phone.locator(f"{ON_SCREEN} .stop-set.made:not([hidden])")
    expect(made).to_have_count(len(first.stops) - 2)
    set_all(phone)
    expect(phone.locator(PHASE.format("count"))).to_be_visible()
    expect(cut).to_have_text("1")
    wait_until_sent(phone)
    (body,) = told(running, "machine used")
    assert (body["machine"], body["ready"]) == ("combination machine", "saw")
    assert sorted(body["moved"]) == [["mortiser", "bit"], ["mortiser", "depth"]]
    assert ["mortiser", "depth", first.stops[2].told] in body["stands"]
    open_at(phone, running, second)  # the next run finds them standing again
    expect(phone.locator(f"{ON_SCREEN} .stop-set.again:not([hidden])")).to_have_count(0)


def test_the_next_run_shows_a_moved_stop_to_be_set_again_on_two_phones_one_of_them_without_network(running, chromium):
    first, second = runs_of(running, "mortise")[:2]
    with a_phone(chromium) as one, a_phone(chromium) as other:
        open_at(one, running, first)
        set_all(one)
        open_at(other, running, second)
        again = f"{ON_SCREEN} .stop-set.again:not([hidden])"
        expect(other.locator(again)).to_have_count(0)
        one.context.set_offline(True)
        tap(one, NEEDED)
        one.check(f"{BOX} label:has-text('depth') input")
        tap(one, f"{BOX} .go")
        expect(one.locator(PHASE.format("set"))).to_be_visible()  # at once, from its own taps
        expect(other.locator(again)).to_have_count(0)
        one.context.set_offline(False)
        expect(other.locator(again)).to_have_count(1, timeout=20_000)
        expect(other.locator(again)).to_contain_text("moved or lost meanwhile: set the depth to")
        expect(other.locator(f"{ON_SCREEN} [data-stands=depth]")).to_be_hidden()
        other.reload()
        expect(other.locator(again)).to_have_count(1)
        set_all(one)
        expect(other.locator(again)).to_have_count(0, timeout=20_000)
        assert one.evaluate("document.querySelector('run-stepper').machines") == other.evaluate(
            "document.querySelector('run-stepper').machines"
        )
