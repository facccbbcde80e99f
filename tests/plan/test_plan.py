"""What every plan must hold to: each piece worked once, each position set once, whatever the order of the lines."""

from collections import Counter
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import a_board, a_job, a_part, a_planer, a_saw, a_shop, mm

from stopwright.model.job import Flow
from stopwright.model.joints import Side
from stopwright.model.parts import Grain, Kind, Part
from stopwright.model.shaping import Mitre, Moulding, Pass
from stopwright.model.stations import Axis, Station
from stopwright.model.stock import StockKind
from stopwright.plan.choices import Choices
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Move

SIZES = st.tuples(
    st.sampled_from([150, 244, 244.5, 360, 450, 900]),
    st.sampled_from([38, 60, 60.5, 84]),
    st.sampled_from([18, 22, 38]),
)
PARTS = st.lists(
    st.tuples(SIZES, st.integers(1, 9), st.sampled_from(list(Kind)), st.sampled_from(["ash", "oak", ""])),
    min_size=1,
    max_size=7,
).map(
    lambda rows: tuple(
        a_part(chr(65 + i), quantity, size, kind=kind, material=material, grain=Grain.ANY)
        for i, (size, quantity, kind, material) in enumerate(rows)
    )
)
STOCK = (
    a_board(2, (2400, 180, 45), material="ash"),
    a_board(1, (1800, 140, 27), material="oak"),
    a_board(1, (1000, 600, 18), material="ash", kind=StockKind.SHEET),
)


@settings(deadline=None, max_examples=60)
@given(PARTS)
def test_every_piece_is_worked_exactly_once_at_each_station_it_needs(parts: tuple[Part, ...]) -> None:
    sheet = make_plan(a_job(*parts, stock=STOCK), a_shop())
    for work in ("rip", "square", "crosscut"):
        counted: Counter[str] = Counter()
        for run in sheet.runs:
            if run.work == work:
                counted.update({pieces.mark: pieces.count for pieces in run.pieces})
        assert counted == {part.mark: part.quantity for part in parts}
    for part in parts:
        planed = [run for run in sheet.runs if run.work == "plane" and part.mark in {p.mark for p in run.pieces}]
        assert bool(planed) == (part.kind is not Kind.SHEET)
        if planed:
            assert planed[-1].stops[0].target == part.thickness


@settings(deadline=None, max_examples=60)
@given(PARTS)
def test_no_position_is_set_twice_and_the_count_is_the_least_possible(parts: tuple[Part, ...]) -> None:
    sheet = make_plan(a_job(*parts, stock=STOCK), a_shop())
    made = [(stop.axis, stop.target) for run in sheet.runs for stop in run.stops if stop.move is Move.SET]
    assert len(set(made)) == len(made) == sheet.settings.made == sheet.settings.least_possible
    assert sheet.settings.proven


@settings(deadline=None, max_examples=40)
@given(PARTS, st.randoms(use_true_random=False))
def test_a_permuted_part_list_gives_the_same_run_sheet(parts: tuple[Part, ...], chance: object) -> None:
    shuffled = list(parts)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert make_plan(a_job(*shuffled, stock=STOCK), a_shop()) == make_plan(a_job(*parts, stock=STOCK), a_shop())


def test_widest_longest_and_thickest_come_first() -> None:
    parts = (a_part("A", 1, (300, 40, 20)), a_part("B", 1, (900, 80, 30)))
    sheet = make_plan(a_job(*parts), a_shop())
    for work in ("plane", "rip", "crosscut"):
        targets = [run.stops[0].target for run in sheet.runs if run.work == work]
        assert targets == sorted(targets, reverse=True)


def test_a_stop_out_of_reach_is_a_fault_and_the_rest_is_planned() -> None:
    sheet = make_plan(a_job(a_part("A", 1, (2700, 60, 22)), a_part("B", 1)), a_shop())
    assert [fault.about for fault in sheet.faults] == ["A"]
    assert "60 mm to 2600 mm" in sheet.faults[0].text
    assert {p.mark for run in sheet.runs if run.work == "crosscut" for p in run.pieces} == {"A", "B"}


