"""The way of the wood: what every run takes and gives, from the rack to the last cut."""

from collections import Counter
from dataclasses import replace

from hypothesis import given, settings
from tests.builders import a_board, a_job, a_jointer, a_part, a_planer, a_saw, a_shop, mm
from tests.plan.test_plan_checked import jobs

from stopwright.lengths import Show
from stopwright.model.job import Flow, Job
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Hand, Kind
from stopwright.model.shaping import Mitre, Moulding, Pass
from stopwright.model.stations import Axis, Station
from stopwright.model.stock import StockKind
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Form, Lot, Run, RunSheet
from stopwright.plan.said_lengths import read_out


def runs_of(sheet: RunSheet, work: str) -> list[Run]:
    return [run for run in sheet.runs if run.work == work]


def sizes(lots: tuple[Lot, ...]) -> list[tuple[str, int, float, float, float]]:
    return [(lot.name, lot.count, lot.length / 1e6, lot.width / 1e6, lot.thickness / 1e6) for lot in lots]


def test_a_board_goes_through_jointer_planer_fence_and_stop_and_loses_only_what_each_takes_off() -> None:
    sheet = make_plan(a_job(a_part("A", 4, (450, 60, 22)), stock=(a_board(1, (1000, 150, 27)),)), a_shop())
    joint, *planed, rip, square, crosscut = sheet.runs
    assert sizes(joint.takes) == [("board 1", 1, 1000, 150, 27)]
    # the face edge costs 6, a face 1.5; then 25.5 − 22 = 3.5 in three cuts of at most 1.6
    assert sizes(joint.gives) == [("board 1", 1, 1000, 144, 25.5)]
    assert [run.gives[0].thickness for run in planed][-1] == mm(22) and len(planed) == 3
    # two strips of 60 and the rest 144 − 2 × 60 − 2 × 3.2 = 17.6, too narrow to keep
    assert sizes(rip.gives) == [("board 1, strip 1", 1, 1000, 60, 22), ("board 1, strip 2", 1, 1000, 60, 22)]
    assert sizes(square.gives)[0] == ("board 1, strip 1", 1, 995, 60, 22)
    assert sizes(crosscut.gives) == [("A", 4, 450, 60, 22)]
    assert [[(line.lot, line.count) for line in run.lines] for run in (joint, rip, square, crosscut)] == [
        [("board 1", 1)],
        [("board 1", 2)],
        [("board 1", 2)],
        [],
    ]
    assert crosscut.after == (square.id,) and square.after == (rip.id,)


def test_boards_of_one_layout_are_one_lot_and_each_strip_of_them_is_another() -> None:
    sheet = make_plan(a_job(a_part("A", 12, (450, 60, 22)), stock=(a_board(3, (1000, 150, 27)),)), a_shop())
    (rip,) = runs_of(sheet, "rip")
    assert sizes(rip.takes) == [("boards 1–3", 3, 1000, 144, 22)]
    assert [(lot.name, lot.count, lot.becomes) for lot in rip.gives] == [
        ("boards 1–3, strip 1", 3, (("A", 6),)),
        ("boards 1–3, strip 2", 3, (("A", 6),)),
    ]
    assert rip.count == 6


def test_only_what_is_planed_to_one_thickness_shares_a_board() -> None:
    parts = (a_part("A", 2, (500, 50, 20)), a_part("B", 2, (500, 50, 12)))
    sheet = make_plan(a_job(*parts, stock=(a_board(2, (2100, 70, 25)),)), a_shop())
    assert (sheet.wood.boards_used, sheet.wood.least_possible, sheet.wood.proven) == (2, 2, True)
    assert [{one.mark for one in layout.placements} for layout in sheet.wood.layouts] == [{"A"}, {"B"}]
    for run in runs_of(sheet, "plane"):
        assert all(lot.thickness == run.stops[0].target for lot in run.gives)


def test_wood_without_anything_to_plane_is_not_used_unless_it_was_bought_planed() -> None:
    part = a_part("A", 2, (450, 60, 25))
    sheet = make_plan(a_job(part, stock=(a_board(1, (1000, 150, 25)),)), a_shop())
    assert not sheet.wood.layouts and sheet.wood.to_buy
    assert any(w.about == "A" and "too little to plane both faces" in w.text for w in sheet.warnings)
    planed = make_plan(a_job(part, stock=(a_board(1, (1000, 150, 25), planed=True),)), a_shop())
    assert planed.wood.boards_used == 1 and not runs_of(planed, "plane") and not planed.warnings


def test_all_pieces_of_a_batch_are_placed_before_thin_wood_is_spared() -> None:
    # the one thin board is filled by five B, and then A, 1500 long, finds none that is long enough
    parts = (a_part("A", 1, (1500, 50, 20)), a_part("B", 5, (450, 50, 20)))
    stock = (a_board(1, (2400, 70, 25)), a_board(2, (1000, 70, 40)))
    sheet = make_plan(a_job(*parts, stock=stock), a_shop())
    assert not sheet.wood.to_buy and sheet.wood.boards_used == 3


def test_each_saw_takes_its_own_kerf_and_trim() -> None:
    rips = replace(a_saw(work=("rip",), kerf=mm(2), trim=0), name="table saw")
    chops = replace(a_saw(work=("square", "crosscut"), kerf=mm(4), trim=mm(10)), name="chop saw")
    stock = (a_board(1, (998, 50, 18), kind=StockKind.SHEET),)
    sheet = make_plan(a_job(a_part("A", 4, (248, 50, 18), kind=Kind.SHEET), stock=stock), a_shop(rips, chops))
    # 4 × 248 + 3 × 4 = 1004 does not go into 998 − 2 × 10; three do
    assert sum(one.mark == "A" for one in sheet.wood.layouts[0].placements) == 3
    assert [blank.count for blank in sheet.wood.to_buy] == [1]


