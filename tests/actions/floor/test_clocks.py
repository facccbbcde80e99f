"""Clocks that are wrong and corrected: what people do counts in the order in which they do it."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import mm
from tests.store.taps import BODIES, RUN

from stopwright.actions.floor.shelf import NewOffcut, put_back, shelf, shelve, take_off
from stopwright.actions.floor.working import job_state, record
from stopwright.actions.jobs.keeping import choose_plan, chosen, create_job
from stopwright.actions.jobs.listing import archive_job, job_list, restore_job
from stopwright.actions.shop.pairing import BENCH
from stopwright.store.events import in_order, written
from stopwright.store.log import Store

EIGHT = datetime(2026, 3, 1, 8, tzinfo=UTC)
JUMPS = [-20_000 * 86_400, -7_200, -60, 0, 60, 7_200, 20_000 * 86_400]
"""Seconds that a clock is moved by: by hours, and by more than fifty years."""


class Morning:
    """True seconds since eight, a clock of the bench and one of each phone; taps kept by phones off the network."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.true = 0
        self.wrong: dict[str, int] = {}
        self.kept: dict[str, list[dict[str, Any]]] = {}
        self.done: list[str] = []
        self.by: dict[str, str] = {}
        self.on_time: set[str] = set()
        self.store = self._opened()
        self.job = create_job(self.store, {"name": "Stools"}, BENCH, self.bench)

    def _opened(self) -> Store:
        return Store.open(self.path, clock=lambda: float(self.true))

    def clock(self, device: str) -> datetime:
        return EIGHT + timedelta(seconds=self.true + self.wrong.get(device, 0))

    def bench(self) -> datetime:
        return self.clock(BENCH)

    def tap(self, device: str, kind: str = "reading noted", sends: bool = True, **body: Any) -> str:
        """One tap, a second after the last; sent with what was kept before, or kept."""
        self.true += 1
        id_ = f"tap-{len(self.done):08}"
        event = {"id": id_, "kind": kind, "at": written(self.clock(device)), "body": BODIES[kind] | body}
        self.kept.setdefault(device, []).append(event)
        self.done.append(id_)
        self.by[id_] = device
        if sends:
            self.on_time.add(id_)
            self.send(device)
        return id_

    def send(self, device: str) -> None:
        sent = written(self.clock(device))
        taken = record(self.store, self.job, self.kept.pop(device, []), device, self.bench, sent)
        assert not taken.refused

    def start_again(self) -> None:
        self.store.close()
        self.store = self._opened()

    def counted(self) -> list[str]:
        """The taps in the order in which they count."""
        return [one.id for one in sorted(self.store.events(self.job), key=in_order) if one.kind == "reading noted"]


@pytest.fixture
def morning(tmp_path: Path):
    one = Morning(tmp_path / "shop.db")
    yield one
    one.store.close()


@pytest.mark.parametrize("jump", JUMPS)
@pytest.mark.parametrize("again", [False, True], ids=["goes on", "started again"])
def test_what_is_done_after_the_bench_clock_was_moved_holds_over_what_was_done_before(
    morning: Morning, jump: int, again: bool
) -> None:
    store, job, now = morning.store, morning.job, morning.bench
    first = NewOffcut("offcut-0001", mm(600), mm(90), mm(22))

    def act(step: int) -> None:
        morning.tap(BENCH, reading_nm=mm(80 + step))
        morning.tap("Ada", "run done" if step % 2 else "run reopened")
        choose_plan(store, job, {"steps": step}, BENCH, now)
        shelve(store, [first], BENCH, now) if step == 0 else put_back(store, 1, BENCH, now)
        take_off(store, 1, BENCH, now=now)
        archive_job(store, job, BENCH, now)

    act(0)
    morning.wrong[BENCH] = jump
    if again:
        morning.start_again()
        store = morning.store
    restore_job(store, job, BENCH, now)
    act(1)
    put_back(store, 1, BENCH, now)
    restore_job(store, job, BENCH, now)
    state = job_state(store, job).run(RUN)
    assert state.readings == {"rip fence": mm(81)} and state.done
    assert chosen(store, job) == {"steps": 1}
    assert [one.number for one in shelf(store).lying] == [1]
    assert [line.job for line in job_list(store).at_hand] == [job]


def test_a_tap_kept_off_the_network_counts_where_it_would_have_stood_though_the_bench_clock_jumps(
    morning: Morning,
) -> None:
    morning.wrong[BENCH] = 7_200  # two hours ahead
    morning.tap("Ada", reading_nm=mm(80))
    morning.tap("Bo", sends=False, reading_nm=mm(81))  # Bo is off the network
    morning.tap(BENCH, reading_nm=mm(82))
    morning.wrong[BENCH] = 0
    morning.tap("Ada", reading_nm=mm(83))
    morning.send("Bo")
    assert morning.counted() == morning.done
    assert job_state(morning.store, morning.job).run(RUN).readings == {"rip fence": mm(83)}


def test_a_tap_kept_while_the_program_was_started_again_counts_by_the_time_of_day(morning: Morning) -> None:
    for place, (device, sends) in enumerate([("Ada", True), ("Bo", False), ("Ada", True), ("Bo", False)]):
        morning.tap(device, sends=sends, reading_nm=mm(80 + place))
    morning.start_again()
    morning.tap(BENCH)
    morning.send("Bo")
    assert morning.counted() == morning.done


STEPS = st.lists(
    st.tuples(st.sampled_from([BENCH, "Ada", "Bo"]), st.booleans(), st.sampled_from([0, 1, 600])),
    min_size=2,
    max_size=14,
)


def a_morning(
    steps: list[tuple[str, bool, int]], between: Callable[[Morning], None]
) -> tuple[list[str], list[str], dict[str, str], set[str]]:
    with TemporaryDirectory() as folder:
        morning = Morning(Path(folder) / "shop.db")
        for device, sends, pause in steps:
            between(morning)
            morning.true += pause
            morning.tap(device, sends=sends or device == BENCH)
        for device in sorted(morning.kept):
            morning.true += 1
            morning.send(device)
        counted = morning.counted()
        morning.store.close()
    return counted, morning.done, morning.by, morning.on_time


@settings(deadline=None)
@given(STEPS, st.data())
def test_however_the_bench_clock_jumps_all_counts_as_it_was_done(steps, data) -> None:
    def jump(morning: Morning) -> None:
        morning.wrong[BENCH] = data.draw(st.sampled_from(JUMPS))

    counted, done, by, on_time = a_morning(steps, jump)
    assert sorted(counted) == sorted(done)
    at = {id_: place for place, id_ in enumerate(counted)}
    for place, one in enumerate(done):
        for other in done[place + 1 :]:
            if by[one] == by[other] or {one, other} & on_time:
                assert at[one] < at[other]


@settings(deadline=None)
@given(STEPS, st.data())
def test_however_all_clocks_jump_and_the_program_is_started_again_each_devices_taps_keep_their_order(
    steps, data
) -> None:
    def jump(morning: Morning) -> None:
        for device in (BENCH, "Ada", "Bo"):
            morning.wrong[device] = data.draw(st.sampled_from(JUMPS))
        if data.draw(st.booleans()):
            morning.start_again()

    counted, done, by, on_time = a_morning(steps, jump)
    assert sorted(counted) == sorted(done)
    for device in (BENCH, "Ada", "Bo"):
        assert [id_ for id_ in counted if by[id_] == device] == [id_ for id_ in done if by[id_] == device]
    assert [id_ for id_ in counted if id_ in on_time] == [id_ for id_ in done if id_ in on_time]
