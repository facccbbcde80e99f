"""The part list edited in a real browser, by keyboard: typed, pasted, undone, saved, and in two windows at once."""

from playwright.sync_api import expect
from tests.conftest import a_phone
from tests.desk.conftest import cell, expect_saved

from stopwright.actions.jobs.keeping import create_job, job_document


def type_row(page, *texts):
    for text in texts:
        page.keyboard.type(text)
        page.keyboard.press("Tab")


def call_first_part(page, name):
    cell(page, 1, "name").focus()
    page.keyboard.type(name)
    page.keyboard.press("Enter")


def rows_of(running, job="1"):
    return job_document(running.store, job).document["part"]


def test_a_new_job_is_typed_with_the_keyboard_alone_and_read_as_written(running_server, laptop):
    laptop.goto(f"{running_server.address}/")
    laptop.get_by_label("What is made?").focus()
    laptop.keyboard.type("Four benches")
    laptop.keyboard.press("Tab")
    laptop.keyboard.type("4")
    laptop.keyboard.press("Enter")
    expect(laptop).to_have_url(f"{running_server.address}/jobs/2/parts")
    cell(laptop, 1, "mark").focus()
    type_row(laptop, "A", "Leg", "16", "45 cm", "38", "38", "ash", "so", "", "pa")
    expect(cell(laptop, 1, "hand")).to_have_text("pairs")
    expect(cell(laptop, 1, "kind")).to_have_text("solid")
    laptop.keyboard.press("Escape")
    expect(laptop.locator("[data-say=summary]")).to_have_text("1 part, 16 pieces")
    expect_saved(laptop)
    assert rows_of(running_server, "2") == [
        {
            "mark": "A",
            "name": "Leg",
            "quantity": 16,
            "length": "45 cm",
            "width": "38",
            "thickness": "38",
            "material": "ash",
            "kind": "solid",
            "hand": "pairs",
        }
    ]
    cell(laptop, 1, "length").focus()
    expect(laptop.locator("[data-say=reading]")).to_contain_text("450 mm")


def test_a_fault_is_said_below_its_cell_while_typing_and_kept_as_typed(running_server, laptop):
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    cell(laptop, 2, "length").focus()
    laptop.keyboard.type("abc")
    expect(laptop.locator("tr.said")).to_contain_text("'abc' is not a length")
    expect(cell(laptop, 2, "length")).to_have_attribute("aria-invalid", "true")
    assert rows_of(running_server)[1]["length"] == "244"  # nothing is saved while a cell is open
    laptop.keyboard.press("Enter")
    expect_saved(laptop)
    assert rows_of(running_server)[1]["length"] == "abc"
    expect(laptop.locator("[data-say=summary]")).to_contain_text("1 thing stands in the way")
    laptop.reload()
    expect(cell(laptop, 2, "length")).to_have_text("abc")
    cell(laptop, 2, "length").focus()
    laptop.keyboard.press("F2")
    laptop.keyboard.type("17 3/4 in")
    laptop.keyboard.press("Escape")
    expect(cell(laptop, 2, "length")).to_have_text("abc")
    laptop.keyboard.type("244")
    laptop.keyboard.press("Enter")
    expect(laptop.locator("tr.said")).to_have_count(0)


def test_legs_of_two_kinds_are_split_from_one_row_of_pairs(running_server, laptop):
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    cell(laptop, 1, "quantity").focus()
    laptop.get_by_role("button", name="Split").click()
    expect(cell(laptop, 2, "quantity")).to_have_text("12")
    expect_saved(laptop)
    first, second, third = rows_of(running_server)[:3]
    assert [(row["quantity"], row["hand"]) for row in (first, second)] == [(12, "pairs"), (12, "pairs")]
    assert (first["mark"], "mark" in second, third["mark"]) == ("A", False, "B")


def test_in_another_unit_every_length_stays_what_it_is_and_undo_does_not_lose_its_unit(running_server, laptop):
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    cell(laptop, 1, "name").focus()
    laptop.keyboard.type("Front leg")
    laptop.keyboard.press("Enter")
    expect_saved(laptop)
    laptop.get_by_role("radio", name="in", exact=True).check()
    expect(cell(laptop, 2, "length")).to_have_text("244 mm")
    expect(laptop.locator("[data-say=news]")).to_contain_text("keeps its unit")
    cell(laptop, 2, "length").focus()
    laptop.keyboard.type("10")
    laptop.keyboard.press("Enter")
    expect_saved(laptop)
    kept = job_document(running_server.store, "1").document
    assert kept["lengths"] == "in" and [row["length"] for row in kept["part"][1:3]] == ["10", "244 mm"]
    laptop.get_by_role("button", name="Undo").click()
    laptop.get_by_role("button", name="Undo").click()
    expect(cell(laptop, 1, "name")).to_have_text("Leg")
    expect_saved(laptop)
    assert [row["length"] for row in rows_of(running_server)[1:3]] == ["244 mm", "244 mm"]


