"""Dry fit and glue-up at the phone: ticks, one step a screen, the clock that goes on while the phone sleeps."""

from playwright.sync_api import Page, expect
from tests.conftest import Running, a_phone
from tests.phone.taps import DRAWN_HEIGHTS, tap

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.numbering import code_of, pieces_of
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop

GO = "glue-up [data-do=go]"
TIME = ".clock .time"


def glue_page(page: Page, running: Running, unit: int = 1, stage: int = 1) -> None:
    page.goto(f"{running.address}/jobs/{running.job}/glue-up/{unit}/{stage}")
    expect(page.locator(GO)).to_be_enabled()


def test_a_unit_is_tried_dry_pieces_scanned_and_joints_ticked(running_server, phone) -> None:
    planned = plan_for(running_server.store, running_server.job, default_shop())
    mine = [one for one in pieces_of(running_server.store, running_server.job, planned) if one.unit == 2]
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/glue-up/2/dry-fit")
    for one in mine:
        phone.fill("input[name=code]", code_of(running_server.job, one))
    expect(phone.locator("[data-say=pieces]")).to_have_text("11 of 11 here")
    stranger = next(one for one in pieces_of(running_server.store, running_server.job, planned) if one.unit == 1)
    phone.fill("input[name=code]", code_of(running_server.job, stranger))
    expect(phone.locator("[data-say=verdict]")).to_have_text("This piece does not belong to unit 2.")
    joints = phone.locator("[data-joint]")
    for place in range(joints.count()):
        joints.nth(place).tap()
    expect(phone.locator("[data-say=turn]")).to_have_text("12 of 12 joints")
    expect(phone.locator("[data-say=on]")).to_have_text("All fits: glue up")
    joints.nth(3).tap()  # ticked by mistake
    expect(phone.locator("[data-say=turn]")).to_have_text("11 of 12 joints")
    joints.nth(3).tap()
    expect(phone.locator("[data-say=turn]")).to_have_text("12 of 12 joints")
    phone.wait_for_function("() => !Object.keys(localStorage).some((name) => name.startsWith('stopwright tap'))")
    assert len(job_state(running_server.store, running_server.job).assembly.dry[2]) == 12


def test_one_joint_or_clamp_a_screen_until_all_clamps_are_on(running_server, phone) -> None:
    glue_page(phone, running_server)
    expect(phone.locator("[data-say=before]")).to_contain_text("2 clamps opened to 320 mm and the cauls")
    tap(phone, GO)
    seen = []
    for place in range(1, 7):
        expect(phone.locator("[data-say=turn]")).to_have_text(f"{place} of 6")
        seen.append(phone.locator(".step .title").text_content())
        tap(phone, GO)
    assert seen[:2] == ["B\u201101 into A\u201102", "C\u201101 into A\u201102"]
    assert seen[4:] == ["Clamp 1 of 2", "Clamp 2 of 2"]
    expect(phone.locator(".step .title")).to_have_text("Check it")
    tap(phone, GO)
    expect(phone.locator(".step")).to_contain_text("Leave the clamps on for 45 min, until")
    expect(phone.locator(".clock")).to_be_hidden()
    phone.wait_for_function("() => !Object.keys(localStorage).some((name) => name.startsWith('stopwright tap'))")
    stage = job_state(running_server.store, running_server.job).assembly.stages[1, 1]
    assert len(stage.closed) == 6 and stage.done
    tap(phone, GO)
    phone.wait_for_url("**/glue-up/1/2")


def test_the_clock_counts_down_goes_on_while_the_phone_sleeps_and_says_when_it_is_over(running_server, phone) -> None:
    phone.clock.install(time="2026-03-01T08:00:00")
    glue_page(phone, running_server)
    phone.clock.pause_at("2026-03-01T08:01:00")
    phone.context.set_offline(True)  # the bench's clock does not stand still with the phone's: the phone is on its own
    tap(phone, GO)
    expect(phone.locator(TIME)).to_have_text("8:00")
    phone.clock.run_for(61_000)
    expect(phone.locator(TIME)).to_have_text("6:59")
    phone.clock.fast_forward(5 * 60_000)  # asleep: no timer ran in between
    expect(phone.locator(TIME)).to_have_text("1:59")
    assert "near" in phone.locator(".clock").get_attribute("class")
    phone.clock.fast_forward(3 * 60_000)
    expect(phone.locator(TIME)).to_have_text("+1:01")
    expect(phone.locator(".clock .words")).to_contain_text("over the open time")
    assert "over" in phone.locator(".clock").get_attribute("class")


