"""Pieces: numbers, units, hands, places, and the order off the saw."""

from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st

from stopwright.lengths import MM
from stopwright.model.job import Job
from stopwright.model.joints import Joint, Side
from stopwright.model.parts import Hand, MadePart, Part, mark_number
from stopwright.plan.assembling.pieces import Piece, list_pieces, remarks_on_units
from stopwright.plan.run_sheet import Layout, Pieces, Placement, Run, RunSheet, Settings, Wood


def part(mark: str, quantity: int, hand: Hand = Hand.SAME) -> Part:
    return Part(mark, f"Part {mark}", quantity, 450 * MM, 40 * MM, 20 * MM, hand=hand)


def run(number: int, work: str, *pieces: tuple[str, int], mirrored: bool = False) -> Run:
    worked = tuple(Pieces(mark, f"Part {mark}", count, mirrored=mirrored) for mark, count in pieces)
    return Run(number, "saw", work, (), worked, note=str(number))


def layout(times: int, **counts: int) -> Layout:
    placed = tuple(Placement(mark, 0, 0, 1, 1) for mark, count in counts.items() for _ in range(count))
    return Layout(0, "ash", 1, 1, 1, times, placed)


def run_sheet(*runs: Run, layouts: tuple[Layout, ...] = ()) -> RunSheet:
    return RunSheet("Stools", "mm", Settings(0, 0, True, 0), runs, Wood(layouts=layouts))


def labels(pieces: tuple[Piece, ...]) -> list[str]:
    return [piece.label for piece in pieces]


def joint(mark: str, post: str, rail: str, side: Side) -> Joint:
    return Joint(mark, post, rail, side, 10 * MM, 40 * MM, 8 * MM, 20 * MM, 20 * MM)


def test_pieces_come_in_the_order_of_the_last_saw_run() -> None:
    job = Job("Stools", (part("A", 2), part("B", 2), part("C", 1), part("D", 1)))
    sheet = run_sheet(
        run(1, "rip", ("A", 2), ("B", 2), ("C", 1)),
        run(2, "crosscut", ("B", 2), ("A", 2)),
        run(3, "mitre", ("B", 2)),
        run(4, "mortise", ("A", 2)),
    )
    # C is only ripped (run 1), A is cut off in run 2, B mitred in run 3, D never sawn
    assert labels(list_pieces(job, sheet)) == ["C-01", "A-01", "A-02", "B-01", "B-02", "D-01"]


def test_the_index_counts_in_part_list_order_whatever_the_plan() -> None:
    job = Job("Stools", (part("A", 2), part("B", 2)))
    sheet = run_sheet(run(1, "crosscut", ("B", 2), ("A", 2)))
    assert [(piece.label, piece.index) for piece in list_pieces(job, sheet)] == [
        ("B-01", 2),
        ("B-02", 3),
        ("A-01", 0),
        ("A-02", 1),
    ]


def test_numbers_fill_unit_after_unit_and_the_last_ones_are_spare() -> None:
    job = Job("Benches", (part("A", 7), part("B", 2)), units=3)
    pieces = list_pieces(job, run_sheet())
    # 7 = 3 units × 2 + 1 spare; 2 are too few for 3 units
    assert [piece.unit for piece in pieces if piece.mark == "A"] == [1, 1, 2, 2, 3, 3, None]
    assert [piece.unit for piece in pieces if piece.mark == "B"] == [None, None]
    assert [(piece.nth, piece.per_unit) for piece in pieces][:3] == [(1, 2), (2, 2), (1, 2)]
    assert [remark.about for remark in remarks_on_units(job)] == ["A", "B"]


def test_every_unit_has_half_its_handed_pieces_left_and_half_right() -> None:
    job = Job("Stools", (part("A", 24, Hand.PAIRS),), units=6)
    for unit in range(1, 7):
        hands = Counter(piece.hand for piece in list_pieces(job, run_sheet()) if piece.unit == unit)
        assert hands == {"left": 2, "right": 2}


