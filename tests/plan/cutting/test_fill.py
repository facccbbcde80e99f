"""Filling one board: both ways of doing it give the same worth, and lists of all fills miss none."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.plan.cutting import every_fill, fill

some_pieces = st.lists(st.tuples(st.integers(1, 12), st.integers(0, 40), st.integers(0, 3)), min_size=1, max_size=5)


def all_counts(pieces, room):
    for counts in product(*(range(most + 1) for _, _, most in pieces)):
        size = sum(n * s for n, (s, _, _) in zip(counts, pieces, strict=True))
        if size <= room:
            yield counts, size


def as_fill(counts):
    return tuple((i, n) for i, n in enumerate(counts) if n)


@settings(deadline=None, max_examples=150)
@given(pieces=some_pieces, room=st.integers(1, 40), beat=st.integers(0, 60))
def test_table_and_lists_reach_the_greatest_worth(pieces, room, beat):
    sizes, worth, most = (list(column) for column in zip(*pieces, strict=True))
    top = max(sum(n * w for n, w in zip(c, worth, strict=True)) for c, _ in all_counts(pieces, room))
    bundles = fill._bundles(sizes, worth, most, room)
    for way in (fill._by_table, fill._by_lists):
        if not bundles:
            assert top == 0
            continue
        fills, greatest = way(bundles, room, beat)
        assert greatest == top or (top <= greatest == beat)
        if top > beat:
            assert sum(n * worth[i] for i, n in fills[0]) == top == greatest
        for found in fills:
            assert sum(n * worth[i] for i, n in found) > beat
            assert sum(n * sizes[i] for i, n in found) <= room
            assert all(n <= most[i] for i, n in found)


@settings(deadline=None, max_examples=80)
@given(pieces=some_pieces, room=st.integers(1, 30), waste=st.integers(0, 30))
def test_lists_of_all_fills_miss_none(pieces, room, waste):
    sizes, _, most = (list(column) for column in zip(*pieces, strict=True))
    full, tight = set(), set()
    for counts, size in all_counts(pieces, room):
        spared = [s for s, n, m in zip(sizes, counts, most, strict=True) if n < m]
        if any(counts) and all(size + s > room for s in spared):
            full.add(as_fill(counts))
        if any(counts) and room - size <= waste:
            tight.add(as_fill(counts))
    assert set(fill.all_full_fills(sizes, most, room, 10_000)) == full
    assert set(fill.fills_with_little_waste(sizes, most, room, waste, 10_000)) == tight


def test_too_many_fills_are_not_listed():
    assert fill.all_full_fills([5, 4, 3], [9, 9, 9], 60, 3) is None
    assert fill.fills_with_little_waste([5, 4, 3], [9, 9, 9], 60, 60, 3) is None


@settings(deadline=None, max_examples=100)
@given(pieces=some_pieces, room=st.integers(1, 40), least=st.integers(1, 90), short=st.integers(3, 40))
def test_lists_of_worthy_fills_miss_none(pieces, room, least, short):
    sizes, worth, most = (list(column) for column in zip(*pieces, strict=True))
    enough = {
        as_fill(c) for c, _ in all_counts(pieces, room) if sum(n * w for n, w in zip(c, worth, strict=True)) >= least
    }
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(every_fill, "SHORT", short)  # a table coarser than the pieces misses none either
        found = every_fill.fills_worth(sizes, worth, most, room, least, 10_000)
        assert len(found) == len(set(found))
        assert set(found) == enough
        assert len(enough) < 4 or every_fill.fills_worth(sizes, worth, most, room, least, 3) is None
