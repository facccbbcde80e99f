"""Sorting at the phone: a whole batch by scans, photos with several labels, wrong and second scans, bad reception."""

import json
from io import BytesIO

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Page, expect
from tests.conftest import Running, a_phone
from tests.paper.pixels import page_count, page_pixels
from tests.phone.taps import tap, wait_until_sent
from tests.phone.test_without_network import wait_until_kept

from stopwright.actions.floor.sorting import piece_cards, unit_cards
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs import numbering
from stopwright.actions.jobs.numbering import code_of, pieces_of
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.paper.qr import qr_code
from stopwright.web.pieces import all_pieces

CODE = "code-entry input[name=code]"
VERDICT = "[data-say=verdict]"
FEEL = """() => {
  window.felt = [];
  navigator.vibrate = (pattern) => felt.push(pattern);
  window.heard = [];
  const start = OscillatorNode.prototype.start;
  OscillatorNode.prototype.start = function (...when) {
    heard.push(this.frequency.value);
    return start.apply(this, when);
  };
}"""
FITS = "() => document.documentElement.scrollWidth <= document.documentElement.clientWidth"


def pieces(running: Running):
    planned = plan_for(running.store, running.job, default_shop())
    return {one.label: (code_of(running.job, one), one) for one in pieces_of(running.store, running.job, planned)}


def open_sorting(page: Page, running: Running) -> None:
    page.add_init_script(f"({FEEL})()")
    page.goto(f"{running.address}/jobs/{running.job}/sort")
    expect(page.locator("[data-say=turn]")).not_to_be_empty()


def scan(page: Page, code: str) -> None:
    """As a hand scanner types it, or a person."""
    page.fill(CODE, code)
    if page.input_value(CODE):
        page.press(CODE, "Enter")


def test_a_whole_batch_is_sorted_scan_after_scan(running_server, phone) -> None:
    open_sorting(phone, running_server)
    for place, (code, piece) in enumerate(pieces(running_server).values(), start=1):
        scan(phone, f"HTTP://192.168.1.5:8765/P/{code}" if place % 2 else code.lower())
        expect(phone.locator(f"{VERDICT} .unit-number")).to_have_text(str(piece.unit))
        expect(phone.locator("[data-say=turn]")).to_have_text(f"{place} of 66")
    tap(phone, "[data-do=units]")
    expect(phone.locator("[data-say=summary]")).to_have_text("All 6 units are complete.")
    expect(phone.locator("[data-say=units] li.done")).to_have_count(6)
    wait_until_sent(phone)
    phone.wait_for_function("() => !Object.keys(localStorage).some((name) => name.startsWith('stopwright tap'))")
    planned = plan_for(running_server.store, running_server.job, default_shop())
    units = unit_cards(piece_cards(running_server.store, running_server.job, planned))
    assert [unit.here for unit in units] == [11] * 6


def test_the_place_of_a_piece_fills_the_screen_with_unit_bay_and_position(running_server, phone) -> None:
    open_sorting(phone, running_server)
    scan(phone, pieces(running_server)["A-06"][0])
    box = phone.locator(VERDICT)
    expect(box).to_contain_text("bay 2 of 6, front left")
    expect(box).to_contain_text("A-06 Leg, left-hand")
    expect(box).to_contain_text("1 of 11 here; missing")
    number = phone.locator(f"{VERDICT} .unit-number").bounding_box()
    assert number["height"] > 120  # px: readable from across the bench


