"""Random jobs on boards of several thicknesses, cut at one saw or at two, against every way there is."""

from dataclasses import replace
from functools import cache
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import a_board, a_jointer, a_part, a_planer, a_saw, a_shop, mm

from stopwright.model.job import Job
from stopwright.plan.plan import make_plan

EDGE = 6
"""What a shop takes off the width of a board to have its face edge true; mm."""
THIN, THICK = 25, 40
"""Boards, mm: 20 is planed from either, 32 from the thick one only."""

Size = tuple[int, int, int]


def saws(rip: tuple[float, int], cross: tuple[float, int]):
    """A shop in which boards are ripped with the first kerf and trim, and crosscut with the second."""
    if rip == cross:
        return a_shop(a_jointer(), a_planer(), a_saw(kerf=mm(rip[0]), trim=mm(rip[1])))
    rips = a_saw(work=("rip",), kerf=mm(rip[0]), trim=mm(rip[1]))
    chops = replace(a_saw(work=("square", "crosscut"), kerf=mm(cross[0]), trim=mm(cross[1])), name="chop saw")
    return a_shop(a_jointer(), a_planer(), rips, chops)


def fits(pieces: list[Size], board: Size, rip: float, cross: tuple[float, int]) -> bool:
    """True where a board gives these pieces in strips of one width each: every way of filling the strips is tried."""
    length, width, thickness = board
    if len({piece[2] for piece in pieces}) > 1 or any(thickness < (THIN if p[2] == 20 else THICK) for p in pieces):
        return False
    room, strips, used = length - 2 * cross[1], 0, 0.0
    for wide in {piece[1] for piece in pieces}:
        count = fewest(tuple(sorted(piece[0] for piece in pieces if piece[1] == wide)), room, cross[0])
        strips += count
        used += count * wide
    return used + (strips - 1) * rip <= width - EDGE


@cache
def fewest(lengths: tuple[int, ...], room: float, kerf: float) -> int:
    """The fewest strips that hold these lengths, the first of them with every choice of others."""
    if not lengths:
        return 0
    first, rest = lengths[0], lengths[1:]
    if first > room:
        return 1000
    best = 1000
    for count in range(len(rest) + 1):
        for beside in combinations(range(len(rest)), count):
            if first + sum(rest[place] + kerf for place in beside) <= room:
                left = tuple(one for place, one in enumerate(rest) if place not in beside)
                best = min(best, 1 + fewest(left, room, kerf))
    return best


def by_every_way(pieces: list[Size], boards: list[Size], rip: float, cross: tuple[float, int]) -> tuple[int, int]:
    """How many pieces must go missing, and the fewest boards that hold the others."""
    best = (len(pieces), 0)
    lots: list[list[Size]] = [[] for _ in boards]

    def place(at: int, missing: int) -> None:
        nonlocal best
        if (missing, 0) > best:
            return
        if at == len(pieces):
            best = min(best, (missing, sum(map(bool, lots))))
            return
        for lot, board in zip(lots, boards, strict=True):
            lot.append(pieces[at])
            if fits(lot, board, rip, cross):
                place(at + 1, missing)
            lot.pop()
        place(at + 1, missing + 1)

    place(0, 0)
    return best


PARTS = st.lists(
    st.tuples(st.integers(1, 3), st.integers(300, 700), st.sampled_from((40, 50, 64)), st.sampled_from((20, 32))),
    min_size=1,
    max_size=3,
)
BOARDS = st.lists(
    st.tuples(st.integers(500, 1500), st.sampled_from((60, 100, 140)), st.sampled_from((THIN, THICK))),
    min_size=1,
    max_size=4,
)
SAWS = st.sampled_from((((3.2, 5), (3.2, 5)), ((2, 0), (4, 10)), ((4, 10), (2, 0))))


@settings(deadline=None, max_examples=60)
@given(PARTS, BOARDS, SAWS)
def test_nothing_is_missing_that_has_room_and_least_is_least(parts, boards, kerfs) -> None:
    rip, cross = kerfs
    made = tuple(a_part(chr(65 + at), count, size) for at, (count, *size) in enumerate(parts))
    sheet = make_plan(Job("x", made, stock=tuple(a_board(1, size) for size in boards)), saws(rip, cross))
    pieces = [tuple(size) for count, *size in parts for _ in range(count)]
    missing, used = by_every_way(pieces, boards, rip[0], cross)
    placed = sum(layout.times * len(layout.placements) for layout in sheet.wood.layouts)
    assert placed <= len(pieces) - missing
    if not missing:
        assert placed == len(pieces)
        assert sheet.wood.least_possible <= used <= sheet.wood.boards_used
        assert not sheet.wood.proven or sheet.wood.boards_used == used


def test_the_count_by_every_way_is_that_of_two_jobs_worked_by_hand() -> None:
    # 3 × 300 + 2 × 4 = 908 ≤ 930 − 2 × 10; with a kerf of 16 it is 932
    three = [(300, 50, 20)] * 3
    assert by_every_way(three, [(930, 60, THIN)], 2, (4, 10)) == (0, 1)
    assert by_every_way(three, [(930, 60, THIN)], 2, (16, 10)) == (1, 1)
    # two strips of 50 and a kerf of 2 want 102 beside the 6 of the edge
    assert by_every_way(three * 2, [(930, 108, THIN)], 2, (4, 10)) == (0, 1)
    assert by_every_way([*three, (300, 50, 32)], [(930, 200, THICK), (930, 60, THIN)], 2, (4, 10)) == (0, 2)
