"""Notes and photos of a set-up: kept with the run, seen by all, shown where the job is made again or a piece is."""

from base64 import b64decode
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import FilePayload, Page, expect
from tests.conftest import a_phone
from tests.phone.taps import GO, ON_SCREEN, begin_counting, number_on_screen, run_address, tap, wait_until_sent
from tests.store.test_pictures import a_photo

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.jobs.repeating import repeat_job
from stopwright.intake.shop_file import default_shop
from stopwright.store.log import Store
from stopwright.store.pictures import says_nothing
from stopwright.store.whole_job import export_job

NOTES = f"{ON_SCREEN} [data-say=notes] > li"
SETTLED = "run-stepper:not([data-settling])"
TAKEN: FilePayload = {"name": "bench.jpg", "mimeType": "image/jpeg", "buffer": a_photo(size=(1600, 1200), turn=6)}


def note(page: Page, text: str) -> None:
    page.wait_for_selector(SETTLED)
    tap(page, f"{ON_SCREEN} [data-do=write]")
    page.fill("note-pad textarea", text)
    page.wait_for_selector(SETTLED)
    tap(page, "note-pad .go")


def kept_notes(running) -> list:
    return [one for run in job_state(running.store, running.job).runs.values() for one in run.notes]


def test_a_note_and_a_photo_are_seen_by_a_second_phone_and_taken_back_for_all(running_server, chromium):
    address = run_address(running_server, "crosscut")
    with a_phone(chromium) as one, a_phone(chromium) as other:
        one.goto(address)
        other.goto(address)
        for page in (one, other):  # what says so moves what is below it: a tap on its way there would not be taken
            expect(page.locator(f"{ON_SCREEN} [data-say=here]")).to_be_visible()
        note(one, "featherboard left,\npush block 2")
        one.set_input_files(f"{ON_SCREEN} [data-photo]", files=[TAKEN])
        for page in (one, other):
            expect(page.locator(NOTES)).to_have_count(2)
            expect(page.locator(f"{NOTES} >> nth=0")).to_contain_text("featherboard left,\npush block 2")
            image = page.locator(f"{NOTES} img")
            image.scroll_into_view_if_needed()
            page.wait_for_function("(where) => document.querySelector(where)?.naturalHeight > 0", arg=f"{NOTES} img")
            assert image.evaluate("(one) => one.naturalHeight > one.naturalWidth")  # held upright
        wait_until_sent(one)
        (_, picture) = kept_notes(running_server)
        jpeg = b64decode(running_server.store.event(picture.event).body["jpeg"])
        assert says_nothing(jpeg) and max(Image.open(BytesIO(jpeg)).size) <= 1024
        other.wait_for_selector(SETTLED)
        remove = other.locator(f"{NOTES} >> nth=1").locator("button")
        remove.tap()
        expect(remove).to_have_text("Deleted for everyone. Tap again")
        other.wait_for_selector(SETTLED)
        remove.tap()
        for page in (one, other):
            expect(page.locator(NOTES)).to_have_count(1)
        wait_until_sent(other)
        answer = other.request.get(f"{running_server.address}/jobs/{running_server.job}/pictures/{picture.event}")
        assert answer.status == 404


def test_a_note_changes_nothing_that_undo_takes_back_and_no_phase(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    begin_counting(phone)
    tap(phone, f"{ON_SCREEN} [data-count='1'] >> nth=0")
    note(phone, "stop block wanders")
    expect(phone.locator(f"{ON_SCREEN} [data-do=undo]")).to_have_text("Undo: 1 × A")
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-phase", "count")


def test_without_network_a_note_and_a_photo_wait_on_the_phone(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    expect(phone.locator(GO)).to_be_enabled()
    phone.context.set_offline(True)
    note(phone, "second hook of the rack")
    phone.set_input_files(f"{ON_SCREEN} [data-photo]", files=[TAKEN])
    expect(phone.locator(NOTES)).to_have_count(2)
    expect(phone.locator(f"{NOTES} >> nth=1")).to_contain_text("kept on this phone until the bench is in reach")
    assert not kept_notes(running_server)
    phone.context.set_offline(False)
    expect(phone.locator(f"{NOTES} img")).to_have_count(1, timeout=20_000)
    expect(phone.locator(NOTES)).to_have_count(2)
    assert [one.is_picture for one in kept_notes(running_server)] == [False, True]


def test_a_file_that_is_no_photo_is_refused_with_words(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    expect(phone.locator(GO)).to_be_enabled()
    broken = {"name": "list.jpg", "mimeType": "image/jpeg", "buffer": b"mark,name"}
    phone.set_input_files(f"{ON_SCREEN} [data-photo]", files=[broken])
    expect(phone.locator(f"{ON_SCREEN} [data-say=photo]")).to_contain_text("cannot be read")
    expect(phone.locator(NOTES)).to_have_count(0)


def test_a_repeated_job_a_backup_and_a_whole_job_have_what_was_noted(running_server, phone, tmp_path: Path):
    phone.goto(run_address(running_server, "crosscut"))
    number = number_on_screen(phone)
    note(phone, "zero of the stop is off by a hair")
    phone.set_input_files(f"{ON_SCREEN} [data-photo]", files=[TAKEN])
    wait_until_sent(phone)
    expect(phone.locator(f"{NOTES} img")).to_have_count(1)
    store, job = running_server.store, running_server.job
    again = repeat_job(store, job, "bench")
    assert plan_for(store, again, default_shop()).sheet.runs[number - 1].id in job_state(store, job).runs
    phone.goto(f"{running_server.address}/jobs/{again}/runs/{number}")
    before = phone.locator(f"{ON_SCREEN} .notes")
    expect(before).to_contain_text("zero of the stop is off by a hair")
    before.locator("img").scroll_into_view_if_needed()
    phone.wait_for_function("(where) => document.querySelector(where).naturalHeight > 0", arg=f"{ON_SCREEN} .notes img")
    expect(phone.locator(NOTES)).to_have_count(0)  # they are the other job's: nothing to take back here
    written = "".join(export_job(store, job))
    (_, picture) = kept_notes(running_server)
    assert "off by a hair" in written and store.event(picture.event).body["jpeg"] in written
    store.backup(tmp_path / "kept.db")
    with Store.open(tmp_path / "kept.db") as kept:
        assert len([one for run in job_state(kept, job).runs.values() for one in run.notes]) == 2


def test_who_makes_a_piece_again_sees_what_was_noted_at_its_runs(running_server, phone):
    phone.goto(run_address(running_server, "crosscut"))
    note(phone, "back the cut with a strip")
    wait_until_sent(phone)
    begin_counting(phone)
    tap(phone, f"{ON_SCREEN} [data-count='1'] >> nth=0")
    for _ in range(2):
        phone.wait_for_selector(SETTLED)
        tap(phone, f"{ON_SCREEN} .spoil >> nth=0")
    wait_until_sent(phone)
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/pieces")
    phone.locator("a[href*='/p/']").first.click()
    phone.locator("a[href*='/remake/']").first.click()
    phone.locator("input[name=what]").first.check()
    phone.locator("select[name=run]").select_option(index=0)
    phone.get_by_role("button", name="Make it again").click()
    expect(phone.locator(".steps .notes")).to_contain_text("back the cut with a strip")