def test_a_second_scan_a_misread_code_and_a_foreign_one_are_said_felt_and_heard(running_server, phone) -> None:
    open_sorting(phone, running_server)
    code, _ = pieces(running_server)["A-01"]
    tap(phone, CODE)  # browsers allow sound once the page was touched
    scan(phone, code)
    assert phone.evaluate("felt") == [60]
    for wrong, words in (
        (code, "lies with unit 1 already"),
        (code[:-1] + ("0" if code[-1] != "0" else "1"), "cannot be right"),
        ("00C006J", "another job, number 3"),
    ):
        phone.evaluate("felt.length = heard.length = 0")
        scan(phone, wrong)
        expect(phone.locator(VERDICT)).to_contain_text(words)
        assert phone.evaluate("felt") == [[200, 80, 200]]
        assert phone.evaluate("heard") == [220, 220]
    assert phone.locator(VERDICT).evaluate("(box) => getComputedStyle(box).borderStyle") == "dashed"  # not colour alone


def test_the_large_print_is_taken_the_unit_stays_the_largest_thing_and_what_is_missing_opens(
    running_server, phone
) -> None:
    open_sorting(phone, running_server)
    _, piece = pieces(running_server)["B-07"]
    for text, again in (("b7", False), ("B-07", True)):
        phone.fill(CODE, text)
        phone.press(CODE, "Enter")
        expect(phone.locator(f"{VERDICT} .unit-number")).to_have_text(str(piece.unit))
        expect(phone.locator(f"{VERDICT} .said-before")).to_have_count(int(again))
        heights = phone.locator(f"{VERDICT} p").evaluate_all(
            "(all) => all.map((one) => parseFloat(getComputedStyle(one).fontSize))"
        )
        number = phone.locator(f"{VERDICT} .unit-number").evaluate(
            "(one) => parseFloat(getComputedStyle(one).fontSize)"
        )
        assert number == max(heights) > 100
    tap(phone, "[data-do=units]")
    missing = phone.locator("[data-say=units] li li a").first
    assert missing.bounding_box()["height"] >= 44
    code = pieces(running_server)[missing.inner_text().replace("\u2011", "-")][0]
    missing.tap()
    phone.wait_for_url(f"**/p/{code}")


def test_sound_waits_for_a_touch_and_nothing_breaks_without(running_server, phone) -> None:
    open_sorting(phone, running_server)
    code = pieces(running_server)["A-01"][0]
    phone.evaluate(
        "(read) => document.querySelector('sort-station').scanned(read)",
        {"job": running_server.job, "index": 0, "code": code},
    )
    expect(phone.locator(f"{VERDICT} .unit-number")).to_have_text("1")
    assert phone.evaluate("heard") == []


def labels_photo(running: Running, chosen: list[int]) -> bytes:
    address = f"{running.address}/jobs/{running.job}/labels.pdf"
    data = {"sheet": "other", "own": "57x32", "only": ",".join(map(str, chosen))}
    pdf = httpx.post(address, data=data).content
    made = [
        page_pixels(pdf, 203, page).rotate(7 * page - 7, expand=True, fillcolor=140) for page in range(page_count(pdf))
    ]
    bench = Image.new("L", (sum(one.width + 50 for one in made) + 50, max(one.height for one in made) + 100), 140)
    x = 50
    for one in made:
        bench.paste(one, (x, 50))
        x += one.width + 50
    file = BytesIO()
    bench.save(file, "JPEG", quality=85)
    return file.getvalue()


def test_a_photo_with_three_labels_lets_one_choose_them_one_after_the_other(running_server, phone) -> None:
    known = pieces(running_server)
    picture = labels_photo(running_server, [known[label][1].index for label in ("A-01", "B-07", "C-11")])
    open_sorting(phone, running_server)
    phone.set_input_files(
        "code-entry input[type=file]", {"name": "labels.jpg", "mimeType": "image/jpeg", "buffer": picture}
    )
    buttons = phone.locator("[data-say=choices] button")
    expect(buttons).to_have_count(3)
    expect(buttons.nth(1)).to_contain_text("B-07")
    for label, left in (("B-07", 2), ("A-01", 1), ("C-11", 0)):
        tap(phone, f"[data-say=choices] button[data-code='{known[label][0]}']")
        expect(phone.locator(f"{VERDICT} .unit-number")).to_have_text(str(known[label][1].unit))
        expect(buttons).to_have_count(left)
    expect(phone.locator("[data-say=turn]")).to_have_text("3 of 66")


