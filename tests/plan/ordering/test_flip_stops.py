"""Flip stops needed so that nothing is set twice: against every order of the parts, and the caterpillar fact."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.errors import StopwrightError
from stopwright.plan.ordering.flip_stops import StopsNeeded, all_set_once, bound_stops, stops_needed, width_order

Pairs = list[tuple[int, int]]

few_pairs = st.lists(st.tuples(st.integers(0, 3), st.integers(10, 14)), min_size=1, max_size=6, unique=True)


def stops_standing(order: tuple[tuple[int, int], ...]) -> int | None:
    """The most lengths that must stand at once if nothing is set twice in this order; None if a width is."""
    widths = [width for width, _ in order]
    if any(widths[at] != widths[at - 1] and widths[at] in widths[:at] for at in range(1, len(order))):
        return None
    lengths = [length for _, length in order]
    spans = [(lengths.index(n), len(lengths) - 1 - lengths[::-1].index(n)) for n in set(lengths)]
    return max(sum(first <= at <= last for first, last in spans) for at in range(len(order)))


def caterpillars(pairs: Pairs) -> bool:
    """Whether every component of the width–length graph is a path with leaves."""
    edges = {(("w", w), ("l", n)) for w, n in pairs}
    near: dict[object, set[object]] = {}
    for one, two in edges:
        near.setdefault(one, set()).add(two)
        near.setdefault(two, set()).add(one)
    spine = {knot for knot, others in near.items() if len(others) > 1}
    if any(len(near[knot] & spine) > 2 for knot in spine):
        return False
    left, components = set(near), 0
    while left:
        components += 1
        waiting = [left.pop()]
        while waiting:
            found = near[waiting.pop()] & left
            left -= found
            waiting += found
    return len(edges) == len(near) - components  # no ring


@settings(deadline=None, max_examples=150)
@given(few_pairs)
def test_the_stops_needed_are_the_fewest_of_all_orders(pairs: Pairs) -> None:
    needed = min(n for order in permutations(pairs) if (n := stops_standing(order)) is not None)
    assert bound_stops(pairs) == StopsNeeded(needed, needed)
    assert all_set_once(pairs, needed)
    assert not all_set_once(pairs, needed - 1)


@settings(deadline=None, max_examples=200)
@given(st.lists(st.tuples(st.integers(0, 7), st.integers(10, 19)), min_size=1, max_size=14, unique=True))
def test_one_stop_does_exactly_when_every_component_is_a_caterpillar(pairs: Pairs) -> None:
    assert all_set_once(pairs, 1) == caterpillars(pairs)


@settings(deadline=None, max_examples=100)
@given(st.lists(st.tuples(st.integers(0, 7), st.integers(10, 19)), min_size=1, max_size=30, unique=True))
def test_the_order_of_widths_keeps_its_promise(pairs: Pairs) -> None:
    stops = stops_needed(pairs)
    order = width_order(pairs, stops)
    assert order is not None
    assert sorted(order) == sorted({width for width, _ in pairs})
    place = {width: at for at, width in enumerate(order)}
    visits = {n: sorted(place[w] for w, length in pairs if length == n) for _, n in pairs}
    for at in range(len(order)):
        through = sum(v[0] < at < v[-1] for v in visits.values())
        own = any(v == [at] for v in visits.values())
        assert through + own <= stops
        assert sum(v[0] <= at < v[-1] for v in visits.values()) <= stops
    assert width_order(pairs, stops - 1) is None if stops > 1 else True


def test_no_parts_need_no_stops() -> None:
    assert stops_needed([]) == 0


def test_every_width_with_every_length_needs_a_stop_for_each_length() -> None:
    # 4 widths × 3 lengths: all three lengths are wanted on both sides of every boundary.
    assert stops_needed([(w, n) for w in range(4) for n in range(3)]) == 3


def test_a_width_with_a_length_of_its_own_needs_one_stop_more_than_passes_over_it() -> None:
    # Widths 1-2-3 share length 7 and each has one of its own: 7 stands while the own length of 2 is set.
    pairs = [(1, 7), (2, 7), (3, 7), (1, 10), (2, 11), (3, 12)]
    assert stops_needed(pairs) == 2
    # Without the own length of 2, or of one at an end, one stop does: a caterpillar is left.
    assert stops_needed([pair for pair in pairs if pair != (2, 11)]) == 1


def test_too_many_widths_get_two_bounds() -> None:
    pairs = [(w, n) for w in range(60) for n in range(40) if (w * 7 + n * 11 + w * n) % 5 == 0]
    found = bound_stops(pairs)
    assert 1 <= found.least <= found.enough
    assert found.proven == (found.least == found.enough)


def test_no_stop_at_all_is_refused() -> None:
    with pytest.raises(StopwrightError):
        width_order([(84, 450)], 0)
