"""Strips of one width each from pieces that may be turned: held against every way to lay the pieces."""

from collections.abc import Iterable
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plan.cutting.test_sheet_widths import EXACT, fewest_of_all_ways

from stopwright.plan.cutting.sheet_fill import Cutting, Kind
from stopwright.plan.cutting.sheet_turns import lay_turned
from stopwright.plan.cutting.sheet_widths import Widths, widths_of
from stopwright.plan.cutting.sheets import lay_out_sheets
from stopwright.plan.effort import Steps

PIECES = st.lists(st.tuples(st.integers(2, 7), st.integers(1, 4)), min_size=1, max_size=6)
ROOM = st.tuples(st.integers(7, 12), st.integers(4, 9))


def widths_in(pieces: list[tuple[int, int]], room: tuple[int, int], on_hand: int | None = None) -> Widths:
    turned = [(max(one), min(one), one[0] != one[1]) for one in pieces]
    types = sorted(set(turned))
    kind = Kind(*room, on_hand, False, ())
    widths = widths_of(Cutting(tuple(types), tuple(turned.count(one) for one in types), (kind,), 0, 2, True, (False,)))
    assert widths is not None
    return widths


@settings(max_examples=150, deadline=None)
@given(PIECES, ROOM, st.sampled_from([2, 8, 200]))
def test_the_bound_never_exceeds_the_optimum_however_short_the_search(
    pieces: list[tuple[int, int]], room: tuple[int, int], steps: int
) -> None:
    optimum = fewest_of_all_ways(pieces, [room], turned=True)
    packing, least = lay_turned(widths_in(pieces, room), len(pieces) + 1, Steps(steps))
    assert least <= optimum
    if packing is not None:
        assert optimum <= len(packing.patterns)
        laid = [tuple(sorted(p[3:5])) for pattern in packing.patterns for p in pattern.placed]
        assert sorted(laid) == sorted(tuple(sorted(one)) for one in pieces)
    if steps == 200:
        assert packing is not None
        assert len(packing.patterns) == optimum
    plan = lay_out_sheets([(*one, 1, True) for one in pieces], [(*room, None)], **EXACT)
    assert plan.least_possible <= optimum <= plan.sheets_used


def test_what_turned_pieces_in_fractions_leave_open_is_proven() -> None:
    # No width is below 30 of 50, so a sheet is one strip. 83 and 84 fill theirs alone; of 42 × 39 two lie on 100 either
    # way, of 38 × 37 too, and no width of one is one of the other: 6 + 4 + 3 + 3. Two and a half for three gives 15.
    pieces = [(83, 30, 6, True), (84, 40, 4, True), (42, 39, 5, True), (38, 37, 5, True)]
    plan = lay_out_sheets(pieces, [(100, 50, None)], **EXACT)
    assert (plan.sheets_used, plan.least_possible, plan.proven) == (16, 16, True)


def test_fewer_sheets_than_are_known_are_found_or_none() -> None:
    # Straight, 6 × 2 lies once in a strip of 10, five of them in five strips: two sheets of eight across (4 strips).
    # Turned, five 2 wide stand side by side in one strip of 6, and 2 of 8 are left: one sheet.
    widths = widths_in([(6, 2)] * 5, (10, 8))
    packing, least = lay_turned(widths, 2, None)
    assert packing is not None
    assert (len(packing.patterns), least) == (1, 1)
    assert lay_turned(widths, 1, None) == (None, 1)


def test_of_all_ways_with_as_few_sheets_one_with_the_fewest_settings_is_taken() -> None:
    # Held against every way for each piece to lie.
    cases = [
        ([(5, 2)] * 3 + [(5, 4)] * 2 + [(3, 2)] * 2, (10, 8)),
        ([(4, 2)] * 3 + [(5, 4)] * 3, (12, 6)),
        ([(3, 2)] * 3 + [(7, 2)] * 2 + [(4, 3)] * 2, (9, 8)),
    ]
    for pieces, room in cases:
        packing, least = lay_turned(widths_in(pieces, room), len(pieces) + 1, None)
        assert packing is not None
        assert least == len(packing.patterns)
        laid = {(along, across) for pattern in packing.patterns for _, _, _, along, across, _ in pattern.placed}
        ways = product(*({one, one[::-1]} for one in sorted(pieces)))
        fewest = min(settings_of(lies) for lies in ways if fewest_of_all_ways(list(lies), [room]) == least)
        assert settings_of(laid) == fewest


def settings_of(lies: Iterable[tuple[int, int]]) -> int:
    """Widths at the fence and lengths at the stop."""
    lies = list(lies)
    return len({along for along, _ in lies}) + len({across for _, across in lies})


def test_sheets_that_run_out_give_no_packing() -> None:
    packing, least = lay_turned(widths_in([(6, 5)] * 3, (10, 8), on_hand=1), 4, None)
    assert packing is None
    assert least <= 3