def test_a_solid_part_across_the_grain_lies_across_the_board() -> None:
    part = a_part("A", 3, (120, 300, 20), grain=Grain.ACROSS)
    sheet = make_plan(a_job(part, stock=(a_board(1, (1000, 150, 27)),)), a_shop())
    (rip,), (crosscut,) = runs_of(sheet, "rip"), runs_of(sheet, "crosscut")
    assert (rip.stops[0].target, crosscut.stops[0].target) == (mm(120), mm(300))
    assert sizes(crosscut.gives)[0] == ("A", 3, 120, 300, 20)


def test_what_is_mitred_is_cut_off_by_mark_and_a_handed_half_is_told_apart() -> None:
    saw = a_saw(work=("rip", "square", "crosscut", "mitre"))
    saw = replace(saw, axes=(*saw.axes, Axis("mitre gauge", "angle")))
    part = a_part("F", 4, (300, 40, 20), hand=Hand.PAIRS)
    job = a_job(part, mitres=(Mitre("F", sides=4),), stock=(a_board(2, (2400, 150, 27)),))
    sheet = make_plan(job, a_shop(a_jointer(), a_planer(), saw))
    (rough,) = runs_of(sheet, "crosscut")
    assert not rough.stops and sizes(rough.gives)[0] == ("F", 4, 325, 40, 20)
    assert rough.gives[0].form is Form.BLANK and "F 325 mm" in read_out(rough.note, Show.MM)
    first, second = runs_of(sheet, "mitre")
    assert [(one.count, one.mirrored) for one in first.pieces] == [(2, False), (2, True)]
    assert (second.gives[0].form, second.gives[0].length) == (Form.PIECE, mm(300))


def test_what_is_moulded_while_it_is_long_travels_as_strips_of_its_own() -> None:
    spindle = Station("spindle", ("mould",), (Axis("cutter", "cutter"),))
    moulding = Moulding("M", ("A",), (Pass("cove 12", mm(8), mm(12)),), (Side.EDGE,))
    parts = (a_part("A", 2, (400, 60, 22)), a_part("B", 2, (400, 60, 22)))
    sheet = make_plan(
        a_job(*parts, mouldings=(moulding,), stock=(a_board(2, (1000, 90, 27)),)), a_shop(a_saw(), spindle)
    )
    (mould,) = runs_of(sheet, "mould")
    assert [(lot.form, dict(lot.becomes)) for lot in mould.takes] == [(Form.STRIP, {"A": 2})]
    assert mould.count == 1


def test_spindle_height_and_fence_are_set_again_with_another_cutter() -> None:
    axes = (
        Axis("cutter", "cutter", minutes=5),
        Axis("spindle height", "spindle height"),
        Axis("spindle fence", "spindle fence"),
    )
    spindle = Station("spindle", ("mould",), axes)
    passes = (Pass("cove 12", mm(8), mm(12)), Pass("round 4", mm(8), mm(12)))
    job = a_job(a_part("A"), mouldings=(Moulding("M", ("A",), passes),))
    first, second = runs_of(make_plan(job, a_shop(a_saw(), spindle)), "mould")
    assert [stop.move.value for run in (first, second) for stop in run.stops] == ["set"] * 6


@settings(deadline=None, max_examples=25)
@given(jobs())
def test_no_run_takes_what_no_earlier_one_gave_and_nothing_is_lost(job: Job) -> None:
    check_way(make_plan(job, a_shop()), job)


def check_way(sheet: RunSheet, job: Job) -> None:
    """AssertionError when a lot is taken that is not there, is larger than it was, or pieces are lost or made twice."""
    on_rack = {layout.lot for layout in sheet.wood.layouts} | {blank.lot for blank in sheet.wood.to_buy}
    there: dict[str, Lot] = {}
    for run in sheet.runs:
        inside: Counter[str] = Counter()
        for lot in run.takes:
            assert lot.name in there or lot.name in on_rack, f"run {run.number} takes {lot.name}, which nobody gave"
            assert there.pop(lot.name, lot) == lot, f"run {run.number}: {lot.name} has changed by itself"
            on_rack.discard(lot.name)
            inside.update(dict(lot.becomes))
        for lot in run.gives:
            assert lot.name not in there, f"run {run.number} gives {lot.name} a second time"
            assert all(size > 0 for size in lot.size)
            there[lot.name] = lot
            inside.subtract(dict(lot.becomes))
        assert not any(inside.values()), f"run {run.number} loses or makes {inside}"
        assert run.count > 0
    made: Counter[str] = Counter()
    for lot in there.values():
        assert lot.form in (Form.PIECE, Form.OFFCUT), f"{lot.name} is left as a {lot.form}"
        made.update(dict(lot.becomes))
    assert made == Counter({part.mark: part.quantity for part in job.parts})
    assert len({run.id for run in sheet.runs}) == len(sheet.runs)


def test_part_by_part_a_strip_of_two_lengths_is_ripped_once() -> None:
    parts = (a_part("A", 1, (900, 60, 22)), a_part("B", 1, (450, 60, 22)))
    job = a_job(*parts, stock=(a_board(1, (1500, 80, 27)),), flow=Flow.PART_BY_PART)
    sheet = make_plan(job, a_shop())
    assert [run.work for run in sheet.runs if run.station == "saw"] == [
        "rip",
        "square",
        "crosscut",
        "crosscut",
    ]
    assert sheet.settings.proven
