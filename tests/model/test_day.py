"""The working day: times read as on a clock, and what contradicts itself refused with the field it stands in."""

import pytest

from stopwright.errors import Inconsistent
from stopwright.model.day import Clamps, Day
from stopwright.model.stations import Shop, Station

SAW = Station("saw", ("rip",))


def problems_of(make, *given, **more) -> list[tuple[str, str]]:
    with pytest.raises(Inconsistent) as error:
        make(*given, **more)
    return [(problem.field, problem.what) for problem in error.value.problems]


def test_a_day_that_says_nothing_is_no_day():
    assert not Day().is_said and Day().stretches == ()


@pytest.mark.parametrize(
    ("day", "field", "said"),
    [
        (("16:30", "07:30"), "end", "is not after its beginning"),
        (("07:30", "07:30"), "end", "is not after its beginning"),
        (("half past", "16:30"), "begin", "is not a time of day"),
        (("07:30", "25:00"), "end", "is not a time of day"),
        (("07:30", ""), "end", "is missing"),
        (("", "16:30"), "begin", "is missing"),
        (("", "", ("10:00-10:15",)), "begin", "is missing"),
        (("07:30", "16:30", ("10:00",)), "breaks", "is not a break"),
        (("07:30", "16:30", ("10:15-10:00",)), "breaks", "does not lie inside the day"),
        (("07:30", "16:30", ("16:00-17:00",)), "breaks", "does not lie inside the day"),
        (("07:30", "16:30", ("07:30-07:45",)), "breaks", "does not lie inside the day"),
        (("07:30", "16:30", ("16:15-16:30",)), "breaks", "does not lie inside the day"),
        (("07:30", "16:30", ("12:00-12:00",)), "breaks", "does not lie inside the day"),
        (("07:30", "16:30", ("12:00-12:30", "12:15-13:00")), "breaks", "overlap"),
    ],
)
def test_what_contradicts_itself_is_said_at_its_field(day, field, said):
    found = problems_of(Day, *day)
    assert found[0][0] == field and said in found[0][1]


def test_breaks_are_read_in_any_order_and_however_the_dash_is_typed():
    day = Day("7.30", "16:30", ("12:30 – 13:00", "10:00 to 10:15", "13:00-13:05"))
    assert day.stretches == ((450, 600), (615, 750), (785, 990))


def test_less_than_nothing_is_refused():
    assert problems_of(Clamps, 600, -1) == [("count", "-1 is not from 1 to 500")]
    assert problems_of(Clamps, 0, 4) == [("opening", "is 0")]
    assert problems_of(Shop, "Ours", (SAW,), bench_places=-1) == [("bench_places", "-1 is not from 0 to 100")]
