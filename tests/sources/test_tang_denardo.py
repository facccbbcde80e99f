"""Tang & Denardo, Operations Research 36(5), 1988, 767: three jobs on two places, all six orders.

Certainty: the rule "keep what is needed soonest" C (secondary copies); the six figures K (calculated by hand).
"""

from itertools import permutations

from stopwright.plan.ordering import Axis, load_stops, order_runs

JOBS = [{"bit": {"a", "b"}}, {"bit": {"b", "c"}}, {"bit": {"c", "d"}}]
TWO_PLACES = [Axis("bit", holds=2)]


def settings_in(order: tuple[int, ...]) -> int:
    return sum(len(move["bit"][0]) for move in load_stops(order, JOBS, TWO_PLACES))


def test_three_jobs_on_two_places_make_four_or_five_settings_by_order() -> None:
    # 1-2-3: ab, c, d = 4. 1-3-2: ab, cd, b = 5. And so on, in the order of itertools: 123 132 213 231 312 321.
    assert [settings_in(order) for order in permutations(range(3))] == [4, 5, 5, 5, 5, 4]


def test_the_planner_finds_one_of_the_two_orders_with_four_settings() -> None:
    found = order_runs(JOBS, TWO_PLACES)
    assert (found.settings, found.least_possible, found.proven) == (4, 4, True)
    assert found.order in ([0, 1, 2], [2, 1, 0])
