"""The rack: boards to fetch and chalk, and one that measures otherwise before anything is cut."""

import pytest
from tests.builders import at_length
from tests.web.conftest import Shopfloor

from stopwright.actions.floor.rack import measure_board, measure_part, parts_to_measure
from stopwright.actions.jobs.keeping import create_job, job_document, save_job
from stopwright.actions.jobs.planning import plan_for
from stopwright.errors import ChangedMeanwhile
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.plan.said_lengths import read_out
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
        ({"length": "0", "width": "150", "thickness": "27"}, "A board cannot measure 0"),
        (
            {"length": "2000", "width": "150", "thickness": "27", "flaw_from": "1900", "flaw_to": "2100"},
            "lies outside the board",
        ),
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
    assert answer.status_code == 200 and "A sheet lies flat" in answer.text
    assert job_document(floor.store, job).document["stock"] == [wood]


DRAWER = [
    {"mark": "A", "name": "Side", "quantity": 4, "length": 300, "width": 90, "thickness": 12},
    {"name": "Bottom", "quantity": 2, "length": 280, "width": 300, "thickness": 6, "kind": "sheet"},
]
GROOVE = {"mark": "G1", "parts": ["A"], "side": "face", "from": "far edge", "at": 10, "fits": "B", "depth": 6}


def a_drawer(store: Store) -> str:
    return create_job(store, {"name": "Drawer", "lengths": "mm", "part": DRAWER, "groove": [GROOVE]}, "bench")


def fences(floor: Shopfloor, job: str) -> set[float]:
    runs = plan_for(floor.store, job, default_shop()).sheet.runs
    stops = [stop for run in runs if run.work == "groove" for stop in run.stops if stop.sets == "width"]
    return {stop.target / MM for stop in stops if isinstance(stop.target, int)}


def test_what_goes_into_a_groove_is_asked_for_kept_and_the_fence_follows(floor: Shopfloor) -> None:
    job = a_drawer(floor.store)
    page = floor.bench.get(f"/jobs/{job}/rack").text
    assert "Measure before the cuts" in page and "for G1" in page
    assert fences(floor, job) == {10, 13}  # 6 and a play of 0.2, less the kerf of 3.2
    runs = plan_for(floor.store, job, default_shop()).sheet.runs
    note = next(read_out(run.note, Show.MM) for run in runs if run.work == "groove")
    assert "measure B first and type it at Fetch the wood: this is for 6 mm as listed" in note
    answer = floor.bench.post(f"/jobs/{job}/rack/parts/B", data={"measured": "5,7"})
    assert (answer.status_code, answer.headers["location"]) == (303, f"/jobs/{job}/rack")
    assert [row.get("measured") for row in job_document(floor.store, job).document["part"]] == [None, "5.7"]
    assert fences(floor, job) == {10, 12.7}
    runs = plan_for(floor.store, job, default_shop()).sheet.runs
    assert "for B as measured, 5.7 mm" in next(read_out(run.note, Show.MM) for run in runs if run.work == "groove")
    assert 'value="5.7"' in floor.bench.get(f"/jobs/{job}/rack").text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("thin", "thin"),
        ("", "is not a length"),
        ("0", "far from the 6 mm"),
        ("57", "57 mm is far from the 6 mm"),
        ("-6", "is negative"),
    ],
)
def test_what_is_no_thickness_is_said_beside_the_part_and_stays_typed(floor: Shopfloor, typed: str, said: str) -> None:
    job = a_drawer(floor.store)
    page = floor.bench.post(f"/jobs/{job}/rack/parts/B", data={"measured": typed}).text
    assert said in page and f'value="{typed}"' in page
    assert "measured" not in job_document(floor.store, job).document["part"][1]


def test_a_part_that_nothing_has_to_fit_is_not_measured_there(floor: Shopfloor) -> None:
    job = a_drawer(floor.store)
    for mark in ("A", "Z"):
        assert floor.bench.post(f"/jobs/{job}/rack/parts/{mark}", data={"measured": "6"}).status_code == 404
    assert "Measure before" not in floor.bench.get(f"/jobs/{a_job(floor.store)}/rack").text


def test_the_bottom_of_a_drawer_is_measured_and_all_that_hangs_on_it_follows(floor: Shopfloor) -> None:
    drawer = {"mark": "D", "width": "450", "height": "132.7", "depth": "400"}
    job = create_job(floor.store, {"name": "Drawer", "lengths": "mm", "drawer": [drawer]}, "bench")
    assert "for DG1" in floor.bench.get(f"/jobs/{job}/rack").text
    assert floor.bench.post(f"/jobs/{job}/rack/parts/Dbo", data={"measured": "5.6"}).status_code == 303
    assert job_document(floor.store, job).document["changed"] == [{"of": "Dbo", "measured": "5.6"}]
    planned = plan_for(floor.store, job, default_shop()).job
    assert planned.part("Db").width == 104_200_000  # 120 − 10 − 5.8
    assert planned.part("Dbo").measured == 5_600_000


