"""The shop's memory: from trial pieces to zeros in force, kerfs on blades and readings to start from."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest
from tests.builders import mm

from stopwright.actions.floor.stopping import floor_of
from stopwright.actions.floor.working import measure, record
from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.repeating import repeat_job
from stopwright.actions.shop.keeping import current_shop, save_shop, shop_state
from stopwright.actions.shop.memory import accept_zero, measure_kerf, readings, scales
from stopwright.errors import ChangedMeanwhile, NotFound, StopwrightError
from stopwright.intake.shop_file import shop_to_document
from stopwright.model.gear import Blade
from stopwright.model.stations import Axis, Shop, Station
from stopwright.store.log import Store
from stopwright.store.memory import RippedBoard

SHOP = Shop(
    "Tool library",
    (
        Station(
            "saw",
            ("rip", "crosscut"),
            (
                Axis("rip fence", "width", step=mm(0.5), high=mm(1250)),
                Axis("stop", "length", high=mm(2600)),
            ),
            (Blade(kerf=mm(3.2), blade="rip 24"),),
        ),
    ),
)
RUN = "rrip000084"
SET = {"run": RUN, "station": "saw", "work": "rip", "stops": [["rip fence", 84_000_000]]}


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as one:
        create_job(one, {"name": "Drawers"}, "bench")
        yield one


seconds = count()


def a_moment_later() -> datetime:
    """Two trial pieces never come in one moment."""
    return datetime(2026, 3, 1, 7, 30, tzinfo=UTC) + timedelta(seconds=next(seconds))


def cut_trials(store: Store, *lengths: float, axis: str = "rip fence", blade: str = "rip 24") -> None:
    for length in lengths:
        measure(
            store,
            "1",
            RUN,
            axis,
            station="saw",
            target=mm(84),
            reading=mm(84),
            measured=mm(length),
            tolerance=mm(0.3),
            device="phone",
            blade=blade,
            now=a_moment_later,
        )


def test_a_zero_is_offered_by_trial_pieces_and_in_force_only_once_accepted(store: Store) -> None:
    cut_trials(store, 84.8, 84.7, 84.9)
    (fence,) = scales(store, current_shop(store, SHOP))
    assert fence.zero is not None and (fence.zero.zero, fence.zero.offered) == (mm(-0.8), True)
    assert current_shop(store, SHOP).stations[0].axes[0].zero == 0
    accept_zero(store, SHOP, "saw", "rip fence", fence.zero.zero, "bench")
    shop = current_shop(store, SHOP)
    assert shop.stations[0].axes[0].zero == mm(-0.8)
    (fence,) = scales(store, shop)
    assert fence.zero is not None and not fence.zero.offered
    assert [one.piece.measured for one in fence.trials] == [mm(84.8), mm(84.7), mm(84.9)]


def test_trial_pieces_of_another_blade_do_not_speak_for_this_one(store: Store) -> None:
    cut_trials(store, 84.8, 84.8, 84.8, blade="fine 80")
    assert scales(store, SHOP) == []


def test_an_axis_without_a_scale_has_trials_but_no_zero(store: Store) -> None:
    cut_trials(store, 84.8, 84.8, 84.8, axis="stop")
    (stop,) = scales(store, SHOP)
    assert stop.zero is None and len(stop.trials) == 3


def test_a_zero_for_an_axis_that_is_not_there_is_refused(store: Store) -> None:
    for station, axis in (("saw", "fence"), ("shaper", "rip fence")):
        with pytest.raises(NotFound):
            accept_zero(store, SHOP, station, axis, mm(1), "bench")


def test_a_zero_accepted_meanwhile_is_not_overwritten_by_an_older_shop_document(store: Store) -> None:
    before = shop_state(store).version
    accept_zero(store, SHOP, "saw", "rip fence", mm(-0.8), "phone")
    with pytest.raises(ChangedMeanwhile):
        save_shop(store, shop_to_document(SHOP), before, "bench")
    held = current_shop(store, SHOP)
    save_shop(store, shop_to_document(held), shop_state(store).version, "bench")
    assert current_shop(store, SHOP) == held


def test_a_kerf_is_written_to_the_blade_that_is_on_and_only_to_it(store: Store) -> None:
    found = measure_kerf(store, SHOP, "saw", [RippedBoard(mm(100), (mm(48.4), mm(48.4)), 1)], mm(0.1), "bench")
    assert found.kerf == mm(3.2)
    thin = [RippedBoard(mm(100), (mm(48.9), mm(48.9)), 1)]
    measure_kerf(store, SHOP, "saw", thin, mm(0.1), "bench")
    assert current_shop(store, SHOP).stations[0].of(Blade).kerf == mm(2.2)
    fine = Shop("Tool library", (Station("saw", ("rip",), gear=(Blade(kerf=mm(3.2), blade="fine 80"),)),))
    assert current_shop(store, fine).stations[0].of(Blade).kerf == mm(3.2)
    with pytest.raises(StopwrightError):
        measure_kerf(store, SHOP, "saw", [RippedBoard(mm(90), (mm(48), mm(48)), 1)], mm(0.1), "bench")
    assert current_shop(store, SHOP).stations[0].of(Blade).kerf == mm(2.2)


def test_a_job_done_again_starts_from_the_readings_that_worked(store: Store) -> None:
    cut_trials(store, 84.8)
    measure(
        store, "1", RUN, "rip fence", station="saw", target=mm(84), reading=mm(83.2), measured=mm(84.1),
        tolerance=mm(0.3), device="phone", blade="rip 24",
    )  # fmt: skip
    again = repeat_job(store, "1", "bench")
    assert again == "2" and job_document(store, again).document == {"name": "Drawers"}
    found = readings(store)["saw", "rip fence", "rip 24", mm(84)]
    assert (found.reading, found.job, found.proved) == (mm(83.2), "1", True)


def test_the_stop_set_last_at_a_station_is_known_across_jobs(store: Store) -> None:
    create_job(store, {"name": "Stools"}, "bench")
    for n, job in enumerate(("2", "1")):
        body = {**SET, "stops": [["rip fence", 84_000_000 if job == "1" else 60_000_000]]}
        tap = {"id": f"set-{job}-00001", "kind": "stop set", "at": f"2026-03-01T07:30:0{n}.000Z", "body": body}
        record(store, job, [tap], "phone")
    assert floor_of(store, SHOP).of_run == {"saw": {("rip fence", 84_000_000)}}
