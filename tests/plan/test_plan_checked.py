"""Random jobs, both flows, stops that stand, little wood, zones: every sheet can be worked as it is written."""

from collections import Counter
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import a_board, a_job, a_part, a_shop, mm
from tests.plan.plan_checker import check_sheet

from stopwright.intake.job_file import job_from_document, job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Flow, Job
from stopwright.model.parts import Grain, Kind
from stopwright.model.stock import StockKind, Zone
from stopwright.plan.choices import Choices
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Move, RunSheet

FIXTURES = Path(__file__).parents[2] / "fixtures"

LENGTHS, WIDTHS = st.sampled_from([150, 244, 360, 450, 600, 900]), st.sampled_from([38, 60, 84, 110])
PARTS = st.lists(
    st.tuples(LENGTHS, WIDTHS, st.integers(1, 8), st.sampled_from([Kind.SOLID, Kind.SHEET]), st.sampled_from(Grain)),
    min_size=1,
    max_size=8,
)
ZONES = st.lists(
    st.tuples(st.integers(0, 20), st.integers(1, 4)).map(lambda one: Zone(mm(100 * one[0]), mm(100 * sum(one)))),
    max_size=2,
)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """A job of boards and panels with little wood and, here and there, a knot."""
    parts = [
        a_part(chr(65 + i), quantity, (length, width, 18), kind=kind, grain=grain)
        for i, (length, width, quantity, kind, grain) in enumerate(draw(PARTS))
    ]
    stock = (
        a_board(draw(st.integers(1, 3)), (2400, 150, 22), zones=tuple(draw(ZONES))),
        a_board(1, (900, 130, 20), kind=StockKind.OFFCUT),
        a_board(draw(st.integers(1, 2)), (1200, 600, 18), kind=StockKind.SHEET),
    )
    return a_job(*parts, stock=stock, flow=draw(st.sampled_from(Flow)))


STOPS_THAT_STAND = st.one_of(
    WIDTHS.map(lambda width: ("saw", "rip fence", mm(width))),
    LENGTHS.map(lambda length: ("saw", "flip stops", mm(length))),
)
STANDING = st.lists(STOPS_THAT_STAND, max_size=1).map(tuple)


@settings(deadline=None, max_examples=30)
@given(jobs())
def test_every_sheet_can_be_worked_as_it_is_written(job: Job) -> None:
    check_sheet(make_plan(job, a_shop()), job, a_shop())


@settings(deadline=None, max_examples=15)
@given(jobs(), STANDING)
def test_what_stands_never_costs_settings(job: Job, standing: tuple[tuple[str, str, int], ...]) -> None:
    fresh = make_plan(job, a_shop())
    again = make_plan(job, a_shop(), Choices(standing=standing))
    assert again.settings.made <= fresh.settings.made
    assert again.settings.least_possible <= again.settings.made


@settings(deadline=None, max_examples=15)
@given(jobs())
def test_splitting_and_renaming_lines_changes_nothing_but_names(job: Job) -> None:
    split = []
    for number, part in enumerate(job.parts):
        half = part.quantity // 2
        split.append(replace(part, mark=f"L{number}", quantity=part.quantity - half))
        split += [replace(part, mark=f"R{number}", quantity=half)] if half else []
    one, other = make_plan(job, a_shop()), make_plan(replace(job, parts=tuple(split)), a_shop())
    assert one.settings == other.settings
    assert one.wood.boards_used == other.wood.boards_used
    assert [(run.work, run.stops, run.count) for run in one.runs] == [(r.work, r.stops, r.count) for r in other.runs]


def without_names(sheet: RunSheet) -> tuple[Any, ...]:
    """All that a sheet says but for marks."""
    runs = [(run.station, run.work, run.stops, run.count) for run in sheet.runs]
    bought: Counter[tuple[int, ...]] = Counter()  # which of two lines of one size finds no wood, is a matter of names
    for one in sheet.wood.to_buy:
        bought[one.pieces, one.length, one.width, one.thickness] += one.count
    return runs, sheet.settings, sheet.wood.boards_used, bought


@settings(deadline=None, max_examples=15)
@given(jobs(), st.randoms(use_true_random=False))
def test_marks_in_another_order_change_nothing_but_names(job: Job, chance: Random) -> None:
    marks = [part.mark for part in job.parts]
    others = [replace(part, mark=mark) for part, mark in zip(job.parts, chance.sample(marks, len(marks)), strict=True)]
    renamed = make_plan(replace(job, parts=tuple(others)), a_shop())
    assert without_names(renamed) == without_names(make_plan(job, a_shop()))


@pytest.mark.parametrize(
    "name", ["bakery-stools", "hall-bench", "library-drawers", "picture-frames", "ferry-tables", "canvas-stretchers"]
)
def test_a_whole_job_with_other_marks_is_the_same_but_for_names(name: str) -> None:
    job = read_job(FIXTURES / name / "job.toml")
    made = [part.mark for part in job.parts]
    for rows in (job.joints, job.mouldings, job.cuts):
        made += [one.mark for one in rows]
    marks = {mark: f"X{len(made) - place}" for place, mark in enumerate(made)}

    def renamed(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: one if key in ("name", "note") else renamed(one) for key, one in value.items()}
        return [renamed(one) for one in value] if isinstance(value, list) else marks.get(value, value)

    other = job_from_document(renamed(job_to_document(job)), name)
    assert {part.mark for part in other.parts}.isdisjoint(made)
    shop = default_shop()
    assert without_names(make_plan(other, shop)) == without_names(make_plan(job, shop))


def test_the_checker_sees_a_stop_that_is_said_to_stand_and_does_not() -> None:
    job = a_job(a_part("A", 2), a_part("B", 2, (300, 38, 22)))
    sheet = make_plan(job, a_shop())
    last = sheet.runs[-1]
    wrong = replace(last, stops=(replace(last.stops[0], move=Move.STANDS),))
    with pytest.raises(AssertionError, match="said to stand"):
        check_sheet(replace(sheet, runs=(*sheet.runs[:-1], wrong)), job, a_shop())


def test_the_checker_sees_two_pieces_closer_than_the_kerf() -> None:
    job = a_job(a_part("A", 2), stock=(a_board(1),))
    sheet = make_plan(job, a_shop())
    layout = sheet.wood.layouts[0]
    first, second = layout.placements
    closer = replace(layout, placements=(first, replace(second, x=second.x - mm(1))))
    with pytest.raises(AssertionError, match="closer than the kerf"):
        check_sheet(replace(sheet, wood=replace(sheet.wood, layouts=(closer,))), job, a_shop())