def test_a_page_opened_later_and_a_second_phone_show_the_same_clock(running_server, phone, chromium) -> None:
    glue_page(phone, running_server)
    tap(phone, GO)
    tap(phone, GO)
    phone.wait_for_function("() => !Object.keys(localStorage).some((name) => name.startsWith('stopwright tap'))")
    with a_phone(chromium) as other:
        other.add_init_script("const now = Date.now; Date.now = () => now() + 7200000;")  # its clock is two hours ahead
        glue_page(other, running_server)
        expect(other.locator("[data-say=turn]")).to_have_text("2 of 6")
        minutes = [page.locator(TIME).text_content() for page in (phone, other)]
        assert all(one in ("8:00", "7:59", "7:58", "7:57", "7:56", "7:55", "7:54") for one in minutes), minutes
        tap(other, GO)
        expect(phone.locator("[data-say=turn]")).to_have_text("3 of 6")


def test_on_a_phone_laid_on_its_side_clock_alarm_and_step_stand_above_the_buttons(running_server, chromium) -> None:
    for width, height in ((800, 360), (667, 375), (568, 320)):
        with a_phone(chromium, width, height) as page:
            page.clock.install(time="2026-03-01T08:00:00")
            glue_page(page, running_server, 1 + (width == 667) + 2 * (width == 568))
            page.clock.pause_at("2026-03-01T08:01:00")
            page.context.set_offline(True)
            tap(page, GO)
            page.clock.run_for(5 * 60_000)
            expect(page.locator("[data-say=alarm]")).to_be_visible()
            page.evaluate("scrollTo(0, 0)")
            foot = page.locator("glue-up > footer").bounding_box()["y"]
            for what in (TIME, ".clock .words", "[data-say=alarm]", ".step .title", ".step .words"):
                box = page.locator(what).bounding_box()
                assert box["y"] >= 0 and box["y"] + box["height"] <= foot, (width, what, box, foot)
                assert box["x"] >= 0 and box["x"] + box["width"] <= width, (width, what)
            assert min(page.evaluate(DRAWN_HEIGHTS, TIME)) >= 58  # as tall as upright


def test_a_step_tapped_too_early_is_taken_back(running_server, phone) -> None:
    glue_page(phone, running_server)
    tap(phone, GO)
    tap(phone, GO)
    expect(phone.locator("[data-say=turn]")).to_have_text("2 of 6")
    tap(phone, "[data-do=undo]")
    expect(phone.locator("[data-say=turn]")).to_have_text("1 of 6")
    tap(phone, GO)
    expect(phone.locator("[data-say=turn]")).to_have_text("2 of 6")
    tap(phone, "[data-do=undo]")
    tap(phone, "[data-do=undo]")
    expect(phone.locator("[data-say=before]")).to_be_visible()


def test_before_glue_it_is_said_what_was_not_tried_or_glued_yet(running_server, phone) -> None:
    glue_page(phone, running_server, 1, 3)
    before = phone.locator("[data-say=before]")
    expect(before).to_contain_text("0 of 12 joints were tried dry")
    expect(before).to_contain_text("Stage 1 is not glued yet")
    expect(before).to_contain_text("Stage 2 is not glued yet")


