"""Why runs stand where they stand: one sentence for each fact, checked on small plans."""

from dataclasses import replace

from tests.builders import a_job, a_part, a_shop, mm
from tests.conftest import ROOT

from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Flow, Job
from stopwright.model.joints import Side
from stopwright.model.machines import Machine
from stopwright.plan.choices import Choices
from stopwright.plan.operations.groove import Groove
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.plan import make_plan
from stopwright.plan.weighing.reasons import reasons


def why(sheet, shop, work: str) -> list[str]:
    return [" ".join(said) for run, said in zip(sheet.runs, reasons(sheet, shop), strict=True) if run.work == work]


THREE = (a_part("A", 4, (450, 60, 22)), a_part("B", 3, (450, 38, 20)), a_part("C", 2, (300, 38, 20)))


def test_widths_and_lengths_say_first_next_and_shared() -> None:
    sheet = make_plan(a_job(*THREE), a_shop())
    rips, cuts = why(sheet, a_shop(), "rip"), why(sheet, a_shop(), "crosscut")
    assert (
        rips[0].startswith("Widest first")
        and rips[1] == "The next width down. B and C share one setting, so they match."
    )
    assert cuts[0].startswith("Longest first") and "A and B share" in cuts[0] and cuts[1] == "The next length down."


def test_every_height_says_whose_finished_thickness_it_is_or_that_no_cut_is_deeper() -> None:
    said = why(make_plan(a_job(*THREE), a_shop()), a_shop(), "plane")
    assert sum("Finished thickness of A." in one for one in said) == 1
    assert "Finished thickness of B and C." in said[-1]
    assert all("Finished thickness" in one or "no cut is deeper than 1.6 mm" in one for one in said)


def test_part_by_part_says_that_the_fence_stands() -> None:
    sheet = make_plan(a_job(*THREE), a_shop(), Choices(Flow.PART_BY_PART))
    rips = why(sheet, a_shop(), "rip")
    assert "least minutes" in rips[0]
    assert "The fence stands right already." in [one.partition(". ")[0].rstrip(".") + "." for one in rips]
    assert all(said for said in reasons(sheet, a_shop()))


def test_the_mortiser_names_the_mirror_image_the_bit_that_stays_and_the_block() -> None:
    job, shop = read_job(ROOT / "fixtures" / "bakery-stools"), replace(default_shop(), block_minutes=0)
    said = why(make_plan(job, shop), shop, "mortise")
    assert said[1] == "The mirror image of A: only the end stop is new."
    assert any("8 mm bit stays in" in one and "A block of 3 mm saves moving the table height." in one for one in said)
    assert why(make_plan(job, shop), shop, "mould") == ["While the stock is long, crosscut after."]


def test_every_run_of_the_demo_jobs_has_a_reason() -> None:
    for name in ("bakery-stools", "library-drawers"):
        job, shop = read_job(ROOT / "fixtures" / name), default_shop()
        for flow in Flow:
            assert all(reasons(make_plan(job, shop, Choices(flow)), shop))


def test_a_run_that_is_drawn_forward_says_what_that_saves_and_a_changeover_that_it_is_the_only_one() -> None:
    """By the stages the grooves at the spindle come before the tenons at the saw: two changes of five minutes."""
    groove = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(10), width=mm(6), depth=mm(6),
                    station="spindle")  # fmt: skip
    tenon = Tenon(mark="N1", parts=("B",), length=mm(35), thickness=mm(8))
    shop = replace(default_shop(), machines=(Machine("saw side", ("saw", "spindle"), 5),))
    sheet = make_plan(Job("one", (a_part("A", 4), a_part("B", 4, (300, 38, 22))), cuts=(groove, tenon)), shop)
    (tenons,), (grooves,) = why(sheet, shop, "tenon"), why(sheet, shop, "groove")
    last = sheet.runs[-1].number
    saves = "in this order the saw side is changed over once, stage by stage it would be twice and take 5 min more."
    assert f"Now, before run {last}, groove: {saves}" in tenons
    assert "The saw side is made ready for the spindle only once." in grooves


def test_a_second_changeover_to_the_same_station_names_what_had_to_come_between() -> None:
    groove = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(10), width=mm(6), depth=mm(6),
                    station="spindle")  # fmt: skip
    tenon = Tenon(mark="N1", parts=("A",), length=mm(35), thickness=mm(8))
    shop = replace(default_shop(), machines=(Machine("saw side", ("saw", "spindle"), 5),))
    sheet = make_plan(Job("one", (a_part("A", 4),), cuts=(groove, tenon)), shop)
    between = next(run.number for run in sheet.runs if run.work == "groove")
    (tenons,) = why(sheet, shop, "tenon")
    assert f"The saw once more: run {between}, groove, had to come between." in tenons
