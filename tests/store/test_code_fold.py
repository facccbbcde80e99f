"""Numbers behind codes: given once, never to another piece, whatever happens to the part list."""

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.taps import tap

from stopwright.store.code_fold import Block, Given, fold_codes, give_codes, number_of


def codes_given(seq: int, *parts: tuple[str, int]):
    rows = [{"mark": mark, "quantity": quantity} for mark, quantity in parts]
    return tap("codes given", seq=seq, parts=rows)


def test_the_first_numbers_follow_the_part_list() -> None:
    given = fold_codes([codes_given(1, ("A", 4), ("B", 2))])
    assert [number_of(given, "A", 1), number_of(given, "A", 4), number_of(given, "B", 1)] == [0, 3, 4]


def test_a_part_that_grows_gets_its_new_numbers_after_all_others() -> None:
    given = fold_codes([codes_given(1, ("A", 4), ("B", 2)), codes_given(2, ("A", 6), ("B", 2), ("C", 1))])
    assert given["A"] == (Block(0, 4), Block(6, 2))
    assert number_of(given, "B", 2) == 5  # as it was
    assert number_of(given, "C", 1) == 8


def test_a_part_that_went_and_came_back_has_its_numbers_again() -> None:
    given = fold_codes(
        [codes_given(1, ("A", 4), ("B", 2)), codes_given(2, ("B", 2)), codes_given(3, ("A", 3), ("B", 2))]
    )
    assert given["A"] == (Block(0, 4),)


def test_they_are_given_in_the_order_of_the_log_not_of_the_clocks() -> None:
    first, second = codes_given(1, ("A", 2)), codes_given(2, ("B", 2))
    assert fold_codes([second, first]) == fold_codes([first, second]) == {"A": (Block(0, 2),), "B": (Block(2, 2),)}


lists = st.dictionaries(st.sampled_from("ABCDE"), st.integers(1, 9), min_size=1, max_size=5)


@settings(deadline=None, max_examples=100)
@given(st.lists(lists, min_size=1, max_size=6))
def test_no_number_is_ever_given_twice_and_none_that_was_given_changes(versions) -> None:
    given: Given = {}
    known: dict[tuple[str, int], int] = {}
    for version in versions:
        given = give_codes(given, version.items())
        for mark, quantity in version.items():
            for number in range(1, quantity + 1):
                index = number_of(given, mark, number)
                assert known.setdefault((mark, number), index) == index
    assert len(set(known.values())) == len(known)
