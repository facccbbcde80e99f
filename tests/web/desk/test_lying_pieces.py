"""Pictures of pieces as they lie: each group of a run by itself, what is cut already, which side is down and where."""

import re
from itertools import product

import pytest
from playwright.sync_api import expect
from tests.conftest import ROOT, a_phone
from tests.phone.taps import ON_SCREEN
from tests.plan.solid_check import slot_made

from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.joints import Side
from stopwright.model.solid import Solid
from stopwright.plan.pictures.lying import view_of
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Pieces
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.part_sides import axis_of, leading_end
from stopwright.web.drawings import draw_groups

FIXTURES = ("bakery-stools", "canvas-stretchers", "ferry-tables", "hall-bench", "jar-cabinet", "library-drawers")


def a_sheet(fixture: str):
    job = read_job(ROOT / "fixtures" / fixture)
    return job, make_plan(job, default_shop()).runs


def lying(runs):
    """Every way in which a piece is laid down: run, which of its cuts, the pieces."""
    for run in runs:
        for row in run.pieces:
            yield from ((run, number, one) for number, one in enumerate(row.each) if one.down)


@pytest.mark.parametrize("fixture", FIXTURES)
def test_what_a_run_of_the_mortiser_cuts_is_where_its_stops_put_it(fixture):
    job, runs = a_sheet(fixture)
    cut = CutBefore(runs, job)
    for run, number, one in lying(runs):
        if run.work == "mortise":
            piece = cut.at(run, one, number)
            (now,) = piece.now
            assert now.spans == slot_made(run, one, piece.body), (run.number, one)
            assert view_of(one).front is one.slotted  # the bit looks at the side that it cuts


@pytest.mark.parametrize("fixture", FIXTURES)
def test_every_cut_is_made_by_some_run_and_is_there_in_all_later_ones(fixture):
    job, runs = a_sheet(fixture)
    cut = CutBefore(runs, job)
    there: dict[tuple[str, bool], set[Solid]] = {}
    for run, number, one in lying(runs):
        piece = cut.at(run, one, number)
        assert piece.now, (run.number, one)
        known = there.setdefault((one.mark, one.mirrored), set())
        assert known <= {*piece.before, *piece.now}
        assert set(piece.before) <= known
        known |= {*piece.before, *piece.now}
    for cut_of_job in job.cuts:
        assert set(cut_of_job.parts) <= {mark for mark, _ in there}
        for (mark, _), known in there.items():
            if mark in cut_of_job.parts:
                asked = {frozenset(solid.corners) for solid in cut_of_job.removes(job, job.part(mark))}
                assert asked <= {frozenset(solid.corners) for solid in known}


def test_at_a_fence_one_sees_which_end_goes_first():
    sides = (Side.FACE, Side.BACK, Side.EDGE, Side.FAR_EDGE)
    called = {Side.FACE: "face side", Side.EDGE: "face edge"}
    for down, against, mirrored in product(sides, sides, (False, True)):
        if axis_of(down) != axis_of(against):
            pieces = Pieces("A", "Rail", 2, None, down, called.get(against, str(against)), "fence", mirrored)
            assert view_of(pieces).left is leading_end(against, down, mirrored)  # it is fed from right to left


def test_a_taper_takes_one_side_and_finds_the_other_tapered():
    job, runs = a_sheet("ferry-tables")
    cut = CutBefore(runs, job)
    legs = [(number, cut.at(run, one, number)) for run, number, one in lying(runs) if run.work == "taper"]
    assert {number for number, _ in legs} == {0, 1}
    for number, piece in legs:
        (now,) = piece.now
        wedges = [solid for solid in piece.before if solid.cut == now.cut]
        assert len(wedges) == number


def test_groups_of_a_run_have_pictures_of_their_own_with_what_is_cut_already():
    job, runs = a_sheet("bakery-stools")
    run = next(run for run in runs if {(one.down, one.mirrored) for one in run.pieces} >= {(Side.EDGE, True)})
    drawn = draw_groups(run, job, default_shop(), Show.MM, None, CutBefore(runs, job))
    labels = [re.search('aria-label="([^"]+)"', one)[1] for one in drawn]
    assert [label.partition(":")[0] for label in labels] == [
        "Seen from the bit",
        "A as it lies",
        "A, mirrored as it lies",
    ]
    assert "face side down, marked end at the right, 1 cut in it already" in labels[1]
    assert "face edge down, marked end at the right, 1 cut in it already" in labels[2]
    for one in drawn[1:]:
        assert len(re.findall('class="(slot|unseen)"', one)) == 1  # the slot for the lower rail
        assert len(re.findall('class="slot now"', one)) == 1


def test_no_word_of_a_picture_runs_over_another_or_out_of_it(running_server, chromium):
    words = """() => [...document.querySelectorAll('.run:not([hidden]) .drawn')].flatMap((picture) => {
      const around = picture.getBoundingClientRect();
      const boxes = [...picture.querySelectorAll('text')].map((one) => [one.textContent, one.getBoundingClientRect()]);
      return boxes.flatMap(([text, box], place) => [
        ...(box.left < around.left - 1 || box.right > around.right + 1 ? [text] : []),
        ...boxes.slice(place + 1).filter(([, other]) => box.left < other.right && other.left < box.right
          && box.top < other.bottom - 2 && other.top < box.bottom - 2).map(([other]) => `${text} / ${other}`),
      ]);
    })"""
    with a_phone(chromium, 360, 740) as page:
        for number in (23, 25, 26, 27, 28):
            page.goto(f"{running_server.address}/jobs/{running_server.job}/runs/{number}")
            expect(page.locator(f"{ON_SCREEN} .drawn")).not_to_have_count(0)
            assert page.evaluate(words) == []


@pytest.mark.parametrize("fixture", FIXTURES)
def test_where_it_is_not_said_how_a_piece_lies_nothing_was_cut_into_it_yet(fixture):
    """Jointer, planer, fence and stop come before every slot and groove, so no picture of theirs leaves one out."""
    _, runs = a_sheet(fixture)
    laid = {(one.mark, one.mirrored): run.number for run, _, one in reversed(list(lying(runs)))}
    plain = [(run, row) for run in runs for row in run.pieces if not row.down]
    assert laid and any((row.mark, row.mirrored) in laid for _, row in plain)
    for run, row in plain:
        assert run.number < laid.get((row.mark, row.mirrored), len(runs) + 1), (run.number, run.work, row.mark)
