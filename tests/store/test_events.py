"""The door: what may be kept and what is refused, in words."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.taps import BODIES, tap

from stopwright.errors import StopwrightError
from stopwright.store.events import Event, checked
from stopwright.store.kinds import FROM_THE_FLOOR, KINDS

SHOP_WIDE = [kind for kind, what in KINDS.items() if what.shop_wide]


def a_tap(kind: str, **more: Any) -> Event:
    return tap(kind, job="" if kind in SHOP_WIDE else "1", **more)


def test_every_kind_has_an_example() -> None:
    assert set(BODIES) == set(KINDS)


@pytest.mark.parametrize("kind", BODIES)
def test_an_event_that_says_what_its_kind_needs_is_kept(kind: str) -> None:
    one = a_tap(kind)
    assert checked(one) == one


@pytest.mark.parametrize("kind", BODIES)
def test_an_event_is_refused_when_a_needed_field_is_missing(kind: str) -> None:
    one = a_tap(kind)
    for field in one.body:
        body = {name: value for name, value in one.body.items() if name != field}
        with pytest.raises(StopwrightError, match=f"{field} is missing"):
            checked(replace(one, body=body))


@pytest.mark.parametrize("kind", BODIES)
def test_an_event_is_refused_when_a_field_is_of_the_wrong_type_or_size(kind: str) -> None:
    for field in BODIES[kind]:
        for wrong in (None, True, 1.5, float("nan"), "x" * 5000, 10**18, -(10**18), [], ["a"]):
            may_be = (wrong is True and BODIES[kind][field] is False) or (
                wrong == [] and field in ("stops", "lost", "moved", "stands")
            )
            if not may_be:
                with pytest.raises(StopwrightError, match=f"{field} must be"):
                    checked(a_tap(kind, **{field: wrong}))


@pytest.mark.parametrize(
    "one",
    [
        tap("run done", job=""),
        tap("run done", job="0"),
        tap("run done", job="8192"),  # piece codes have 13 bits for the job
        tap("zero accepted", job="1"),
        tap("run done", id_="short"),
        tap("run done", id_="no spaces allowed"),
        tap("run done", colour="red"),
        tap("piece cut", count=0),
        tap("piece cut", mirrored=1),
        tap("piece cut", mark="A\x00"),
        tap("piece cut", mark="\ud800"),
        replace(tap("run done"), kind="run dance"),
        replace(tap("run done"), job="1٣"),  # an Arabic-Indic 3: its labels would carry the codes of job 13
        replace(tap("run done"), at="yesterday"),
        replace(tap("run done"), at="0001-01-01T00:00:00Z"),
        replace(tap("run done"), device="x" * 65),
        tap("plan chosen", choices={"note": "\ud800"}),
        tap("plan chosen", choices={"much": "x" * 20_000}),
        tap("plan chosen", choices={"number": float("nan")}),
    ],
)
def test_what_cannot_be_kept_is_refused_with_the_next_step(one: Event) -> None:
    with pytest.raises(StopwrightError) as refusal:
        checked(one)
    assert refusal.value.next_step


def test_a_time_is_written_in_utc_to_the_millisecond_wherever_it_was_said() -> None:
    one = replace(tap("run done"), at="2026-03-01T09:30:00.1239+02:00")
    assert checked(one).at == "2026-03-01T07:30:00.123Z"


def test_a_phone_may_not_save_jobs_change_the_shop_or_let_devices_in() -> None:
    assert not FROM_THE_FLOOR & {"job saved", "plan chosen", *SHOP_WIDE}


def within(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.lists(inner) | st.dictionaries(st.text(), inner)


json_values = st.recursive(st.none() | st.booleans() | st.integers() | st.floats() | st.text(), within, max_leaves=5)


@given(json_values | st.sampled_from(list(KINDS)), json_values, json_values | st.sampled_from(list(BODIES.values())))
@settings(deadline=None, max_examples=200)
def test_whatever_arrives_is_kept_or_refused_in_words(kind: Any, other: Any, body: Any) -> None:
    for one in (
        Event("tap-00001", "1", kind, "2026-03-01", "", body),
        Event(other, other, "run done", other, other, body),
    ):
        try:
            checked(one)
        except StopwrightError as refusal:
            assert refusal.next_step