def test_nearly_equal_targets_are_asked_about_never_merged() -> None:
    sheet = make_plan(a_job(a_part("A", 1, (450, 60, 22)), a_part("B", 1, (450.4, 60, 22))), a_shop())
    assert sum(run.work == "crosscut" for run in sheet.runs) == 2
    asked = [warning for warning in sheet.warnings if "Meant to be the same?" in warning.text]
    assert [(warning.about, "0.4 mm" in warning.text) for warning in asked] == [("A, B", True)]


def test_a_residual_beyond_the_tolerance_is_a_warning() -> None:
    # 450.2 on a scale of 0.5: nearest 450, residual −0.2, allowed ± 0.1
    sheet = make_plan(a_job(a_part("A", 1, (450.2, 60, 22), tolerance=mm(0.1))), a_shop())
    crosscut = next(run for run in sheet.runs if run.work == "crosscut")
    assert (crosscut.stops[0].reading, crosscut.stops[0].residual) == (mm(450), mm(-0.2))
    assert any("trial piece" in warning.text for warning in sheet.warnings)


def test_the_zero_of_a_scale_moves_the_reading_not_the_target() -> None:
    fence = Axis("rip fence", "width", step=mm(0.5), zero=mm(1.5), high=mm(1250))
    saw = replace(a_saw(), axes=(fence, a_saw().axes[1]))
    stop = next(run for run in make_plan(a_job(), a_shop(saw)).runs if run.work == "rip").stops[0]
    assert (stop.target, stop.reading, stop.residual) == (mm(60), mm(61.5), 0)


def test_a_shop_without_a_planer_says_so() -> None:
    sheet = make_plan(a_job(), a_shop(a_saw()))
    assert any("plane" in warning.text for warning in sheet.warnings)


def test_pieces_without_wood_stand_under_what_to_buy_with_the_allowance() -> None:
    wood = make_plan(a_job(a_part("A", 5, (450, 60, 22))), a_shop()).wood
    (blank,) = wood.to_buy
    # 450 + 25, 60 + 6; 22 mm planes from 5/4 = 31.75 mm
    assert (blank.count, blank.length, blank.width, blank.thickness) == (5, mm(475), mm(66), mm(31.75))


def test_a_part_too_short_for_the_feed_rollers_is_named() -> None:
    sheet = make_plan(a_job(a_part("A", 1, (200, 60, 22))), a_shop(a_planer(), a_saw()))
    assert any(w.about == "A" and "rollers" in w.text for w in sheet.warnings)


def test_parts_go_on_to_thicker_boards_where_the_thinner_run_out() -> None:
    stock = (a_board(1, (500, 80, 27)), a_board(1, (500, 80, 33)))
    sheet = make_plan(a_job(a_part("A", 2, (450, 60, 22)), stock=stock), a_shop())
    assert sheet.wood.boards_used == 2 and not sheet.wood.to_buy
    # rough 33, 31.5 with one face true, → 22 with 1.6 a pass: ⌈9.5 / 1.6⌉ = 6 heights
    assert sum(run.work == "plane" for run in sheet.runs) == 6


def test_a_stop_that_stands_is_free_and_goes_first() -> None:
    parts = (a_part("A", 1, (900, 84, 22)), a_part("B", 1, (450, 60, 22)))
    standing = (("saw", "rip fence", mm(60)), ("saw", "flip stops", mm(450)))
    fresh = make_plan(a_job(*parts), a_shop(a_saw()))
    again = make_plan(a_job(*parts), a_shop(a_saw()), Choices(standing=standing))
    assert (fresh.settings.made, again.settings.made, again.settings.least_possible) == (4, 2, 2)
    first_rip = next(run for run in again.runs if run.work == "rip")
    assert (first_rip.stops[0].target, first_rip.stops[0].move) == (mm(60), Move.STANDS)


def test_part_by_part_lists_both_stops_and_sets_each_as_seldom_as_can_be() -> None:
    sizes = ((900, 84), (450, 84), (450, 60), (300, 60))
    parts = [a_part(chr(65 + i), 1, (length, width, 22)) for i, (length, width) in enumerate(sizes)]
    sheet = make_plan(a_job(*parts, flow=Flow.PART_BY_PART), a_shop(a_saw()))
    # a path 900–84–450–60–300 in the graph of widths and lengths: a caterpillar, so W + L = 2 + 3 settings
    assert (sheet.settings.made, sheet.settings.least_possible, sheet.settings.proven) == (5, 5, True)
    assert len({run.id for run in sheet.runs}) == len(sheet.runs) == 3 * len(parts)


