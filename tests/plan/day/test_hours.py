"""The clock that runs only while somebody works."""

from hypothesis import given
from hypothesis import strategies as st

from stopwright.plan.day.hours import DAY, hours_of

HOURS = hours_of([(450, 600), (615, 750), (780, 990)])


def test_work_goes_on_after_breaks_and_the_next_morning():
    # from 16:00: 30 minutes to 16:30, then from 7:30 on
    assert HOURS.worked_through(960 * 60, 45 * 60) == (960 * 60, DAY + 465 * 60)
    # 495 minutes are a whole day: it ends with the day, not with the next morning
    assert HOURS.worked_through(0, 495 * 60) == (450 * 60, 990 * 60)


def test_what_is_whole_waits_where_it_does_not_fit():
    assert HOURS.in_one_stretch(985 * 60, 10 * 60) == (DAY + 450 * 60, DAY + 460 * 60)
    assert HOURS.in_one_stretch(980 * 60, 10 * 60) == (980 * 60, 990 * 60)


@given(st.integers(0, 5 * DAY), st.integers(1, 3 * DAY))
def test_so_much_is_worked_between_begin_and_end_as_was_asked_for(at, work):
    begin, end = HOURS.worked_through(at, work)
    seconds = sum(
        max(0, min(end, day * DAY + to) - max(begin, day * DAY + from_))
        for day in range(20)
        for from_, to in HOURS.stretches
    )
    assert begin >= at and seconds == work
    assert HOURS.worked(end) - HOURS.worked(begin) == work
    assert any(day * DAY + from_ < end <= day * DAY + to for day in range(20) for from_, to in HOURS.stretches)


@given(st.integers(0, 3 * DAY), st.integers(0, 3 * DAY), st.integers(1, 9000))
def test_who_begins_sooner_ends_no_later(one, other, work):
    sooner, later = sorted((one, other))
    assert HOURS.worked_through(sooner, work)[1] <= HOURS.worked_through(later, work)[1]
    assert HOURS.in_one_stretch(sooner, work)[1] <= HOURS.in_one_stretch(later, work)[1]