def test_one_handed_piece_a_unit_still_gives_as_many_left_as_right() -> None:
    job = Job("Drawers", (part("A", 6, Hand.PAIRS),), units=6)
    hands = [piece.hand for piece in list_pieces(job, run_sheet())]
    assert hands == ["right", "left"] * 3


def test_mirrored_pieces_come_off_the_saw_with_the_run_that_mitres_them() -> None:
    job = Job("Frames", (part("A", 4, Hand.PAIRS),))
    sheet = run_sheet(run(1, "mitre", ("A", 2), mirrored=True), run(2, "mitre", ("A", 2)))
    assert [piece.hand for piece in list_pieces(job, sheet)] == ["left", "left", "right", "right"]


def test_a_unit_has_its_pieces_from_one_board_where_a_board_holds_enough() -> None:
    # Two boards of 7, units of 4: each board fills one unit whole, the 3 + 3 left over share the third.
    job = Job("Stools", (part("A", 12),), units=3)
    sheet = run_sheet(run(1, "crosscut", ("A", 12)), layouts=(layout(2, A=7),))
    order = labels(list_pieces(job, sheet))
    assert order[:7] == ["A-01", "A-02", "A-03", "A-04", "A-09", "A-10", "A-11"]  # board 1: unit 1, rest of unit 3
    assert order[7:] == ["A-05", "A-06", "A-07", "A-08", "A-12"]  # board 2: unit 2, last of unit 3


def test_parts_of_a_unit_come_from_the_same_board_where_there_is_a_choice() -> None:
    # Board 1 holds 2 B; board 2 holds 2 A and 2 B. The first unit takes A from board 2, so B from there too.
    job = Job("Stools", (part("A", 2), part("B", 4)), units=2)
    sheet = run_sheet(run(1, "crosscut", ("A", 2), ("B", 4)), layouts=(layout(1, B=2), layout(1, A=2, B=2)))
    first_unit = [piece.label for piece in list_pieces(job, sheet) if piece.unit == 1]
    assert first_unit == ["A-01", "B-01", "B-02"]
    # B-03 and B-04 lie on board 1 and come off the saw before B-01 and B-02
    assert labels(list_pieces(job, sheet))[2:] == ["B-03", "B-04", "B-01", "B-02"]


def test_the_posts_of_a_stool_know_their_corner_by_their_hand() -> None:
    rails = (part("B", 4), part("C", 2))
    joints = (
        joint("J1", "A", "B", Side.FAR_EDGE),
        joint("J2", "A", "B", Side.BACK),
        joint("J3", "A", "C", Side.FAR_EDGE),
    )
    job = Job("Stool", (part("A", 4, Hand.PAIRS), *rails), joints=joints)
    pieces = list_pieces(job, run_sheet())
    # x down, y from the outer face edge inwards, z from the outer face side inwards. Front left: down, to the right,
    # away: left-handed, so the mirror image. Opposite corners are alike (both y and z turned round).
    assert {piece.place: piece.hand for piece in pieces if piece.mark == "A"} == {
        "front left": "left",
        "front right": "right",
        "back left": "right",
        "back right": "left",
    }
    assert [piece.place for piece in pieces if piece.mark == "C"] == ["front", "back"]
    assert [piece.place for piece in pieces if piece.mark == "B"] == [""] * 4  # run both ways: joints do not tell


def corner_is_right_handed(place: str, across: Side, along: Side) -> bool:
    """By the determinant: right = e1, away = e2, up = e3; slotted sides look to the inside of the frame."""
    inward_right = 1 if "left" in place else -1
    inward_away = 1 if "front" in place else -1
    y = (inward_right if across is Side.FAR_EDGE else -inward_right, 0, 0)
    z = (0, inward_away if along is Side.BACK else -inward_away, 0)
    x = (0, 0, -1)  # from the marked end at the top downwards
    cross = (y[1] * z[2] - y[2] * z[1], y[2] * z[0] - y[0] * z[2], y[0] * z[1] - y[1] * z[0])
    return sum(a * b for a, b in zip(x, cross, strict=True)) > 0


