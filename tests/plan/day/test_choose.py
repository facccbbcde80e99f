"""Run sheets in the hours of a shop: nothing timed without a day, no rule broken, two orders where they differ."""

import json
from collections import Counter
from dataclasses import replace
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator
from tests.builders import mm
from tests.conftest import ROOT
from tests.plan.assembling.test_loose_parts import a_door
from tests.plan.day.day_checker import faults_of_day

from stopwright.intake.job_file import job_from_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import format_length
from stopwright.model.day import Clamps, Day
from stopwright.model.job import Job
from stopwright.model.joints import Joint, Side
from stopwright.model.machines import Change, Machine
from stopwright.model.parts import Made, Part
from stopwright.model.stations import Glue, Shop
from stopwright.model.whose import mark_for
from stopwright.paper.day_text import day_lines
from stopwright.paper.run_sheet_pdf import run_sheet_pdf
from stopwright.paper.run_sheet_text import run_sheet_text
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.choices import Choices
from stopwright.plan.day.timetable import DayOrderName, day_and_time
from stopwright.plan.joinery.tenons import tenon_marks
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.together import Member, own_sheet, plan_together

DAY = Day("07:30", "16:30", ("10:00-10:15", "12:30-13:00"))
KINDS = (Clamps(mm(600), 4), Clamps(mm(1000), 4))
SHOP = replace(default_shop(), day=DAY, clamps=KINDS, bench_places=2)
PLANER_SIDE = Machine(
    "planer side",
    ("jointer", "planer", "mortiser"),
    1,
    tuple(Change(a, b, 4) for a in ("planer", "jointer") for b in ("mortiser",))
    + tuple(Change("mortiser", a, 4) for a in ("planer", "jointer")),
)
TOP = Part("D", "Top", 2, mm(700), mm(500), mm(20), "ash", made=Made.PANEL)
POST, RAIL = Part("A", "Post", 8, mm(700), mm(45), mm(45)), Part("B", "Rail", 8, mm(400), mm(80), mm(22))
JOINT = Joint("J1", "A", "B", Side.EDGE, mm(16), mm(64), mm(8), mm(30), mm(30))
TABLES = Job("Two tables with tops of strips", (TOP, POST, RAIL), units=2, joints=(JOINT,))
FIXTURES = ["bakery-stools", "library-drawers", "hall-bench", "ferry-tables", "jar-cabinet", "one-machine"]


def checked(sheet: RunSheet, job: Job, shop: Shop) -> list[str]:
    stages, tenons = assembly_stages(job).stages, tenon_marks(job, shop)
    return list(
        faults_of_day(
            run_sheet_json(sheet, shop.show),
            [(a, b) for a, b in shop.day.stretches],
            {format_length(kind.opening, shop.show): kind.count for kind in shop.clamps},
            shop.bench_places,
            {
                one.number: {*dict(one.members), *(tenons[joint] for joint in one.joints if joint in tenons)}
                for one in stages
            },
            {one.number: list(one.brings) for one in stages},
            24 * 60,
        )
    )


def test_where_the_shop_says_no_day_nothing_is_timed():
    job = read_job(ROOT / "fixtures" / "bakery-stools")
    sheet = make_plan(job, replace(SHOP, day=Day()))
    assert sheet.day is None and "day" not in run_sheet_json(sheet, SHOP.show)
    assert sheet == make_plan(job, default_shop())
    assert "The day" not in run_sheet_text(sheet, SHOP.show)


@pytest.mark.parametrize("name", FIXTURES)
def test_a_whole_job_in_the_day_breaks_no_rule(name):
    job = read_job(ROOT / "fixtures" / name)
    shop = replace(default_shop(job.lengths), day=DAY, clamps=KINDS, bench_places=2)
    for choices in (Choices(), Choices(soonest=True)):
        sheet = make_plan(job, shop, choices)
        assert sheet.day is not None
        assert checked(sheet, job, shop) == []
        assert sheet.day.least <= sheet.day.done == max(one.free for one in sheet.day.entries)


