"""Codes of pieces: what is read back, and that slips of reading and typing are noticed."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.errors import StopwrightError
from stopwright.model.codes import ALPHABET, JOBS, LENGTH, PIECES, decode, encode, spaced

CODES = [
    encode(job, index)
    for job in (0, 1, 2, 31, 32, 1234, JOBS // 2, JOBS - 1)
    for index in (0, 1, 2, 30, 31, 32, 33, 1000, 4095, 65_535, 99_999, PIECES - 1)
]


def is_refused(text: str) -> bool:
    try:
        decode(text)
    except StopwrightError:
        return True
    return False


def test_every_single_wrong_character_is_noticed_in_every_place() -> None:
    tried = 0
    for code in CODES:
        for place in range(LENGTH):
            for wrong in ALPHABET:
                if wrong != code[place]:
                    assert is_refused(code[:place] + wrong + code[place + 1 :])
                    tried += 1
    assert tried == len(CODES) * LENGTH * 31


def test_every_swap_of_two_characters_is_noticed_neighbours_or_not() -> None:
    tried = 0
    for code in CODES:
        for left, right in combinations(range(LENGTH), 2):
            swapped = list(code)
            swapped[left], swapped[right] = swapped[right], swapped[left]
            if code[left] != code[right]:
                assert is_refused("".join(swapped))
                tried += 1
    assert tried > 1000


def test_the_places_weigh_differently_so_no_pair_of_characters_can_change_places_unnoticed() -> None:
    # A code of zeros with a 1 in one place: what the check character becomes is the weight of that place.
    weights = [encode(*divmod(32**place, PIECES))[-1] for place in range(6)]
    # x, x², x³, x⁴, x⁵ = x² + 1, x⁶ = x³ + x: 2, 4, 8, 16, 5, 10 in the field with x⁵ = x² + 1
    assert weights == [ALPHABET[weight] for weight in (2, 4, 8, 16, 5, 10)]


@settings(deadline=None, max_examples=200)
@given(st.integers(0, JOBS - 1), st.integers(0, PIECES - 1))
def test_a_code_reads_back_as_the_same_piece(job: int, index: int) -> None:
    code = encode(job, index)
    assert len(code) == LENGTH
    assert decode(code) == decode(spaced(code).lower()) == (job, index)


@settings(deadline=None, max_examples=200)
@given(st.text(max_size=12))
def test_any_text_is_either_a_code_or_refused_in_words(text: str) -> None:
    try:
        job, index = decode(text)
    except StopwrightError as error:
        assert error.next_step
    else:
        assert decode(encode(job, index)) == (job, index)


def test_letters_that_look_like_figures_are_read_as_figures() -> None:
    assert decode("OOC OO6J") == decode("00C006J") == (3, 6)
    code = encode(1, 1 << 5)
    assert "1" in code
    assert decode(code.replace("1", "I")) == decode(code.replace("1", "l")) == (1, 32)


def test_the_alphabet_holds_no_letter_that_can_be_taken_for_another_sign() -> None:
    assert len(set(ALPHABET)) == 32
    assert not set("ILOU") & set(ALPHABET)


@pytest.mark.parametrize(("job", "index"), [(JOBS, 0), (-1, 0), (1, PIECES), (1, -1)])
def test_what_does_not_fit_six_characters_is_refused(job: int, index: int) -> None:
    with pytest.raises(StopwrightError):
        encode(job, index)


@pytest.mark.parametrize("text", ["", "00C006", "00C006JJ", "00C006U", "00C006*", "НЕТ"])
def test_what_is_no_code_is_refused_and_says_what_to_do(text: str) -> None:
    with pytest.raises(StopwrightError, match="read it again from the label"):
        decode(text)