def test_sides_are_measured_before_what_lies_between_them_is_cut(floor: Shopfloor) -> None:
    job = an_opening(floor.store)
    assert "for D, listed" in " ".join(floor.bench.get(f"/jobs/{job}/rack").text.split())
    floor.bench.post(f"/jobs/{job}/rack/parts/Ds", data={"measured": "11.7"})
    assert plan_for(floor.store, job, default_shop()).job.part("Df").length == 413_200_000  # 424.6 − 23.4 + 12


def an_opening(store: Store, units: int = 1) -> str:
    drawer = {"mark": "D", "width": "450", "height": "132.7", "depth": "400"}
    return create_job(store, {"name": "Drawer", "lengths": "mm", "units": units, "drawer": [drawer]}, "bench")


def test_an_opening_is_asked_for_and_the_smaller_of_two_readings_counts_at_once(floor: Shopfloor) -> None:
    job = an_opening(floor.store)
    assert "Measure the openings" in floor.bench.get(f"/jobs/{job}/rack").text
    notes = [read_out(run.note, Show.MM) for run in plan_for(floor.store, job, default_shop()).sheet.runs]
    typed = {"width_1": "449", "width_2": "448,5", "height_1": "132"}
    answer = floor.bench.post(f"/jobs/{job}/rack/openings/D", data=typed)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/jobs/{job}/rack")
    assert job_document(floor.store, job).document["drawer"][0]["opening"] == [
        {"width": ["449", "448.5"], "height": ["132"]}
    ]
    planned = plan_for(floor.store, job, default_shop())
    assert planned.job.part("Df").length == 411_100_000  # 448.5 − 25.4 − 24 + 12
    assert any("measure for drawer D first" in note for note in notes)
    assert not any("measure for drawer D first" in run.note for run in planned.sheet.runs)
    assert "448.5 mm" in floor.bench.get(f"/jobs/{job}/rack").text


def test_one_opening_is_measured_by_itself_and_measured_again(floor: Shopfloor) -> None:
    job = an_opening(floor.store, units=3)
    floor.bench.post(f"/jobs/{job}/rack/openings/D", data={"number": "3", "width_1": "448.5"})
    floor.bench.post(f"/jobs/{job}/rack/openings/D", data={"number": "3", "width_1": "448", "height_1": "130"})
    assert job_document(floor.store, job).document["drawer"][0]["opening"] == [
        {"number": 3, "width": ["448"], "height": ["130"]}
    ]
    parts = {part.mark: part.quantity for part in plan_for(floor.store, job, default_shop()).job.parts}
    assert (parts["Df"], parts["D.3f"]) == (2, 1)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"width_1": "wide"}, "wide"),
        ({}, "Nothing was measured"),
        ({"width_1": "45"}, "45 mm is far from the 450 mm that was drawn"),
        ({"depth_1": "400"}, "A drawer has no depth that is measured"),
        ({"width_1": "449", "number": "2"}, "There is no opening 2, only 1"),
        ({"width_1": "449", "number": "two"}, "two"),
    ],
)
def test_what_is_no_measure_of_the_opening_is_said_there_and_stays_typed(
    floor: Shopfloor, typed: dict[str, str], said: str
) -> None:
    job = an_opening(floor.store)
    page = floor.bench.post(f"/jobs/{job}/rack/openings/D", data=typed).text
    assert said in page
    assert all(f'value="{value}"' in page for name, value in typed.items() if name != "depth_1")
    assert "opening" not in job_document(floor.store, job).document["drawer"][0]
    assert floor.bench.post(f"/jobs/{job}/rack/openings/X", data={"width_1": "449"}).status_code == 404


def test_a_panel_is_glued_from_what_the_jointer_gave(floor: Shopfloor) -> None:
    top = {"mark": "A", "name": "Top", "quantity": 2, "length": 600, "width": 400, "thickness": 20, "made": "panel"}
    job = create_job(floor.store, {"name": "Tops", "lengths": "mm", "part": [top], "stock": BOARDS}, "bench")
    runs = plan_for(floor.store, job, default_shop()).sheet.runs
    glue = next(run for run in runs if run.work == "glue")
    page = floor.bench.get(f"/jobs/{job}/runs/{glue.number}").text
    assert f"from run {glue.number - 1}, jointer" in page


def a_lining(floor: Shopfloor, station: str) -> str:
    board = {
        "mark": "A",
        "name": "Board",
        "quantity": 6,
        "length": 800,
        "width": 105,
        "thickness": 20,
        "material": "pine",
    }
    tongue = {
        "mark": "TG1",
        "parts": ["A"],
        "edge": "far edge",
        "at": 7,
        "width": 6,
        "depth": "6.5",
        "station": station,
    }
    return create_job(floor.store, {"name": "Lining", "lengths": "mm", "part": [board], "tongue": [tongue]}, "bench")