def test_a_photo_that_shows_no_label_says_what_to_do(running_server, phone) -> None:
    open_sorting(phone, running_server)
    file = BytesIO()
    Image.new("RGB", (400, 300), "tan").save(file, "PNG")
    phone.set_input_files(
        "code-entry input[type=file]", {"name": "x.png", "mimeType": "image/png", "buffer": file.getvalue()}
    )
    expect(phone.locator(VERDICT)).to_contain_text("No code can be read")
    expect(phone.locator(VERDICT)).to_contain_text("type the code")


def test_sorting_goes_on_without_reception_and_nothing_is_lost(running_server, phone) -> None:
    known = pieces(running_server)
    open_sorting(phone, running_server)
    phone.context.set_offline(True)
    for label in ("A-01", "A-05", "B-01"):
        scan(phone, known[label][0])
    expect(phone.locator("[data-say=turn]")).to_have_text("3 of 66")
    expect(phone.locator("sending-line")).to_contain_text("kept on this phone")
    scan(phone, known["A-05"][0])
    expect(phone.locator(VERDICT)).to_contain_text("Scanned before")
    phone.context.set_offline(False)
    phone.wait_for_function(
        "() => !Object.keys(localStorage).some((name) => name.startsWith('stopwright tap'))", timeout=20000
    )
    assert job_state(running_server.store, running_server.job).pieces[known["A-05"][1].index].unit == 2


def test_two_phones_see_each_other_s_scans_and_one_can_be_taken_back(running_server, phone, chromium) -> None:
    known = pieces(running_server)
    open_sorting(phone, running_server)
    with a_phone(chromium) as other:
        open_sorting(other, running_server)
        scan(other, known["A-01"][0])
        expect(phone.locator("[data-say=turn]")).to_have_text("1 of 66")
        scan(phone, known["A-01"][0])
        expect(phone.locator(VERDICT)).to_contain_text("Scanned before")
        tap(other, "[data-do=undo]")
        expect(other.locator("[data-say=turn]")).to_have_text("0 of 66")
        expect(phone.locator("[data-say=turn]")).to_have_text("0 of 66")


def test_a_spoiled_piece_is_not_put_with_its_unit_and_the_unit_says_why_it_lacks_it(running_server, phone) -> None:
    code, _ = pieces(running_server)["B-01"]
    page = f"{running_server.address}/jobs/{running_server.job}/remake/{code}"
    phone.goto(page)
    phone.check("input[value='torn grain']")
    tap(phone, "button.go")
    expect(phone.locator(".steps")).to_be_visible()
    open_sorting(phone, running_server)
    scan(phone, code)
    expect(phone.locator(VERDICT)).to_contain_text("to be made again")
    tap(phone, "[data-do=units]")
    expect(phone.locator("[data-say=units] li").first).to_contain_text(
        "B\u201101 Upper rail: to be made again, at run 1"
    )
    assert json.loads(phone.locator("#standing").text_content())["sorted"] == {}


def test_what_is_tapped_for_a_passed_run_keeps_its_place_and_a_bounce_passes_no_other(running_server, phone) -> None:
    code, _ = pieces(running_server)["B-02"]
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/remake/{code}")
    phone.check("input[value='torn grain']")
    tap(phone, "button.go")
    button = phone.locator(".passing .go")
    expect(button).to_contain_text("Passed run")
    place, said = button.bounding_box(), button.inner_text()
    for past in (1, 2):
        phone.locator(".passing form").evaluate("(form) => form.getAnimations().forEach((one) => one.finish())")
        with phone.expect_navigation():
            button.tap()
        assert (
            phone.locator(".passing form").evaluate(
                "(form) => { const [one] = form.getAnimations(); one.currentTime = 100; one.pause();"
                " return getComputedStyle(form).pointerEvents; }"
            )
            == "none"
        )  # for a moment after the page came
        expect(phone.locator(".steps .past")).to_have_count(past)
        assert button.bounding_box() == place and button.inner_text() != said
        said = button.inner_text()
        bottom = phone.locator("#next").bounding_box()
        assert bottom["y"] >= 0 and bottom["y"] + 40 < place["y"]  # the run that comes next is in sight