def test_rows_are_pasted_copied_moved_deleted_and_all_of_it_undone(running_server, laptop):
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    before = rows_of(running_server)
    cell(laptop, 5, "mark").focus()
    paste(laptop, 'E\tStretcher\t6\t17 3/4"\t30\t20\nF\tPeg\t12\t60\t10\t10\n')
    expect(cell(laptop, 6, "name")).to_have_text("Peg")
    expect(cell(laptop, 5, "length")).to_have_text('17 3/4"')
    laptop.keyboard.press("Control+Enter")
    expect(cell(laptop, 6, "name")).to_have_text("Stretcher")
    laptop.keyboard.press("Alt+ArrowUp")
    laptop.keyboard.press("Control+Delete")
    expect(laptop.locator("tr[data-row]")).to_have_count(7)
    expect_saved(laptop)
    assert [row["name"] for row in rows_of(running_server)][4:] == ["Stretcher", "Peg"]
    for _ in range(4):
        laptop.keyboard.press("Control+z")
    expect(laptop.locator("tr[data-row]")).to_have_count(5)
    expect_saved(laptop)
    assert rows_of(running_server) == before
    laptop.keyboard.press("Control+y")
    expect(cell(laptop, 6, "name")).to_have_text("Peg")


def test_pasted_rows_that_name_their_columns_find_their_places(running_server, laptop):
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    cell(laptop, 1, "mark").focus()
    paste(laptop, "Description\tL\tW\tT\tQty\nPeg\t60\t10\t10\t12\n")
    expect(cell(laptop, 5, "name")).to_have_text("Peg")
    expect(cell(laptop, 5, "quantity")).to_have_text("12")
    paste(laptop, "one\ttwo\nthree\tfour\n")  # no header: as it stands, where one stands
    expect(cell(laptop, 1, "mark")).to_have_text("one")
    expect(cell(laptop, 2, "name")).to_have_text("four")
    expect_saved(laptop)


def test_joints_follow_a_part_to_its_new_mark_and_back(running_server, laptop):
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    cell(laptop, 1, "mark").focus()
    for mark in ("L1", "L2"):
        laptop.keyboard.type(mark)
        laptop.keyboard.press("Enter")
        laptop.keyboard.press("ArrowUp")
        expect_saved(laptop)
        assert {joint["post"] for joint in job_document(running_server.store, "1").document["joint"]} == {mark}
    laptop.keyboard.press("Control+z")
    laptop.keyboard.press("Control+z")
    expect(laptop.locator("[data-say=summary]")).to_have_text("4 parts, 66 pieces")
    expect_saved(laptop)
    assert {joint["post"] for joint in job_document(running_server.store, "1").document["joint"]} == {"A"}


def test_marked_cells_go_out_as_a_spreadsheet_takes_them_and_come_back(running_server, laptop):
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    cell(laptop, 1, "name").focus()
    for key in ("Shift+ArrowDown", "Shift+ArrowRight"):
        laptop.keyboard.press(key)
    taken = laptop.evaluate(
        """() => { const data = new DataTransfer();
        document.activeElement.dispatchEvent(new ClipboardEvent("copy", {clipboardData: data, bubbles: true}));
        return data.getData("text/plain") }"""
    )
    assert taken == "Leg\t24\nUpper rail\t24"


