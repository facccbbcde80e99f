"""Jobs and the shop kept: numbers, versions, nobody's change lost."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from stopwright.actions.jobs.keeping import choose_plan, chosen, create_job, job_document, jobs, save_job
from stopwright.actions.jobs.planning import asked_for
from stopwright.actions.shop.keeping import current_shop, save_shop, shop_state
from stopwright.errors import BadInput, ChangedMeanwhile, NotFound
from stopwright.intake.shop_file import default_shop, shop_to_document
from stopwright.store.log import Store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as one:
        yield one


def half_past_seven() -> datetime:
    return datetime(2026, 3, 1, 7, 30, tzinfo=UTC)


def test_jobs_are_numbered_from_one_and_listed_with_the_one_worked_on_last_first(store: Store) -> None:
    assert [create_job(store, {"name": name}, "bench", half_past_seven) for name in ("Stools", "Drawers")] == ["1", "2"]
    choose_plan(store, "1", {"flow": "part by part"}, "bench")
    assert [(card.job, card.name) for card in jobs(store)] == [("1", "Stools"), ("2", "Drawers")]
    assert jobs(store)[0].saved_at == "2026-03-01T07:30:00.000Z"
    assert chosen(store, "1") == {"flow": "part by part"} and chosen(store, "2") == {}


def test_many_who_make_jobs_at_once_get_a_number_each(store: Store) -> None:
    with ThreadPoolExecutor(12) as people:
        numbers = list(people.map(lambda n: create_job(store, {"name": str(n)}, "bench"), range(24)))
    assert sorted(map(int, numbers)) == list(range(1, 25))
    assert all(job_document(store, job).name == str(n) for n, job in enumerate(numbers))


def test_a_job_sent_twice_is_made_once(store: Store) -> None:
    assert [create_job(store, {"name": "Stools"}, "bench", id_="form-0001") for _ in range(3)] == ["1"] * 3
    assert len(jobs(store)) == 1


def test_who_saves_an_old_version_is_told_and_overwrites_nothing(store: Store) -> None:
    job = create_job(store, {"name": "Stools"}, "bench")
    version = job_document(store, job).version
    newer = save_job(store, job, {"name": "Stools, ash"}, version, "Ada")
    with pytest.raises(ChangedMeanwhile):
        save_job(store, job, {"name": "Stools, oak"}, version, "Ben")
    assert (job_document(store, job).name, job_document(store, job).version) == ("Stools, ash", newer)


def test_work_at_the_machine_does_not_make_a_version_old(store: Store) -> None:
    job = create_job(store, {"name": "Stools"}, "bench")
    choose_plan(store, job, {}, "bench")
    save_job(store, job, {"name": "Stools, ash"}, job_document(store, job).version, "bench")


@pytest.mark.parametrize("job", ["7", "0", "", "seven", "1; drop table events", "99999"])
def test_a_job_that_is_not_there_is_not_found(store: Store, job: str) -> None:
    for ask in (
        lambda: job_document(store, job),
        lambda: save_job(store, job, {"name": "x"}, 0, "bench"),
        lambda: choose_plan(store, job, {}, "bench"),
    ):
        with pytest.raises(NotFound):
            ask()


def test_the_shop_is_the_default_until_one_is_saved(store: Store) -> None:
    assert current_shop(store, default_shop()) == default_shop()
    document = shop_to_document(default_shop()) | {"name": "Tool library"}
    save_shop(store, document, shop_state(store).version, "bench")
    assert current_shop(store, default_shop()).name == "Tool library"


def test_a_document_that_is_no_shop_is_refused_and_the_shop_stays(store: Store) -> None:
    with pytest.raises(BadInput):
        save_shop(store, {"name": "Nowhere"}, 0, "bench")
    assert current_shop(store, default_shop()) == default_shop()


def test_a_shop_saved_from_an_old_version_is_refused(store: Store) -> None:
    document = shop_to_document(default_shop())
    save_shop(store, document, 0, "bench")
    with pytest.raises(ChangedMeanwhile) as told:
        save_shop(store, document, 0, "bench")
    assert told.value.where == "the shop"


def test_where_no_shop_was_set_up_an_inch_job_is_planned_on_inch_scales(store: Store) -> None:
    part = {"mark": "A", "name": "Rail", "quantity": 4, "length": "17 3/4", "width": "2 1/2", "thickness": "7/8"}
    job = create_job(store, {"name": "Porch bench", "lengths": "in", "part": [part | {"material": "oak"}]}, "bench")
    assert asked_for(store, job, default_shop()).shop == default_shop("in")
    ours = replace(default_shop(), name="Ours")
    assert asked_for(store, job, ours).shop.stations == ours.stations  # brought with --shop: as it is
    save_shop(store, shop_to_document(default_shop()), 0, "bench")
    assert asked_for(store, job, default_shop()).shop.stations == default_shop().stations
