"""Several jobs worked as one: the same stop once for all, every board, strip and piece one job's, and found again."""

from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import combinations

import pytest
from hypothesis import given, settings
from tests.builders import a_board, a_job, a_part, a_shop, settings_made
from tests.conftest import ROOT
from tests.plan.test_plan_checked import jobs
from tests.shop.facts import facts_of
from tests.shop.ledger import Facts, check_ledger

from stopwright.errors import StopwrightError
from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Kind, Made
from stopwright.model.stations import Shop, Station
from stopwright.model.whose import mark_for, own_name
from stopwright.plan.operations.groove import Groove
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Move, RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.together import Member, job_together, own_sheet, plan_together, whose

FOLDERS = {
    path.parent.name: path.parent
    for path in sorted((ROOT / "fixtures").glob("*/job.toml"))
    if path.parent.name != "library-drawers"  # part by part: it is worked with none of the others
}


def together(*jobs: Job) -> tuple[Member, ...]:
    """The jobs as members, the first number 3, the others beyond it."""
    return tuple(Member(str(number), job) for number, job in zip((3, 33, 4), jobs, strict=False))


def facts(members: tuple[Member, ...], shop: Shop) -> Facts:
    """What is known of all of them: each job's own facts, under its marks among the others."""
    found = [(one.number, facts_of(one.job, shop)) for one in members]
    longest = [each.longest for _, each in found if each.longest is not None]
    return replace(
        found[0][1],
        parts={mark_for(number, mark): part for number, each in found for mark, part in each.parts.items()},
        stock=[row for _, each in found for row in each.stock],
        bow=[bow for _, each in found for bow in each.bow],
        panels={
            mark_for(number, mark): (strips, mark_for(number, panel))
            for number, each in found
            for mark, (strips, panel) in each.panels.items()
        },
        longest=max(longest) if longest else None,
    )


def books(sheet: RunSheet, members: tuple[Member, ...], shop: Shop) -> list[str]:
    return check_ledger(run_sheet_json(sheet, Show.MM), facts(members, shop))


@cache  # a whole job is one of many pairs
def by_itself(name: str, lengths: str) -> RunSheet:
    return make_plan(read_job(FOLDERS[name]), default_shop(lengths))


@cache
def both(names: tuple[str, str]) -> tuple[tuple[Member, ...], Shop, RunSheet]:
    pair = [read_job(FOLDERS[name]) for name in names]
    shop, members = default_shop(pair[0].lengths), together(*pair)
    return members, shop, plan_together(members, "both", shop)


@pytest.mark.parametrize("names", list(combinations(FOLDERS, 2)), ids=" and ".join)
def test_the_books_of_two_whole_jobs_add_up_and_they_never_take_more_settings_than_one_by_one(
    names: tuple[str, str],
) -> None:
    members, shop, sheet = both(names)
    assert books(sheet, members, shop) == []
    alone = [by_itself(name, shop.lengths) for name in names]
    assert settings_made(sheet.runs) == sheet.settings.made
    # a saw that one job leaves turned is set back to square for the other, which neither needs alone
    assert to_places(sheet) <= sum(map(to_places, alone))


def to_places(sheet: RunSheet) -> int:
    """The settings of a sheet but for those that only turn a gauge or blade back to square."""
    back = sum(stop.is_set_back and stop.move is Move.SET for run in sheet.runs for stop in run.stops)
    return sheet.settings.made - back


@settings(deadline=None, max_examples=25)
@given(jobs(), jobs())
def test_the_books_of_any_two_jobs_add_up(one: Job, other: Job) -> None:
    shop, other = a_shop(), replace(other, flow=one.flow)
    members = together(one, other)
    assert books(plan_together(members, "both", shop), members, shop) == []


@pytest.mark.parametrize("names", list(combinations(FOLDERS, 2)), ids=" and ".join)
def test_each_job_finds_its_own_pieces_boards_and_strips_as_in_a_plan_of_its_own(names: tuple[str, str]) -> None:
    members, shop, sheet = both(names)
    for name, one in zip(names, members, strict=True):
        alone, own = by_itself(name, shop.lengths), own_sheet(sheet, members, one.number)
        assert [replace(layout, whose="") for layout in own.wood.layouts] == list(alone.wood.layouts)
        assert _cut_free(own, one.number) == _cut_free(alone, one.number)
        assert {run.id for run in own.runs if not run.stops} == {run.id for run in alone.runs if not run.stops}


