"""What each run still owes: the plan, less good pieces, and remakes of what went wrong further on."""

from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.actions.counting import still_to_work
from stopwright.model.stations import Work
from stopwright.plan.run_sheet import Pieces, Run, RunSheet, Settings
from stopwright.store.run_fold import RunState

A = ("A", False)


def a_run(number: int, work: Work, *pieces: Pieces) -> Run:
    return Run(number, "saw", work, (), pieces or (Pieces("A", "Leg", 12),), note=str(number))


RIP, CROSSCUT, MORTISE = (a_run(n, work) for n, work in enumerate((Work.RIP, Work.CROSSCUT, Work.MORTISE), start=1))
SHEET = RunSheet("Stools", "mm", Settings(3, 3, True, 1.0), (RIP, CROSSCUT, MORTISE))


def owed(**states: RunState) -> list[int]:
    keys = {"rip": RIP.key, "crosscut": CROSSCUT.key, "mortise": MORTISE.key}
    left = still_to_work(SHEET, {keys[name]: state for name, state in states.items()})
    return [left[run.key].get(A, 0) for run in SHEET.runs]


def test_before_anything_is_cut_every_run_owes_what_the_plan_says() -> None:
    assert owed() == [12, 12, 12]


def test_good_pieces_are_taken_off_what_their_run_owes() -> None:
    assert owed(rip=RunState(cut={A: 12}), crosscut=RunState(cut={A: 5})) == [0, 7, 12]


def test_a_piece_spoiled_on_the_way_is_owed_again_by_every_run_before() -> None:
    ripped = RunState(cut={A: 12})
    assert owed(rip=ripped, crosscut=RunState(cut={A: 11}, spoiled={A: 1})) == [1, 1, 12]
    # Found at the mortiser: 12 − 11 there, and one more at each run it had passed.
    done = RunState(cut={A: 12})
    assert owed(rip=done, crosscut=done, mortise=RunState(cut={A: 11}, spoiled={A: 1})) == [1, 1, 1]


def test_once_the_remake_has_passed_everywhere_nothing_is_owed() -> None:
    again = RunState(cut={A: 13})
    assert owed(rip=again, crosscut=again, mortise=RunState(cut={A: 12}, spoiled={A: 1})) == [0, 0, 0]


def test_more_than_was_owed_leaves_nothing_and_takes_from_nobody() -> None:
    assert owed(rip=RunState(cut={A: 15})) == [0, 12, 12]


def test_mirrored_pieces_are_owed_apart_and_both_slots_of_a_rail_together() -> None:
    run = a_run(1, Work.MORTISE, Pieces("B", "Rail", 6), Pieces("B", "Rail", 6), Pieces("A", "Leg", 2, mirrored=True))
    sheet = RunSheet("Stools", "mm", Settings(1, 1, True, 1.0), (run,))
    assert still_to_work(sheet, {})[run.key] == {("B", False): 12, ("A", True): 2}


def test_a_mirrored_piece_spoiled_at_the_mortiser_is_owed_again_by_runs_that_do_not_tell_hands_apart() -> None:
    hands = a_run(3, Work.MORTISE, Pieces("A", "Leg", 6), Pieces("A", "Leg", 6, mirrored=True))
    sheet = RunSheet("Stools", "mm", Settings(3, 3, True, 1.0), (RIP, CROSSCUT, hands))
    mirrored = ("A", True)
    states = {
        RIP.key: RunState(cut={A: 12}),
        CROSSCUT.key: RunState(cut={A: 12}),
        hands.key: RunState(cut={A: 6, mirrored: 5}, spoiled={mirrored: 1}),
    }
    assert still_to_work(sheet, states) == {RIP.key: {A: 1}, CROSSCUT.key: {A: 1}, hands.key: {mirrored: 1}}


def test_a_remade_rail_gets_its_slots_at_both_ends_again() -> None:
    both_ends = a_run(1, Work.MORTISE, Pieces("B", "Rail", 6), Pieces("B", "Rail", 6))
    mitred = a_run(2, Work.MITRE, Pieces("B", "Rail", 6))
    sheet = RunSheet("Stools", "mm", Settings(2, 2, True, 1.0), (both_ends, mitred))
    b = ("B", False)
    states = {both_ends.key: RunState(cut={b: 12}), mitred.key: RunState(cut={b: 5}, spoiled={b: 1})}
    assert still_to_work(sheet, states)[both_ends.key] == {b: 2}  # 2 × 6 + 2 × 1 − 12


@given(st.lists(st.sampled_from([True, False]), max_size=40))
@settings(deadline=None, max_examples=60)
def test_whoever_works_what_is_owed_ends_with_every_piece(fates: list[bool]) -> None:
    """Pieces go through one by one; each step is good or goes wrong, until the fates run out: then all are good."""
    order = [run.key for run in SHEET.runs]
    cut = dict.fromkeys(order, 0)
    spoiled = dict.fromkeys(order, 0)
    steps = iter(fates)
    for _ in range(500):
        states = {key: RunState(cut={A: cut[key]}, spoiled={A: spoiled[key]}) for key in order}
        left = still_to_work(SHEET, states)
        key = next((key for key in order if left[key]), None)
        if key is None:
            break
        if next(steps, True):
            cut[key] += 1
        else:
            spoiled[key] += 1
    lost_after = [sum(spoiled[later] for later in order[place + 1 :]) for place in range(3)]
    assert [cut[key] - lost for key, lost in zip(order, lost_after, strict=True)] == [12, 12, 12]
