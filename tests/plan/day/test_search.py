"""Batches put into the day: worked by hand, every order tried, whole-number programs, and what always holds."""

import random

import pytest
from hypothesis import given, settings
from tests.plan.day.day_builders import BODIES, HOURS, MIN, batches, faults_of, glue_up, run

from stopwright.plan.day.activities import Activity, Body, Work
from stopwright.plan.day.bound import soonest
from stopwright.plan.day.hours import DAY, hours_of
from stopwright.plan.day.search import put_into_the_day
from stopwright.plan.day.timing import Standing, at_first, in_order, is_next, steps
from stopwright.plan.effort import Steps
from stopwright.plan.programs import Column, solve_whole


def clock(seconds: int) -> str:
    day, rest = divmod(seconds, DAY)
    return f"{day + 1} {rest // 3600:02}:{rest // 60 % 60:02}"


def best_by_trying(work: Work, changes_first: bool) -> tuple[int, int]:
    """The best of every order and every choice of clamps."""
    found: list[tuple[int, int]] = []

    def onward(standing: Standing) -> None:
        if standing.counts == tuple(map(len, work.lines)):
            both = (standing.done, standing.changing)
            found.append(both[::-1] if changes_first else both)
        for line, places in enumerate(work.lines):
            if standing.counts[line] < len(places) and is_next(work, standing, places[standing.counts[line]]):
                for _, after in steps(work, standing, line):
                    onward(after)

    onward(at_first(work))
    return min(found)


def test_while_the_glue_sets_the_next_run_is_worked():
    work = Work((glue_up("glue", 10, 45), run("saw", 30), run("plane", 20, after=[("glue", 45)])), HOURS)
    found = put_into_the_day(work)
    # 7:30 glue, 7:40 saw, 8:10 nothing to do until the glue has set at 8:25, planed at 8:45
    assert [(one.id, clock(one.begin)) for one in found.timed] == [
        ("glue", "1 07:30"), ("saw", "1 07:40"), ("plane", "1 08:25")
    ]  # fmt: skip
    assert clock(found.done) == "1 08:45" and found.proven


def test_nothing_is_glued_that_would_not_be_closed_before_the_break():
    work = Work((run("saw", 145), glue_up("glue", 10, 45, after=[("saw", 0)])), HOURS)
    found = put_into_the_day(work)
    # 7:30 + 145 = 9:55; ten minutes would end at 10:05, the break begins at 10:00
    assert [clock(one.begin) for one in found.timed] == ["1 07:30", "1 10:15"]


def test_clamps_stay_on_overnight():
    work = Work((run("saw", 480), glue_up("glue", 10, 45, after=[("saw", 0)])), HOURS)
    found = put_into_the_day(work)
    # 480 of 495 minutes are over at 16:15
    assert (clock(found.timed[1].begin), clock(found.done)) == ("1 16:15", "1 17:10")


def test_rounds_of_clamps_are_the_bound_where_they_are_few():
    ups = [glue_up(f"g{number}", 10, 45, clamps=2, line="g") for number in range(6)]
    found = put_into_the_day(Work(tuple(ups), HOURS, clamps=((0, 4),)))
    # two at once; 7:30 and 7:40; clamps of the first come free at 8:25: 8:25 and 8:35, 9:20 and 9:30, free at 10:25
    assert clock(found.done) == "1 10:25"
    # three rounds, each 55 minutes: 7:30 + 165 = 10:15 is what the bound sees; every order was looked at
    assert clock(soonest(Work(tuple(ups), HOURS, clamps=((0, 4),)))) == "1 10:15"
    assert found.proven and found.whole


def test_small_clamps_go_first_so_that_the_large_ones_stay_free():
    small, large = glue_up("small", 10, 120, opening=300), glue_up("large", 10, 120, opening=600)
    found = put_into_the_day(Work((small, large), HOURS, clamps=((400, 1), (800, 1))))
    assert {one.id: one.clamps for one in found.timed} == {"small": (1, 0), "large": (0, 1)}
    assert clock(found.done) == "1 09:50"


def test_it_pays_to_wait_for_a_small_clamp_where_the_large_one_is_needed_after():
    """The large clamp is free at once; who takes it for the small glue-up keeps it two hours from the large one."""
    first = glue_up("first", 10, 10, opening=300)
    small = glue_up("small", 10, 240, opening=300, after=[("first", 0)])
    large = glue_up("large", 10, 240, opening=600, after=[("small", 0)])
    work = Work((first, small, large), HOURS, clamps=((400, 1), (800, 1)))
    found = put_into_the_day(work)
    # first until 7:40, free at 7:50; small waits for that clamp until 8:00, large 8:10, free at 12:10
    assert clock(found.done) == "1 12:10" and found.proven