def _cut_free(sheet: RunSheet, number: str) -> Counter[tuple[str, str, int]]:
    """What comes off the saw as something new, by its own name."""
    return Counter(
        (run.work, own_name(number, lot.name), lot.count)
        for run in sheet.runs
        if run.work in ("rip", "crosscut")
        for lot in run.cut_free
        if lot.form != "offcut"
    )


def test_one_setting_serves_both_jobs_and_says_whose_pieces_it_cuts() -> None:
    # widths 60 and 38 in both, lengths 450 and 300 in one, 450 and 244 in the other: 2 + 3 settings at the saw
    one = a_job(a_part("A", 4, (450, 60, 22)), a_part("B", 2, (300, 38, 22)), stock=(a_board(3),))
    other = a_job(a_part("A", 6, (450, 38, 22)), a_part("B", 2, (244, 60, 22)), stock=(a_board(3),))
    members = together(one, other)
    sheet = plan_together(members, "both", a_shop())
    at_the_saw = [run for run in sheet.runs if run.station == "saw"]
    assert settings_made(at_the_saw) == 5
    same = next(run for run in at_the_saw if run.work == "crosscut" and run.stops[0].target == 450_000_000)
    assert [(one.mark, one.count) for one in same.pieces] == [("#3·A", 4), ("#33·A", 6)]
    assert whose(same, ("3", "33")) == ("3", "33")
    assert {layout.chalk[: layout.chalk.index("·")] for layout in sheet.wood.layouts} == {"#3", "#33"}


def test_what_an_identity_says_of_a_job_is_its_own_again_when_it_is_looked_at_alone() -> None:
    # A panel is glued in a run that is named after its mark, and a moulding by its own.
    bench = Station("bench", ("glue",))
    top = a_part("A", 1, (800, 300, 20), made=Made.PANEL)
    shop = a_shop(*a_shop().stations, bench)
    one, other = a_job(top, a_part("B"), stock=(a_board(9),)), a_job(top, stock=(a_board(9),))
    members = together(one, other)
    sheet = plan_together(members, "both", shop)
    assert books(sheet, members, shop) == []
    glued = [run for run in sheet.runs if run.work == "glue"]
    assert [whose(run, ("3", "33")) for run in glued] == [("3",), ("33",)] and glued[0].id != glued[1].id
    alone = next(run for run in make_plan(other, shop).runs if run.work == "glue")
    own = next(run for run in own_sheet(sheet, members, "33").runs if run.work == "glue")
    assert own.id == alone.id


def test_cuts_name_the_parts_of_their_own_job() -> None:
    groove = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=10_000_000, fits="B", depth=6_000_000)
    job = a_job(a_part("A", 4), a_part("B", 1, (400, 200, 6), kind=Kind.SHEET, grain=Grain.ALONG), cuts=(groove,))
    joined = job_together(together(job, job), "both")
    assert [(cut.mark, cut.parts, next(cut.others())) for cut in joined.cuts] == [
        ("#3·G1", ("#3·A",), ("fits", "#3·B")),
        ("#33·G1", ("#33·A",), ("fits", "#33·B")),
    ]


def test_a_mark_that_leaves_no_room_for_the_number_of_its_job_is_refused_in_words() -> None:
    job = a_job(a_part("A" * 39))
    with pytest.raises(StopwrightError, match="too long to be told apart") as refused:
        job_together(together(job, a_job()), "both")
    assert refused.value.where == "job 3" and refused.value.next_step == "shorten it to 37 signs or fewer"


def test_nothing_is_said_of_a_job_alone_when_it_is_one_of_several() -> None:
    wide = a_job(a_part("A", 3, (400, 300, 22)), units=2, stock=(a_board(5),))
    sheet = plan_together(together(wide, a_job(stock=(a_board(),))), "both", a_shop())
    said = [warning.about for warning in sheet.warnings if "wider than any board" in warning.text]
    assert said == ["job 3, A"]
    assert [warning.about for warning in sheet.warnings if "for 2 units" in warning.text] == ["job 3, A"]
