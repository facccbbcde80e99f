"""Taps that come from a phone: stored once, refused in words, judged in the shop's grammar."""

import gzip
from base64 import b64decode, b64encode

import pytest
from tests.store.taps import BODIES
from tests.store.test_pictures import a_photo

from stopwright.actions.floor import set_up_pictures
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.store.kinds import FROM_THE_FLOOR
from stopwright.store.pictures import says_nothing

AT = "2026-03-01T07:30:00.000Z"


def tap(id_, kind, **body):
    return {"id": id_, "kind": kind, "at": AT, "body": body}


def a_rip(floor):
    return next(run for run in plan_for(floor.store, floor.job, default_shop()).sheet.runs if run.work == "rip")


def post(floor, *events):
    answer = floor.bench.post(f"/jobs/{floor.job}/events", json={"events": list(events)})
    assert answer.status_code == 200
    return answer.json()


def measured(floor, id_, text, unit="mm", **more):
    stop = a_rip(floor).stops[0]
    body = {"run": a_rip(floor).id, "axis": stop.axis, "target_nm": stop.target, "reading_nm": stop.reading}
    body |= {"tolerance_nm": stop.tolerance, "station": "saw", "blade": "", "text": text, "unit": unit}
    return tap(id_, "piece measured", **body | more)


def test_a_tap_sent_twice_is_stored_once(floor):
    run, mark = a_rip(floor).id, a_rip(floor).pieces[0].mark
    once = post(floor, tap("tap-00001", "piece cut", run=run, mark=mark, count=5))
    again = post(floor, tap("tap-00001", "piece cut", run=run, mark=mark, count=5))
    assert once == again and once["refused"] == {}
    assert job_state(floor.store, floor.job).run(run).cut == {(mark, False): 5}


def test_a_tap_that_cannot_be_kept_does_not_hold_up_the_others(floor):
    run = a_rip(floor).id
    answer = post(
        floor,
        tap("tap-00001", "stop set", run=run, station="saw", work="rip", stops=[]),
        tap("tap-00002", "job saved"),
        tap("tap-00003", "run done", run=run),
    )
    assert set(answer["stored"]) == {"tap-00001", "tap-00003"}
    assert answer["refused"]["tap-00002"]["what"] and answer["refused"]["tap-00002"]["next_step"]


def test_a_measured_piece_is_read_in_the_shops_grammar_and_judged(floor):
    stop = a_rip(floor).stops[0]  # the 360 mm seats, ± 1 mm
    post(floor, measured(floor, "trial-001", "361,5"))
    run = floor.bench.get(f"/jobs/{floor.job}/standing").json()["runs"][a_rip(floor).id]
    assert run["trials"][0]["off"][0] == "1.5 mm" and run["trials"][0]["over"] == 1
    assert run["trials"][0]["corrected"][0] == "358.5 mm"
    assert run["readings"][stop.axis]["nm"] == stop.reading - 1_500_000
    assert not run["trials"][0]["within"] and run["trials"][0]["advice"] == ""
    post(floor, measured(floor, "trial-002", "1' 2 1/4\"", "in", reading_nm=358_500_000))  # 361.95 mm
    run = floor.bench.get(f"/jobs/{floor.job}/standing").json()["runs"][a_rip(floor).id]
    assert "Look for" in run["trials"][0]["advice"]
    post(floor, measured(floor, "trial-003", "360.2"))
    run = floor.bench.get(f"/jobs/{floor.job}/standing").json()["runs"][a_rip(floor).id]
    assert run["trials"][0]["within"] and run["proved"]


def test_a_measure_that_is_no_length_or_a_slip_is_refused_in_words(floor):
    answer = post(
        floor,
        measured(floor, "trial-001", "abc"),
        measured(floor, "trial-002", "36"),
        measured(floor, "trial-003", "1/128", "in"),
    )
    assert answer["stored"] == {} and set(answer["refused"]) == {"trial-001", "trial-002", "trial-003"}
    assert "far from" in answer["refused"]["trial-002"]["what"]


def test_the_whole_job_is_less_than_60_kb_over_the_wire(floor):
    total = 0
    page = floor.bench.get(f"/jobs/{floor.job}/runs/1", headers={"accept": "text/html"})
    for path in {part.split('"')[0] for part in page.text.split('="') if part.startswith(("/styles/", "/scripts/"))}:
        total += len(gzip.compress(floor.bench.get(path).content))
    total += len(gzip.compress(page.content))
    assert page.headers["content-encoding"] == "gzip"
    assert total < 60_000


def test_no_script_or_style_stands_in_a_page(floor):
    for path in ("/", "/jobs/1/runs", "/phones", "/no-such-page"):
        page = floor.bench.get(path, headers={"accept": "text/html"}).text
        assert " style=" not in page and " onclick" not in page and "<style" not in page
        assert all("src=" in tag or "application/json" in tag for tag in page.split("<script")[1:])
        assert "http://" not in page.replace("http://www.w3.org/2000/svg", "") and "https://" not in page


@pytest.mark.parametrize("kind", sorted(set(BODIES) - FROM_THE_FLOOR))
def test_what_is_decided_at_the_bench_is_not_taken_as_a_tap_however_well_it_is_formed(floor, kind):
    before = floor.store.last_seq
    answer = post(floor, tap("tap-00009", kind, **BODIES[kind]))
    assert answer["stored"] == {} and set(answer["refused"]) == {"tap-00009"}
    assert floor.store.last_seq == before


def test_a_photo_reaches_the_log_without_a_word_and_no_more_than_so_many(floor, monkeypatch):
    photo = b64encode(a_photo()).decode()
    run = a_rip(floor).id

    def taken(id_):
        return tap(id_, "run pictured", run=run, jpeg=photo)

    assert post(floor, taken("photo-001"))["stored"]
    kept = floor.store.event("photo-001").body["jpeg"]
    assert says_nothing(b64decode(kept)) and kept != photo
    monkeypatch.setattr(set_up_pictures, "MOST_PICTURES", 2)
    answer = post(floor, taken("photo-002"), taken("photo-003"))
    assert list(answer["stored"]) == ["photo-002"]
    assert answer["refused"]["photo-003"]["what"] == "this job has 2 photos"
    assert post(floor, taken("photo-002"))["stored"]  # the acknowledgement was lost: it is kept already
    assert post(floor, tap("undo-0001", "undo", event="photo-001"), taken("photo-003"))["refused"]
    assert post(floor, taken("photo-003"))["stored"]  # one was taken back
    broken = post(floor, tap("photo-004", "run pictured", run=run, jpeg="bm8gcGhvdG8="))
    assert "photo" in broken["refused"]["photo-004"]["what"]
