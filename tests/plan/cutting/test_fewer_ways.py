"""Tidying a layout: same pieces, same boards, fewer ways of cutting, longer offcuts."""

from collections import Counter
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.plan.cutting import lay_out_boards
from stopwright.plan.cutting.fewer_ways import fewer_ways
from stopwright.plan.cutting.fill import all_full_fills, fills_with_little_waste
from stopwright.plan.cutting.longer_offcuts import longer_offcuts
from stopwright.plan.cutting.ways import Way, merged
from stopwright.plan.effort import Steps

SIZES, ROOMS = [7, 5, 3], [20, 13]

FILLS = [fills_with_little_waste(SIZES, [2, 3, 4], room, room, 1000) for room in ROOMS]
any_way = st.integers(0, 1).flatmap(
    lambda kind: st.builds(Way, st.just(kind), st.sampled_from(FILLS[kind]), st.integers(1, 4))
)
any_ways = st.lists(any_way, min_size=1, max_size=6).map(merged)


def made_from(ways):
    """Pieces made and boards taken."""
    pieces: Counter[int] = Counter()
    boards: Counter[int] = Counter()
    for kind, counts, times in ways:
        boards[kind] += times
        for i, n in counts:
            pieces[i] += n * times
    return pieces, boards


def rests(ways):
    return [ROOMS[kind] - sum(SIZES[i] * n for i, n in counts) for kind, counts, times in ways for _ in range(times)]


@settings(deadline=None, max_examples=60)
@given(ways=any_ways, steps=st.integers(0, 5) | st.just(200))
def test_fewer_ways_make_the_same_from_the_same(ways, steps):
    after = fewer_ways(ways, SIZES, ROOMS, Steps(steps))
    assert made_from(after) == made_from(ways)
    assert len(after) <= len(ways)
    assert min(rests(after)) >= 0


@settings(deadline=None, max_examples=60)
@given(ways=any_ways)
def test_longer_offcuts_make_the_same_from_the_same(ways):
    after = longer_offcuts(ways, SIZES, ROOMS, lambda: False)
    assert made_from(after) == made_from(ways)
    assert len(after) <= len(ways)
    assert min(rests(after)) >= 0
    assert sum(rest**2 for rest in rests(after)) >= sum(rest**2 for rest in rests(ways))


def test_the_rest_is_left_in_one_piece():
    # 3 × 300 and 2 × 400 from two boards of 1200: 1100 and 600 rather than 900 and 800 or 1000 and 700
    plan = lay_out_boards([(300, 3), (400, 2)], [(1200, None)], kerf=0)
    assert sorted(layout.offcut for layout in plan.layouts) == [100, 600]


def test_one_way_used_twice_comes_before_a_longer_offcut():
    # 4 × 300 and 2 × 400: twice (400, 300, 300), not 1200 and 800
    plan = lay_out_boards([(300, 4), (400, 2)], [(1200, None)], kerf=0)
    assert [(layout.lengths, layout.times) for layout in plan.layouts] == [((400, 300, 300), 2)]


def fewest_ways_by_trying(demands, sizes, room, boards):
    """Fewest different ways over all exact plans with so many boards."""
    fills = fills_with_little_waste(sizes, demands, room, room, 10_000)

    def makes(chosen, left, boards):
        if not chosen:
            return boards == 0 and not any(left)
        head, *tail = chosen
        for times in range(1, boards + 1):
            after = list(left)
            for i, n in head:
                after[i] -= n * times
            if min(after) < 0:
                break
            if makes(tail, after, boards - times):
                return True
        return False

    return next(k for k in range(1, boards + 1) if any(makes(c, demands, boards) for c in combinations(fills, k)))


@settings(deadline=None, max_examples=25)
@given(demands=st.lists(st.integers(1, 5), min_size=2, max_size=3))
def test_no_exact_plan_with_as_many_boards_has_fewer_ways(demands):
    sizes = [9, 7, 5][: len(demands)]
    plan = lay_out_boards(zip(sizes, demands, strict=True), [(21, None)], kerf=0)
    assert all_full_fills(sizes, demands, 21, 1000) is not None  # few enough to be solved whole
    assert plan.patterns == fewest_ways_by_trying(demands, sizes, 21, plan.boards_used)


def test_ways_of_which_none_can_be_used_twice_are_left_without_a_program(monkeypatch):
    def refuse(*_, **__):
        raise AssertionError("a program was solved")

    monkeypatch.setattr("stopwright.plan.cutting.fewer_ways.solve_whole", refuse)
    once = [Way(0, ((size, 1),), 1) for size in range(4)]  # one of each size, each board its own
    assert fewer_ways(once, [9, 8, 7, 6], [10], lambda: False) == once
