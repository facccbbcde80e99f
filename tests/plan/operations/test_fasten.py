"""Tops held by slotted screws or buttons: slots from the way the wood moves, after Eq. 13-2 of the Wood Handbook."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.builders import a_job, a_part, mm

from stopwright.errors import StopwrightError
from stopwright.intake.job_file import job_from_document, job_to_document
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.model.job import Job
from stopwright.model.moisture import Moisture
from stopwright.model.parts import Made, Rings
from stopwright.plan.operations.fasten import FastenedBy, Fastening, HeldIn
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.said_lengths import read_out
from stopwright.plan.timber.fastening_room import FasteningRoom
from stopwright.plan.timber.movement import movement

LIFE = Moisture(Fraction(8), Fraction(6), Fraction(13))
BEECH = Fraction(".00431")  # Table 13-5, tangential (S)


def a_table(material: str = "beech", rings: Rings = Rings.FLAT, **more: object) -> Job:
    plain = {"mark": "F1", "parts": ("B", "C"), "top": "T", "at": (mm(100), mm(450), mm(800))}
    return a_job(
        a_part("B", 2, (1200, 90, 22)),
        a_part("C", 2, (700, 90, 22)),
        a_part("T", 1, (1500, 900, 24), material=material, rings=rings, made=Made.PANEL),
        cuts=(Fastening(**(plain | more)),),  # type: ignore[arg-type]
        moisture=LIFE,
    )


def note(job: Job) -> str:
    (run,) = [run for run in make_plan(job, default_shop()).runs if run.work == "fasten"]
    assert [(one.mark, one.count) for one in run.pieces] == [("B", 2), ("C", 2)] and run.stops == ()
    return read_out(run.note, Show.MM)


def test_a_slot_is_as_long_as_the_screw_and_all_that_the_top_moves_there() -> None:
    # 350 from the middle: 350 x .00431 x 5 = 7.5425 outwards, x 2 = 3.017 inwards; 4.5 + 10.5595 = 15.0595, so 15.5
    # the screw 2.25 + 3.017 = 5.267 from the inner end, so 5.5; in the middle the top does not move
    said = note(a_table())
    assert "rows at 100 mm and 800 mm: slots 15.5 mm long, the screw 5.5 mm from the end towards the middle" in said
    assert "row at 450 mm: slots 4.5 mm long" in said
    assert said.count("slots 15.5 mm long") == 1


def test_a_slot_lets_the_top_go_to_its_driest_and_its_wettest() -> None:
    room = FasteningRoom(350 * MM, BEECH, LIFE)
    assert room.outwards >= movement(350 * MM, BEECH, Fraction(8), Fraction(13)) > room.outwards - 2
    assert room.inwards >= -movement(350 * MM, BEECH, Fraction(8), Fraction(6)) > room.inwards - 2
    dry_made = FasteningRoom(350 * MM, BEECH, Moisture(Fraction(14), Fraction(7), Fraction(12)))
    assert (dry_made.outwards, dry_made.slot(0)) == (0, dry_made.inwards)


def test_upright_rings_and_a_held_edge_change_the_slots() -> None:
    # .00190 x 350 x 7 = 4.655 + 4.5 = 9.155
    assert "rows at 100 mm and 800 mm: slots 9.5 mm long" in note(a_table(rings=Rings.QUARTER))
    # from the far edge at 900: 800 x .00431 x 7 = 24.136 + 4.5
    assert "row at 100 mm: slots 29 mm long" in note(a_table(fixed=HeldIn.FAR_EDGE))


def test_buttons_have_a_tongue_that_stays_in_and_room_behind_it() -> None:
    # 3.017 inwards and 3 of grip; 7.5425 outwards
    said = note(a_table(by=FastenedBy.BUTTONS))
    assert "rows at 100 mm and 800 mm: tongues 6.5 mm or more in the groove, 8 mm free behind them" in said


def faults(sheet: RunSheet) -> str:
    return " ".join(one.text for one in sheet.faults)


def test_a_row_beside_the_top_is_refused_with_the_width_that_would_do() -> None:
    sheet = make_plan(a_table(at=(mm(950),)), default_shop())
    assert "a row at 950 mm lies beside the top T; write at most its width, 900 mm" in faults(sheet)


def test_wood_that_is_not_known_is_told_and_no_slot_is_guessed() -> None:
    sheet = make_plan(a_table(material="pear"), default_shop())
    assert any("'pear' is a wood whose movement is not known" in one.text for one in sheet.warnings)
    assert not any(run.work == "fasten" for run in sheet.runs)


def test_a_shop_that_fastens_nowhere_says_so() -> None:
    shop = default_shop()
    stations = tuple(replace(one, work=tuple(w for w in one.work if w != "fasten")) for one in shop.stations)
    assert "no station does the work called fasten" in faults(make_plan(a_table(), replace(shop, stations=stations)))
    assert "no station called attic" in faults(make_plan(a_table(station="attic"), shop))


def test_a_fastening_reads_back_equal_and_nonsense_is_refused() -> None:
    job = a_table(by=FastenedBy.BUTTONS, fixed=HeldIn.EDGE)
    assert job_from_document(job_to_document(job), "x") == job
    for wrong in ({"top": ""}, {"top": "B"}, {"at": ()}, {"screw": 0}):
        with pytest.raises(StopwrightError):
            a_table(**wrong)
