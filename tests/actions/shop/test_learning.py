"""Minutes learned from the times of taps: medians, only when seen often enough, only what belongs together."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.builders import a_jointer, a_planer, a_saw, a_shop

from stopwright.actions.jobs.keeping import create_job
from stopwright.actions.shop.keeping import current_shop
from stopwright.actions.shop.learning import (
    accept_changeover_minutes,
    accept_minutes,
    learned_changeovers,
    learned_minutes,
)
from stopwright.errors import NotFound, StopwrightError
from stopwright.model.machines import Change, Machine
from stopwright.store.events import Event, new_id
from stopwright.store.log import Store

SHOP = a_shop(a_planer(), a_saw())  # half a minute between runs; fence 1 minute, a piece 0.25


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as one:
        create_job(one, {"name": "Drawers"}, "bench")
        yield one


class Day:
    """Taps on one phone, each so many seconds after the one before."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.second = 0

    def tap(self, kind: str, after: int, **body: object) -> None:
        self.second += after
        at = f"2026-03-01T{7 + self.second // 3600:02}:{self.second // 60 % 60:02}:{self.second % 60:02}.000Z"
        self.store.append([Event(new_id(), "1", kind, at, "phone", body)])

    def run(self, width: int, setting: int, each: int, count: int = 4, at_once: bool = False) -> None:
        run, stops = f"rrip{width}", [["rip fence", width * 1_000_000]]
        self.tap("stop set", setting, run=run, station="saw", work="rip", stops=stops)
        for _ in range(1 if at_once else count):
            self.tap("piece cut", each * (count if at_once else 1), run=run, mark="A", count=count if at_once else 1)
        self.tap("run done", 3, run=run)


def seen(store: Store) -> dict[tuple[str, str], tuple[int, int]]:
    return {(one.station, one.axis): (one.seconds, one.times) for one in learned_minutes(store, SHOP)}


def test_five_runs_teach_the_minutes_of_a_setting_and_of_a_piece(store: Store) -> None:
    day = Day(store)
    for place, (setting, each) in enumerate([(80, 20), (70, 21), (75, 19), (90, 20), (300, 22), (72, 90)]):
        day.run(50 + place, setting, each)
    # settings after the first: 70 75 90 300 72, less 30 between: 40 45 60 270 42, the middle one 45
    assert seen(store) == {("saw", "rip fence"): (45, 5), ("saw", ""): (20, 6)}  # 19 20 20 21 22 90


def test_a_clock_put_back_in_between_teaches_nothing(store: Store) -> None:
    day = Day(store)
    for place in range(6):
        day.run(50 + place, 80, 20)
        day.second -= 400  # the stops of the next run seem to be set before the last run was done
    assert seen(store) == {("saw", ""): (20, 6)}


def test_fewer_than_five_say_nothing(store: Store) -> None:
    day = Day(store)
    for place in range(4):
        day.run(50 + place, 80, 20)
    assert seen(store) == {}


def test_pieces_counted_all_at_once_take_the_same_as_pieces_counted_one_by_one(store: Store) -> None:
    day = Day(store)
    for place in range(6):
        day.run(50 + place, 80, 20, at_once=place % 2 == 0)
    assert seen(store)["saw", ""] == (20, 6)


def test_a_stop_that_stood_and_a_lunch_break_are_no_settings(store: Store) -> None:
    day = Day(store)
    for place in range(6):
        day.run(50 + place, 80, 20)
    day.run(55, 10, 20)  # stands already
    day.run(60, 4000, 20)
    assert seen(store)["saw", "rip fence"] == (50, 5)  # 80 − 30


def test_minutes_count_once_they_are_accepted_and_the_offer_ends(store: Store) -> None:
    day = Day(store)
    for place in range(6):
        day.run(50 + place, 150, 20)
    offers = {one.axis: one for one in learned_minutes(store, SHOP)}
    assert offers["rip fence"].offered and offers["rip fence"].seconds == 120  # against 60
    accept_minutes(store, SHOP, "saw", "rip fence", 120, "bench")
    accept_minutes(store, SHOP, "saw", "", 21, "bench")
    saw = current_shop(store, SHOP).stations[1]
    assert (saw.axes[0].minutes, saw.minutes_per_piece) == (2.0, 0.35)
    assert not any(one.offered for one in learned_minutes(store, current_shop(store, SHOP)))
    with pytest.raises(NotFound):
        accept_minutes(store, SHOP, "saw", "height", 20, "bench")


ONE_BODY = Machine("combination", ("planer", "saw"), 5, (Change("planer", "saw", 4, ("width",)),))
COMBINED = replace(SHOP, machines=(ONE_BODY,))


def made_ready(day: Day, after: int, lost: Iterable[tuple[str, str]] = ()) -> None:
    body = {"machine": "combination", "from": "planer", "to": "saw", "lost": [list(one) for one in lost]}
    day.tap("machine made ready", after, run="rnext", **body)


def test_three_changeovers_teach_their_minutes_and_none_is_taken_for_a_setting(store: Store) -> None:
    day = Day(store)
    for place, changing in enumerate([400, 380, 5000, 420, 390, 410]):
        made_ready(day, changing)
        day.run(50 + place, 80, 20)
    # the first follows no run; the third was lunch besides: 380 420 390 410, the middle 400
    (change,) = learned_changeovers(store, COMBINED)
    assert (change.from_, change.to, change.seconds, change.times) == ("planer", "saw", 400, 4)
    assert change.in_force == 240 and change.offered
    assert seen(store)["saw", "rip fence"] == (50, 6)  # 80 − 30, from the machine made ready


def test_a_stop_that_a_changeover_lost_counts_as_set_again(store: Store) -> None:
    day = Day(store)
    for _ in range(6):
        day.run(50, 80, 20)
        made_ready(day, 300, [("saw", "rip fence")])
    day.run(50, 80, 20)
    assert seen(store)["saw", "rip fence"] == (50, 6)


def test_a_machine_needed_for_something_else_teaches_nothing_of_the_run_in_hand(store: Store) -> None:
    day = Day(store)
    for place in range(6):
        day.tap("stop set", 80, run=f"rrip{place}", station="saw", work="rip", stops=[["rip fence", place]])
        day.tap("machine used", 10, moved=[], stands=[])
        day.tap("piece cut", 3000, run=f"rrip{place}", mark="A", count=4)
        day.tap("run done", 3, run=f"rrip{place}")
    assert ("saw", "") not in seen(store)


def test_changeover_minutes_count_once_they_are_accepted_unless_a_detour_would_be_shorter(store: Store) -> None:
    accept_changeover_minutes(store, COMBINED, "combination", "planer", "saw", 390, "bench")
    (machine,) = current_shop(store, COMBINED).machines
    assert machine.between == {("planer", "saw"): 6.5, ("saw", "planer"): 5}
    assert machine.lost("planer", "saw") == {"width"}
    with pytest.raises(NotFound):
        accept_changeover_minutes(store, COMBINED, "combination", "planer", "lathe", 390, "bench")
    three = Machine("combination", ("planer", "saw", "jointer"), 5)
    shop = replace(a_shop(a_jointer(), a_planer(), a_saw()), machines=(three,))
    with pytest.raises(StopwrightError, match="minutes instead of"):
        accept_changeover_minutes(store, shop, "combination", "planer", "saw", 1200, "bench")
