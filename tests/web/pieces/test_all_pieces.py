"""Pages of pieces without a browser: labels, scanning, remakes, dry fit, glue-up, and what they answer to nonsense."""

from io import BytesIO

import pytest
from PIL import Image
from tests.paper.pixels import codes_read, page_count, page_pixels, page_words

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs import numbering
from stopwright.actions.jobs.numbering import are_given, code_of, pieces_of
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.model.codes import decode, encode
from stopwright.plan.run_sheet import Run
from stopwright.web.pieces import all_pieces as pieces_pages

HTML = {"accept": "text/html"}
FORM = {"accept": "text/html", "content-type": "application/x-www-form-urlencoded"}


@pytest.fixture
def pieces(floor):
    planned = plan_for(floor.store, floor.job, default_shop())
    return {one.label: (code_of(floor.job, one), one) for one in pieces_of(floor.store, floor.job, planned)}


def form(**fields: object) -> dict[str, object]:
    return {"data": {name: str(value) for name, value in fields.items()}, "headers": HTML}


def spoil(floor, code: str, **more: object):
    page = floor.bench.get(f"/jobs/{floor.job}/remake/{code}", headers=HTML).text
    run = page.split('<option value="')[1].split('"')[0]
    return floor.bench.post(
        f"/jobs/{floor.job}/remake/{code}", **form(what="torn grain", run=run, id=f"form-{code}", **more)
    )


def test_the_table_lists_every_piece_with_code_unit_place_hand_and_next_run(floor, pieces) -> None:
    page = floor.bench.get(f"/jobs/{floor.job}/pieces", headers=HTML)
    assert page.status_code == 200
    code, piece = pieces["A-01"]
    assert f"{code[:3]}-{code[3:]}" in page.text
    for words in (piece.place, piece.hand, "run 1, jointer", "66 pieces for 6 units"):
        assert words in page.text


def test_the_table_of_many_pieces_comes_in_pages_and_what_was_chosen_stays_chosen(floor, pieces, monkeypatch) -> None:
    monkeypatch.setattr(pieces_pages, "AT_ONCE", 25)
    order = list(pieces.values())
    chosen = order[3][1].index
    first = floor.bench.get(f"/jobs/{floor.job}/pieces?only={chosen}", headers=HTML).text
    assert "66 pieces for 6 units" in first and "Pieces 1 to 25," in first and first.count('type="checkbox"') == 25
    assert f'value="{chosen}" checked' in first and "Pieces before these" not in first
    second = floor.bench.get(f"/jobs/{floor.job}/pieces?first=26&only={chosen}", headers=HTML).text
    assert f'<input type="hidden" name="only" value="{chosen}">' in second and "1 chosen on other pages" in second
    last = floor.bench.get(f"/jobs/{floor.job}/pieces?first=51", headers=HTML).text
    assert "Pieces 51 to 66," in last and "More pieces" not in last and 'name="first" value="26"' in last
    codes = [code for code, _ in order]
    for page, here in ((first, codes[:25]), (second, codes[25:50]), (last, codes[50:])):
        assert [code for code in codes if f'href="/p/{code}"' in page] == here
    for odd in ("0", "-7", "9999", "9" * 30):
        assert floor.bench.get(f"/jobs/{floor.job}/pieces?first={odd}", headers=HTML).status_code == 200


def test_a_spoiled_piece_is_named_on_every_page_of_the_table(floor, pieces, monkeypatch) -> None:
    monkeypatch.setattr(pieces_pages, "AT_ONCE", 10)
    code, piece = list(pieces.values())[40]
    spoil(floor, code)
    page = floor.bench.get(f"/jobs/{floor.job}/pieces", headers=HTML).text
    assert "To be made again:" in page and f"/remake/{code}" in page and piece.label in page


def test_labels_are_looked_at_before_they_are_printed_and_printing_fixes_their_codes(floor, pieces) -> None:
    page = floor.bench.get(f"/jobs/{floor.job}/labels", headers=HTML)
    assert page.text.count("<svg") == 6 and "66 labels" in page.text
    assert not are_given(floor.store, floor.job)
    pdf = floor.bench.post(f"/jobs/{floor.job}/labels.pdf", **form(sheet="A4", start=3))
    assert pdf.headers["content-type"] == "application/pdf"
    assert page_count(pdf.content) == 4  # 2 + 66 labels, 21 a page
    assert are_given(floor.store, floor.job)
    read = codes_read(page_pixels(pdf.content, 300))
    assert len(read) == 19  # 21 less the 2 that are gone
    assert f"HTTP://192.168.1.5:8765/P/{pieces['A-01'][0]}" in read


