"""Panels that are cut when their frame is put together dry: sized from its lights, and after all cuts of the frame."""

from dataclasses import replace
from typing import Any

import pytest
from tests.builders import mm
from tests.conftest import ROOT
from tests.plan.making.made import a_thing, made, refusals, sizes
from tests.shop.facts import facts_of
from tests.shop.ledger import check_ledger

from stopwright.errors import Inconsistent
from stopwright.intake.shop_file import default_shop, read_shop
from stopwright.lengths import Show
from stopwright.model.day import Day
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.things import Changed, Opening, Thing
from stopwright.plan.choices import Choices
from stopwright.plan.making.frame import FrameCorner
from stopwright.plan.making.measure_first import asked_first, dry_frames_of
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Run, RunSheet
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.said_lengths import said
from stopwright.plan.together import Member, plan_together

DOOR = {"width": 500, "height": 700, "stiles": 60, "bottom": 80, "thickness": 22, "groove_depth": 10, "dry_fit": True}
MEASURED = Opening(light_width=(mm(379.6), mm(379.4)), light_height=(mm(560.5),))
KINDS = [Kind.SHEET, Kind.SOLID]


def a_door(*openings: Opening, **more: Any) -> Thing:
    door: Thing = a_thing("frame", **(DOOR | more))
    return replace(door, openings=openings)


def a_job_of(*things: Thing, units: int = 2, changes: tuple[Changed, ...] = (), **more: Any) -> Job:
    found = made(*things, units=units, changes=changes)
    assert found.refused == ()
    making = {"cuts": found.cuts, "joints": found.joints, "meetings": found.meetings, "things": things}
    return Job("doors", found.parts, units=units, **(making | more))


def dry_runs(sheet: RunSheet) -> list[Run]:
    return [run for run in sheet.runs if run.after_dry_fit]


def marks(runs: list[Run]) -> set[str]:
    return {one.mark for run in runs for one in run.pieces}


@pytest.mark.parametrize(("kind", "room"), [(Kind.SHEET, 0.5), (Kind.SOLID, 3)])
def test_the_panel_is_as_large_as_the_smallest_light_that_was_measured_wants(kind: Kind, room: float) -> None:
    drawn, measured = (sizes(made(a_door(*one, panel_kind=kind))) for one in ((), (MEASURED,)))
    assert drawn["Fp"] == (579, 400 - 2 * room, 6)  # 560 + 20 − 2 × 0.5 and 380 + 20 − 2 × room
    assert measured["Fp"] == (579.5, 399.4 - 2 * room, 6)
    assert {mark: size for mark, size in drawn.items() if mark != "Fp"} == {
        mark: size for mark, size in measured.items() if mark != "Fp"
    }


def test_the_formula_says_that_the_light_was_measured() -> None:
    lots = [made(a_door(*one)).lots[0] for one in ((), (MEASURED,))]
    formulas = [
        next(one.sum.in_words() for one in lot.formulas if (one.of, one.field) == ("Fp", "width")) for lot in lots
    ]
    assert formulas == [
        "light, width + 2 × groove − 2 × room",
        "light, width, as measured + 2 × groove − 2 × room",
    ]


def test_lights_that_no_frame_has_that_was_cut_right_are_refused() -> None:
    far = made(a_door(Opening(light_width=(mm(385.1),))))
    assert refusals(far) == [
        "opening: light, width measured 385.1 mm is far from the 380 mm worked out; "
        "measure again, or look for what was cut wrong"
    ]
    assert made(a_door(Opening(light_width=(mm(375),)))).refused == ()
    with pytest.raises(Inconsistent, match="a light was measured dry, but the panel is not cut after the dry fit"):
        a_door(MEASURED, dry_fit=False)
    with pytest.raises(Inconsistent, match="frames alike are measured dry together"):
        Opening(number=2, light_width=(mm(379),))
    with pytest.raises(Inconsistent, match="a drawer has no light width that is measured"):
        replace(a_thing("drawer", width=450, height=132, depth=400), openings=(MEASURED,))


def test_a_frame_in_an_opening_of_its_own_has_lights_of_its_own() -> None:
    third = Opening(number=3, width=(mm(504),), light_width=(mm(379.9),))  # 504 − 2 × 2 − 120 = 380
    found = sizes(made(a_door(Opening(width=(mm(503),), light_width=(mm(379.5),)), third, gap=2), units=4))
    assert (found["Fp"][1], found["F.3p"][1]) == (398.5, 398.9)  # 379.5 or 379.9, + 20 − 2 × 0.5
    (usual, own) = dry_frames_of(a_job_of(a_door(third, gap=2), units=4))
    assert (usual.mark, usual.missing, own.mark, own.missing) == (
        "F", ("light_width", "light_height"), "F.3", ("light_height",)
    )  # fmt: skip


