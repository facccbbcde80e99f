"""The bound of a sheet's settings: never above what some order makes, whatever may stand over from stage to stage."""

from dataclasses import replace
from itertools import combinations, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import mm

from stopwright.model.machines import Machine, Share
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.effort import Steps
from stopwright.plan.operations.operation import Setup, Setups, Stage
from stopwright.plan.ordering.settings_bound import least_settings, of_what_is_left
from stopwright.plan.run_sheet import Move, Run, Stop
from stopwright.plan.schedule import schedule
from stopwright.plan.stations.moves import NOTHING, settle_moves

STAGES = (Stage.ACROSS, Stage.ALONG, Stage.ENDS)
ROLES = {"fence": "width", "height": "blade height"}


def a_shop(fences: int = 1, heights: int = 1) -> Shop:
    axes = (Axis("fence", "width", holds=fences), Axis("height", "blade height", holds=heights))
    return Shop("Ours", (Station("saw", ("groove",), axes),))


def a_setup(number: int, stage: Stage, **places: int) -> Setup:
    stops = tuple(Stop(name, ROLES[name], mm(at), mm(at), Move.SET) for name, at in places.items())
    return Setup(stage, (Run(0, "saw", "groove", stops, (), lot=f"setup {number}"),))


def made(setups: list[Setup], shop: Shop) -> int:
    runs = settle_moves([run for setup in setups for run in setup.runs], shop, NOTHING)
    return sum(stop.move is Move.SET for run in runs for stop in run.stops)


def fewest(setups: list[Setup], shop: Shop) -> int:
    """Every order tried that keeps the stages."""
    by_stage = [permutations([one for one in setups if one.stage is stage]) for stage in STAGES]
    return min(made([one for here in order for one in here], shop) for order in product(*by_stage))


def bound_of(setups: list[Setup], shop: Shop) -> int:
    return least_settings(schedule([Setups(tuple(setups))], shop, Steps(50), NOTHING), shop, NOTHING)


def test_what_only_a_later_stage_of_one_order_has_in_common_with_an_earlier_one_is_taken_off_the_bound():
    """Fence 10, then 20, where it stands for the last stage too, and one height: 2 + 1 settings, not 2 + 2."""
    setups = [
        a_setup(1, Stage.ACROSS, fence=10),
        a_setup(2, Stage.ACROSS, fence=20),
        a_setup(3, Stage.ALONG, height=5),
        a_setup(4, Stage.ENDS, height=5, fence=20),
    ]
    shop = a_shop()
    visits = schedule([Setups(tuple(setups))], shop, Steps(50), NOTHING)
    assert [visit.least for visit in visits] == [2, 2, 0]
    assert made(setups, shop) == fewest(setups, shop) == 3
    assert least_settings(visits, shop, NOTHING) == 3


@pytest.mark.parametrize(
    ("fences", "again", "settings"),
    # four fences and one height; what stood at the end of the four is not set again, as many as stand at once
    [(1, (2, 3, 4), 4 + 1 + 2), *((2, pair, 4 + 1) for pair in combinations(range(1, 5), 2))],
)
def test_as_much_may_stand_over_for_a_later_stage_as_the_stop_holds(fences, again, settings) -> None:
    first = [a_setup(at, Stage.ACROSS, fence=at) for at in range(1, 5)]
    later = [a_setup(4 + at, Stage.ENDS, height=5, fence=at) for at in again]
    setups = [*first, a_setup(9, Stage.ALONG, height=5), *later]
    shop = a_shop(fences)
    assert bound_of(setups, shop) == fewest(setups, shop) == settings


NEEDS = st.fixed_dictionaries({}, optional={name: st.integers(1, 3) for name in ROLES})


@settings(deadline=None, max_examples=150)
@given(st.lists(st.tuples(st.sampled_from(STAGES), NEEDS), min_size=1, max_size=7), st.integers(1, 2))
def test_no_order_makes_fewer_settings_than_the_bound(asked, holds):
    setups = [a_setup(number, stage, **places) for number, (stage, places) in enumerate(asked)]
    shop = a_shop(fences=holds)
    assert bound_of(setups, shop) <= fewest(setups, shop)


def test_runs_of_a_later_stage_that_fall_away_lower_the_bound_of_their_order():
    setups = [a_setup(1, Stage.ALONG, height=5), a_setup(2, Stage.ENDS, height=5, fence=10)]
    shop = a_shop()
    visits = schedule([Setups(tuple(setups))], shop, Steps(50), NOTHING)
    assert least_settings(visits, shop, NOTHING) == 2
    left = of_what_is_left(visits, setups[0].runs, shop, NOTHING)
    assert least_settings(left, shop, NOTHING) == 1
    stood = {"saw": {"height": {mm(5)}}}
    assert least_settings(of_what_is_left(visits, setups[0].runs, shop, stood), shop, stood) == 0


def test_a_stop_that_two_stations_read_is_set_once_for_both():
    one = a_shop().stations[0]
    other = replace(one, name="spindle")
    share = Share("fence", ("saw", "spindle"))
    shop = Shop("Ours", (one, other), machines=(Machine("both", ("saw", "spindle"), 5, (), (share,)),))
    setups = [a_setup(1, Stage.ALONG, fence=10), a_setup(2, Stage.ALONG, fence=20)]
    there = Setup(Stage.ALONG, (replace(setups[0].runs[0], station="spindle"),))
    visits = schedule([Setups((*setups, there))], shop, Steps(50), NOTHING)
    assert sum(visit.least for visit in visits) == 3
    assert least_settings(visits, shop, NOTHING) == 2 == made([setups[1], setups[0], there], shop)
