"""Wood on hand typed and saved, the shelf and its numbers, what to buy, and how wide wood moves."""

import threading

import pytest

from stopwright.actions.floor.shelf import NewOffcut, left_over, shelf, shelve, use_in_job
from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM
from stopwright.store.events import Event
from stopwright.store.shelf_fold import fold_shelf

BOARD = {"kind": "board", "quantity": "3", "length": "2400", "width": "150", "thickness": "27", "material": "ash"}


def save(floor, rows):
    base = floor.bench.get("/jobs/1/version").json()["version"]
    answer = floor.bench.post("/jobs/1/wood/save", json={"rows": rows, "base": base})
    assert answer.status_code == 200, answer.text
    return answer.json()


def an_offcut(id_="offcut-0001", material="ash", sheet=False):
    return NewOffcut(id_, 600 * MM, 120 * MM, 27 * MM, material, sheet)


def test_wood_is_saved_as_typed_with_its_zones_price_and_kind(floor):
    rows = [
        BOARD | {"zone": "400 to 46 cm; 1000 to 1100 across 0 to 40", "price": "31,50"},
        BOARD | {"quantity": "", "kind": "offcut of a sheet", "label": "from the drawers"},
    ]
    assert save(floor, rows)["faults"] == []
    one, other = job_document(floor.store, "1").document["stock"]
    assert one["zone"][1] == {"start": "1000", "end": "1100", "low": "0", "high": "40"} and one["price"] == 31.5
    assert (other["kind"], other["sheet"], "quantity" in other) == ("offcut", True, False)
    again = floor.bench.get("/jobs/1/wood/now").json()["rows"]
    assert (
        again[0]["zone"] == rows[0]["zone"] and again[1]["kind"] == "offcut of a sheet" and again[0]["price"] == "31.5"
    )


@pytest.mark.parametrize(
    ("field", "typed"),
    [("zone", "somewhere"), ("zone", "460 to 400"), ("zone", "2300 to 2500"), ("price", "dear"), ("kind", "log"),
     ("quantity", "0"), ("length", "long"), ("width", "")],
)  # fmt: skip
def test_a_fault_in_the_wood_is_said_at_its_cell(floor, field, typed):
    (fault,) = save(floor, [BOARD | {field: typed}])["faults"]
    assert (fault["table"], fault["row"], fault["field"].split(" ")[0]) == ("stock", 0, field)
    assert fault["next_step"]
    page = floor.bench.get("/jobs/1/wood").text
    assert "when nothing stands in the way" in page


def test_what_to_buy_is_said_in_all_the_measures_wood_is_sold_by(floor):
    # one board 2400 x 150 x 27 without a number: 2.4 m, 0.36 m2, 2400*150*27/25.4^3/144 = 4.12 board feet
    document = {
        "name": "Shelf boards",
        "part": [
            {"name": "Board", "quantity": 2, "length": "800", "width": "140", "thickness": "22", "material": "ash"}
        ],
        "stock": [{k: v for k, v in BOARD.items() if k != "quantity"} | {"price": 30}],
    }
    job = create_job(floor.store, document, "bench")
    page = " ".join(floor.bench.get(f"/jobs/{job}/wood").text.split())
    for figure in (">2.4<", ">0.36<", ">4.1<", ">30.00<"):
        assert figure in page
    assert "Nothing to buy" in floor.bench.get("/jobs/1/wood").text


def test_wood_is_drawn_to_one_scale_with_its_zones_crossed_out(floor):
    save(floor, [BOARD | {"zone": "600 to 1200"}, BOARD | {"length": "1200", "label": "<b>x</b>"}])
    page = floor.bench.get("/jobs/1/wood").text
    # 2400 mm are 1000 units: 600 is 250, 1200 is 500, the width of 150 is 62
    assert "M250 0H500V62H250Z" in page and "M0 0H500V62H0Z" in page
    assert "not to use: 600 mm to 1200 mm" in page and "<b>x</b>" not in page


