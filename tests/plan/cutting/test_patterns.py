"""Choosing among ways of cutting: least cost, a bound that never lies, an answer at any moment."""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.plan.cutting.patterns import Pattern, Priced, StockKind, solve_cutting_stock
from stopwright.plan.effort import Steps


def never():
    return False


def priced_from(ways):
    """A price that knows a fixed list of patterns."""

    def price(worth, kind, most, beat):
        own = [way for way in ways if way.kind == kind]
        value = {way: sum(worth[i] * n for i, n in way.counts) for way in own}
        better = [w for w in own if value[w] > beat and all(n <= most[i] for i, n in w.counts)]
        return Priced(sorted(better, key=lambda w: -value[w]), max(value.values(), default=0))

    return price


def test_scarce_stock_is_used_where_it_saves_most():
    # kind 0: two of the piece for 3, only one on hand; kind 1: one of the piece for 2
    ways = [Pattern(0, ((0, 2),)), Pattern(1, ((0, 1),))]
    found = solve_cutting_stock([3], [StockKind(3, 1), StockKind(2)], priced_from(ways), never, unmet_cost=100)
    assert dict(found.uses) == {ways[0]: 1, ways[1]: 1}
    assert (found.cost, found.bound, found.proven) == (5, 5, True)


def test_pieces_are_left_out_where_stock_runs_out():
    ways = [Pattern(0, ((0, 2),)), Pattern(0, ((0, 1),))]
    found = solve_cutting_stock([7], [StockKind(1, 3)], priced_from(ways), never, unmet_cost=100)
    assert found.unmet == (1,)
    assert (found.cost, found.proven) == (103, True)


def test_a_price_that_knows_no_greatest_worth_gives_no_bound():
    ways = [Pattern(0, ((0, 2),))]
    exact = priced_from(ways)
    found = solve_cutting_stock(
        [4], [StockKind(1)], lambda *asked: Priced(exact(*asked).patterns, None), never, unmet_cost=5
    )
    assert (found.cost, found.bound, found.proven) == (2, 0, False)


def test_a_gap_of_the_relaxation_is_closed_when_every_pattern_is_known():
    # three pieces, any two of them on one board: 1.5 boards in fractions, so 2; no single board takes all
    ways = [Pattern(0, pair) for pair in [((0, 1), (1, 1)), ((1, 1), (2, 1)), ((0, 1), (2, 1))]]
    kinds = [StockKind(1, 1), StockKind(10)]
    dear = [Pattern(1, way.counts) for way in ways]
    # the cheap board halves twice in fractions: 1 + 0.5 × 10 = 6, in whole boards 1 + 10 = 11
    found = solve_cutting_stock(
        [1, 1, 1], kinds, priced_from(ways + dear), never, unmet_cost=1000, every=lambda: ways + dear
    )
    assert (found.cost, found.bound, found.proven) == (11, 11, True)


def narrowed_to(ways):
    """All patterns worth enough of a fixed list, with all that hold fewer pieces than one of these."""
    fewer = {
        Pattern(way.kind, tuple((i, n) for (i, _), n in zip(way.counts, counts, strict=True) if n))
        for way in ways
        for counts in product(*(range(n + 1) for _, n in way.counts))
        if any(counts)
    }

    def narrow(worth, kind, _most, least, limit):
        found = [
            way
            for way in sorted(fewer, key=lambda way: way.counts)
            if way.kind == kind and sum(worth[i] * n for i, n in way.counts) >= least
        ]
        return found if len(found) <= limit else None

    return narrow


def test_a_gap_is_closed_when_all_that_something_cheaper_may_use_is_known():
    # as above, 6 in fractions and 11 in whole boards; nobody lists all patterns, but those worth enough are few
    ways = [Pattern(kind, pair) for kind in (0, 1) for pair in [((0, 1), (1, 1)), ((1, 1), (2, 1)), ((0, 1), (2, 1))]]
    kinds = [StockKind(1, 1), StockKind(10)]
    found = solve_cutting_stock([1, 1, 1], kinds, priced_from(ways), never, unmet_cost=1000, narrow=narrowed_to(ways))
    assert (found.cost, found.bound, found.proven) == (11, 11, True)


def least_by_trying(demands, kinds, ways, unmet_cost):
    best = unmet_cost * sum(demands)
    for times in product(range(max(demands) + 1), repeat=len(ways)):
        taken = [sum(t for t, way in zip(times, ways, strict=True) if way.kind == k) for k in range(len(kinds))]
        if any(kind.available is not None and n > kind.available for kind, n in zip(kinds, taken, strict=True)):
            continue
        left = list(demands)
        for t, way in zip(times, ways, strict=True):
            for i, n in way.counts:
                left[i] -= n * t
        cost = sum(kind.cost * n for kind, n in zip(kinds, taken, strict=True))
        best = min(best, cost + unmet_cost * sum(max(0, n) for n in left))
    return best


some_ways = st.lists(
    st.builds(
        Pattern,
        st.integers(0, 1),
        st.dictionaries(st.integers(0, 1), st.integers(1, 2), min_size=1).map(lambda c: tuple(sorted(c.items()))),
    ),
    min_size=1,
    max_size=4,
    unique=True,
)


@settings(deadline=None, max_examples=60)
@given(
    demands=st.lists(st.integers(1, 4), min_size=2, max_size=2),
    ways=some_ways,
    held=st.none() | st.integers(0, 2),
    steps=st.integers(0, 10) | st.just(10_000),
    known=st.booleans(),
)
def test_bound_least_and_answer_stand_in_this_order(demands, ways, held, steps, known):
    kinds = [StockKind(2, held), StockKind(3)]
    found = solve_cutting_stock(
        demands,
        kinds,
        priced_from(ways),
        Steps(steps),
        unmet_cost=40,
        every=(lambda: ways) if known else None,
        narrow=narrowed_to(ways),
    )
    least = least_by_trying(demands, kinds, ways, 40)
    assert found.bound <= least <= found.cost
    if steps == 10_000 and known:
        assert found.cost == least
        assert found.proven