ROUTES = {"rails": "JPSO", "panel": "JPS PS", "tenons": "PSMS", "stiles": "JPSMO"}
MACHINES = (
    Body(frozenset("JPO"), {(a, b): MIN * (1 if {a, b} == {"J", "P"} else 4) for a in "JPO" for b in "JPO" if a != b}),
    Body(frozenset("SM"), {("S", "M"): 5 * MIN, ("M", "S"): 5 * MIN}),
)


def glue_days() -> Work:
    """Handbook 31.4 as a day: every kind 20 minutes at each station, the panel rests 24 hours in the middle."""
    made = []
    for name, route in ROUTES.items():
        before: list[tuple[str, int]] = []
        for nth, station in enumerate(route):
            if station == " ":
                made.append(glue_up("glue", 10, 45, clamps=0, lies_there=True, after=before))
                before = [("glue", 24 * 60)]
                continue
            made.append(run(f"{name} {nth} {station}", 20, after=before, station=station))
            before = [(made[-1].id, 0)]
    return Work(tuple(made), HOURS, bodies=MACHINES)


def visited(work: Work, visits: str) -> list[str]:
    """Whatever can be done at each visit, one visit after the other; the panel is glued as soon as it can be."""
    order: list[str] = []
    for nth, station in enumerate(visits):
        has_rested = nth == visits.rindex(station)
        for one in [*work.activities] * 2:
            rests = any(lag for _, lag in one.after)
            is_here = (one.station == station and (has_rested or not rests)) or one.id == "glue"
            if is_here and one.id not in order and all(id_ in order for id_, _ in one.after):
                order.append(one.id)
    return order