def test_offcuts_of_a_plan_go_on_the_shelf_once_however_often_it_is_asked(floor):
    planned = plan_for(floor.store, "1", default_shop())
    left = left_over(floor.store, "1", planned)
    assert left and left[0].offcut.length >= 300 * MM
    chosen = {"offcut": [one.offcut.id for one in left]}
    first = floor.bench.post("/jobs/1/wood/shelve", data=chosen).headers["location"]
    assert first == "/shelf?new=" + ",".join(str(number) for number in range(1, len(left) + 1))
    assert floor.bench.post("/jobs/1/wood/shelve", data=chosen).headers["location"] == first
    assert len(shelf(floor.store).lying) == len(left)
    assert "on the shelf as 1" in floor.bench.get("/jobs/1/wood").text


def test_an_offcut_that_fits_is_offered_used_first_and_off_the_shelf_then(floor):
    part = {"name": "Rail", "quantity": 2, "length": "500", "width": "50", "thickness": "22", "material": "Ash"}
    job = create_job(floor.store, {"name": "Two rails", "part": [part], "stock": [BOARD | {"quantity": 3}]}, "bench")
    shelve(
        floor.store, [an_offcut(), an_offcut("offcut-0002", material="oak"), an_offcut("offcut-0003", sheet=True)], "b"
    )
    page = floor.bench.get(f"/jobs/{job}/wood").text
    assert "Use offcut 1 in this job" in page and "Use offcut 2" not in page and "Use offcut 3" not in page
    assert floor.bench.post(f"/jobs/{job}/wood/use", data={"offcut": "1"}).status_code == 303
    planned = plan_for(floor.store, job, default_shop())
    assert [planned.job.stock[layout.stock].label for layout in planned.sheet.wood.layouts] == ["shelf 1"]
    assert [one.number for one in shelf(floor.store).lying] == [3, 2]
    assert floor.bench.post(f"/jobs/{job}/wood/use", data={"offcut": "1"}).status_code == 404


def test_a_flaw_goes_with_its_offcut_onto_the_shelf_and_into_the_next_job(floor):
    part = {"name": "Rail", "quantity": 1, "length": "500", "width": "50", "thickness": "22", "material": "ash"}
    knot = [{"start": "1500", "end": "1530", "low": "90", "high": "110"}]
    stock = [BOARD | {"quantity": 1, "zone": knot}]
    job = create_job(floor.store, {"name": "One rail", "part": [part], "stock": stock}, "bench")
    wide = left_over(floor.store, job, plan_for(floor.store, job, default_shop()))[0].offcut
    assert wide.length > 2000 * MM
    clean = "1495 × 90 mm</span> of it without a flaw"
    assert clean in floor.bench.get(f"/jobs/{job}/wood").text
    floor.bench.post(f"/jobs/{job}/wood/shelve", data={"offcut": [wide.id]})
    assert clean in floor.bench.get("/shelf").text
    floor.bench.post("/shelf/1/take")
    floor.bench.post("/shelf/1/back")
    other = create_job(floor.store, {"name": "Long rail", "part": [part | {"length": "1600", "thickness": "18"}]}, "b")
    use_in_job(floor.store, 1, other, "bench")
    planned = plan_for(floor.store, other, default_shop())
    (row,) = planned.job.stock
    assert row.zones == wide.zones and row.clean == (1495 * MM, 90 * MM)
    assert [one.count for one in planned.sheet.wood.to_buy] == [1]  # 1600 would have to go over the knot


def test_a_rest_that_was_planed_serves_the_next_job_as_thick_as_it_is(floor):
    part = {"name": "Rail", "quantity": 1, "length": "500", "width": "50", "thickness": "22", "material": "ash"}
    job = create_job(floor.store, {"name": "One rail", "part": [part], "stock": [BOARD | {"quantity": 1}]}, "bench")
    rest = left_over(floor.store, job, plan_for(floor.store, job, default_shop()))[0].offcut
    assert (rest.thickness, rest.planed) == (22 * MM, True)
    floor.bench.post(f"/jobs/{job}/wood/shelve", data={"offcut": [rest.id]})
    floor.bench.post("/shelf", data={"length": "600", "width": "120", "thickness": "22", "material": "ash"})
    other = create_job(floor.store, {"name": "One more", "part": [part]}, "bench")
    page = floor.bench.get(f"/jobs/{other}/wood").text
    assert "Use offcut 1 in this job" in page and "Use offcut 2" not in page  # that one has both faces to lose
    floor.bench.post(f"/jobs/{other}/wood/use", data={"offcut": "1"})
    assert not plan_for(floor.store, other, default_shop()).sheet.wood.to_buy
    (row,) = floor.bench.get(f"/jobs/{other}/wood/now").json()["rows"]
    assert row["kind"] == "planed offcut"