@pytest.mark.parametrize("corner", FrameCorner)
@pytest.mark.parametrize("kind", KINDS)
def test_it_is_sawn_to_size_and_rebated_after_the_last_cut_of_its_frame(kind: Kind, corner: FrameCorner) -> None:
    sheet = make_plan(a_job_of(a_door(panel_kind=kind, panel_full=12, corner=corner)), default_shop())
    assert sheet.faults == ()
    first = next(place for place, run in enumerate(sheet.runs) if run.after_dry_fit)
    assert [run.after_dry_fit for run in sheet.runs[first:]] == [True] * len(sheet.runs[first:])
    square = ["square"] if kind is Kind.SOLID else []
    works = list(dict.fromkeys(run.work for run in dry_runs(sheet)))
    assert works == ["rip", *square, "crosscut", "rebate"]
    assert marks(dry_runs(sheet)) == {"Fp"}
    by_id = {run.id: run for run in sheet.runs}
    fitted = {one.mark for id_ in dry_runs(sheet)[0].after for one in by_id[id_].pieces}
    assert fitted >= {"Fst", "Ftr", "Fbr"} | ({"T1"} if corner is FrameCorner.LOOSE else set())


def test_a_blank_of_sheet_is_cut_with_all_others_ten_larger_than_drawn_whatever_is_measured() -> None:
    jobs = [a_job_of(a_door(*one)) for one in ((), (MEASURED,))]
    before, after = (make_plan(job, default_shop()) for job in jobs)
    blank = next(lot for run in before.runs for lot in run.gives if lot.name == "Fpb")
    assert blank.size == (mm(589), mm(409), mm(6))
    early = [[run.id for run in sheet.runs if not run.after_dry_fit] for sheet in (before, after)]
    assert early[0] == early[1]
    assert not {run.id for run in dry_runs(before)} & {run.id for run in dry_runs(after)}


@pytest.mark.parametrize("kind", KINDS)
def test_it_is_asked_to_measure_before_the_first_run_of_each_work_that_waits(kind: Kind) -> None:
    first = "put frame F together dry, measure its lights and type them at Fetch the wood"
    words = f"{first}: this is for {said(mm(380), mm(560))} as worked out"
    job = a_job_of(a_door(panel_kind=kind))
    assert [(one.words, one.waits) for one in asked_first(job)] == [(words, ("Fp",))]
    sheet = make_plan(job, default_shop())
    told = [(run.work, run.after_dry_fit) for run in sheet.runs if words in run.note]
    assert told == [("rip", True), ("crosscut", True)]
    measured = make_plan(a_job_of(a_door(MEASURED, panel_kind=kind)), default_shop())
    assert not any("together dry" in run.note for run in measured.runs)


def test_a_mould_along_frame_and_panel_is_run_once_for_each() -> None:
    edges = (Side.MARKED_END, Side.EDGE)
    profile = Moulding("P1", ("Fst", "Fp"), (Pass("round 3", mm(8), mm(0)),), edges)
    sheet = make_plan(a_job_of(a_door(panel_kind=Kind.SOLID), mouldings=(profile,)), default_shop())
    moulded = [(marks([run]), run.after_dry_fit) for run in sheet.runs if run.work == "mould"]
    assert moulded == [({"Fst"}, False), ({"Fp"}, True)]
    assert len({run.id for run in sheet.runs}) == len(sheet.runs)


def test_a_panel_larger_than_its_blank_gives_is_a_fault_that_says_so() -> None:
    changed = a_job_of(a_door(), changes=(Changed(of="Fp", width=mm(406)),))
    faults = [(one.about, one.text) for one in make_plan(changed, default_shop()).faults]
    left = "406 mm wide is more than is left for it, which gives 405.8 mm"  # 399 + 10 − 3.2
    assert ("Fp", f"{left}; measure the frame again, or let no panel wait for the dry fit and cut it anew") in faults
    fits = a_job_of(a_door(), changes=(Changed(of="Fp", width=mm(405.8)),))
    assert not any("is left for it" in one.text for one in make_plan(fits, default_shop()).faults)


@pytest.mark.parametrize("soonest", [False, True])
@pytest.mark.parametrize("kind", KINDS)
def test_neither_changeovers_nor_the_day_draw_the_panel_before_the_cuts_of_its_frame(kind: Kind, soonest: bool) -> None:
    one_machine = read_shop(ROOT / "fixtures" / "one-machine" / "shop.toml")
    shop = replace(one_machine, day=Day("7:30", "16:30", ("12:00-12:45",)))
    job = a_job_of(a_door(panel_kind=kind, panel_full=12, corner=FrameCorner.LOOSE))
    sheet = make_plan(job, shop, Choices(soonest=soonest))
    assert sheet.day is not None and sum(run.change is not None for run in sheet.runs) > 3
    assert check_ledger(run_sheet_json(sheet, Show.MM), facts_of(job, shop)) == []


@pytest.mark.parametrize("kind", KINDS)
def test_jobs_that_are_worked_together_each_wait_for_their_own_frame(kind: Kind) -> None:
    doors = [a_job_of(a_door(*one, panel_kind=kind)) for one in ((), (MEASURED,))]
    sheet = plan_together([Member("3", doors[0]), Member("4", doors[1])], "both", default_shop())
    first = next(place for place, run in enumerate(sheet.runs) if run.after_dry_fit)
    assert marks(list(sheet.runs[first:])) == {"#3·Fp", "#4·Fp"}
    notes = [run.note for run in sheet.runs if "together dry" in run.note]
    assert len(notes) == 2 and all("job 3, put frame F together dry" in note for note in notes)