def test_part_by_part_leaves_what_is_mitred_or_moulded_along_to_its_own_last_cut() -> None:
    parts = [a_part(mark, 4, (length, 60, 22)) for mark, length in (("A", 450), ("B", 400), ("C", 350), ("D", 300))]
    along = Moulding("M", ("C",), (Pass("cove 12", mm(8), mm(12)),))
    all_round = Moulding("N", ("D",), (Pass("round 4", mm(4), mm(2)),), (Side.EDGE, Side.MARKED_END))
    job = a_job(*parts, flow=Flow.PART_BY_PART, mitres=(Mitre("B", sides=4),), mouldings=(along, all_round))
    spindle = Station("spindle", ("mould",), (Axis("cutter", "cutter"),))
    saw = a_saw(work=("rip", "square", "crosscut", "mitre"))
    saw = replace(saw, axes=(*saw.axes, Axis("mitre gauge", "angle")))
    runs = make_plan(job, a_shop(saw, spindle)).runs
    works = {mark: [run.work for run in runs if mark in {p.mark for p in run.pieces}] for mark in "ABCD"}
    assert works["A"] == ["rip", "square", "crosscut"]
    # cut off by mark; the mitre gives it its length
    assert works["B"] == ["rip", "crosscut", "mitre", "mitre"]
    assert works["C"] == ["rip", "mould", "square", "crosscut"]  # run long, crosscut after
    assert works["D"] == ["rip", "square", "crosscut", "mould"]


def test_a_length_that_crosscut_and_mitre_share_is_set_once() -> None:
    saw = a_saw(work=("rip", "square", "crosscut", "mitre"))
    stops = replace(saw.axes[1], holds=1, clearance=0)
    saw = replace(saw, axes=(saw.axes[0], stops, Axis("mitre gauge", "angle")))
    parts = (a_part("A", 1, (400, 60, 20)), a_part("B", 1, (200, 60, 20)), a_part("C", 1, (400, 60, 20)))
    settings = make_plan(a_job(*parts, mitres=(Mitre("C", sides=4),)), a_shop(saw)).settings
    # long before short would make 60, 400, 200, 45°, 400 again; short before long: 60, 200, 400, 45°
    assert (settings.made, settings.least_possible, settings.proven) == (4, 4, True)


def test_the_cutter_stays_on_from_what_is_run_long_to_what_is_run_when_cut_to_length() -> None:
    spindle = Station("spindle", ("mould",), (Axis("cutter", "cutter", minutes=5),))
    set_up, other = Pass("round 6", mm(6), 0), Pass("cove 12", mm(8), 0)
    mouldings = (
        Moulding("L", ("A",), (set_up,)),
        Moulding("M", ("B",), (other,)),
        Moulding("N", ("C",), (set_up,), (Side.EDGE, Side.MARKED_END)),
    )
    parts = (a_part("A"), a_part("B"), a_part("C"))
    sheet = make_plan(a_job(*parts, mouldings=mouldings), a_shop(a_saw(), spindle))
    moulded = [run for run in sheet.runs if run.work == "mould"]
    assert [(run.lot, str(run.stops[0].move)) for run in moulded] == [("M", "set"), ("L", "set"), ("N", "stands")]
    assert moulded[2].number > next(run.number for run in sheet.runs if run.work == "crosscut") > moulded[1].number
    assert sheet.settings.proven


def test_wood_that_would_give_two_pieces_when_resawn_is_named_with_what_is_planed_away() -> None:
    # two of 22 with a cut of 1.6 each and a kerf of 3.2 between: 2 × 23.6 + 3.2 = 50.4, which 52 holds and 50 does not
    for thickness, told in ((52, True), (50, False)):
        stock = (a_board(1, (1000, 80, thickness)),)
        warnings = make_plan(a_job(a_part("A", 2, (450, 60, 22)), stock=stock), a_shop()).warnings
        texts = [warning.text for warning in warnings if warning.about == "A"]
        assert (
            texts
            == ["2 pieces come from wood of 52 mm, 30 mm of it planed away; resaw it first, or bring thinner wood"][
                :told
            ]
        )