def test_one_label_is_reprinted_on_a_roll(floor, pieces) -> None:
    code, piece = pieces["B-07"]
    pdf = floor.bench.post(f"/jobs/{floor.job}/labels.pdf", **form(sheet="other", own="57x32", only=piece.index))
    assert page_count(pdf.content) == 1
    assert codes_read(page_pixels(pdf.content, 203)) == [f"HTTP://192.168.1.5:8765/P/{code}"]


def test_several_chosen_in_the_table_are_printed_together(floor, pieces) -> None:
    chosen = "&".join(f"only={pieces[label][1].index}" for label in ("A-01", "C-02", "D-03"))
    page = floor.bench.get(f"/jobs/{floor.job}/labels?{chosen}", headers=HTML).text
    assert "3 labels" in page and page.count("<svg") == 3


@pytest.mark.parametrize("sheet", ["sheet=other&own=20x10", "sheet=other&own=rubbish", "sheet=A4&start=22", "start=0"])
def test_a_label_that_is_too_small_or_not_on_the_sheet_says_what_would_do(floor, sheet: str) -> None:
    page = floor.bench.get(f"/jobs/{floor.job}/labels?{sheet}", headers=HTML)
    assert page.status_code == 200
    assert 'role="alert"' in page.text and "<svg" not in page.text
    fields = dict(one.split("=") for one in sheet.split("&"))
    assert floor.bench.post(f"/jobs/{floor.job}/labels.pdf", **form(**fields)).status_code == 422
    assert not any(one.kind == "piece sorted" for one in floor.store.events(floor.job))


def test_a_typed_code_opens_its_piece_and_a_slip_is_said(floor, pieces) -> None:
    code, _ = pieces["A-01"]
    for text in (code, code.lower(), f"{code[:3]}-{code[3:]}", f"HTTP://192.168.1.5:8765/P/{code}"):
        answer = floor.bench.get("/scan", params={"code": text}, headers=HTML)
        assert answer.headers["location"] == f"/p/{code}"
    wrong = code[:-1] + ("0" if code[-1] != "0" else "1")
    answer = floor.bench.get("/scan", params={"code": wrong}, headers=HTML)
    assert answer.status_code == 422 and "cannot be right" in answer.text
    assert floor.bench.get("/scan", params={"code": ""}, headers=HTML).status_code == 422


def test_the_large_print_of_a_label_opens_its_piece_and_that_of_several_jobs_lets_one_choose(floor, pieces) -> None:
    code, _ = pieces["A-01"]
    for text in ("A-01", "a1", " A 01 "):
        assert floor.bench.get("/scan", params={"code": text}, headers=HTML).headers["location"] == f"/p/{code}"
    for text, words in (
        ("A-99", "no piece A-99 in this job"),
        ("Q-01", "no piece Q-01"),
        ("A-00", "no piece A-00"),
    ):
        answer = floor.bench.get("/scan", params={"code": text}, headers=HTML)
        assert answer.status_code == 422 and words in answer.text
    floor.bench.post(f"/jobs/{floor.job}/copy", **form())
    page = floor.bench.get("/scan", params={"code": "A-01"}, headers=HTML).text
    assert "2 jobs have a piece A-01. Which one?" in page and "(copy)" in page
    assert f"/p/{code}" in page and f"/p/{encode(2, decode(code)[1])}" in page


def photo(floor, labels: list[int]) -> bytes:
    """A picture of the labels of these pieces, side by side."""
    pdf = floor.bench.post(
        f"/jobs/{floor.job}/labels.pdf", **form(sheet="other", own="57x32", only=",".join(map(str, labels)))
    ).content
    made = [page_pixels(pdf, 203, page) for page in range(page_count(pdf))]
    bench = Image.new("L", (sum(one.width + 60 for one in made) + 60, made[0].height + 120), 140)
    for place, one in enumerate(made):
        bench.paste(one, (60 + place * (one.width + 60), 60))
    file = BytesIO()
    bench.save(file, "JPEG")
    return file.getvalue()


