"""A whole job on one combination machine: its books, and what stands and is changed over run by run."""

from pathlib import Path

import pytest
from tests.conftest import ROOT
from tests.shop.facts import facts_of
from tests.shop.ledger import check_ledger

from stopwright.actions.jobs.file_planning import Planned, plan_file
from stopwright.intake.shop_file import read_shop
from stopwright.lengths import Show
from stopwright.plan.run_sheet import Move, Position
from stopwright.plan.run_sheet_json import run_sheet_json

FOLDER: Path = ROOT / "fixtures" / "one-machine"


@pytest.fixture(scope="module")
def planned() -> Planned:
    return plan_file(FOLDER, read_shop(FOLDER / "shop.toml"))


def test_twenty_lines_and_two_hundred_pieces_are_worked_as_printed(planned):
    assert (len(planned.job.parts), sum(part.quantity for part in planned.job.parts)) == (20, 200)
    assert check_ledger(run_sheet_json(planned.sheet, Show.MM), facts_of(planned.job, planned.shop)) == []
    assert planned.sheet.faults == ()


def test_the_machine_is_changed_over_as_seldom_as_any_order_of_the_visits_allows(planned):
    """31 min: 2 to the planer, 2 to the saw, 6 to the spindle for what is moulded long, 5 back, 2, 2 and 2 for the
    panels (jointer, planer, saw), 4 to the mortiser, 6 to the spindle. Stage by stage, the tenons after the grooves
    of the spindle, it would be 36.
    """
    (machine,) = planned.sheet.machines
    assert [(change.from_, change.to) for _, change in machine.changes] == [
        ("jointer", "planer"), ("planer", "saw"), ("saw", "spindle"), ("spindle", "saw"), ("saw", "jointer"),
        ("jointer", "planer"), ("planer", "saw"), ("saw", "mortiser"), ("mortiser", "spindle"),
    ]  # fmt: skip
    assert (machine.minutes, machine.least, machine.proven, machine.usual_minutes) == (31, 31, True, 36)


def test_run_by_run_nothing_stands_that_a_changeover_has_lost(planned):
    """The machine in a test: what it stands ready for, and where its stops were set and not lost since."""
    ready = ""
    stands: set[tuple[str, str, Position]] = set()
    (machine,) = planned.shop.machines
    sets = {(one.name, axis.name): axis.sets for one in planned.shop.stations for axis in one.axes}
    holds = {(one.name, axis.name): axis.holds for one in planned.shop.stations for axis in one.axes}
    for run in planned.sheet.runs:
        if run.station in machine.stations:
            if run.change:
                assert (run.change.from_, run.change.to) == (ready, run.station)
                stands = {one for one in stands if sets[one[:2]] not in run.change.lost}
            else:
                assert ready in ("", run.station)
            ready = run.station
        for stop in run.stops:
            place = (run.station, stop.axis, stop.place)
            if stop.move is Move.STANDS:
                assert place in stands
            elif holds[place[:2]] == 1:
                stands = {one for one in stands if one[:2] != place[:2]}
            stands.add(place)


def test_every_changeover_leaves_alone_what_a_later_run_finds_so(planned):
    for run in planned.sheet.runs:
        for stop, number in run.change.stands if run.change else ():
            later = planned.sheet.runs[number - 1]
            assert number >= run.number
            assert any((one.axis, one.place, one.move) == (stop.axis, stop.place, Move.STANDS) for one in later.stops)