def test_glue_days_mortising_today_for_four_minutes_more_or_behind_the_panel_tomorrow():
    """J P S M P O S changes over for 15 minutes and mortises when the panel has rested; J P S M O | P S takes 19."""
    work = glue_days()
    order = {visits: in_order(work, visited(work, visits)) for visits in ("JPSMPOS", "JPSMOPS")}
    changing = {visits: standing.changing // MIN for visits, (_, standing) in order.items()}
    assert changing == {"JPSMPOS": 15, "JPSMOPS": 19}
    mortised = {
        visits: {one.end // DAY for one in timed if one.id.endswith("O")} for visits, (timed, _) in order.items()
    }
    assert mortised == {"JPSMPOS": {1}, "JPSMOPS": {0}}
    fewest, quickest = put_into_the_day(work, changes_first=True), put_into_the_day(work)
    assert fewest.changing == 15 * MIN and quickest.proven
    assert quickest.done <= order["JPSMOPS"][1].done < order["JPSMPOS"][1].done
    assert quickest.done < fewest.done <= order["JPSMPOS"][1].done
    assert faults_of(work, fewest.timed) == faults_of(work, quickest.timed) == []


def test_what_a_changeover_loses_is_set_again_and_counts():
    height = ("A", "height", 40)
    plane = Activity("plane", 10 * MIN, "A", station="A", sets=frozenset([height]))
    again = Activity("again", 10 * MIN, "A", station="A", stands=((height, 3 * MIN),), sets=frozenset([height]))
    between = run("joint", 10, station="B")
    body = Body(frozenset("AB"), {("A", "B"): 60, ("B", "A"): 60}, {("B", "A"): {"height"}})
    work = Work((plane, between, again), HOURS, bodies=(body,))
    _, standing = in_order(work, ["plane", "joint", "again"])
    assert standing.changing == 2 * MIN + 3 * MIN
    assert put_into_the_day(work, changes_first=True).changing == MIN


@settings(max_examples=150, deadline=None)
@given(batches())
def test_no_rule_is_broken_and_the_bound_is_no_more_than_the_answer(work):
    for changes_first in (False, True):
        found = put_into_the_day(work, changes_first=changes_first)
        assert faults_of(work, found.timed) == []
        assert found.least <= found.done == max(one.free for one in found.timed)
        hasty = put_into_the_day(work, effort=Steps(0), changes_first=changes_first)
        assert faults_of(work, hasty.timed) == [] and hasty.least <= found.done


@settings(max_examples=60, deadline=None)
@given(batches(5))
def test_no_order_of_all_is_better_and_the_bound_holds_for_each(work):
    for changes_first in (False, True):
        found = put_into_the_day(work, changes_first=changes_first)
        both = (found.done, found.changing)
        assert (both[::-1] if changes_first else both) == best_by_trying(work, changes_first)
        assert soonest(work) <= best_by_trying(work, False)[0]


SLOT = 10 * MIN
ONE_STRETCH = hours_of([(480, 600), (620, 720)])


def by_program(work: Work, slots: int) -> int:
    """When a batch of whole activities is done at the soonest, by a whole-number program over slots of ten minutes."""
    columns: list[list[tuple[int, float]]] = []
    costs: list[float] = []
    rows: list[tuple[float, float]] = []
    starts: dict[tuple[str, int], int] = {}
    for one in work.activities:
        rows.append((1, 1))
        for slot in range(slots):
            begin, end = slot * SLOT, slot * SLOT + one.seconds
            inside = any(
                day * DAY + a <= begin and end <= day * DAY + b for day in range(3) for a, b in work.hours.stretches
            )
            if inside:
                starts[one.id, slot] = len(columns)
                columns.append([(len(rows) - 1, 1.0)])
                costs.append(0.0)
    done = len(columns)  # the slot in which the last is free
    columns.append([])
    costs.append(1.0)

    def row(least: float, greatest: float, entries: dict[int, float]) -> None:
        for column, factor in entries.items():
            columns[column].append((len(rows), factor))
        rows.append((least, greatest))

    of = {one.id: one for one in work.activities}
    for one in work.activities:
        mine = {column: float(slot) for (id_, slot), column in starts.items() if id_ == one.id}
        row(0, 1e6, {done: 1.0, **{column: -slot - (one.seconds + one.held) // SLOT for column, slot in mine.items()}})
        for id_, lag in one.after:
            theirs = {column: -float(slot) for (name, slot), column in starts.items() if name == id_}
            row((of[id_].seconds + lag) // SLOT, 1e6, mine | theirs)
    for slot in range(slots):
        here, clamped, lying = {}, {}, {}
        for (id_, start), column in starts.items():
            one = of[id_]
            if start <= slot < start + one.seconds // SLOT:
                here[column] = 1.0
            if start <= slot < start + (one.seconds + one.held) // SLOT:
                clamped[column] = float(one.clamps)
                lying[column] = float(one.lies_there)
        row(0, 1, here)
        if work.clamps:
            row(0, work.clamps[0][1], clamped)
        if work.places:
            row(0, work.places, lying)
    made = [
        Column(cost, tuple(entries), 1.0 if place != done else 1e6, True)
        for place, (cost, entries) in enumerate(zip(costs, columns, strict=True))
    ]
    solved = solve_whole(made, rows, lambda: False)
    assert solved.complete and solved.values is not None
    return solved.values[done] * SLOT


@pytest.mark.parametrize("seed", range(12))
def test_a_whole_number_program_finds_nothing_sooner(seed):
    """One kind of clamps, so that the program need not tell which; all of it whole, in slots of ten minutes."""
    chance = random.Random(seed)
    made: list[Activity] = []
    for number in range(7):
        after = [(one.id, chance.choice((0, 0, 60))) for one in made if chance.random() < 0.25]
        minutes = 10 * chance.randint(1, 6)
        if chance.random() < 0.4:
            one = run(f"r{number}", minutes, after=after)
            made.append(Activity(one.id, one.seconds, one.line, after=one.after, whole=True))
        else:
            held = 10 * chance.randint(3, 9)
            made.append(glue_up(f"g{number}", minutes, held, chance.randint(1, 3), after=after, lies_there=True))
    work = Work(tuple(made), ONE_STRETCH, ((0, 4),), chance.choice((0, 2)))
    found = put_into_the_day(work)
    assert faults_of(work, found.timed) == [] and found.proven
    assert found.done == by_program(work, 2 * DAY // SLOT)


def test_a_batch_of_two_hundred_is_put_into_the_day_by_as_many_steps_as_it_is_given():
    chance = random.Random(5)
    made = [run(f"r{n}", chance.randint(1, 9), f"line {n % 6}", station="AB"[n % 6 % 2]) for n in range(120)]
    made += [glue_up(f"g{n}", 8, 45, 2, f"stage {n % 2}", after=[(f"r{n}", 0)]) for n in range(80)]
    work = Work(tuple(made), HOURS, ((0, 8),), bodies=BODIES)
    asked = []

    def effort() -> bool:
        asked.append(1)
        return len(asked) > 4000

    found = put_into_the_day(work, effort=effort)
    assert faults_of(work, found.timed) == [] and len(asked) < 8000
    assert found.least <= found.done <= 1.1 * found.least
