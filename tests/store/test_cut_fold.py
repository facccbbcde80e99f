"""What was cut while which version of the job stood."""

from tests.store.taps import RUN, tap

from stopwright.store.cut_fold import CutWhile, fold_cuts
from stopwright.store.events import Event


def saved(seq: int) -> Event:
    return tap("job saved", seq=seq)


def lots(*events: Event) -> list[tuple[int, int]]:
    return [(one.version, one.count) for one in fold_cuts(events)]


def test_pieces_belong_to_the_version_that_stood_when_they_were_cut() -> None:
    events = (saved(1), tap("stop set", seq=2), tap("piece cut", seq=3, count=2), saved(4), tap("piece cut", seq=5))
    assert fold_cuts(events) == (
        CutWhile(RUN, "rip", "A", False, 1, 2),
        CutWhile(RUN, "rip", "A", False, 4, 1),
    )


def test_an_edit_that_says_only_what_it_changed_is_a_version_too() -> None:
    edit, before, after = tap("job changed", seq=4), tap("piece cut", seq=3), tap("piece cut", seq=5)
    assert lots(saved(1), before, edit, after) == [(1, 1), (4, 1)]


def test_a_tap_that_came_late_belongs_to_the_version_that_stood_when_it_was_tapped() -> None:
    late = tap("piece cut", seq=9, count=3)
    object.__setattr__(late, "place", 2)
    assert lots(saved(1), tap("stop set", seq=2), saved(4), late) == [(1, 3)]


def test_a_piece_that_went_wrong_is_one_of_the_newest_and_one_put_aside_one_of_the_oldest() -> None:
    cut = (saved(1), tap("piece cut", seq=2, count=2), saved(3), tap("piece cut", seq=4, count=2))
    assert lots(*cut, tap("piece spoiled", seq=5)) == [(1, 2), (3, 1)]
    assert lots(*cut, tap("piece spoiled", seq=5, outdated=True)) == [(1, 1), (3, 2)]
    assert lots(*cut, tap("piece spoiled", seq=5, counted=False)) == [(1, 2), (3, 2)]
    assert lots(*cut, tap("piece spoiled", seq=5, count=3)) == [(1, 1)]


def test_what_was_taken_back_does_not_count() -> None:
    events = (saved(1), tap("piece cut", seq=2, id_="tap-taken-back"), tap("undo", seq=3, event="tap-taken-back"))
    assert lots(*events) == []
