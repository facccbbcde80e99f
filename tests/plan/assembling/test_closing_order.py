"""The order of glue-ups on bare graphs: against every order tried, and against facts that networkx knows."""

from itertools import combinations

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.plan.assembling.closing_order import Bond, ClosingOrder, closing_order

Y, Z, X = 0, 1, 2


def bodies(bonds: list[Bond], closed: frozenset[int]) -> dict[int, int]:
    graph = nx.Graph()
    graph.add_nodes_from(piece for bond in bonds for piece in (bond.before, bond.after))
    graph.add_edges_from((bonds[one].before, bonds[one].after) for one in closed)
    return {piece: min(part) for part in nx.connected_components(graph) for piece in part}


def allowed(bonds: list[Bond], closed: frozenset[int], now: tuple[int, ...]) -> bool:
    """Whether these bonds can close in one round: one axis a body, nothing left open inside it, bodies drawn apart."""
    before, after = bodies(bonds, closed), bodies(bonds, closed.union(now))
    axes = {(after[bonds[one].before], bonds[one].axis) for one in now}
    if len(axes) != len({body for body, _ in axes}):
        return False
    left = [one for one in range(len(bonds)) if one not in closed and one not in now]
    if any(after[bonds[one].before] == after[bonds[one].after] for one in left):
        return False
    arcs = nx.DiGraph((before[bonds[one].before], before[bonds[one].after]) for one in now)
    return nx.is_directed_acyclic_graph(arcs)


def fewest_rounds(bonds: list[Bond]) -> int | None:
    """By trying every set of bonds in every round."""
    everything = frozenset(range(len(bonds)))
    newest: set[frozenset[int]] = {frozenset()}
    reached, rounds = set(newest), 0
    while newest:
        if everything in newest:
            return rounds
        rounds += 1
        following = set()
        for closed in newest:
            left = sorted(everything - closed)
            for size in range(1, len(left) + 1):
                for now in combinations(left, size):
                    if allowed(bonds, closed, now):
                        following.add(closed.union(now))
        newest = following - reached
        reached |= newest
    return None


def check(bonds: list[Bond], order: ClosingOrder) -> None:
    """Every glue-up is allowed when it comes, and all that is not stuck is closed once."""
    closed = frozenset(order.stuck)
    for one in order.glue_ups:
        assert allowed(bonds, closed, one.bonds), one
        assert closed.isdisjoint(one.bonds)
        closed = closed.union(one.bonds)
    assert closed == frozenset(range(len(bonds)))


WINDOW = [  # frame: posts 0, 1, top 2, bottom 3; inside: uprights 4, 5 from top to bottom and a bar 6 between them
    *(Bond(*pair, Y) for pair in ((0, 2), (2, 1), (0, 3), (3, 1), (4, 6), (6, 5))),
    *(Bond(*pair, Z) for pair in ((3, 4), (4, 2), (3, 5), (5, 2))),
]


def test_a_window_is_closed_from_the_inside_out_though_its_frame_could_close_first() -> None:
    order = closing_order(WINDOW)
    check(WINDOW, order)
    assert order.rounds == 3
    assert [set(one.body) for one in order.glue_ups] == [{4, 5, 6}, {2, 3, 4, 5, 6}, set(range(7))]


def test_a_bar_cannot_go_between_two_posts_that_are_one_body() -> None:
    # the posts 0 and 1 are held by 3 in direction z on both sides; the bar 2 lies between them in direction y
    bonds = [Bond(0, 2, Y), Bond(2, 1, Y), Bond(0, 3, Z), Bond(1, 3, Z)]
    order = closing_order(bonds)
    check(bonds, order)  # bar and posts first, then 3 from above
    assert [one.bonds for one in order.glue_ups] == [(0, 1), (2, 3)]


def test_two_bonds_of_two_directions_between_the_same_bodies_are_stuck() -> None:
    order = closing_order([Bond(0, 1, Y), Bond(0, 1, Z), Bond(1, 2, Y)])
    assert order.stuck == (0, 1)
    assert [one.bonds for one in order.glue_ups] == [(2,)]


def test_what_is_not_joined_to_one_another_goes_at_the_same_time() -> None:
    bonds = [Bond(0, 1, Y), Bond(2, 3, Z), Bond(1, 4, X)]
    order = closing_order(bonds)
    check(bonds, order)
    # 0-1-4 turns a corner, so it takes two rounds, the lower axis last; 2-3 goes with the first
    assert [(one.round, one.bonds) for one in order.glue_ups] == [(1, (2,)), (1, (1,)), (2, (0,))]


bond = st.tuples(st.integers(0, 4), st.integers(0, 4), st.integers(0, 2)).filter(lambda b: b[0] != b[1])


@settings(deadline=None, max_examples=120)
@given(st.lists(bond, min_size=1, max_size=6))
def test_the_rounds_are_as_few_as_trying_every_order_finds_and_stuck_only_where_none_does(rows) -> None:
    bonds = [Bond(*row) for row in rows]
    order = closing_order(bonds)
    check(bonds, order)
    least = fewest_rounds(bonds)
    assert (least is None) == bool(order.stuck)
    if least is not None:
        assert order.rounds == least


@pytest.mark.parametrize("left_out", range(len(WINDOW)))
def test_taking_a_bond_out_of_what_can_be_closed_leaves_it_closable(left_out: int) -> None:
    bonds = WINDOW[:left_out] + WINDOW[left_out + 1 :]
    order = closing_order(bonds)
    check(bonds, order)
    assert not order.stuck


@settings(deadline=None, max_examples=60)
@given(st.lists(bond, min_size=1, max_size=14))
def test_what_is_stuck_cannot_be_drawn_apart_in_any_direction(rows) -> None:
    bonds = [Bond(*row) for row in rows]
    order = closing_order(bonds)
    check(bonds, order)
    stuck = [bonds[one] for one in order.stuck]
    for part in nx.connected_components(nx.Graph((one.before, one.after) for one in stuck)):
        for axis in (X, Y, Z):
            inside = [one for one in stuck if one.before in part]
            held = nx.Graph((one.before, one.after) for one in inside if one.axis != axis)
            held.add_nodes_from(part)
            root = {piece: min(body) for body in nx.connected_components(held) for piece in body}
            arcs = nx.DiGraph((root[one.before], root[one.after]) for one in inside if one.axis == axis)
            arcs.add_nodes_from(root.values())
            assert nx.number_strongly_connected_components(arcs) == 1
