"""What phone and bench are told when the log cannot be written: a sentence with the next step; nothing is lost."""

from tests.web.conftest import Shopfloor


def a_tap(number: int, note: str = "") -> dict[str, object]:
    body = {"run": f"a run{note}"}
    return {"id": f"tap-{number:05}", "kind": "run done", "at": "2026-03-01T07:00:00.000Z", "body": body}


def test_a_full_disk_is_told_to_the_phone_which_keeps_its_taps_and_sends_them_again(floor: Shopfloor) -> None:
    writer = floor.store._writer
    assert writer is not None
    pages = writer.execute("pragma page_count").fetchone()[0]
    writer.execute(f"pragma max_page_count = {pages}")  # SQLite's own way to run out of room
    taps = {"events": [a_tap(number, "x" * 30) for number in range(400)]}
    refused = floor.bench.post("/jobs/1/events", json=taps)
    assert refused.status_code == 503
    error = refused.json()["error"]
    assert "the disk is full; nothing was saved" in error["what"] and "make room" in error["next_step"]
    assert floor.bench.get("/jobs/1/runs").status_code == 200  # what is there can be worked from
    again = floor.bench.post("/jobs/1/events", json=taps)  # a fresh connection has no such limit: room was made
    assert again.status_code == 200 and len(again.json()["stored"]) == 400
    assert sum(event.kind == "run done" for event in floor.store.events("1")) == 400


def test_a_log_moved_away_is_told_on_the_page_and_as_data(floor: Shopfloor) -> None:
    floor.store.path.rename(floor.store.path.with_name("elsewhere.db"))
    page = floor.bench.post("/jobs", data={"name": "Benches"}, headers={"accept": "text/html"})
    assert page.status_code == 503 and "moved or replaced while in use" in page.text
    tap = floor.bench.post("/jobs/1/events", json={"events": [a_tap(1)]})
    assert tap.status_code == 503 and tap.json()["error"]["next_step"]