def test_stools_of_which_two_lie_on_the_bench_are_glued_in_rounds_into_the_second_day():
    """18 glue-ups of 8 minutes that lie for 45, two at once, from 10:33 on; the last six on the second day."""
    sheet = make_plan(read_job(ROOT / "fixtures" / "bakery-stools"), SHOP)
    assert sheet.day is not None and sheet.day.proven and day_and_time(sheet.day.done) == (2, "10:09")
    lines = [one for one in day_lines(sheet, SHOP.show) if one.is_glued]
    assert len(lines) == 18
    assert lines[0].when == "day 1, 10:33–10:41" and lines[0].said == "clamps come free at 11:26"
    # with all the bench and all the clamps one could wish for, the first day is enough
    wide = make_plan(read_job(ROOT / "fixtures" / "bakery-stools"), replace(SHOP, bench_places=0, clamps=()))
    assert wide.day is not None and day_and_time(wide.day.done)[0] == 1


def test_mortising_today_for_three_minutes_more_or_behind_the_panel_tomorrow():
    """The handbook's glue days as a job: the planer stays ready for the rested top, or gives way to the mortiser."""
    shop = replace(SHOP, machines=(PLANER_SIDE, Machine("saw side", ("saw", "spindle"), 5)))
    fewest, soonest = (make_plan(TABLES, shop, Choices(soonest=one)) for one in (False, True))
    assert checked(fewest, TABLES, shop) == checked(soonest, TABLES, shop) == []
    assert fewest.day is not None and soonest.day is not None
    assert fewest.day.outlooks == soonest.day.outlooks
    assert (fewest.day.chosen, soonest.day.chosen) == (DayOrderName.FEWEST_CHANGES, DayOrderName.SOONEST)
    first, second = fewest.day.outlooks
    assert (first.changing_minutes, second.changing_minutes) == (17, 20) and second.done < first.done
    assert soonest.day.proven and not fewest.day.proven
    for sheet, outlook, day in ((fewest, first, 2), (soonest, second, 1)):
        assert sum(machine.minutes for machine in sheet.machines) == outlook.changing_minutes
        assert sheet.settings.made == outlook.settings and sheet.day is not None
        mortised = {day_and_time(sheet.day.of_run[run.id][0])[0] for run in sheet.runs if run.station == "mortiser"}
        assert mortised == {day}
    assert {run.id for run in fewest.runs} == {run.id for run in soonest.runs}
    text = run_sheet_text(fewest, shop.show)
    assert "to choose: done soonest: day 2, 10:45; 6 changeovers, 20 min" in " ".join(text.split())
    assert "rests until day 2" in text and "meanwhile runs" not in run_sheet_text(make_plan(TABLES, default_shop()))
    assert run_sheet_pdf(fewest, shop.show).startswith(b"%PDF")


def test_the_json_of_a_day_keeps_to_the_schema_and_a_spoiled_one_does_not():
    plain = run_sheet_json(make_plan(TABLES, SHOP), SHOP.show)
    schema = Draft202012Validator(json.loads(files("stopwright.plan").joinpath("run_sheet.schema.json").read_text()))
    assert list(schema.iter_errors(plain)) == []
    for spoil in (
        lambda day: day.pop("least"),
        lambda day: day["done"].update(time="half past"),
        lambda day: day["entries"][-1].pop("begin"),
        lambda day: day["entries"].append({"begin": day["done"], "end": day["done"]}),
        lambda day: day.update(order="whatever"),
    ):
        spoiled = json.loads(json.dumps(plain))
        spoil(spoiled["day"])
        assert list(schema.iter_errors(spoiled)) != []


def test_units_of_several_jobs_are_glued_each_with_its_own_glue_and_a_job_finds_its_own_lines():
    stools = read_job(ROOT / "fixtures" / "bakery-stools")
    members = (Member("3", stools), Member("33", replace(TABLES, glue="hide glue")))
    sheet = plan_together(members, "both", SHOP)
    assert sheet.day is not None and [glue.name for glue in sheet.day.glues] == ["white glue", "hide glue"]
    stages = {one: assembly_stages(job).stages for one, job in (("3", stools), ("33", TABLES))}
    found = Counter((one.whose, one.free - one.end) for one in sheet.day.entries if one.stage)
    assert found == {("3", 45 * 60): 6 * len(stages["3"]), ("33", 120 * 60): 2 * len(stages["33"])}
    marks = {
        (whose, one.number): {mark_for(whose, mark) for mark, _ in one.members}
        for whose in stages
        for one in stages[whose]
    }
    ends = sheet.day.of_run
    for one in sheet.day.entries:
        needed = marks.get((one.whose, one.stage), set())
        assert all(ends[run.id][1] <= one.begin for run in sheet.runs if needed & {each.mark for each in run.pieces})
    own = own_sheet(sheet, members, "33")
    assert own.day is not None and set(own.day.of_run) == {run.id for run in own.runs}
    assert {one.unit for one in own.day.entries if one.stage} == {1, 2}
    assert "job 33, glue-up, stage 1 of unit 1" in " ".join(run_sheet_text(sheet, SHOP.show).split())