def test_each_step_shows_what_goes_into_what(running_server, phone) -> None:
    glue_page(phone, running_server, 2, 3)
    tap(phone, GO)
    drawn = "glue-up .together"
    expect(phone.locator(f"{drawn} text.now")).to_be_visible()
    for _ in range(4):
        title = phone.locator("[data-say=step] .title").inner_text()
        rail, post = title.replace("\u00a0", " ").replace("\u2011", "-").split(" into ")
        expect(phone.locator(f"{drawn} text.now")).to_have_text(rail)
        expect(phone.locator(f"{drawn} text.into")).to_have_text(post)
        assert phone.locator(f"{drawn} path.now").count() == 3 and phone.locator(f"{drawn} path.into").count() == 3
        tap(phone, GO)
    said = phone.locator("[data-say=step] .words").inner_text().replace("\u2011", "-")
    pressed = phone.locator(f"{drawn} text.now").all_text_contents()
    assert pressed and all(label in said for label in pressed)  # a clamp presses the rails in its line
    assert phone.locator(f"{drawn} text.into").count() == 0
    assert phone.locator(f"{drawn} text").count() == 10


FEEL = "() => { window.felt = []; navigator.vibrate = (pattern) => felt.push(pattern.length); }"


def test_half_and_end_of_the_open_time_and_the_end_of_clamping_sound_once_each(running_server, phone) -> None:
    phone.add_init_script(f"({FEEL})()")
    phone.clock.install(time="2026-03-01T08:00:00")
    glue_page(phone, running_server)
    phone.clock.pause_at("2026-03-01T08:01:00")
    phone.context.set_offline(True)
    alarm = phone.locator("[data-say=alarm]")
    tap(phone, GO)  # open for 8 minutes
    phone.clock.run_for(3 * 60_000 + 59_000)
    expect(alarm).to_be_hidden()
    phone.clock.run_for(2_000)
    expect(alarm).to_have_text("Half of the open time is gone.")
    phone.clock.run_for(10_000)
    assert phone.evaluate("felt") == [5]
    for _ in range(7):
        tap(phone, GO)
        phone.clock.run_for(600)
    expect(phone.locator("glue-up")).to_have_attribute("data-phase", "done")
    expect(alarm).to_be_hidden()
    minutes = int(phone.locator("[data-say=step] .words").inner_text().split("for ")[1].split()[0])
    phone.clock.run_for((minutes - 1) * 60_000)
    expect(alarm).to_be_hidden()
    phone.clock.run_for(61_000)
    expect(alarm).to_have_text("The clamps may come off.")
    assert phone.evaluate("felt.filter((one) => one === 5)") == [5, 5]


def test_who_works_at_another_stage_hears_it_too(running_server, phone, chromium) -> None:
    glue_page(phone, running_server)
    tap(phone, GO)
    phone.wait_for_function("() => !Object.keys(localStorage).some((name) => name.startsWith('stopwright tap'))")
    with a_phone(chromium) as other:
        other.add_init_script(f"({FEEL})()")
        other.clock.install()
        glue_page(other, running_server, 1, 2)
        expect(other.locator("glue-up")).to_have_attribute("data-phase", "before")
        other.context.set_offline(True)
        other.clock.fast_forward(9 * 60_000)
        expect(other.locator("[data-say=alarm]")).to_have_text("Unit 1, stage 1: The open time is over.")
        assert other.evaluate("felt") == [5]


PX_PER_MM = 390 / 65
"""A phone of 390 CSS pixels is 65 mm wide."""


def test_the_clock_is_read_from_a_metre_and_a_half_and_the_step_at_arms_length(running_server, chromium) -> None:
    """22 minutes of arc (K): 1500 × tan(22′) = 9.6 mm, 700 × tan(22′) = 4.5 mm."""
    for unit, (width, height) in enumerate(((390, 844), (360, 640), (844, 390)), 1):
        with a_phone(chromium, width, height) as page:
            glue_page(page, running_server, unit)
            page.evaluate("scrollTo(0, 200)")  # whoever read on below what is to be at hand
            tap(page, GO)
            expect(page.locator(TIME)).to_be_visible()
            (clock,), (title,) = page.evaluate(DRAWN_HEIGHTS, TIME), page.evaluate(DRAWN_HEIGHTS, ".step .title")
            assert clock / PX_PER_MM >= 9.6, (width, clock)
            assert title / PX_PER_MM >= 4.5 or width > height, (width, title)
            for which in (TIME, GO):
                expect(page.locator(which)).to_be_in_viewport(ratio=1)
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