def test_the_second_window_is_told_and_keeps_what_was_typed_in_it(running_server, chromium):
    address = f"{running_server.address}/jobs/1/parts"
    with a_phone(chromium, 1280, 800) as one, a_phone(chromium, 1280, 800) as other:
        one.goto(address)
        other.goto(address)
        call_first_part(one, "Front leg")
        expect_saved(one)
        call_first_part(other, "Back leg")
        expect(other.locator("[data-conflict]")).to_be_visible()
        expect(cell(other, 1, "name")).to_have_text("Back leg")
        assert rows_of(running_server)[0]["name"] == "Front leg"
        other.reload()  # even so nothing is lost
        expect(other.locator("[data-conflict]")).to_be_visible()
        expect(cell(other, 1, "name")).to_have_text("Back leg")
        other.get_by_role("button", name="Take what the other window saved").click()
        expect(cell(other, 1, "name")).to_have_text("Front leg")
        other.locator("[data-do=undo]").click()
        expect(cell(other, 1, "name")).to_have_text("Back leg")
        expect_saved(other)
        assert rows_of(running_server)[0]["name"] == "Back leg"
        one.evaluate("dispatchEvent(new Event('focus'))")
        expect(cell(one, 1, "name")).to_have_text("Back leg")


def test_windows_of_one_browser_keep_their_drafts_apart_and_a_closed_one_leaves_its_own(running_server, laptop):
    address = f"{running_server.address}/jobs/1/parts"
    other = laptop.context.new_page()
    for page in (laptop, other):
        page.goto(address)
    call_first_part(laptop, "Front leg")
    expect_saved(laptop)
    call_first_part(other, "Back leg")
    expect(other.locator("[data-conflict]")).to_be_visible()
    cell(laptop, 2, "name").focus()
    laptop.keyboard.type("Rail")
    laptop.keyboard.press("Enter")
    expect_saved(laptop)
    laptop.reload()
    expect(cell(laptop, 1, "name")).to_have_text("Front leg")  # the draft of the other window is left to it
    other.reload()
    expect(cell(other, 1, "name")).to_have_text("Back leg")
    other.close()
    laptop.reload()
    expect(cell(laptop, 1, "name")).to_have_text("Back leg")
    expect(laptop.locator("[data-conflict]")).to_be_visible()
    laptop.get_by_role("button", name="Keep what stands here").click()
    expect_saved(laptop)
    assert rows_of(running_server)[0]["name"] == "Back leg"


def test_what_is_typed_while_the_bench_is_away_is_kept_and_saved_when_it_is_back(running_server, laptop):
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    laptop.route("**/save", lambda route: route.abort())
    call_first_part(laptop, "Long leg")
    expect(laptop.locator("[data-say=saving]")).to_contain_text("out of reach")
    laptop.unroute("**/save")
    expect_saved(laptop)
    assert rows_of(running_server)[0]["name"] == "Long leg"


def test_five_hundred_lines_are_edited_like_five(running_server, laptop):
    part = {"name": "Slat", "quantity": 2, "width": "40", "thickness": "20"}
    rows = [part | {"mark": f"P{n}", "length": str(300 + n)} for n in range(500)]
    job = create_job(running_server.store, {"name": "Many", "units": 1, "part": rows}, "bench")
    laptop.goto(f"{running_server.address}/jobs/{job}/parts")
    expect(laptop.locator("[data-say=summary]")).to_have_text("500 parts, 1000 pieces")
    cell(laptop, 1, "name").focus()
    laptop.keyboard.press("Control+ArrowDown")
    laptop.keyboard.type("The last")
    laptop.keyboard.press("Enter")
    expect_saved(laptop)
    assert rows_of(running_server, job)[500]["name"] == "The last"


def test_names_with_markup_are_shown_as_they_are(running_server, laptop):
    name = '<img src=x onerror=alert(1)> "&amp;'
    job = create_job(running_server.store, {"name": name, "part": [{"name": name, "note": name}]}, "bench")
    laptop.goto(f"{running_server.address}/jobs/{job}/parts")
    expect(cell(laptop, 1, "name")).to_have_text(name)
    expect(laptop.locator("h1")).to_have_text(name)
    laptop.goto(f"{running_server.address}/")
    expect(laptop.get_by_text(name).first).to_be_visible()
    assert laptop.locator("img").count() == 0


def paste(page, text):
    page.evaluate(
        """text => { const data = new DataTransfer(); data.setData("text/plain", text);
        document.activeElement.dispatchEvent(new ClipboardEvent("paste", {clipboardData: data, bubbles: true})) }""",
        text,
    )


def test_every_column_of_the_list_is_seen_on_a_laptop(running_server, laptop):
    laptop.set_viewport_size({"width": 1440, "height": 900})
    laptop.goto(f"{running_server.address}/jobs/1/parts")
    expect(cell(laptop, 1, "measured")).to_be_visible()
    assert laptop.evaluate("(frame => frame.scrollWidth <= frame.clientWidth)(document.querySelector('.frame'))")