def test_a_piece_without_wood_is_told_of_the_offcut_that_would_hold_it() -> None:
    # the strip of 200 runs the whole board, so no strip of 60 finds room; what is left of it holds six though
    parts = (a_part("A", 1, (900, 200, 22)), a_part("B", 5, (500, 60, 22)))
    sheet = make_plan(a_job(*parts, stock=(a_board(1, (2000, 220, 27)),)), a_shop())
    (offcut,) = sheet.wood.layouts[0].offcuts
    assert (offcut.length, offcut.width) == (mm(1990 - 900 - 3.2), mm(200))
    (said,) = [warning.text for warning in sheet.warnings if warning.about == "B"]
    # 2 × 500 + 3.2 along, 3 × 60 + 2 × 3.2 across
    assert said.endswith("see what to buy. What this plan leaves of a board, 1086.8 × 200 mm, would hold all of them")


def test_mouldings_take_their_time_by_the_strip_until_they_are_cut() -> None:
    # one strip of 24 × 45 + 23 × 3.2 = 1153.6 in a board of 1200: one pass of the planer, not 24
    strips = a_part("A", 24, (45, 30, 22), kind=Kind.MOULDING)
    sheet = make_plan(a_job(strips, stock=(a_board(1, (1200, 40, 23)),)), a_shop())
    minutes = {run.work: run.minutes for run in sheet.runs}
    # each with half a minute to carry: height 0.5 + 0.25, fence 1 + 0.25, squared 0.25, stop 0.75 + 24 × 0.25
    assert [minutes[work] for work in ("plane", "rip", "square", "crosscut")] == [1.25, 1.75, 0.75, 7.25]


def test_part_by_part_a_strip_for_later_is_ripped_with_the_pieces_of_its_width() -> None:
    strip = a_part("C", 4, (300, 60, 20), kind=Kind.MOULDING)
    parts = (a_part("A", 4, (400, 60, 20)), a_part("B", 4, (350, 40, 20)), strip)
    sheet = make_plan(a_job(*parts, flow=Flow.PART_BY_PART), a_shop(a_saw()))
    ripped = [(run.stops[0].target, [p.mark for p in run.pieces]) for run in sheet.runs if run.work == "rip"]
    assert ripped == [(mm(60), ["A", "C"]), (mm(40), ["B"])]
    assert (sheet.settings.made, sheet.settings.least_possible, sheet.settings.proven) == (5, 5, True)


def test_mouldings_without_wood_are_told_as_strip_too() -> None:
    warnings = make_plan(
        a_job(a_part("A", 6, (70, 30, 10), kind=Kind.MOULDING), stock=(a_board(1, (300, 20, 22)),)), a_shop()
    ).warnings
    (said,) = [warning.text for warning in warnings if warning.about == "A" and "wood on hand" in warning.text]
    # 6 × 70 + 5 × 3.2 + 5
    assert said == "6 pieces find no wood on hand (70 × 30 × 10 mm), in all 441 mm of strip; see what to buy"


def test_mouldings_to_buy_are_reckoned_in_strips_no_longer_than_the_stops_reach() -> None:
    # 120 × 45 + 119 × 3.2 + 5 = 5785.8 mm, in strips of 2.6 m at most: 3; fence 1, carrying 0.5, 3 × 0.25
    sheet = make_plan(a_job(a_part("A", 120, (45, 30, 22), kind=Kind.MOULDING)), a_shop())
    assert next(run.minutes for run in sheet.runs if run.work == "rip") == 2.25


def test_flip_stops_are_counted_for_what_can_go_part_by_part_only() -> None:
    strips = [a_part(mark, 4, (300, width, 20), kind=Kind.MOULDING) for mark, width in (("A", 60), ("B", 40))]
    assert make_plan(a_job(*strips), a_shop(a_saw())).notes == ()
    (note,) = make_plan(a_job(*strips, a_part("C", 4, (300, 80, 20))), a_shop(a_saw())).notes
    assert note.startswith("Part by part 1 flip stop")