def test_a_page_that_is_not_secure_offers_no_live_camera(running_server, phone) -> None:
    phone.add_init_script("Object.defineProperty(window, 'isSecureContext', { value: false })")
    open_sorting(phone, running_server)
    expect(phone.locator("[data-do=live]")).to_be_hidden()
    expect(phone.locator(".photo")).to_be_visible()
    expect(phone.locator("[data-plain-http]")).to_contain_text("takes photos only")
    tap(phone, "[data-plain-http] a")
    expect(phone.locator("main")).to_contain_text("Two ways to have them")
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/runs")
    expect(phone.locator("#list [data-plain-http]")).to_be_visible()


def test_a_page_that_is_secure_says_nothing_of_plain_http(running_server, phone) -> None:
    open_sorting(phone, running_server)
    expect(phone.locator("[data-say=turn]")).to_have_text("0 of 66")
    expect(phone.locator("[data-plain-http]")).to_be_hidden()


PAGES = ["sort", "glue-up", "glue-up/1/dry-fit", "glue-up/1/1", "pieces", "labels", "remake"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_and_nothing_scrolls_sideways(running_server, chromium, scheme) -> None:
    axe = Axe()
    code = pieces(running_server)["A-01"][0]
    job = f"{running_server.address}/jobs/{running_server.job}"
    addresses = [f"{job}/{page}" if page != "remake" else f"{job}/remake/{code}" for page in PAGES]
    with a_phone(chromium, 320, 640, color_scheme=scheme) as page:
        for address in (*addresses, f"{running_server.address}/scan"):
            page.goto(address)
            found = axe.run(page).response["violations"]
            assert [f"{one['id']}: {node['html']}" for one in found for node in one["nodes"]] == [], address
            for size in ("", "200%"):
                page.evaluate("(size) => { document.documentElement.style.fontSize = size }", size)
                assert page.evaluate(FITS), f"{address} text {size}"


REFUSED = """() => {
  navigator.mediaDevices.getUserMedia = async () => { throw new DOMException('no', 'NotAllowedError'); };
}"""
CAMERA = """(code) => {
  const canvas = Object.assign(document.createElement('canvas'), { width: 640, height: 480 });
  const pen = canvas.getContext('2d');
  const draw = () => {
    pen.fillStyle = '#c9a97a';
    pen.fillRect(0, 0, 640, 480);
    pen.fillStyle = '#fff';
    pen.fillRect(120, 60, 8 * (code.side + 8), 8 * (code.side + 8));
    pen.fillStyle = '#111';
    for (const [x, y, length] of code.runs) pen.fillRect(120 + 8 * (x + 4), 60 + 8 * (y + 4), 8 * length, 8);
  };
  setInterval(draw, 100);
  draw();
  navigator.mediaDevices.getUserMedia = async () => canvas.captureStream(10);
  delete globalThis.BarcodeDetector;
}"""


def test_the_live_camera_is_read_at_the_bench_and_one_label_before_it_is_one_scan(running_server, phone) -> None:
    code, piece = pieces(running_server)["B-09"]
    shown = qr_code(f"HTTP://192.168.1.5:8765/P/{code}")
    open_sorting(phone, running_server)
    phone.evaluate(CAMERA, {"side": shown.side, "runs": shown.runs})
    tap(phone, "[data-do=live]")
    expect(phone.locator("code-entry video")).to_be_visible()
    expect(phone.locator(f"{VERDICT} .unit-number")).to_have_text(str(piece.unit))
    phone.wait_for_timeout(1500)  # it stays before the camera: no second scan
    expect(phone.locator(f"{VERDICT} .unit-number")).to_have_text(str(piece.unit))
    tap(phone, "[data-do=live]")
    expect(phone.locator("code-entry video")).to_be_hidden()


def test_a_camera_that_is_refused_is_said_and_the_code_can_be_typed(running_server, phone) -> None:
    open_sorting(phone, running_server)
    phone.evaluate(REFUSED)
    tap(phone, "[data-do=live]")
    expect(phone.locator("[data-say=entry]")).to_contain_text("Take a photo, or type the code")


@pytest.fixture
def in_portions(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three portions of the 66 pieces."""
    for room in (numbering, all_pieces):
        monkeypatch.setattr(room, "PORTION", 25)


@pytest.mark.usefixtures("in_portions")
def test_a_list_that_comes_in_portions_is_sorted_as_any_other(running_server, phone) -> None:
    known = pieces(running_server)
    open_sorting(phone, running_server)
    expect(phone.locator("[data-say=turn]")).to_have_text("0 of 66")
    for place, (code, piece) in enumerate(list(known.values())[::13], start=1):
        scan(phone, code)
        expect(phone.locator(f"{VERDICT} .unit-number")).to_have_text(str(piece.unit))
        expect(phone.locator("[data-say=turn]")).to_have_text(f"{place} of 66")


@pytest.mark.usefixtures("in_portions")
def test_a_portion_that_did_not_come_is_said_and_its_piece_is_sorted_when_it_has(running_server, phone) -> None:
    late = next(piece for _, piece in pieces(running_server).values() if piece.index >= 50)
    code = pieces(running_server)[late.label][0]
    phone.context.route("**/sort/3", lambda route: route.abort())
    open_sorting(phone, running_server)
    expect(phone.locator("[data-say=turn]")).to_have_text("2 of 3 parts of the list")
    scan(phone, code)
    expect(phone.locator(VERDICT)).to_contain_text("has not come to this phone yet")
    tap(phone, "[data-do=units]")
    expect(phone.locator("[data-say=summary]")).to_contain_text("still on its way")
    phone.context.unroute("**/sort/3")
    scan(phone, code)  # its portion is fetched for it
    expect(phone.locator(f"{VERDICT} .unit-number")).to_have_text(str(late.unit))
    expect(phone.locator("[data-say=turn]")).to_have_text("1 of 66")


@pytest.mark.usefixtures("in_portions")
def test_a_list_in_portions_is_sorted_without_network_from_the_first_opening_on(running_server, phone) -> None:
    open_sorting(phone, running_server)
    phone.wait_for_function("() => navigator.serviceWorker.controller !== null")
    wait_until_kept(phone, f"/jobs/{running_server.job}/sort/3")  # it comes after the page itself
    phone.context.set_offline(True)
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/sort")
    expect(phone.locator("sending-line")).to_contain_text("Opened without the bench")
    expect(phone.locator("[data-say=turn]")).to_have_text("0 of 66")
    late = next(label for label, (_, piece) in pieces(running_server).items() if piece.index >= 50)
    scan(phone, late)
    expect(phone.locator("[data-say=turn]")).to_have_text("1 of 66")


def test_of_many_units_as_many_are_listed_as_somebody_reads(running_server, phone) -> None:
    open_sorting(phone, running_server)
    phone.evaluate("void Object.assign(customElements.get('sort-station'), { unitsAtOnce: 2, piecesAtOnce: 2 })")
    tap(phone, "[data-do=units]")
    expect(phone.locator("[data-say=units] ol > li")).to_have_count(2)
    expect(phone.locator("[data-say=units] ol > li").first).to_contain_text("and 2 more Leg")
    more = phone.locator("[data-do='more units']")
    expect(more).to_have_text("4 more units")
    more.tap()
    more.tap()
    expect(more).to_be_hidden()
    expect(phone.locator("[data-say=units] ol > li")).to_have_count(6)
