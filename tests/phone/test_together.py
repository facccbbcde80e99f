"""Several jobs in one go, as people do it: chosen at the bench, worked at a phone, one leaves meanwhile."""

from pathlib import Path

from playwright.sync_api import expect
from tests.conftest import ROOT, a_phone, serving
from tests.phone.taps import GO, ON_SCREEN, begin_counting, tap, wait_until_sent, work_a_run

from stopwright.actions.floor.worked_together import run_states, shares_in
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.jobs.together import together_with
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.store.log import Store
from stopwright.web.app import create_app

STOOLS, MORE, BENCHES, ALL = "1", "2", "3", "4"


def the_jobs(store: Store) -> None:
    """Stools for two customers, and hall benches: they could be worked one after the other."""
    stools, benches = (job_to_document(read_job(ROOT / "fixtures" / name)) for name in ("bakery-stools", "hall-bench"))
    for document in (stools, {**stools, "name": "Stools for the mill"}, benches):
        create_job(store, document, "bench")


def cut_of(store: Store, job: str) -> int:
    """How many pieces, strips and boards the log of a job counts."""
    return sum(count for state in job_state(store, job).runs.values() for count in state.cut.values())


def test_jobs_chosen_on_the_first_page_are_worked_as_one_and_each_log_is_whole(chromium, tmp_path: Path):
    path = tmp_path / "shop.db"
    with Store.open(path) as store:
        the_jobs(store)
        app = create_app(store, default_shop(), ROOT / "frontend", address="http://192.168.1.5:8765")
        with serving(app) as address, a_phone(chromium, 1200, 900) as bench, a_phone(chromium) as phone:
            bench.goto(address)
            bench.click("text=Work several in one go")
            for box in bench.locator(".together [type=checkbox]").all():
                box.check()
            bench.click("text=Work them together")
            bench.wait_for_url("**/together")
            for number in (STOOLS, MORE, BENCHES, ALL):
                plan_for(store, number, default_shop())
            bench.reload()
            expect(bench.locator("h2.big")).to_contain_text("Together they save")

            phone.goto(f"{address}/jobs/{STOOLS}/phone")  # at the machines there is one sheet for all of them
            expect(phone).to_have_url(f"{address}/jobs/{ALL}/runs/1")
            expect(phone.locator(f"{ON_SCREEN} .whose").first).to_contain_text("of Six bakery stools")
            for _ in range(3):
                work_a_run(phone)
            wait_until_sent(phone)
            plan = plan_for(store, ALL, default_shop())
            for run in plan.sheet.runs[:3]:
                for share in shares_in(run, plan.members):
                    assert job_state(store, share.job).run(share.run).done

            shared = next(
                run for run in plan.sheet.runs if run.work == "crosscut" and len(shares_in(run, plan.members)) == 2
            )
            phone.goto(f"{address}/jobs/{ALL}/runs/{shared.number}")
            begin_counting(phone)
            mine, other = shares_in(shared, plan.members)
            before = cut_of(store, mine.job), cut_of(store, other.job)
            line = next(iter(other.names.values()))
            tap(phone, phone.locator(f'{ON_SCREEN} [data-slot="{line}"] [data-count="1"]'))
            tap(phone, phone.locator(f'{ON_SCREEN} [data-slot="{line}"] [data-count="1"]'))
            tap(phone, f"{ON_SCREEN} [data-do=undo]")
            wait_until_sent(phone)
            assert (cut_of(store, mine.job), cut_of(store, other.job)) == (before[0], before[1] + 1)
            bench.goto(f"{address}/jobs/{ALL}/sheet")
            expect(bench.locator("[data-say=done]")).to_contain_text("3 of")
            tap(phone, phone.locator(f'{ON_SCREEN} [data-slot="{line}"] [data-count="1"]'))
            expect(bench.locator(f'tr[data-key="{shared.id}"] [data-say=state]')).to_contain_text("2 of")
            wait_until_sent(phone)

    with Store.open(path) as store:  # the program was ended and begun again in the middle
        app = create_app(store, default_shop(), ROOT / "frontend", address="http://192.168.1.5:8765")
        with serving(app) as address, a_phone(chromium, 1200, 900) as bench, a_phone(chromium) as phone:
            kept = cut_of(store, other.job)
            phone.goto(f"{address}/jobs/{ALL}/runs/{shared.number}")
            expect(phone.locator(f'{ON_SCREEN} [data-slot="{line}"] [data-say=cut]')).to_have_text("2")
            phone.context.set_offline(True)
            tap(phone, phone.locator(f'{ON_SCREEN} [data-slot="{line}"] [data-count="1"]'))
            bench.goto(f"{address}/jobs/{ALL}/together")
            bench.locator(f"button[value='{other.job}']").click()
            expect(bench.locator(".lines > li")).to_have_count(2)
            assert together_with(store, other.job) == ""
            phone.context.set_offline(False)
            wait_until_sent(phone)  # what was cut is that job's, though it has left
            assert cut_of(store, other.job) == kept + 1
            expect(phone.locator("[data-say=old]")).to_be_visible()
            phone.goto(f"{address}/jobs/{other.job}/phone")
            alone, state = plan_for(store, other.job, default_shop()), job_state(store, other.job)
            left = next(run.number for run in alone.sheet.runs if not state.run(run.id).done)
            expect(phone).to_have_url(f"{address}/jobs/{other.job}/runs/{left}")  # by its own sheet, where it stood
            assert left > 1
            expect(phone.locator(GO)).to_be_enabled()
            states = run_states(store, ALL, plan_for(store, ALL, default_shop()))
            assert sum(state.done for state in states.values()) == 3