def test_the_hand_of_every_corner_agrees_with_its_axes_whichever_sides_are_slotted() -> None:
    for across in (Side.EDGE, Side.FAR_EDGE):
        for along in (Side.FACE, Side.BACK):
            joints = (joint("J1", "A", "B", across), joint("J2", "A", "B", along))
            job = Job("Stool", (part("A", 4, Hand.PAIRS), part("B", 4)), joints=joints)
            for piece in list_pieces(job, run_sheet()):
                if piece.mark == "A":
                    assert (piece.hand == "right") == corner_is_right_handed(piece.place, across, along)


def test_posts_that_are_all_alike_have_no_place_of_their_own() -> None:
    joints = (joint("J1", "A", "B", Side.FAR_EDGE), joint("J2", "A", "B", Side.BACK))
    job = Job("Stool", (part("A", 4), part("B", 4)), joints=joints)
    assert {piece.place for piece in list_pieces(job, run_sheet())} == {""}


@st.composite
def cases(draw: st.DrawFn) -> tuple[Job, RunSheet]:
    quantities = draw(st.lists(st.integers(1, 12), min_size=1, max_size=4))
    parts = tuple(
        part(mark_number(n), count, Hand.PAIRS if count % 2 == 0 and draw(st.booleans()) else Hand.SAME)
        for n, count in enumerate(quantities)
    )
    held = st.fixed_dictionaries({one.mark: st.integers(0, 6) for one in parts})
    layouts = tuple(layout(draw(st.integers(1, 3)), **draw(held)) for _ in range(draw(st.integers(0, 3))))
    job = Job("Job", parts, units=draw(st.integers(1, 5)))
    return job, run_sheet(run(1, "crosscut", *((one.mark, one.quantity) for one in parts)), layouts=layouts)


@settings(deadline=None, max_examples=150)
@given(cases())
def test_every_piece_is_listed_once_and_units_and_hands_are_even(case: tuple[Job, RunSheet]) -> None:
    job, sheet = case
    pieces = list_pieces(job, sheet)
    assert sorted(piece.index for piece in pieces) == list(range(sum(one.quantity for one in job.parts)))
    for one in job.parts:
        mine = [piece for piece in pieces if piece.mark == one.mark]
        assert sorted(piece.number for piece in mine) == list(range(1, one.quantity + 1))
        per_unit, spare = divmod(one.quantity, job.units)
        units = Counter(piece.unit for piece in mine)
        assert units.pop(None, 0) == spare
        assert units == {unit + 1: per_unit for unit in range(job.units) if per_unit}
        if one.hand is Hand.PAIRS:
            assert Counter(piece.hand for piece in mine) == {"left": one.quantity // 2, "right": one.quantity // 2}
            for unit in range(1, job.units + 1):
                hands = Counter(piece.hand for piece in mine if piece.unit == unit)
                assert abs(hands["left"] - hands["right"]) <= per_unit % 2


def test_pieces_of_a_thing_that_was_measured_by_itself_go_into_the_unit_it_is_made_for() -> None:
    size = (450 * MM, 40 * MM, 20 * MM)
    others = MadePart("Ds", "Side", 4, *size, thing="D", units=(0, 0, 2, 2))
    second = MadePart("D.2s", "Side", 2, *size, thing="D", units=(1, 1))
    job = Job("Drawers", (others, second), units=3)
    pieces = list_pieces(job, run_sheet())
    assert [(piece.label, piece.unit, piece.nth, piece.per_unit) for piece in pieces] == [
        ("Ds-01", 1, 1, 2),
        ("Ds-02", 1, 2, 2),
        ("Ds-03", 3, 1, 2),
        ("Ds-04", 3, 2, 2),
        ("D.2s-01", 2, 1, 2),
        ("D.2s-02", 2, 2, 2),
    ]
    assert remarks_on_units(job) == ()