def test_a_photo_of_one_label_opens_it_and_of_three_lets_one_choose(floor, pieces) -> None:
    (a, one), (b, two), (c, three) = pieces["A-01"], pieces["B-02"], pieces["C-03"]
    answer = floor.bench.post("/scan", files={"photo": ("p.jpg", photo(floor, [one.index]))}, headers=HTML)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/p/{a}")
    several = photo(floor, [one.index, two.index, three.index])
    page = floor.bench.post("/scan", files={"photo": ("p.jpg", several)}, headers=HTML)
    assert page.status_code == 200 and "3 labels" in page.text
    for code in (a, b, c):
        assert f'href="/p/{code}"' in page.text
    found = floor.bench.post("/scan", files={"photo": ("p.jpg", several)}).json()["found"]
    assert [(one["label"], one["code"]) for one in found] == [("A-01", a), ("B-02", b), ("C-03", c)]


def test_what_is_no_photo_of_a_label_is_said_in_the_shape_that_was_asked_for(floor) -> None:
    page = floor.bench.post("/scan", files={"photo": ("p.jpg", b"no picture")}, headers=HTML)
    assert page.status_code == 422 and "not a photo" in page.text
    error = floor.bench.post("/scan", files={"photo": ("p.jpg", b"no picture")}).json()["error"]
    assert error["what"] and error["next_step"]
    assert floor.bench.post("/scan").status_code == 422
    assert floor.phone().post("/scan", files={"photo": ("p.jpg", b"x")}).status_code == 403  # not paired


PASSED = 'name="run" value="'


def runs_of(floor, mark: str) -> list[Run]:
    sheet = plan_for(floor.store, floor.job, default_shop()).sheet
    return [run for run in sheet.runs if any(line.mark == mark for line in run.pieces)]


def test_a_spoiled_piece_is_asked_about_then_made_again_run_by_run(floor, pieces) -> None:
    code, piece = pieces["B-01"]
    asked = floor.bench.get(f"/jobs/{floor.job}/remake/{code}", headers=HTML).text
    assert "What happened?" in asked and "torn grain" in asked
    assert spoil(floor, code).headers["location"] == f"/jobs/{floor.job}/remake/{code}"
    page = floor.bench.get(f"/jobs/{floor.job}/remake/{code}", headers=HTML).text
    assert "To be made again" in page and "its sister" in page and "What this job leaves over" in page
    steps = page.count(PASSED)
    assert page.count("not worked yet: it goes along with the others") == steps
    assert steps == len(
        [
            run
            for run in plan_for(floor.store, floor.job, default_shop()).sheet.runs
            if any(p.mark == "B" for p in run.pieces)
        ]
    )
    run = page.split('name="run" value="')[1].split('"')[0]
    floor.bench.post(f"/jobs/{floor.job}/remake/{code}/passed", **form(run=run, id="step-00001"))
    floor.bench.post(f"/jobs/{floor.job}/remake/{code}/passed", **form(run=run, id="step-00001"))  # tapped twice
    page = floor.bench.get(f"/jobs/{floor.job}/remake/{code}", headers=HTML).text
    assert page.count(PASSED) == steps - 1 and "✓ passed" in page
    assert job_state(floor.store, floor.job).run(run).cut == {}  # the jointer counts boards; this blank is none of them
    crosscut = next(
        one
        for one in plan_for(floor.store, floor.job, default_shop()).sheet.runs
        if one.work == "crosscut" and any(p.mark == "B" for p in one.pieces)
    )
    for _ in range(2):  # tapped twice
        passed = form(run=crosscut.id, id="step-00002")
        floor.bench.post(f"/jobs/{floor.job}/remake/{code}/passed", **passed)
    assert job_state(floor.store, floor.job).run(crosscut.id).cut == {("B", False): 1}
    assert "It went wrong" in floor.bench.get(f"/P/{code}", headers=HTML).text
    asked = floor.bench.post(f"/jobs/{floor.job}/remake/{code}/whole", headers=HTML, data={"id": "whole-0001"}).text
    assert f"{steps - 2} of its runs were not passed" in asked
    assert job_state(floor.store, floor.job).pieces[piece.index].missing  # not taken for whole without an answer
    floor.bench.post(f"/jobs/{floor.job}/remake/{code}/whole", **form(id="whole-0001", rest="left"))
    assert "It went wrong" not in floor.bench.get(f"/P/{code}", headers=HTML).text
    assert not job_state(floor.store, floor.job).pieces[piece.index].missing