def test_a_frame_is_not_closed_before_the_panel_that_lies_loose_in_it_is_worked():
    job = a_door()
    (loose,) = {one.piece[0] for stage in assembly_stages(job).stages for one in stage.loose}
    sheet = make_plan(job, SHOP)
    day = sheet.day
    assert day is not None
    last = max(day.of_run[run.id][1] for run in sheet.runs if loose in {one.mark for one in run.pieces})
    laid_in = {stage.number for stage in assembly_stages(job).stages if stage.loose}
    assert laid_in and all(one.begin >= last for one in day.entries if one.stage in laid_in)
    assert any(one.stage in laid_in for one in day.entries)


def test_the_order_of_the_sheet_stays_where_another_is_no_better():
    job = read_job(ROOT / "fixtures" / "bakery-stools")
    assert [run.id for run in make_plan(job, SHOP).runs] == [run.id for run in make_plan(job, default_shop()).runs]


def test_clamps_that_are_not_there_are_told_of_and_the_times_reckon_with_those_that_are():
    job = read_job(ROOT / "fixtures" / "bakery-stools")
    sheet = make_plan(job, replace(SHOP, clamps=(Clamps(mm(600), 1),)))
    said = [one.text for one in sheet.warnings if one.about.startswith("stage")]
    assert said and "asks for 2 clamps that open to" in said[0] and "the shop has 1" in said[0]
    assert sheet.day is not None and all(one.clamps == ((mm(600), 1),) for one in sheet.day.entries if one.stage)
    none = make_plan(job, replace(SHOP, clamps=(Clamps(mm(100), 9),)))
    assert any("the shop has none" in one.text for one in none.warnings)


def test_a_shop_without_glue_is_told_what_the_day_reckons_with():
    sheet = make_plan(read_job(ROOT / "fixtures" / "bakery-stools"), replace(SHOP, glues=()))
    assert any("assumes 8 min open, 45 min in clamps" in one.text for one in sheet.warnings)


def test_a_glue_that_stays_open_longer_than_any_stretch_is_not_timed():
    shop = replace(SHOP, glues=(Glue("slow glue", 300, 600),))
    sheet = make_plan(read_job(ROOT / "fixtures" / "bakery-stools"), shop)
    assert sheet.day is None and any("stays open longer than any stretch" in one.text for one in sheet.warnings)


def test_more_than_fits_into_any_plan_of_a_day_is_said_and_not_timed():
    job = read_job(ROOT / "fixtures" / "bakery-stools")
    parts = tuple(replace(part, quantity=part.quantity // job.units * 250) for part in job.parts)
    sheet = make_plan(replace(job, parts=parts, units=250), SHOP)
    assert sheet.day is None and any("more than are put into the day" in one.text for one in sheet.warnings)


def test_a_mitred_frame_closes_in_a_band_and_takes_no_clamp_that_opens_out_of_the_day() -> None:
    frame = {"mark": "M", "width": 200, "height": 300, "material": "ash"}
    job = job_from_document({"name": "Two pictures", "units": 2, "mitred_frame": [frame]}, "x")
    shop = replace(SHOP, clamps=(Clamps(mm(100), 1),))
    sheet = make_plan(job, shop)
    assert sheet.day and not checked(sheet, job, shop)
    glued = [one for one in sheet.day.entries if one.is_glued]
    assert len(glued) == 2 and all(one.clamps == () and one.free > one.end for one in glued)
    assert not any("clamps" in one.text for one in sheet.warnings)


def test_a_drawer_that_only_one_unit_has_is_glued_once_in_the_day() -> None:
    drawer = {"mark": "D", "width": 450, "height": 150, "depth": 400, "material": "ash", "bottom_material": "ply"}
    other = {"opening": [{"number": 2, "width": 440}]}
    job = job_from_document({"name": "Drawers", "units": 3, "drawer": [drawer | other]}, "x")
    sheet = make_plan(job, SHOP)
    assert sheet.day and not checked(sheet, job, SHOP)
    assert sorted((one.unit, one.stage) for one in sheet.day.entries if one.stage) == [(1, 1), (2, 2), (3, 1)]
