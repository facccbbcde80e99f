"""What holds for every kind of cut: bounds, proofs, brute force, lines in any order, and mirror images."""

from collections import defaultdict
from collections.abc import Hashable, Sequence
from itertools import permutations

import pytest
from hypothesis import HealthCheck, Phase, find, given, settings
from hypothesis import strategies as st
from tests.builders import mm, settings_made
from tests.plan.any_cut import PARTS, any_cut, any_cuts, job_of, mirrored

from stopwright.intake.shop_file import default_shop
from stopwright.model.cuts import Cut
from stopwright.model.joints import Side
from stopwright.model.stations import Shop, Station
from stopwright.plan.effort import Steps
from stopwright.plan.operations.known import CUTS, OPERATIONS
from stopwright.plan.operations.operation import Setup, Setups, Task
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.schedule import schedule
from stopwright.plan.stations.moves import NOTHING, places_of
from stopwright.plan.timber.wood import plan_wood

SHOP = default_shop()
WOOD = plan_wood(PARTS, (), SHOP)
QUIET = settings(deadline=None, max_examples=50, suppress_health_check=list(HealthCheck))
MOST_TRIED = 6


def planned(cuts: Sequence[Cut], parts=PARTS) -> RunSheet:
    return make_plan(job_of(tuple(cuts), parts), SHOP, effort=Steps(60))


def setups_of(kind: str, cuts: tuple[Cut, ...]) -> Setups:
    """What the operation of one kind wants done for these cuts."""
    job = job_of(cuts)
    operation = next(one for one in OPERATIONS.values() if CUTS[kind] in one.asked)
    return operation.setups(Task(job, job.parts, WOOD, SHOP, job.flow))


@pytest.mark.parametrize("kind", CUTS)
def test_every_kind_is_among_those_that_are_drawn_and_made(kind):
    """Else what follows would say nothing of it."""
    find(
        any_cut(kind, "X1"),
        lambda cut: bool(setups_of(kind, (cut,)).setups),
        settings=settings(
            deadline=None, max_examples=2000, phases=[Phase.generate], suppress_health_check=list(HealthCheck)
        ),
    )


@QUIET
@given(any_cuts())
def test_no_plan_makes_fewer_settings_than_its_bound_and_only_then_is_it_proven(cuts):
    of_all = planned(cuts).settings
    assert of_all.least_possible <= of_all.made
    assert not of_all.proven or of_all.made == of_all.least_possible


@QUIET
@given(any_cuts(), st.randoms(use_true_random=False))
def test_the_same_cuts_and_parts_in_another_order_give_the_same_sheet(cuts, order):
    parts, other = list(PARTS), list(cuts)
    order.shuffle(parts)
    order.shuffle(other)
    one, two = planned(cuts), planned(other, tuple(parts))
    assert one.settings == two.settings
    assert [run.id for run in one.runs] == [run.id for run in two.runs]
    assert sorted(map(str, one.faults)) == sorted(map(str, two.faults))


def test_an_end_rebate_shares_the_cutter_of_an_edge_rebate_whichever_is_listed_first():
    along, across = (
        Rebate(mark=mark, parts=("A",), side=Side.FACE, edge=edge, width=mm(3.2), depth=mm(3.2))
        for mark, edge in (("X1", Side.EDGE), ("X2", Side.MARKED_END))
    )
    one, two = planned((along, across)), planned((across, along))
    assert one.settings == two.settings and [run.id for run in one.runs] == [run.id for run in two.runs]


@QUIET
@given(any_cuts())
def test_the_mirror_image_of_all_cuts_takes_as_many_settings(cuts):
    one, two = planned(cuts), planned([mirrored(cut) for cut in cuts])
    assert len(one.faults) == len(two.faults)
    if one.settings.proven and two.settings.proven:
        assert one.settings.made == two.settings.made


@QUIET
@given(any_cuts(2))
def test_no_order_of_a_few_setups_makes_fewer_settings(cuts):
    """Every order that keeps what must come before, tried by hand; stops that hold several keep the best ones."""
    for kind in {cut.kind for cut in cuts}:
        asked = setups_of(kind, cuts)
        if not 0 < len(asked.setups) <= MOST_TRIED:
            continue
        visits = schedule([asked], SHOP, Steps(400), NOTHING)
        runs = [run for visit in visits for run in visit.runs]
        made = fewest([*in_working_order(asked.setups, runs)], SHOP)
        best = min(fewest(list(one), SHOP) for one in permutations(asked.setups) if keeps(one, asked))
        least = sum(visit.least for visit in visits)
        assert least <= best <= made
        if all(visit.proven for visit in visits):
            assert made == best


def keeps(order: Sequence[Setup], asked: Setups) -> bool:
    """Whether each station works its stages one after the other, and all that must come before does."""
    place = {id(setup): number for number, setup in enumerate(order)}
    stages = defaultdict(list)
    for setup in order:
        stages[setup.runs[0].station].append(setup.stage)
    before = ((asked.setups[a], asked.setups[b]) for a, b in asked.before)
    return all(here == sorted(here) for here in stages.values()) and all(
        place[id(one)] < place[id(two)] for one, two in before
    )


def in_working_order(setups: Sequence[Setup], runs) -> list[Setup]:
    ids = [run.id for run in runs]
    return sorted(setups, key=lambda setup: ids.index(setup.runs[0].id))


def fewest(order: Sequence[Setup], shop: Shop) -> int:
    """Settings of setups in this order, station by station and stop by stop."""
    made = 0
    for station in shop.stations:
        here = [setup for setup in order if setup.runs[0].station == station.name]
        for axis in station.axes:
            needs = [_places(setup, station).get(axis.name, set()) for setup in here]
            made += _loads([need for need in needs if need], axis.holds)
    return made


def _places(setup: Setup, station: Station):
    return places_of([stop for run in setup.runs for stop in run.stops], station)


def _loads(needs, holds: int) -> int:
    """By trying what to keep: the least number of positions that are set over a row of needs."""
    best: dict[frozenset[Hashable], int] = {frozenset(): 0}
    for need in needs:
        after: dict = {}
        for stands, made in best.items():
            cost = made + len(need - stands)
            rest = sorted(stands - need, key=str)
            for keep in range(len(rest) + 1):
                for kept in permutations(rest, keep):
                    state = frozenset(need) | frozenset(kept)
                    if len(state) <= holds:
                        after[state] = min(after.get(state, cost), cost)
        best = after
    return min(best.values(), default=0)


def test_brute_force_counts_as_one_does_by_hand():
    assert _loads([{1}, {2}, {1}], 1) == 3
    assert _loads([{1}, {2}, {1}], 2) == 2
    assert settings_made(planned([]).runs) == planned([]).settings.made
