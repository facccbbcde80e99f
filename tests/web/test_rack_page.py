"""The rack: boards to fetch and chalk, and one that measures otherwise before anything is cut."""

import pytest
from tests.web.conftest import Shopfloor

from stopwright.actions.keeping import create_job, job_document, save_job
from stopwright.actions.planning import plan_for
from stopwright.actions.rack import measure_board
from stopwright.errors import ChangedMeanwhile
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM
from stopwright.store.events import Event
from stopwright.store.log import Store

PARTS = [{"mark": "A", "name": "Rail", "quantity": 4, "length": 900, "width": 60, "thickness": 22, "material": "ash"}]
BOARDS = [{"kind": "board", "quantity": 3, "length": 2000, "width": 150, "thickness": 27, "material": "ash"}]


def a_job(store: Store) -> str:
    return create_job(store, {"name": "Rails", "lengths": "mm", "part": PARTS, "stock": BOARDS}, "bench")


def layouts(floor: Shopfloor, job: str) -> list[tuple[str, float, tuple[float, float, float]]]:
    """Name, how many, and size in mm of the boards that the plan takes."""
    found = plan_for(floor.store, job, default_shop()).sheet.wood.layouts
    return [(one.lot, one.times, (one.length / MM, one.width / MM, one.thickness / MM)) for one in found]


def test_the_rack_names_the_boards_that_the_runs_name(floor: Shopfloor) -> None:
    job = a_job(floor.store)
    page = floor.bench.get(f"/jobs/{job}/rack").text
    # 2 × 900 and a kerf in 1990; two strips of 60 in 144: four pieces, one board
    assert layouts(floor, job) == [("board 1", 1, (2000, 150, 27))]
    assert "Board 1" in page and "ash" in page
    assert "Strips from board 1" in floor.bench.get(f"/jobs/{job}/runs/5").text


def test_a_board_that_measures_otherwise_is_laid_out_at_once(floor: Shopfloor) -> None:
    job = a_job(floor.store)
    typed = {"length": "1950", "width": "120", "thickness": "26,5", "flaw_from": "0", "flaw_to": "10 cm"}
    answer = floor.bench.post(f"/jobs/{job}/rack/0", data=typed)
    assert answer.status_code == 303
    left, measured = job_document(floor.store, job).document["stock"]
    assert left["quantity"] == 2 and measured["quantity"] == 1
    assert (measured["length"], measured["width"], measured["thickness"]) == ("1950", "120", "26.5")
    assert measured["zone"] == [{"start": "0", "end": "100"}] and measured["label"] == "measured"
    # 120 less 6 holds one strip of 60 only, so the whole boards serve better
    assert layouts(floor, job) == [("board 1", 1, (2000, 150, 27))]


def test_measuring_a_board_forgets_no_knot_that_its_row_told_of(floor: Shopfloor) -> None:
    knotty = BOARDS[0] | {"quantity": 1, "zone": [{"start": "0", "end": "150"}]}
    job = create_job(floor.store, {"name": "Rails", "lengths": "mm", "part": PARTS, "stock": [knotty]}, "bench")
    typed = {"length": "1990", "width": "148", "thickness": "27"}
    assert floor.bench.post(f"/jobs/{job}/rack/0", data=typed).status_code == 303
    (measured,) = job_document(floor.store, job).document["stock"]
    assert (measured["length"], measured["zone"]) == ("1990", knotty["zone"])


def test_what_cannot_be_is_said_beside_the_board_and_what_was_typed_stays(floor: Shopfloor) -> None:
    job = a_job(floor.store)
    before = job_document(floor.store, job).version
    for typed, said in (
        ({"length": "long", "width": "150", "thickness": "27"}, "long"),
        ({"length": "0", "width": "150", "thickness": "27"}, "A board of 0 is none"),
        ({"length": "2000", "width": "150", "thickness": "27", "flaw_from": "1900", "flaw_to": "2100"}, "does not lie"),
    ):
        page = floor.bench.post(f"/jobs/{job}/rack/0", data=typed)
        assert page.status_code == 200 and said in page.text and f'value="{typed["length"]}"' in page.text
    assert (
        floor.bench.post(f"/jobs/{job}/rack/7", data={"length": "1", "width": "1", "thickness": "1"}).status_code == 200
    )
    assert job_document(floor.store, job).version == before


def test_once_wood_is_cut_the_layouts_stay(floor: Shopfloor) -> None:
    job = a_job(floor.store)
    rip = next(run for run in plan_for(floor.store, job, default_shop()).sheet.runs if run.work == "rip")
    body = {"run": rip.id, "mark": "board 1", "count": 1}
    floor.store.append([Event("tap-0001", job, "piece cut", "2026-03-01T07:00:00.000Z", "", body)])
    assert "is cut already" in floor.bench.get(f"/jobs/{job}/rack").text
    answer = floor.bench.post(f"/jobs/{job}/rack/0", data={"length": "1950", "width": "120", "thickness": "27"})
    assert "stay as they are" in answer.text
    assert len(job_document(floor.store, job).document["stock"]) == 1


def test_a_board_measured_by_an_old_plan_changes_no_other_row(floor: Shopfloor) -> None:
    job = a_job(floor.store)
    planned = plan_for(floor.store, job, default_shop())
    saved = job_document(floor.store, job)
    others = [{**BOARDS[0], "length": 800}, *BOARDS]
    save_job(floor.store, job, {**saved.document, "stock": others}, saved.version, "bench")
    size = (1950 * MM, 120 * MM, 27 * MM)
    with pytest.raises(ChangedMeanwhile):
        measure_board(floor.store, job, planned, 0, size, "phone")
    assert job_document(floor.store, job).document["stock"] == others


def test_a_bow_that_is_measured_at_the_rack_counts_for_that_board(floor: Shopfloor) -> None:
    """Bowed by 6, a board of 27 leaves 27 − 6 − 1.5 at most: too thin for a part of 22, where it stays whole."""
    job = a_job(floor.store)
    typed = {"length": "2000", "width": "150", "thickness": "27", "bow": "6"}
    assert floor.bench.post(f"/jobs/{job}/rack/0", data=typed).status_code == 303
    _, measured = job_document(floor.store, job).document["stock"]
    assert measured["bow"] == "6"
    sheet = plan_for(floor.store, job, default_shop()).sheet
    assert [layout.stock for layout in sheet.wood.layouts] == [0]
    assert floor.bench.post(f"/jobs/{job}/rack/0", data=typed | {"bow": "crooked"}).status_code == 200


def test_the_bow_of_a_sheet_is_refused_in_words(floor: Shopfloor) -> None:
    part = {"mark": "A", "name": "Shelf", "quantity": 2, "length": 600, "width": 300, "thickness": 18, "kind": "sheet"}
    wood = {"kind": "sheet", "quantity": 1, "length": 2440, "width": 1220, "thickness": 18}
    job = create_job(floor.store, {"name": "Shelves", "lengths": "mm", "part": [part], "stock": [wood]}, "bench")
    answer = floor.bench.post(
        f"/jobs/{job}/rack/0", data={"length": "2440", "width": "1220", "thickness": "18", "bow": "3"}
    )
    assert answer.status_code == 200 and "A sheet is laid flat" in answer.text
    assert job_document(floor.store, job).document["stock"] == [wood]