def test_what_is_passed_all_the_same_is_taken_down_before_the_piece_is_whole(floor, pieces) -> None:
    code, piece = pieces["B-01"]
    spoil(floor, code)
    crosscut = next(run for run in runs_of(floor, "B") if run.work == "crosscut")
    for _ in range(2):  # tapped twice
        floor.bench.post(f"/jobs/{floor.job}/remake/{code}/whole", **form(id="whole-0001", rest="passed"))
    state = job_state(floor.store, floor.job)
    assert not state.pieces[piece.index].missing and state.run(crosscut.id).cut == {("B", False): 1}


def test_sisters_that_are_made_again_too_pass_a_run_together_in_one_tap(floor, pieces) -> None:
    (code, piece), (other, sister), (third, _) = pieces["B-01"], pieces["B-02"], pieces["B-03"]
    for one in (code, other):
        spoil(floor, one)
    page = floor.bench.get(f"/jobs/{floor.job}/remake/{code}", headers=HTML).text
    assert "Passed, with B-02 too" in page
    first = runs_of(floor, "B")[0].id
    for _ in range(2):  # tapped twice
        answer = floor.bench.post(
            f"/jobs/{floor.job}/remake/{code}/passed", **form(run=first, together="yes", id="step-00001")
        )
        assert answer.headers["location"].endswith("#next")
    state = job_state(floor.store, floor.job)
    assert state.pieces[piece.index].again == state.pieces[sister.index].again == {first}
    floor.bench.post(f"/jobs/{floor.job}/remake/{code}/passed", **form(run=runs_of(floor, "B")[1].id, id="step-00002"))
    assert job_state(floor.store, floor.job).pieces[sister.index].again == {first}
    spoil(floor, third)
    assert "Passed, with B-02, B-03 too" in floor.bench.get(f"/jobs/{floor.job}/remake/{code}", headers=HTML).text


def test_a_piece_is_remade_under_its_own_job_only(floor, pieces) -> None:
    code, _ = pieces["B-01"]
    assert floor.bench.get(f"/jobs/77/remake/{code}").status_code == 404
    assert floor.bench.get(f"/jobs/{floor.job}/remake/{encode(int(floor.job), 5000)}").status_code == 404
    assert floor.bench.post(f"/jobs/{floor.job}/remake/{code}", **form(what="x", run="nothing")).status_code == 404


def test_the_sorting_page_carries_all_pieces_and_how_they_stand(floor, pieces) -> None:
    code, piece = pieces["A-05"]
    tap = {
        "id": "tap-00001",
        "kind": "piece sorted",
        "at": "2026-03-01T07:30:00Z",
        "body": {"piece": piece.index, "unit": 2},
    }
    floor.bench.post(f"/jobs/{floor.job}/events", json={"events": [tap]})
    standing = floor.bench.get(f"/jobs/{floor.job}/pieces/standing").json()
    assert standing["sorted"] == {"2": [[piece.index, piece.index]]}
    waits = {index for spans in standing["waits"].values() for first, last in spans for index in range(first, last + 1)}
    assert waits == {one.index for _, one in pieces.values()} - {piece.index}
    page = floor.bench.get(f"/jobs/{floor.job}/sort", headers=HTML).text
    assert f'"code":"{code}"' in page and are_given(floor.store, floor.job)


