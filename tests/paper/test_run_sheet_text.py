"""The run sheet as text: what stands first, what every run says, and that nothing is left out."""

from dataclasses import replace

from tests.builders import a_board, a_job, a_part, a_shop
from tests.paper.sheets import STANDSTILL, faulty_sheet, sheet

from stopwright.lengths import Show
from stopwright.paper.run_sheet_text import run_sheet_text
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet, Settings


def test_the_first_line_names_the_job_and_says_whether_the_settings_are_proven() -> None:
    first, second = run_sheet_text(sheet()).splitlines()[:2]
    assert first == "Six bakery stools: 9 settings; fewer is not possible (proven)"
    assert second == "7 ½ min of setting, about 56 ½ min in all"  # 6.5 + 8 + 12 + 30


def test_unproven_settings_are_never_called_the_fewest() -> None:
    text = run_sheet_text(replace(sheet(), settings=Settings(11, 9, False, 8)))
    assert "11 settings; not proven to be the fewest, at least 9 are needed" in text
    assert "not possible" not in text


def test_faults_stand_before_every_run() -> None:
    text = run_sheet_text(faulty_sheet())
    assert text.index("FAULTS") < text.index("longer than the saw reaches") < text.index("planer, plane")


def test_a_run_says_which_stop_is_set_and_which_stands() -> None:
    lines = run_sheet_text(sheet()).splitlines()
    run = lines.index("  3  saw, crosscut")
    assert " ".join(lines[run + 1].split()) == "SET near flip stop 244 mm"
    assert " ".join(lines[run + 2].split()) == "stands far flip stop 450 mm"
    assert " ".join(lines[run + 3].split()) == "24 B Upper rail"


def test_what_the_nearest_graduation_is_off_by_stands_beside_the_reading() -> None:
    # 59.75 wanted, the scale has whole millimetres: 60 is 0.25 too much
    assert "60 mm  +0.25 mm off, ±0.3 mm allowed" in run_sheet_text(sheet())


def test_pieces_at_the_mortiser_say_how_they_lie() -> None:
    text = run_sheet_text(sheet())
    assert "12  A  Leg   slot in the far edge, face side down, marked end at the right stop\n" in text
    assert "12  A  Leg   slot in the back, edge down, marked end at the left stop, mirrored\n" in text
    assert "mark 3 on master A" in text
    assert "a block of 3 mm under the rail" in text


def test_a_caution_is_printed_once_with_the_runs_it_belongs_to() -> None:
    text = run_sheet_text(sheet())
    assert text.count(STANDSTILL) == 1
    assert f"{STANDSTILL} (runs 2–3)" in text


def test_wood_tenons_warnings_and_notes_follow_the_runs() -> None:
    text = run_sheet_text(sheet())
    places = [
        text.index(part)
        for part in (
            "mortiser, mortise",
            "3 boards and sheets used; 3 is the least possible with one width in each strip (proven)",
            "boards 1–3, ash 2400 × 180 × 45 mm: 4 A each",
            "leaves 470 × 180 mm",
            "to buy: 6 × birch plywood 380 × 380 × 18 mm for D",
            "J1: 7.9 × 31.2 × 40.8 mm",
            "51 pieces, 3 of them spare",  # 48 + 3
            "2 of 3 mm, under the piece",
            "B, C: differ by 0.4 mm",
            "Crosscut the plywood before ripping it.",
        )
    ]
    assert places == sorted(places)


def test_inches_are_shown_as_the_shop_reads_them() -> None:
    # 244 mm = 9.6063 in, 9 19/32 = 9.59375: +0.0125; 0.25 mm = 0.0098 in, shown as 0.01
    text = run_sheet_text(sheet(), Show.THIRTY_SECONDS)
    assert "9 19/32 in (+0.0125)" in text
    assert "+0.01 in off, ±0.012 in allowed" in text


def test_an_empty_sheet_is_no_trouble() -> None:
    empty = RunSheet("Nothing yet", "mm", Settings(0, 0, True, 0), ())
    assert run_sheet_text(empty).splitlines()[0] == "Nothing yet: 0 settings; fewer is not possible (proven)"


def test_one_board_and_wood_without_a_name_are_said_as_one_says_them() -> None:
    sheet = make_plan(a_job(a_part("A", 1), a_part("B", 1, (3000, 60, 22)), stock=(a_board(1),)), a_shop())
    lines = run_sheet_text(sheet).splitlines()
    assert "     1 board or sheet used; 1 is the least possible with one width in each strip (proven)" in lines
    assert any(line.startswith("     board 1, 2400 × 150 × 27 mm: 1 A") for line in lines)
    assert "     to buy: 1 × 3025 × 66 × 31.75 mm for B" in lines  # 22 mm is more than 13/16 in, so 5/4
