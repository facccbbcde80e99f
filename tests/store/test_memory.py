"""What trial pieces teach: zero, readings that worked, kerf."""

import json
from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any

import pytest
from tests.builders import mm
from tests.store.taps import tap

from stopwright.errors import StopwrightError
from stopwright.lengths import nearest
from stopwright.store.events import Event
from stopwright.store.memory import (
    Remembered,
    RippedBoard,
    Trial,
    find_kerf,
    find_zero,
    trial_of,
)
from stopwright.store.run_fold import standing
from stopwright.store.taught import Taught, TaughtSoFar

STEP = mm(0.5)


def fold_trials(events: list[Event]) -> list[Trial]:
    return list(map(trial_of, standing(events, {"piece measured"})))


def taught_by(events: list[Event]) -> Taught:
    """What they teach, the first half by what was kept of it."""
    first = TaughtSoFar()
    first.add(events[: len(events) // 2])
    again = TaughtSoFar(json.loads(json.dumps(first.kept())))
    again.add(events[len(events) // 2 :])
    return again.now()


def measured(reading: float, length: float, target: float = 84, at: int = 0, **more: Any) -> Event:
    """A trial piece in mm, within ± 0.3 mm or not."""
    return tap(
        "piece measured",
        at=at,
        target_nm=mm(target),
        reading_nm=mm(reading),
        measured_nm=mm(length),
        tolerance_nm=mm(0.3),
        blade="rip 24",
        **more,
    )


def test_a_trial_piece_belongs_to_the_station_that_it_names() -> None:
    taught = taught_by([measured(84, 84.4), measured(84, 84.4, station="small saw")])
    assert taught.count == {("saw", "rip fence", "rip 24"): 1, ("small saw", "rip fence", "rip 24"): 1}


def test_a_trial_piece_that_was_undone_teaches_nothing() -> None:
    one = measured(84, 84.4)
    assert fold_trials([tap("undo", event=one.id), one]) == []


def test_the_zero_is_the_reading_less_the_truth_whatever_the_piece_was_cut_at() -> None:
    # The scale shows 0.8 mm too little: at 84 a piece comes out 84.8; corrected to 83.2 it comes out 84.
    trials = fold_trials([measured(84, 84.8), measured(83.2, 84.0), measured(449.2, 450, target=450)])
    assert [one.zero for one in trials] == [mm(-0.8)] * 3
    found = find_zero(trials, 0, STEP)
    assert found is not None
    assert (found.zero, found.error, found.scatter, found.trials, found.offered) == (mm(-0.8), 0, 0, 3, True)


def test_with_the_zero_taken_over_the_next_piece_comes_out_right() -> None:
    found = find_zero(fold_trials([measured(84, 84.8) for _ in range(3)]), 0, STEP)
    assert found is not None
    reading = mm(120) + found.zero  # reading = target + zero
    assert reading + mm(0.8) == mm(120)  # what the saw makes of it


def test_on_the_far_side_of_the_blade_a_greater_reading_makes_a_shorter_piece() -> None:
    (one,) = fold_trials([measured(84, 84.8, outboard=True)])
    assert one.zero == mm(0.8)


def test_two_trial_pieces_are_too_few_for_a_zero() -> None:
    assert find_zero(fold_trials([measured(84, 84.8), measured(84, 84.8)]), 0, STEP) is None


@pytest.mark.parametrize(
    ("in_force", "offered"), [(-0.549, True), (-0.55, False), (-0.8, False), (-1.05, False), (-1.051, True)]
)
def test_a_zero_within_half_a_step_of_the_one_in_force_is_not_offered(in_force: float, offered: bool) -> None:
    found = find_zero(fold_trials([measured(84, 84.8) for _ in range(3)]), mm(in_force), STEP)
    assert found is not None and found.offered is offered


def test_only_the_last_twelve_trial_pieces_speak() -> None:
    old = [measured(84, 90, at=n) for n in range(20)]
    new = [measured(84, 84.8, at=100 + n) for n in range(12)]
    found = find_zero(fold_trials(old + new), 0, STEP)
    assert found is not None and (found.zero, found.trials) == (mm(-0.8), 12)


def trial_cuts(seed: int, error: float, scatter: float, backlash: float, pieces: int) -> Iterator[float]:
    """A stop whose scale is `error` steps off: every zero offered is taken; yields those taken, in steps.

    A piece comes out by the reading less the error, scattering by `scatter`; coming from one side or the other the
    stop stands half the backlash further; it is measured to a tenth of a step.
    """
    chance = Random(seed)
    in_force = 0
    trials: list[Trial] = []
    (pattern,) = fold_trials([measured(84, 84)])
    for _ in range(pieces):
        target = mm(chance.uniform(50, 800))
        reading = nearest(target + in_force, STEP)
        off = error + chance.gauss(0, scatter) + chance.choice((-0.5, 0.5)) * backlash
        piece = nearest(reading - round(off * STEP), STEP // 10)
        trials.append(replace(pattern, piece=replace(pattern.piece, target=target, reading=reading, measured=piece)))
        found = find_zero(trials, in_force, STEP)
        if found and found.offered:
            in_force = found.zero
            yield in_force / STEP


@pytest.mark.parametrize("error", [-3.7, -1.2, 1.0, 2.3, 8.0])
def test_the_zero_of_a_simulated_stop_converges_to_within_half_a_step(error: float) -> None:
    for seed in range(20):
        taken = list(trial_cuts(seed, error, scatter=0.2, backlash=0.2, pieces=60))
        assert 1 <= len(taken) <= 2
        assert abs(taken[-1] - error) < 0.5


def test_the_zero_of_a_true_stop_never_chases_its_scatter() -> None:
    # Scatter and backlash of 0.3 steps each are already a poor stop (0.15 mm on a half-millimetre scale).
    assert [list(trial_cuts(seed, 0, 0.3, 0.3, pieces=100)) for seed in range(30)] == [[]] * 30


def test_even_a_stop_that_scatters_by_half_a_step_is_left_in_peace() -> None:
    offers = sum(len(list(trial_cuts(seed, 0, 0.5, 0.0, pieces=100))) for seed in range(30))
    assert offers <= 1  # in 3 000 pieces; half a step *or* twice the error alone makes dozens


def test_the_reading_to_start_from_is_the_last_one_that_worked() -> None:
    trials = [measured(84, 84.8, at=1), measured(83.2, 84.1, at=2), measured(83.5, 84.9, at=3)]
    found = taught_by(trials).readings["saw", "rip fence", "rip 24", mm(84)]
    assert found == Remembered(mm(83.2), "2026-03-01T07:30:02.000Z", "1", proved=True)


def test_where_nothing_worked_yet_the_last_corrected_reading_is_remembered_unproved() -> None:
    found = taught_by([measured(84, 84.8, at=1), measured(83.2, 84.4, at=2)]).readings
    assert found["saw", "rip fence", "rip 24", mm(84)].reading == mm(82.8)  # 83.2 + 84 − 84.4
    assert not found["saw", "rip fence", "rip 24", mm(84)].proved


def test_the_kerf_is_what_is_missing_shared_among_the_cuts() -> None:
    board = RippedBoard(mm(150), (mm(46.8), mm(46.8), mm(46.8)), 3)  # the last cut leaves dust only
    assert find_kerf([board], mm(0.1)).kerf == mm(3.2)  # (150 − 140.4) / 3
    rest = RippedBoard(mm(150), (mm(40), mm(40), mm(63.6)), 2)
    assert find_kerf([rest], mm(0.1)).kerf == mm(3.2)  # (150 − 143.6) / 2


def test_more_cuts_and_finer_measuring_make_the_kerf_surer() -> None:
    few, many = (RippedBoard(mm(n * 20 + (n - 1) * 3.2), (mm(20),) * n, n - 1) for n in (2, 9))
    # √(3 readings / 12) × 0.1 / 1 cut = 0.05; √(10 / 12) × 0.1 / 8 cuts = 0.01141
    assert find_kerf([few], mm(0.1)).uncertainty == 50_000
    assert find_kerf([many], mm(0.1)).uncertainty == 11_411
    assert find_kerf([many], mm(0.01)).uncertainty == 1_142


def test_boards_that_do_not_agree_make_the_kerf_less_sure() -> None:
    boards = [RippedBoard(mm(43.2 + more), (mm(20), mm(20)), 1) for more in (0, 0.4)]
    found = find_kerf(boards, mm(0.1))
    assert found.kerf == mm(3.4)
    assert found.uncertainty == pytest.approx(mm(0.2), abs=1)  # stdev(3.2, 3.6) / √2 = 0.2828 / 1.4142


@pytest.mark.parametrize(
    "boards",
    [
        [],
        [RippedBoard(mm(100), (), 1)],
        [RippedBoard(mm(100), (mm(50), mm(50)), 1)],  # no kerf at all
        [RippedBoard(mm(100), (mm(50), mm(60)), 1)],
        [RippedBoard(mm(100), (mm(30), mm(30)), 1)],  # 40 mm of kerf
        [RippedBoard(mm(100), (mm(45), mm(45)), 0)],
        [RippedBoard(mm(100), (mm(45), mm(45)), 5)],
    ],
)
def test_figures_that_cannot_be_a_kerf_are_refused_with_what_to_do(boards: list[RippedBoard]) -> None:
    with pytest.raises(StopwrightError) as refusal:
        find_kerf(boards, mm(0.1))
    assert refusal.value.next_step
