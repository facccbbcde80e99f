"""Any history of cuts, spoils, remakes and scans keeps the counts of pieces right; codes stay with their pieces."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.actions.floor.owed import still_to_work
from tests.builders import a_part, at_length, mm
from tests.conftest import ROOT

from stopwright.actions.floor.remaking import (
    finish_remake,
    pass_run,
    remake_stands,
    spoil_piece,
    woods_on_hand,
)
from stopwright.actions.floor.shelf import NewOffcut, shelve
from stopwright.actions.floor.sorting import piece_cards, unit_cards
from stopwright.actions.floor.stopping import floor_of
from stopwright.actions.floor.working import job_state, measure
from stopwright.actions.jobs.keeping import create_job, job_document, save_job
from stopwright.actions.jobs.numbering import are_given, code_of, find_piece, give_codes_to, pieces_of
from stopwright.actions.jobs.planning import Planned, plan_for
from stopwright.actions.jobs.repeating import repeat_job
from stopwright.errors import NotFound, StopwrightError
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.gear import Blade
from stopwright.model.stock import Zone
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.assembling.remake import Ways, WoodOnHand, choose_wood
from stopwright.plan.run_sheet import Position, Run
from stopwright.store.events import Event, new_id, utc_now, written
from stopwright.store.log import Store
from stopwright.store.piece_fold import fold_pieces

SHOP = default_shop()
STOOLS = job_to_document(read_job(ROOT / "fixtures" / "bakery-stools"))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as store:
        create_job(store, STOOLS, "bench")
        yield store


def planned_of(store: Store) -> Planned:
    return plan_for(store, "1", SHOP)


def piece(store: Store, label: str) -> Piece:
    return next(one for one in pieces_of(store, "1", planned_of(store)) if one.label == label)


def tell(store: Store, kind: str, **body: object) -> None:
    store.append([Event(new_id(), "1", kind, written(utc_now()), "phone", body)])


def told(run: Run) -> list[list[object]]:
    return [[stop.axis, stop.told] for stop in run.stops]


def cut_everything(store: Store) -> None:
    for run in planned_of(store).sheet.runs:
        tell(store, "stop set", run=run.id, station=run.station, work=run.work, stops=told(run))
        for strips in run.lines:
            tell(store, "piece cut", run=run.id, mark=strips.lot, count=strips.count)
        for line in () if run.lines else run.pieces:
            tell(
                store,
                "piece cut",
                run=run.id,
                mark=line.mark,
                count=line.count,
                **({"mirrored": True} if line.mirrored else {}),
            )
        tell(store, "run done", run=run.id)


def owed(store: Store) -> Counter[str]:
    """Pieces still to work by mark, over all runs."""
    left = still_to_work(planned_of(store).sheet, job_state(store, "1").runs)
    total: Counter[str] = Counter()
    for counts in left.values():
        for (mark, _), count in counts.items():
            total[mark] += count
    return total


def remake(store: Store, one: Piece) -> None:
    for step in remake_stands(store, "1", planned_of(store), one).remake.steps:
        pass_run(store, "1", planned_of(store), one, step.run.id, "phone")
    finish_remake(store, "1", one, "phone")


def test_a_piece_spoiled_at_its_last_run_is_owed_by_all_its_runs_until_it_has_passed_them_again(store: Store) -> None:
    cut_everything(store)
    assert owed(store) == {}
    leg = piece(store, "A-02")
    runs = remake_stands(store, "1", planned_of(store), leg).runs
    spoil_piece(store, "1", planned_of(store), leg, runs[-1].id, "torn grain", "phone")
    assert owed(store) == {
        "A": sum(Ways(planned_of(store).job, planned_of(store).sheet).times(leg, run) for run in runs if not run.lines)
    }
    state = remake_stands(store, "1", planned_of(store), leg)
    assert state.state.missing and state.state.what == "torn grain" and state.left
    remake(store, leg)
    assert owed(store) == {}
    assert not remake_stands(store, "1", planned_of(store), leg).state.missing


def test_a_piece_spoiled_on_the_way_is_owed_again_only_by_the_runs_before(store: Store) -> None:
    cut_everything(store)
    rail = piece(store, "B-01")
    runs = remake_stands(store, "1", planned_of(store), rail).runs
    spoil_piece(store, "1", planned_of(store), rail, runs[-2].id, "split or knot", "phone")
    left = still_to_work(planned_of(store).sheet, job_state(store, "1").runs)
    # boards and strips are not owed again, whatever becomes of a piece; the last run is not reached
    assert [run.id for run in runs if left[run.id]] == [run.id for run in runs[:-1] if not run.lines]


def test_a_piece_is_spoiled_once_until_it_is_whole_again_and_a_repeat_of_the_form_changes_nothing(store: Store) -> None:
    rail = piece(store, "B-01")
    runs = remake_stands(store, "1", planned_of(store), rail).runs
    for _ in range(2):
        spoil_piece(store, "1", planned_of(store), rail, runs[0].id, "dropped", "phone", id_="form-00001")
    with pytest.raises(StopwrightError, match="already"):
        spoil_piece(store, "1", planned_of(store), rail, runs[0].id, "dropped", "phone")
    with pytest.raises(NotFound):
        spoil_piece(store, "1", planned_of(store), rail, "r0", "dropped", "phone")
    assert job_state(store, "1").pieces[rail.index].spoiled == 1


def test_a_remake_that_goes_wrong_again_is_made_once_more_and_the_counts_still_come_out(store: Store) -> None:
    cut_everything(store)
    rail = piece(store, "B-01")
    runs = remake_stands(store, "1", planned_of(store), rail).runs
    spoil_piece(store, "1", planned_of(store), rail, runs[-1].id, "split", "phone")
    for run in runs[:3]:
        pass_run(store, "1", planned_of(store), rail, run.id, "phone")
    spoil_piece(store, "1", planned_of(store), rail, runs[2].id, "split again", "phone")
    state = remake_stands(store, "1", planned_of(store), rail)
    assert (state.state.spoiled, state.state.what, state.passed) == (2, "split again", frozenset())
    remake(store, rail)
    assert owed(store) == {}
    assert not remake_stands(store, "1", planned_of(store), rail).state.missing


def test_two_people_who_say_that_a_piece_is_whole_do_not_hide_its_next_mishap(store: Store) -> None:
    rail = piece(store, "B-01")
    runs = remake_stands(store, "1", planned_of(store), rail).runs
    seven = datetime(2026, 3, 1, 7, tzinfo=UTC)
    clock = (seven + timedelta(minutes=minutes) for minutes in range(10)).__next__
    spoil_piece(store, "1", planned_of(store), rail, runs[0].id, "split", "phone", clock)
    for device in ("phone-1", "phone-2"):
        finish_remake(store, "1", rail, device, clock)
    spoil_piece(store, "1", planned_of(store), rail, runs[0].id, "split", "phone", clock)
    assert job_state(store, "1").pieces[rail.index].missing


def test_the_run_that_was_set_last_at_each_station_still_stands(store: Store) -> None:
    cut_everything(store)
    stands = floor_of(store, planned_of(store).shop).of_run
    last = {run.station: run for run in planned_of(store).sheet.runs}
    assert stands == {name: {(stop.axis, stop.told) for stop in run.stops} for name, run in last.items()}
    leg = piece(store, "A-01")
    spoil_piece(
        store,
        "1",
        planned_of(store),
        leg,
        remake_stands(store, "1", planned_of(store), leg).runs[-1].id,
        "x",
        "phone",
    )
    steps = remake_stands(store, "1", planned_of(store), leg).remake.steps
    assert {step.run.number for step in steps if step.stands and step.run.stops} <= {
        run.number for run in last.values()
    }


def test_a_reading_that_was_corrected_is_the_one_the_remake_is_set_to(store: Store) -> None:
    rail = piece(store, "B-01")
    runs = remake_stands(store, "1", planned_of(store), rail).runs
    cut = next(run for run in runs if run.work == "crosscut")
    stop = cut.stops[0]
    target, reading = at_length(stop.target), at_length(stop.reading)
    body = {
        "run": cut.id,
        "station": cut.station,
        "axis": stop.axis,
        "target_nm": target,
        "reading_nm": reading,
        "tolerance_nm": mm(0.3),
    }
    tell(store, "piece measured", **body, measured_nm=target + mm(0.6))
    spoil_piece(store, "1", planned_of(store), rail, cut.id, "cut too short", "phone")
    step = next(one for one in remake_stands(store, "1", planned_of(store), rail).remake.steps if one.run == cut)
    assert step.reading(stop) == reading - mm(0.6)
    assert (cut.id, stop.axis) in remake_stands(store, "1", planned_of(store), rail).unproved
    proved = body | {"reading_nm": reading - mm(0.6), "measured_nm": target + mm(0.1)}
    tell(store, "piece measured", **proved)
    assert not remake_stands(store, "1", planned_of(store), rail).unproved


def test_what_another_job_tried_and_never_proved_is_not_offered(store: Store) -> None:
    """The same stop in another job: 0.6 over and left so; then proved."""
    rail = piece(store, "B-01")
    runs = remake_stands(store, "1", planned_of(store), rail).runs
    cut = next(run for run in runs if run.work == "crosscut")
    stop = cut.stops[0]
    first, target = at_length(stop.reading), at_length(stop.target)
    spoil_piece(store, "1", planned_of(store), rail, cut.id, "cut too short", "phone")
    other = repeat_job(store, "1", "bench")
    blade = next(station.of(Blade).blade for station in SHOP.stations if station.name == "saw")
    tried = partial(
        measure, store, other, cut.id, stop.axis,
        target=target, tolerance=mm(0.3), station="saw", device="phone", blade=blade,
    )  # fmt: skip

    def reading() -> Position:
        steps = remake_stands(store, "1", planned_of(store), rail).remake.steps
        return next(one for one in steps if one.run == cut).reading(stop)

    tried(reading=first, measured=target + mm(0.6))
    assert reading() == first
    tried(reading=first - mm(0.6), measured=target)
    assert reading() == first - mm(0.6)


def test_an_offcut_on_the_shelf_is_found_before_what_the_job_leaves_over(store: Store) -> None:
    rail = piece(store, "B-01")
    runs = remake_stands(store, "1", planned_of(store), rail).runs
    spoil_piece(store, "1", planned_of(store), rail, runs[0].id, "x", "phone")
    assert remake_stands(store, "1", planned_of(store), rail).remake.wood.rank > 0
    shelve(
        store,
        [
            NewOffcut("offcut-001", mm(600), mm(90), mm(27), "ash"),
            NewOffcut("offcut-002", mm(900), mm(90), mm(27), "ash"),
        ],
        "bench",
    )
    wood = remake_stands(store, "1", planned_of(store), rail).remake.wood
    assert (wood.rank, wood.offcut, wood.length) == (0, 1, mm(600))


def with_quantity(store: Store, mark: str, quantity: int) -> None:
    saved = job_document(store, "1")
    parts = [dict(part) | ({"quantity": quantity} if part["mark"] == mark else {}) for part in saved.document["part"]]
    save_job(store, "1", dict(saved.document) | {"part": parts}, saved.version, "bench")


def test_a_changed_quantity_moves_no_code_once_labels_are_made(store: Store) -> None:
    before = {one.label: code_of("1", one) for one in pieces_of(store, "1", planned_of(store))}
    give_codes_to(store, "1", planned_of(store), "bench")
    with_quantity(store, "A", 26)
    give_codes_to(store, "1", planned_of(store), "bench")
    after = {one.label: code_of("1", one) for one in pieces_of(store, "1", planned_of(store))}
    assert {label: after[label] for label in before} == before
    assert len(set(after.values())) == len(after) == len(before) + 2
    with_quantity(store, "A", 12)
    fewer = {one.label: code_of("1", one) for one in pieces_of(store, "1", planned_of(store))}
    assert fewer == {label: after[label] for label in fewer}
    with pytest.raises(NotFound, match="no such piece"):
        find_piece(
            store, lambda job: plan_for(store, job, SHOP), after["A-26"]
        )  # its label may still lie about; it is nobody else's


def test_before_any_label_is_made_codes_follow_the_part_list(store: Store) -> None:
    assert not are_given(store, "1")
    with_quantity(store, "A", 28)
    indices = {one.label: one.index for one in pieces_of(store, "1", planned_of(store))}
    assert [indices["A-01"], indices["A-28"], indices["B-01"]] == [0, 27, 28]
    give_codes_to(store, "1", planned_of(store), "bench")
    seq = store.last_seq
    give_codes_to(store, "1", planned_of(store), "bench")
    assert are_given(store, "1") and store.last_seq == seq


def test_units_count_what_lies_with_them_and_say_what_they_lack(store: Store) -> None:
    for label, unit in (("A-01", 1), ("A-05", 1), ("B-01", 1)):
        tell(store, "piece sorted", piece=piece(store, label).index, unit=unit)
    first = unit_cards(piece_cards(store, "1", planned_of(store)))[0]
    assert (first.number, first.here, len(first.cards)) == (1, 2, 11)  # A-05 belongs to unit 2
    assert "A-02" in [card.piece.label for card in first.missing]


actions = st.lists(
    st.tuples(
        st.sampled_from(["spoil", "remade", "passed", "sorted", "scanned", "undo"]),
        st.integers(0, 3),
        st.integers(1, 2),
    ),
    max_size=25,
)


@settings(deadline=None, max_examples=150)
@given(actions, st.randoms(use_true_random=False))
def test_any_history_in_any_order_keeps_pieces_right(history, chance) -> None:
    """Against a plain list of what happened; events come late, twice and in any order."""
    events: list[Event] = []
    undone = set()
    for number, (what, which, unit) in enumerate(history):
        at = f"2026-03-01T07:{number:02}:00.000Z"
        kind, body = {
            "spoil": ("piece spoiled", {"run": "r1", "mark": "A", "count": 1, "piece": which}),
            "remade": ("piece remade", {"piece": which}),
            "passed": ("piece remade", {"piece": which, "run": f"run {unit}"}),
            "sorted": ("piece sorted", {"piece": which, "unit": unit}),
            "scanned": ("piece scanned", {"piece": which, "purpose": "dry fit"}),
            "undo": ("undo", {"event": events[which % len(events)].id if events else "nothing-1"}),
        }[what]
        if what == "undo":
            undone.add(body["event"])
        events.append(Event(f"event-{number:04}", "1", kind, at, "phone", body))
    shuffled = events + chance.sample(events, len(events) // 2)
    chance.shuffle(shuffled)
    found = fold_pieces(shuffled)
    for which in range(4):
        mine = [one for one in events if one.body.get("piece") == which and one.id not in undone]
        spoils = [n for n, one in enumerate(mine) if one.kind == "piece spoiled"]
        whole = [n for n, one in enumerate(mine) if one.kind == "piece remade" and "run" not in one.body]
        since = mine[spoils[-1] + 1 :] if spoils else mine
        lies = [one.body["unit"] for one in since if one.kind == "piece sorted"]
        if not mine:
            assert which not in found
            continue
        state = found[which]
        good = sum(n < max(whole, default=0) for n in spoils)
        missing = bool(spoils) and max(spoils) > max(whole, default=-1)
        assert (state.spoiled, state.remade, state.missing) == (len(spoils), good, missing)
        assert state.unit == (lies[-1] if lies else None)
        assert state.again == {one.body["run"] for one in since if one.kind == "piece remade" and "run" in one.body}


@settings(deadline=None, max_examples=12)
@given(
    st.lists(
        st.tuples(st.sampled_from(["A-01", "A-02", "B-03", "C-01", "D-01"]), st.integers(0, 20), st.booleans()),
        max_size=4,
    )
)
def test_whatever_is_spoiled_and_made_again_every_run_owes_nothing_in_the_end(tmp_path_factory, history) -> None:
    with Store.open(tmp_path_factory.mktemp("shop") / "shop.db") as store:
        create_job(store, STOOLS, "bench")
        cut_everything(store)
        open_remakes: dict[str, Piece] = {}
        for label, at, finish in history:
            one = piece(store, label)
            if label not in open_remakes:
                runs = remake_stands(store, "1", planned_of(store), one).runs
                spoil_piece(store, "1", planned_of(store), one, runs[at % len(runs)].id, "x", "phone")
                open_remakes[label] = one
            if finish:
                remake(store, open_remakes.pop(label))
        for one in open_remakes.values():
            remake(store, one)
        assert owed(store) == {}
        states = job_state(store, "1").pieces
        assert not any(state.missing for state in states.values())
        units = unit_cards(piece_cards(store, "1", planned_of(store)))
        assert sum(len(unit.cards) for unit in units) == 66


def test_what_a_board_leaves_over_is_as_thick_as_it_was_planed(store: Store) -> None:
    # the legs' boards of 45 are planed to 38 before they are ripped, the rails' boards of 27 to 22
    left = [one for one in woods_on_hand(store, planned_of(store)) if one.rank == 1 and not one.is_sheet]
    assert {one.thickness for one in left} == {mm(38), mm(22)}


def test_a_remake_keeps_clear_of_the_flaws_of_the_wood(store: Store) -> None:
    saved = job_document(store, "1")
    stock = [dict(row) | {"zone": [{"start": "1000", "end": "1100"}]} for row in saved.document["stock"]]
    save_job(store, "1", dict(saved.document) | {"stock": stock}, saved.version, "bench")
    planned = planned_of(store)
    for wood in woods_on_hand(store, planned):
        assert wood.length < mm(1500), wood  # of 2400 or 2440, at most what lies behind the flaw
    shelve(store, [NewOffcut("offcut-009", mm(900), mm(90), mm(27), "ash", zones=(Zone(mm(500), mm(510)),))], "bench")
    (shelf_wood,) = [one for one in woods_on_hand(store, planned) if one.rank == 0]
    assert (shelf_wood.length, shelf_wood.width) == (mm(500), mm(90))


def test_a_rough_board_is_thick_enough_for_a_remake_only_with_what_planing_takes() -> None:
    """Of 27, 1.5 go off each face: 24 is left, so a rail of 25 does not come from it, one of 24 does."""
    rough = WoodOnHand("a whole board", 2, mm(2400), mm(150), mm(27), "ash", False, loses=mm(3))
    rail = a_part("B", 2, (400, 60, 24), material="ash")
    assert choose_wood(rail, (mm(425), mm(66), mm(24)), [rough]) is rough
    assert choose_wood(rail, (mm(425), mm(66), mm(25)), [rough]) is None


def test_whole_boards_are_offered_with_what_planing_takes_off_them(store: Store) -> None:
    saved = job_document(store, "1")
    rows = [dict(row) | {"quantity": 20} for row in saved.document["stock"]]
    save_job(store, "1", dict(saved.document) | {"stock": rows}, saved.version, "bench")
    whole = {(one.place, one.loses) for one in woods_on_hand(store, planned_of(store)) if one.rank == 2}
    assert whole == {("a whole board", mm(3)), ("a whole offcut", mm(3)), ("a whole sheet", 0)}


def test_an_offcut_on_the_shelf_has_its_faces_to_lose_unless_it_is_planed(store: Store) -> None:
    rough = NewOffcut("offcut-010", mm(900), mm(90), mm(24), "ash")
    shelve(store, [rough, replace(rough, id="offcut-011", planed=True)], "bench")
    lie = {one.offcut: one.loses for one in woods_on_hand(store, planned_of(store)) if one.rank == 0}
    assert lie == {1: mm(3), 2: 0}
