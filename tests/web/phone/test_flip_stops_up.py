"""Which flip stops stand, which are in the way, which one is moved."""

from stopwright.lengths import MM, Show
from stopwright.model.job import Job
from stopwright.model.parts import Part
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.run_sheet import Move, Run, Stop
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.flip_stops_up import FlipStops, flip_stops_up
from stopwright.web.drawings import draw_groups


def shop_with(holds: int, clearance: int = 0) -> Shop:
    axis = Axis("flip stops", "length", holds=holds, step=MM, clearance=clearance * MM)
    return Shop("ours", (Station("saw", ("crosscut",), (axis,)),))


def sheet(*stops: tuple[int, str]) -> list[Run]:
    return [
        Run(
            number,
            "saw",
            "crosscut",
            (Stop("flip stops", "length", at * MM, at * MM, Move(move)),),
            (),
        )
        for number, (at, move) in enumerate(stops, start=1)
    ]


def mm(*lengths: int) -> tuple[int, ...]:
    return tuple(length * MM for length in lengths)


def test_a_stop_nearer_the_blade_is_to_be_flipped_away_and_one_farther_out_is_not() -> None:
    found = flip_stops_up(sheet((300, "set"), (900, "set"), (300, "stands")), shop_with(2))
    assert found[1] == FlipStops("flip stops", True)
    assert found[2] == FlipStops("flip stops", True, away=mm(300))
    assert found[3] == FlipStops("flip stops", False, clear=mm(900))


def test_the_stop_that_a_later_run_finds_standing_is_left_and_the_other_is_moved() -> None:
    """900 is wanted again in run 4: for 450 the one at 300 is moved."""
    found = flip_stops_up(sheet((300, "set"), (900, "set"), (450, "set"), (900, "stands")), shop_with(2))
    assert (found[3].moved, found[3].left) == (300 * MM, mm(900))
    assert found[4] == FlipStops("flip stops", False, away=mm(450))


def test_a_free_stop_is_taken_before_one_is_moved() -> None:
    found = flip_stops_up(sheet((300, "set"), (900, "set"), (450, "set")), shop_with(3))
    assert (found[3].moved, found[3].away, found[3].clear) == (None, mm(300), mm(900))


def test_a_stop_too_near_the_new_place_is_the_one_that_moves() -> None:
    found = flip_stops_up(sheet((400, "set"), (430, "set")), shop_with(3, clearance=60))
    assert (found[2].moved, found[2].left) == (400 * MM, ())


def test_one_stop_alone_needs_no_words() -> None:
    assert flip_stops_up(sheet((400, "set"), (300, "set")), shop_with(1)) == {}


def test_stops_in_the_way_are_drawn_flipped_away_and_the_others_standing() -> None:
    shop, (run,) = shop_with(3), sheet((600, "set"))
    job = Job("a job", (Part("A", "Leg", 4, 600 * MM, 38 * MM, 38 * MM),))
    cut = CutBefore((run,), job)
    (alone,) = draw_groups(run, job, shop, Show.MM, None, cut)
    (drawn,) = draw_groups(run, job, shop, Show.MM, FlipStops("flip stops", True, mm(300), mm(900)), cut)
    assert "flipped" not in alone
    assert drawn.count('class="stop stands flipped"') == 1 and drawn.count('class="stop stands away"') == 1
    assert "flipped away" in drawn  # said in words too
