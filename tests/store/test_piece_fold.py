"""How pieces and units stand: scanned, sorted, spoiled, remade, glued."""

from tests.store.taps import tap

from stopwright.store.piece_fold import PieceState, Stage, fold_assembly, fold_pieces


def test_a_piece_sorted_twice_is_where_it_was_put_last() -> None:
    assert fold_pieces([tap("piece sorted", at=9, unit=3), tap("piece sorted", at=2, unit=1)])[6].unit == 3


def test_a_spoiled_piece_is_missing_and_has_no_unit_until_it_is_remade_and_sorted() -> None:
    taps = [tap("piece sorted", at=1), tap("piece spoiled", at=2, piece=6)]
    assert fold_pieces(taps)[6] == PieceState(unit=None, spoiled=1)
    assert fold_pieces(taps)[6].missing
    taps += [tap("piece remade", at=3), tap("piece sorted", at=4, unit=2)]
    assert fold_pieces(taps)[6] == PieceState(unit=2, spoiled=1, remade=1)
    assert not fold_pieces(taps)[6].missing


def test_a_spoiled_piece_without_a_name_is_nobody_s() -> None:
    assert fold_pieces([tap("piece spoiled")]) == {}


def test_each_purpose_remembers_its_own_scan() -> None:
    taps = [tap("piece scanned", at=1), tap("piece scanned", at=5), tap("piece scanned", at=3, purpose="dry fit")]
    assert fold_pieces(taps)[6].scanned == {"sort": "2026-03-01T07:30:05.000Z", "dry fit": "2026-03-01T07:30:03.000Z"}


def test_the_glue_clock_runs_from_the_first_of_two_phones_that_began() -> None:
    first, second = tap("glue-up begun", at=10), tap("glue-up begun", at=12, glue="hide glue")
    stage = fold_assembly([second, first, tap("joint closed", at=20)]).stages[2, 1]
    assert stage == Stage(first.at, "white glue", frozenset({"J1"}))
    assert fold_assembly([second, first, tap("undo", event=first.id)]).stages[2, 1].begun == second.at


def test_dry_fit_is_ticked_joint_by_joint_in_each_unit() -> None:
    taps = [tap("dry fit ticked"), tap("dry fit ticked", joint="J2"), tap("dry fit ticked", unit=1)]
    assert fold_assembly(taps).dry == {2: {"J1", "J2"}, 1: {"J1"}}