def test_taking_off_the_shelf_can_be_undone(floor):
    floor.bench.post("/shelf", data={"length": "600", "width": "12 cm", "thickness": "27", "material": "ash"})
    gone = floor.bench.post("/shelf/1/take").headers["location"]
    page = floor.bench.get(gone).text
    assert "Offcut 1 is off the shelf" in page and "Undo" in page
    assert floor.bench.post("/shelf/1/take").status_code == 404
    floor.bench.post("/shelf/1/back")
    (one,) = shelf(floor.store).lying
    assert (one.number, one.width, one.material) == (1, 120 * MM, "ash")


def test_what_was_typed_for_the_shelf_stands_there_again_when_it_cannot_lie_there(floor):
    typed = {"length": "600", "width": "twelve", "thickness": "27", "material": "ash", "sheet": "yes"}
    again = floor.bench.post("/shelf", data=typed, headers={"accept": "text/html"})
    assert again.status_code == 422 and "Width &#39;twelve&#39; is not a length." in again.text
    assert all(f'value="{text}"' in again.text for text in typed.values()) and "checked" in again.text
    assert not shelf(floor.store).lying


def test_numbers_on_the_shelf_are_given_once_to_many_at_a_time(floor):
    def put(place):
        shelve(floor.store, [an_offcut(f"offcut-{place}-{n}") for n in range(5)], "bench")

    threads = [threading.Thread(target=put, args=(f"place{n}",)) for n in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(shelf(floor.store).offcuts) == list(range(1, 31))


def test_one_offcut_is_used_by_one_job_only(floor):
    shelve(floor.store, [an_offcut()], "bench")
    outcomes = []

    def use():
        try:
            use_in_job(floor.store, 1, "1", "bench")
            outcomes.append("used")
        except Exception as error:
            outcomes.append(type(error).__name__)

    threads = [threading.Thread(target=use) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["NotFound"] * 3 + ["used"]
    labels = [row.get("label") for row in job_document(floor.store, "1").document["stock"]]
    assert labels.count("shelf 1") == 1


def test_the_shelf_comes_out_alike_in_any_order_of_its_events(floor):
    shelve(floor.store, [an_offcut()], "bench")
    floor.bench.post("/shelf/1/take")
    floor.bench.post("/shelf/1/back")
    floor.bench.post("/shelf/1/take")
    events = [event for event in floor.store.events("") if event.kind.startswith("offcut")]
    assert len(events) == 4 and isinstance(events[0], Event)
    assert fold_shelf(events) == fold_shelf(events[::-1]) == fold_shelf(events + events)
    assert fold_shelf(events).lying == []


@pytest.mark.parametrize("sizes", [("", "1", "1"), ("abc", "1", "1"), ("0", "1", "1"), ("-5", "1", "1")])
def test_what_is_no_piece_of_wood_does_not_go_on_the_shelf(floor, sizes):
    length, width, thickness = sizes
    answer = floor.bench.post("/shelf", data={"length": length, "width": width, "thickness": thickness})
    assert answer.status_code == 422 and answer.json()["error"]["next_step"]
    assert shelf(floor.store).offcuts == {}


def test_labels_of_the_shelf_are_a_pdf_and_their_code_leads_there(floor):
    shelve(floor.store, [an_offcut()], "bench")
    pdf = floor.bench.get("/shelf/labels.pdf?only=1&sheet=57x32")
    assert pdf.headers["content-type"] == "application/pdf" and pdf.content.startswith(b"%PDF")
    assert floor.bench.get("/shelf/labels.pdf?only=7").status_code == 422
    page = floor.bench.get("/shelf").text
    code = page.split("000-")[1][:4]
    answer = floor.bench.get(f"/P/000{code}")
    assert answer.status_code == 303 and answer.headers["location"] == "/shelf#offcut-1"


def test_wood_movement_is_worked_out_and_refused_outside_what_holds(floor):
    ask = "/jobs/1/wood?species=white+ash&width=300&from=8&to=12&rings=flat"
    # 300 · .00274 · 4 = 3.288 mm
    assert "3.29 mm" in floor.bench.get(ask).text
    assert "Shrinks by" in floor.bench.get(ask.replace("from=8&to=12", "from=12&to=8")).text
    for wrong in ("from=5", "from=abc", "to=²", "width=abc", "species=<b>"):
        page = floor.bench.get(f"{ask}&{wrong}")
        assert page.status_code == 200 and "<b>&" not in page.text
    assert "outside what the equation holds for" in floor.bench.get(ask.replace("from=8", "from=5")).text


def test_wide_parts_of_the_job_are_told_how_they_move(floor):
    part = {"name": "Top", "quantity": 1, "length": "900", "width": "300", "thickness": "22", "material": "ash"}
    job = create_job(floor.store, {"name": "A table", "part": [part]}, "bench")
    page = floor.bench.get(f"/jobs/{job}/wood").text
    assert "3.29 mm" in page and "white ash" in page
    quarter = create_job(floor.store, {"name": "A table", "part": [part | {"rings": "quarter"}]}, "bench")
    # 300 · .00169 · 4 = 2.028 mm
    assert "2.03 mm" in floor.bench.get(f"/jobs/{quarter}/wood").text


def test_the_moisture_of_a_job_is_taken_down_and_nonsense_is_refused_with_what_would_do(floor):
    ask = f"/jobs/{floor.job}/wood/moisture"
    said = {"made_at": "8 %", "driest": "6,5", "wettest": "13"}
    assert floor.bench.post(ask, data=said).status_code == 303
    kept = job_document(floor.store, floor.job).document["moisture"]
    assert kept == {"made_at": 8.0, "driest": 6.5, "wettest": 13.0}
    assert 'value="6.5"' in floor.bench.get(f"/jobs/{floor.job}/wood").text
    for wrong, words in (("wet", "is not a moisture content"), ("16", "write 6 to 14 %"), ("5", "write 6 to 14 %")):
        page = floor.bench.post(ask, data=said | {"wettest": wrong})
        assert page.status_code == 200 and words in page.text and f'value="{wrong}"' in page.text
    assert "write 6.5 % or more" in floor.bench.post(ask, data=said | {"wettest": "6"}).text
    assert job_document(floor.store, floor.job).document["moisture"] == kept


def test_panels_in_grooves_are_told_how_wide_they_may_be(floor):
    sizes = {"quantity": 2, "thickness": "20", "material": "red oak"}
    parts = [
        {"name": "Stile", "length": "700", "width": "60"} | sizes,
        {"name": "Panel", "length": "500", "width": "330", "mark": "P"} | sizes | {"quantity": 1, "thickness": "8"},
    ]
    groove = {"mark": "G1", "parts": ["A"], "side": "edge", "from": "face", "at": "6", "fits": "P", "depth": "10"}
    document = {"name": "A door", "part": parts, "groove": [groove | {"opening_across": "310"}]}
    page = floor.bench.get(f"/jobs/{create_job(floor.store, document, 'bench')}/wood").text
    assert "P in G1: 330 mm wide" in page and "notice care" in page


def test_measured_sheets_get_their_groove_and_a_slip_is_told(floor):
    page = floor.bench.get(f"/jobs/{floor.job}/wood?measured=17.6; 17.9&play=", headers={"accept": "text/html"}).text
    assert "18.1" in page and "Sort them" in page
    wrong = floor.bench.get(f"/jobs/{floor.job}/wood?measured=thick", headers={"accept": "text/html"}).text
    assert "is not a length" in wrong