def test_wood_that_gets_a_tongue_at_the_saw_is_measured_and_the_fence_follows(floor: Shopfloor) -> None:
    """Back at the fence, near cheek 7 from the face: fence 20 − 7; back down, far cheek 12.85: blade 20 − 12.85."""
    job = a_lining(floor, "saw")

    def stands(sets: str, side: str) -> set[float]:
        return {
            at_length(stop.target) / MM
            for run in plan_for(floor.store, job, default_shop()).sheet.runs
            for stop in run.stops
            if stop.sets == sets and any(side in (one.down, one.reference) for one in run.pieces if one.down)
        }

    planned = plan_for(floor.store, job, default_shop())
    assert [(part.mark, marks) for part, marks in parts_to_measure(planned)] == [("A", ("TG1",))]
    assert "measure A first and type it at Fetch the wood" in " ".join(run.note for run in planned.sheet.runs)
    assert 13 in stands("width", "back") and 7.15 in stands("blade height", "back")
    assert floor.bench.post(f"/jobs/{job}/rack/parts/A", data={"measured": "19.6"}).status_code == 303
    assert 12.6 in stands("width", "back") and 6.75 in stands("blade height", "back")
    assert "for A as measured, 19.6 mm" in " ".join(
        read_out(run.note, Show.MM) for run in plan_for(floor.store, job, default_shop()).sheet.runs
    )


def test_wood_that_gets_its_tongue_at_the_spindle_need_not_be_measured(floor: Shopfloor) -> None:
    planned = plan_for(floor.store, a_lining(floor, "spindle"), default_shop())
    assert parts_to_measure(planned) == []


def test_either_part_of_a_comb_is_asked_for_because_it_sets_the_depth_of_the_other(floor: Shopfloor) -> None:
    box = [
        {
            "mark": mark,
            "name": "Box side",
            "quantity": 2,
            "length": 300,
            "width": 90,
            "thickness": 12,
            "material": "ash",
        }
        for mark in "AB"
    ]
    comb = [{"mark": "C1", "parts": ["A", "B"], "cutter": "3.2"}]
    job = create_job(floor.store, {"name": "Box", "lengths": "mm", "part": box, "comb": comb}, "bench")
    planned = plan_for(floor.store, job, default_shop())
    assert [(part.mark, marks) for part, marks in parts_to_measure(planned)] == [("A", ("C1",)), ("B", ("C1",))]
    measure_part(floor.store, job, planned, "B", 11_600_000, "bench")
    heights = {
        at_length(stop.target) / MM
        for run in plan_for(floor.store, job, default_shop()).sheet.runs
        for stop in run.stops
        if run.cuts and stop.sets == "blade height"
    }
    assert heights == {12.3, 11.9}


def a_door(store: Store) -> str:
    door = {"mark": "F", "width": "500", "height": "700", "stiles": "60", "dry_fit": True}
    return create_job(store, {"name": "Door", "lengths": "mm", "units": 2, "frame": [door]}, "bench")


def test_a_frame_is_measured_dry_and_its_panel_is_sawn_to_the_smallest_light(floor: Shopfloor) -> None:
    job = a_door(floor.store)
    page = floor.bench.get(f"/jobs/{job}/rack").text
    assert "Measure the frames when they are dry together" in page and "2 alike, for Fp" in page
    assert "light width" in page and "380 mm" in page and "as worked out" in page
    typed = {"light_width_1": "379,6", "light_width_2": "379,4", "light_height_1": "580.5"}
    answer = floor.bench.post(f"/jobs/{job}/rack/frames/F", data=typed)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/jobs/{job}/rack#frames")
    assert plan_for(floor.store, job, default_shop()).job.part("Fp").width == 398_400_000  # 379.4 + 20 − 2 × 0.5
    page = floor.bench.get(f"/jobs/{job}/rack").text
    assert "379.4 mm" in page and "as worked out" not in page and "Measure it again" in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"light_width_1": "wide"}, "wide"),
        ({}, "Nothing was measured"),
        ({"light_width_1": "370"}, "measured 370 mm is far from the 380 mm worked out; measure again"),
    ],
)
def test_what_is_no_measure_of_a_light_is_said_there_and_stays_typed(
    floor: Shopfloor, typed: dict[str, str], said: str
) -> None:
    job = a_door(floor.store)
    page = floor.bench.post(f"/jobs/{job}/rack/frames/F", data=typed).text
    assert said in page
    assert all(f'value="{value}"' in page for value in typed.values())
    assert floor.bench.post(f"/jobs/{job}/rack/frames/X", data={"light_width_1": "380"}).status_code == 404
