"""Lengths as people write them, to whole nanometres and back."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.errors import StopwrightError
from stopwright.lengths import (
    GREATEST,
    INCH,
    MM,
    Show,
    format_difference,
    format_exact,
    format_length,
    from_number,
    nearest,
    parse_length,
    parse_signed_length,
)

SEVENTEEN_AND_THREE_QUARTERS = 17 * INCH + 3 * INCH // 4


@pytest.mark.parametrize(
    ("text", "unit", "length"),
    [
        ("450", "mm", 450 * MM),
        ("450 mm", "in", 450 * MM),
        ("450mm", "mm", 450 * MM),
        ("45 cm", "mm", 450 * MM),
        ("0.45 m", "mm", 450 * MM),
        ("12,5 mm", "mm", 25 * MM // 2),
        ("12,5", "mm", 25 * MM // 2),
        (",5", "mm", MM // 2),
        ("17 3/4", "in", SEVENTEEN_AND_THREE_QUARTERS),
        ('17-3/4"', "mm", SEVENTEEN_AND_THREE_QUARTERS),
        ("17 3/4 in.", "mm", SEVENTEEN_AND_THREE_QUARTERS),
        ("17¾″", "mm", SEVENTEEN_AND_THREE_QUARTERS),
        ("17 3/4''", "mm", SEVENTEEN_AND_THREE_QUARTERS),
        ("1' 5 3/4\"", "mm", SEVENTEEN_AND_THREE_QUARTERS),
        ("1' 5 3/4", "mm", SEVENTEEN_AND_THREE_QUARTERS),
        ("1 ft 5.75 in", "mm", SEVENTEEN_AND_THREE_QUARTERS),
        ("2' 3\"", "mm", 27 * INCH),
        ("2'", "mm", 24 * INCH),
        ("0.75 in", "mm", 3 * INCH // 4),
        ("3/4", "in", 3 * INCH // 4),
        ("23 5/8 in", "mm", 23 * INCH + 5 * INCH // 8),
        ("3\u00a0mm", "mm", 3 * MM),
        ("0", "mm", 0),
    ],
)
def test_a_length_is_read_as_a_person_means_it(text: str, unit: str, length: int) -> None:
    assert parse_length(text, unit) == length


@pytest.mark.parametrize(
    "text",
    ["", " ", "abc", "12 34", "1/0", "0/0", "1/128", "5 m 3", "1' 3 mm", "-5", "--5", "1.2.3", "1e3", "nan", "∞", "'",
     '"', "17 3/", "3/4/5", "٣", "²", "17 5/4", "1,250", "200 m", "9" * 5000, "1/" + "9" * 5000, "0.0000001"],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_a_next_step(text: str) -> None:
    with pytest.raises(StopwrightError) as error:
        parse_length(text, "in" if text == "1/128" else "mm")
    assert error.value.what
    assert error.value.next_step


def test_the_128th_of_an_inch_is_refused_in_words() -> None:
    # 25 400 000 / 128 = 198 437.5 nm
    with pytest.raises(StopwrightError, match="finer than can be kept"):
        parse_length("1/128 in")


def test_what_is_too_fine_is_read_with_as_many_decimals_as_the_message_says() -> None:
    with pytest.raises(StopwrightError) as error:
        parse_length("0.333333 in")  # 8 466 658.2 nm
    assert error.value.next_step == "use 1/64 in, or at most 5 decimals"
    assert [parse_length(f"0.33333 {unit}") for unit in ("in", "mm", "ft")] == [8_466_582, 333_330, 101_598_984]


@pytest.mark.parametrize("hair", [1, -1, 4_999, -4_999])
def test_less_than_half_a_hundredth_of_a_mm_is_nothing_without_a_sign(hair: int) -> None:
    assert format_length(hair, Show.MM) == format_difference(hair, Show.MM) == "0"


def test_a_correction_may_be_less_than_nothing() -> None:
    assert parse_signed_length("-0,5") == -MM // 2
    assert parse_signed_length("−1/64 in") == -INCH // 64
    assert parse_signed_length("+2") == 2 * MM


def test_a_number_that_is_no_length_is_refused() -> None:
    for number in (float("nan"), float("inf"), -float("inf"), 1e300, 10**5000, 1e-9):
        with pytest.raises(StopwrightError):
            from_number(number)


def test_a_decimal_means_what_it_prints() -> None:
    assert from_number(0.1) == MM // 10
    assert from_number(20.6375) == 20_637_500


def test_on_a_tie_the_longer_mark_is_shown() -> None:
    # 3/32 in lies halfway between 1/16 and 1/8
    assert nearest(3 * INCH // 32, INCH // 16) == INCH // 8


@pytest.mark.parametrize(
    ("value", "show", "text"),
    [
        (450 * MM, Show.MM, "450 mm"),
        (20_637_500, Show.MM, "20.64 mm"),
        (-MM // 2, Show.MM, "−0.5 mm"),
        (-55_880, Show.SIXTEENTHS, "0 in (−0.0022)"),  # less than half a mark below zero: there is no −0
        (-(INCH // 16) + 55_880, Show.SIXTEENTHS, "−1/16 in (+0.0022)"),  # nearer to zero than the mark: more than it
        (-(INCH // 16) - 55_880, Show.SIXTEENTHS, "−1/16 in (−0.0022)"),
        (SEVENTEEN_AND_THREE_QUARTERS, Show.SIXTEENTHS, "17 3/4 in"),
        (12 * INCH, Show.SIXTEENTHS, "12 in"),
        (INCH // 32, Show.SIXTEENTHS, "1/16 in (−0.0313)"),  # 1/32 is a tie: up to 1/16, 0.03125 too long
        (450 * MM, Show.THIRTY_SECONDS, "17 23/32 in (−0.0022)"),  # 17.716535 − 17.71875
        (INCH // 3, Show.THOUSANDTHS, "0.333 in (+0.0003)"),
        (INCH // 64 + 1, Show.SIXTY_FOURTHS, "1/64 in (+0.00000004)"),
    ],
)
def test_a_length_is_shown_with_the_error_of_its_rounding(value: int, show: Show, text: str) -> None:
    assert format_length(value, show) == text


@settings(deadline=None, max_examples=200)
@given(st.integers(-GREATEST, GREATEST), st.sampled_from(["mm", "in"]))
def test_a_length_written_exactly_reads_back_the_same(value: int, unit: str) -> None:
    assert parse_signed_length(format_exact(value, unit), unit) == value


@settings(deadline=None, max_examples=200)
@given(st.integers(1, 30 * 64))
def test_every_64th_reads_back_as_a_mixed_number(sixty_fourths: int) -> None:
    whole, part = divmod(Fraction(sixty_fourths, 64), 1)
    text = f"{whole} {part}" if whole and part else str(part or whole)
    assert parse_length(text, "in") == sixty_fourths * (INCH // 64)
    assert format_length(sixty_fourths * (INCH // 64), Show.SIXTY_FOURTHS) == f"{text} in"


@settings(deadline=None, max_examples=300)
@given(st.text(max_size=80) | st.text("0123456789/.,-'\" ½inmcft", max_size=20), st.sampled_from(["mm", "in"]))
def test_any_text_is_a_length_or_refused_in_words(text: str, unit: str) -> None:
    try:
        assert 0 <= parse_length(text, unit) <= GREATEST
    except StopwrightError as error:
        assert error.next_step