def test_the_pieces_to_sort_come_in_portions_by_their_numbers(floor, pieces, monkeypatch) -> None:
    for room in (numbering, pieces_pages):
        monkeypatch.setattr(room, "PORTION", 25)
    page = floor.bench.get(f"/jobs/{floor.job}/sort", headers=HTML).text
    assert '"portions":3' in page
    found = []
    for portion in (1, 2, 3):
        here = floor.bench.get(f"/jobs/{floor.job}/sort/{portion}").json()["pieces"]
        assert {one["index"] // 25 for one in here} == {portion - 1}
        assert all((one["code"] in page) is (portion == 1) for one in here)
        found += here
    assert sorted(one["code"] for one in found) == sorted(code for code, _ in pieces.values())
    for odd in (0, -1, 4, 10**30):
        assert floor.bench.get(f"/jobs/{floor.job}/sort/{odd}").json() == {"pieces": []}
    kept = floor.bench.get(f"/jobs/{floor.job}/pages-to-keep").json()["pages"]
    assert [page for page in kept if "/sort" in page] == [f"/jobs/{floor.job}/sort{more}" for more in ("", "/2", "/3")]


def test_how_many_pieces_stand_is_said_in_few_words(floor) -> None:
    standing = floor.bench.get(f"/jobs/{floor.job}/pieces/standing").text
    assert len(standing) < 600  # 66 pieces, not a line for each


def test_each_unit_has_its_dry_fit_its_stages_and_a_sheet_on_paper(floor) -> None:
    units = floor.bench.get(f"/jobs/{floor.job}/glue-up", headers=HTML).text
    assert units.count("<h2>Unit") == 6 and "2 clamps opened to" in units
    dry = floor.bench.get(f"/jobs/{floor.job}/glue-up/2/dry-fit", headers=HTML).text
    assert dry.count("data-joint=") == 12 and "A-05" in dry and "A-01" not in dry
    stage = floor.bench.get(f"/jobs/{floor.job}/glue-up/2/3", headers=HTML).text
    assert "what stage 1 made, what stage 2 made" in stage and "0 of 12 joints were tried dry" in stage
    assert "white glue, open 8 min" in stage
    pdf = floor.bench.get(f"/jobs/{floor.job}/glue-up.pdf").content
    words = " ".join(page_words(pdf, page) for page in range(page_count(pdf)))
    for said in ("Stage 1", "Stage 3", "stays open for 8 min", "clamp 2", "J2"):
        assert said in words


@pytest.mark.parametrize("path", ["glue-up/7/dry-fit", "glue-up/0/dry-fit", "glue-up/1/9", "glue-up/7/1"])
def test_a_unit_or_stage_that_is_not_there_is_not_found(floor, path: str) -> None:
    answer = floor.bench.get(f"/jobs/{floor.job}/{path}")
    assert answer.status_code == 404 and answer.json()["error"]["next_step"]


def test_a_unit_s_standing_tells_what_was_tried_glued_and_the_bench_s_clock(floor, pieces) -> None:
    taps = [
        ("piece scanned", {"piece": pieces["A-01"][1].index, "purpose": "dry fit"}),
        ("dry fit ticked", {"unit": 1, "joint": "J1 A-01 B-01"}),
        ("glue-up begun", {"unit": 1, "stage": 1, "glue": "white glue"}),
        ("joint closed", {"unit": 1, "stage": 1, "joint": "J1 A-01 B-01"}),
    ]
    events = [
        {"id": f"tap-{n:05}", "kind": kind, "at": f"2026-03-01T07:30:0{n}Z", "body": body}
        for n, (kind, body) in enumerate(taps)
    ]
    floor.bench.post(f"/jobs/{floor.job}/events", json={"events": events})
    standing = floor.bench.get(f"/jobs/{floor.job}/glue-up/1/standing").json()
    assert standing["here"] == [pieces["A-01"][1].index] and standing["dry"] == ["J1 A-01 B-01"]
    stage = {"begun": "2026-03-01T07:30:02.000Z", "glue": "white glue", "closed": ["J1 A-01 B-01"], "done": ""}
    assert standing["stages"] == {"1": stage} and standing["now"].endswith("Z")
    assert floor.bench.get(f"/jobs/{floor.job}/glue-up/2/standing").json()["stages"] == {}


def test_a_job_without_joints_has_nothing_to_glue_and_says_so(floor) -> None:
    from tests.conftest import ROOT

    from stopwright.actions.jobs.keeping import create_job
    from stopwright.intake.job_file import job_to_document, read_job

    job = create_job(floor.store, job_to_document(read_job(ROOT / "fixtures" / "library-drawers")), "bench")
    assert "no joints" in floor.bench.get(f"/jobs/{job}/glue-up", headers=HTML).text
    assert page_count(floor.bench.get(f"/jobs/{job}/glue-up.pdf").content) == 1
    assert floor.bench.get(f"/jobs/{job}/sort", headers=HTML).status_code == 200


def test_names_with_markup_stay_names_in_every_page_of_pieces(floor) -> None:
    from tests.conftest import ROOT

    from stopwright.actions.jobs.keeping import create_job
    from stopwright.intake.job_file import job_to_document, read_job

    nasty = """<script>alert(1)</script>"'&"""
    document = job_to_document(read_job(ROOT / "fixtures" / "bakery-stools"))
    document["name"] = nasty
    for part in document["part"]:
        part["name"] = part["material"] = nasty
    document["part"][3]["mark"] = "<b>"
    document["stock"] = []
    job = create_job(floor.store, document, "bench")
    planned = plan_for(floor.store, job, default_shop())
    code = code_of(job, pieces_of(floor.store, job, planned)[0])
    run = planned.sheet.runs[0].id
    floor.bench.post(f"/jobs/{job}/remake/{code}", **form(what=nasty, run=run))
    for path in ("pieces", "sort", "labels", "glue-up", "glue-up/1/dry-fit", "glue-up/1/1", f"remake/{code}"):
        page = floor.bench.get(f"/jobs/{job}/{path}", headers=HTML)
        assert page.status_code == 200, path
        assert "alert(1)" in page.text and "<script>alert" not in page.text, path
    assert floor.bench.get(f"/jobs/{job}/glue-up.pdf").status_code == 200
    assert "<script>alert" not in floor.bench.get("/scan", params={"code": nasty}, headers=HTML).text


def spoil_unnamed(floor, mark: str = "A") -> str:
    run = next(
        run
        for run in plan_for(floor.store, floor.job, default_shop()).sheet.runs
        if any(line.mark == mark for line in run.pieces)
    )
    body = {"run": run.id, "mark": mark, "count": 1, "counted": False}
    tap = {"id": "spoiled-1", "kind": "piece spoiled", "at": "2026-03-01T07:30:00Z", "body": body}
    assert floor.bench.post(f"/jobs/{floor.job}/events", json={"events": [tap]}).json()["refused"] == {}
    return "spoiled-1"


def test_a_piece_spoiled_without_a_name_is_named_and_leads_to_its_remake(floor, pieces) -> None:
    address = f"/jobs/{floor.job}/spoiled"
    assert "No piece is waiting" in floor.bench.get(address, headers=HTML).text
    tap, (code, piece) = spoil_unnamed(floor), pieces["A-07"]
    page = floor.bench.get(address, headers=HTML).text
    assert "1 × A Leg" in page and page.count("<option value=") == 24 + 1  # 24 legs, and "not said"
    for _ in range(2):  # a form sent twice counts once
        answer = floor.bench.post(address, **form(tap=tap, code=code, what="torn grain", id="form-00001"))
        assert (answer.status_code, answer.headers["location"]) == (303, f"/jobs/{floor.job}/remake/{code}")
    assert job_state(floor.store, floor.job).pieces[piece.index].what == "torn grain"
    page = floor.bench.get(address, headers=HTML).text
    assert "Which one was it?" not in page and f"/remake/{code}" in page


def test_nonsense_about_a_spoiled_piece_is_refused_in_words_and_changes_nothing(floor, pieces) -> None:
    address, tap, code = f"/jobs/{floor.job}/spoiled", spoil_unnamed(floor), pieces["A-07"][0]
    before = floor.store.events(floor.job)
    for fields, status in (
        ({"tap": "none", "code": code}, 404),
        ({"tap": tap, "code": pieces["B-01"][0]}, 422),
        ({"tap": tap, "code": encode(77, 0)}, 404),
        ({"tap": tap, "code": "rubbish"}, 404),
        ({"tap": tap}, 422),
        ({"code": code}, 422),
        ({"tap": tap, "code": code, "what": "x" * 301}, 422),
        ({"tap": tap, "code": code, "id": "<&>"}, 422),
    ):
        answer = floor.bench.post(address, **form(**fields))
        assert answer.status_code == status, fields
        assert "<h1>" in answer.text
    assert [one for one in floor.store.events(floor.job) if one.kind != "codes given"] == before
    assert floor.bench.get("/jobs/999/spoiled", headers=HTML).status_code == 404


def test_a_making_that_is_gone_is_not_waited_for(floor) -> None:
    assert floor.bench.get(f"/jobs/{floor.job}/labels/progress?making=none").json() == {"running": False}
    assert floor.bench.get("/jobs/77/labels/progress?making=none").status_code == 404
