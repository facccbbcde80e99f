"""A mortiser that reads both end stops and the travel on one scale, from left to right."""

from dataclasses import replace

from tests.builders import a_part, at_length, fitted, mm
from tests.plan.alone import plan_mortises
from tests.plan.joint_builders import a_bench_shop, a_frame, a_joint, a_mortiser
from tests.plan.solid_check import complaints

from stopwright.model.stations import Shop
from stopwright.plan.joinery.at_the_slot import at_the_slot
from stopwright.plan.run_sheet import Move, Run
from stopwright.store.run_fold import corrected_reading

JOB = a_frame(
    a_joint("J1", "far edge", slot_from=20, slot_to=60, setback=3),
    a_joint("J2", "back", rail="C", slot_from=20, slot_to=60, setback=3),
    parts=(a_part("C", 2, (300, 70, 20)),),
)


def a_shop_with(one_scale: bool) -> Shop:
    return a_bench_shop(fitted(a_mortiser(), one_scale=one_scale))


def planned(one_scale: bool) -> tuple[Run, ...]:
    shop = a_shop_with(one_scale)
    return plan_mortises(JOB, shop, shop.stations[0]).runs


def places(run: Run) -> dict[str, int]:
    return {stop.sets: at_length(stop.target) for stop in run.stops}


def test_the_travel_of_the_left_stop_serves_the_right_one_which_stands_beyond_the_slot() -> None:
    runs = planned(True)
    right = [run for run in runs if run.pieces[0].at == "right"]
    assert right and complaints(JOB, runs) == []
    for run in right:
        at = places(run)
        assert at["end stop right"] > at["travel to"]
        assert "counted from the right-hand stop" not in run.note
    travels = {(places(run)["travel from"], places(run)["travel to"]) for run in runs}
    own = {(places(run)["travel from"], places(run)["travel to"]) for run in planned(False)}
    assert travels == own


def test_no_more_stops_are_set_than_where_the_right_one_counts_its_own_way() -> None:
    made = [sum(stop.move is Move.SET for run in planned(one) for stop in run.stops) for one in (True, False)]
    assert made[0] <= made[1] + 1


def test_what_a_slot_is_off_leads_back_to_the_stops_though_they_count_the_other_way() -> None:
    """A slot made with a stop 0.6 mm off is measured at the piece; the corrected reading is the true one."""
    run = next(run for run in planned(True) if run.pieces[0].at == "right")
    measured = at_the_slot(run)
    for sets in ("travel from", "travel to"):
        stop = next(stop for stop in run.stops if stop.sets == sets)
        off, target = mm(0.6), at_length(stop.target)
        moved = (replace(one, target=target + off) if one is stop else one for one in run.stops)
        wrong = replace(run, stops=tuple(moved))
        found = at_the_slot(wrong)[sets].wanted - measured[sets].wanted  # what a rule says there
        assert abs(found) == off
        again = corrected_reading(target + off, target, target + found, measured[sets].outboard)
        assert again == target


def test_the_start_of_a_slot_is_measured_where_the_travel_ends() -> None:
    run = next(run for run in planned(True) if run.pieces[0].at == "right")
    measured = at_the_slot(run)
    assert measured["travel to"].what.startswith("start of the slot")
    assert measured["travel to"].wanted < measured["travel from"].wanted
    bit = places(run)["bit"]
    length = places(run)["travel to"] - places(run)["travel from"] + bit
    assert measured["travel from"].wanted - measured["travel to"].wanted == length
