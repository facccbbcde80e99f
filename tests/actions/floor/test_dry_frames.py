"""Frames measured when they are dry together: their panels follow at once, cut ones say by how much they miss."""

from pathlib import Path

import pytest
from tests.builders import mm

from stopwright.actions.floor.outdated import outdated
from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.openings import frames_to_measure, measure_dry_frame
from stopwright.actions.jobs.planning import Planned, plan_for
from stopwright.errors import NotFound, StopwrightError
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Nm, Show
from stopwright.store.events import Event, new_id
from stopwright.store.log import Store

DOOR = {"mark": "F", "width": "500", "height": "700", "bottom": "80", "dry_fit": True, "panel_kind": "solid"}
JOB = {"name": "Honey cupboards", "units": 2, "lengths": "mm"}


@pytest.fixture
def store(tmp_path: Path):
    with Store.open(tmp_path / "shop.db") as one:
        create_job(one, JOB | {"frame": [DOOR]}, "bench")
        yield one


def planned(store: Store) -> Planned:
    return plan_for(store, "1", default_shop())


def measure(store: Store, mark: str = "F", **lights: tuple[Nm, ...]) -> None:
    measure_dry_frame(store, "1", planned(store), mark, lights, "phone")


def cut(store: Store, mark: str, work: str) -> None:
    """Counts both pieces at the last run of a work that has them, as the phone does."""
    run = [r for r in planned(store).sheet.runs if r.work == work and any(p.mark == mark for p in r.pieces)][-1]
    stops = [[stop.axis, stop.target] for stop in run.stops if isinstance(stop.target, int)]
    told = {"run": run.id, "station": run.station, "work": run.work, "stops": stops}
    at, body = "2026-03-01T07:00:00.000Z", {"run": run.id, "mark": mark, "count": 2}
    store.append(
        [Event(new_id(), "1", "stop set", at, "phone", told), Event(new_id(), "1", "piece cut", at, "phone", body)]
    )


def said(store: Store) -> list[tuple[str, int, list[str]]]:
    found = outdated(store, "1", planned(store))
    return [(one.cut.mark, one.cut.count, [differs.words(Show.MM) for differs in one.differs]) for one in found]


def test_the_smallest_light_counts_and_the_plan_follows_at_once(store: Store) -> None:
    measure(store, light_width=(mm(379.6), mm(379.4)))
    assert job_document(store, "1").document["frame"][0]["opening"] == [{"light_width": ["379.6", "379.4"]}]
    assert planned(store).job.part("Fp").width == mm(393.4)  # 379.4 + 20 − 2 × 3
    (frame,) = frames_to_measure(planned(store))
    assert (frame.missing, frame.drawn) == (("light_height",), (("light_width", mm(379.4)), ("light_height", mm(560))))
    measure(store, light_width=(mm(379.2),), light_height=(mm(560.4),))
    assert planned(store).job.part("Fp").size == (mm(579.4), mm(393.2), mm(6))


def test_what_was_cut_of_the_frame_before_it_was_measured_is_not_out_of_date(store: Store) -> None:
    for mark, work in (
        ("Fst", "crosscut"),
        ("Fst", "groove"),
        ("Ftr", "groove"),
        ("Ftr", "tenon"),
        ("Fps", "crosscut"),
    ):
        cut(store, mark, work)
    measure(store, light_width=(mm(379.4),), light_height=(mm(560.4),))
    assert said(store) == []


def test_a_panel_that_was_cut_to_the_drawing_says_by_how_much_it_misses(store: Store) -> None:
    cut(store, "Fp", "crosscut")
    measure(store, light_width=(mm(379.4),), light_height=(mm(560.4),))
    assert said(store) == [
        ("Fp", 2, ["length 579 mm, now 579.4 mm: 0.4 mm too little", "width 394 mm, now 393.4 mm: 0.6 mm too much"])
    ]


def test_what_no_light_measures_is_refused_and_nothing_is_kept(store: Store) -> None:
    with pytest.raises(StopwrightError, match="measured 392 mm is far from the 380 mm worked out"):
        measure(store, light_width=(mm(392),))
    with pytest.raises(StopwrightError, match="nothing was measured"):
        measure(store, light_width=())
    with pytest.raises(NotFound):
        measure(store, "X", light_width=(mm(380),))
    assert "opening" not in job_document(store, "1").document["frame"][0]


def test_every_frame_of_one_size_gets_the_measure_where_its_opening_is_its_own(store: Store) -> None:
    own = [{"number": number, "width": ["504"]} for number in (1, 2)]
    create_job(store, JOB | {"units": 3, "frame": [DOOR | {"gap": "2", "opening": own}]}, "bench")
    own_plan = plan_for(store, "2", default_shop())
    assert [(one.mark, one.numbers) for one in frames_to_measure(own_plan)] == [("F", (3,)), ("F.1", (1, 2))]
    measure_dry_frame(store, "2", own_plan, "F.1", {"light_width": (mm(379.8),)}, "phone")
    again = plan_for(store, "2", default_shop()).job
    assert [(part.mark, part.quantity, part.width) for part in again.parts if part.mark.endswith("p")] == [
        ("Fp", 1, mm(390)),  # 500 − 2 × 2 − 120 + 20 − 2 × 3
        ("F.1p", 2, mm(393.8)),
    ]
