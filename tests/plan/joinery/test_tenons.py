"""Loose tenons: sizes, counts, spares, and how they become parts of the job."""

from dataclasses import replace

from tests.builders import a_part, a_planer, a_saw, a_shop, mm
from tests.plan.alone import plan_mortises
from tests.plan.joint_builders import a_frame, a_joint, a_mortiser

from stopwright.lengths import INCH, Show
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind
from stopwright.model.stations import Axis, TenonRules
from stopwright.plan.joinery.tenons import tenon_parts, tenon_remarks, tenon_stock, with_tenons
from stopwright.plan.plan import make_plan

SHOP = a_shop(a_planer(), a_saw(), a_mortiser())


def two_joints(**second: object) -> Job:
    job = a_frame(a_joint("J1", setback=3), a_joint("J2", "back", setback=3, **second), posts=24, rails=24)
    return replace(job, parts=tuple(replace(part, material="ash") for part in job.parts))


def test_a_tenon_is_thinner_than_the_bit_narrower_than_the_slot_and_shorter_than_both_depths() -> None:
    stock = tenon_stock(two_joints(), SHOP)[0]
    # 10 − 0.1, 60 − 0.8, 26 + 35 − 2 × 1.6, half of 9.9
    assert (stock.thickness, stock.width, stock.length, stock.radius) == (mm(9.9), mm(59.2), mm(57.8), mm(4.95))


def test_one_tenon_in_twenty_is_spare_but_at_least_two() -> None:
    for posts, spares in ((4, 2), (40, 2), (41, 3), (60, 3), (61, 4)):
        (stock,) = tenon_stock(a_frame(a_joint(), posts=posts), SHOP)
        assert (stock.count, stock.spares) == (posts, spares)


def test_every_slot_of_every_rail_in_every_post_has_its_tenon() -> None:
    job = a_frame(a_joint(slot_from=5, slot_to=25, count=2, pitch=40, repeat=3, spacing=120), posts=4, rails=6)
    assert tenon_stock(job, SHOP)[0].count == 4 * 3 * 2


def test_two_slots_side_by_side_have_two_tenons() -> None:
    assert tenon_stock(a_frame(a_joint(apart=18), posts=4), SHOP)[0].count == 4 * 2


def test_a_strip_holds_all_tenons_their_kerfs_and_the_trim() -> None:
    (stock,) = tenon_stock(a_frame(a_joint(), posts=4), SHOP)
    assert stock.strip == 6 * mm(57.8) + 5 * mm(3.2) + mm(5)


def test_equal_tenons_of_two_joints_are_one_part_that_is_run_long() -> None:
    (part,) = tenon_parts(two_joints(), SHOP)
    assert (part.mark, part.quantity, part.kind, part.material) == ("T1", 24 + 2 + 24 + 2, Kind.MOULDING, "ash")
    assert part.size == (mm(57.8), mm(59.2), mm(9.9))
    assert part.note == "for J1, J2"


def test_unlike_tenons_are_two_parts_under_marks_that_are_free() -> None:
    job = two_joints(depth_rail=30)
    job = replace(job, parts=(*job.parts, a_part("T1")))
    assert [part.mark for part in tenon_parts(job, SHOP)] == ["T2", "T3"]


def test_tenon_parts_have_their_edges_rounded_by_a_cutter_of_the_bits_radius() -> None:
    job = with_tenons(two_joints(), SHOP)
    assert [part.mark for part in job.parts] == ["A", "B", "T1"]
    (moulding,) = job.mouldings
    assert (moulding.parts, moulding.edges) == (("T1",), (Side.EDGE, Side.FAR_EDGE))
    assert (moulding.passes[0].cutter, moulding.passes[0].height) == ("round 5", mm(4.95))


def test_a_job_without_joints_has_no_tenons() -> None:
    job = Job("plain", (a_part(),))
    assert with_tenons(job, SHOP) is job


def test_a_joint_may_have_its_own_fit_play_and_clearance() -> None:
    (stock,) = tenon_stock(a_frame(a_joint(fit=0, play=0, clearance=2)), SHOP)
    assert (stock.thickness, stock.width, stock.length) == (mm(10), mm(60), mm(57))


def test_a_tenon_of_no_length_is_left_out_and_said_to_be_so() -> None:
    job = a_frame(a_joint(clearance=31))
    assert tenon_stock(job, SHOP) == ()
    assert [fault.about for fault in tenon_remarks(job, SHOP)[0]] == ["J1"]
    assert any(
        "leave nothing of the tenon" in fault.text for fault in plan_mortises(job, SHOP, SHOP.stations[2]).faults
    )


def test_a_planer_scale_too_coarse_for_the_fit_is_said_to_be_so() -> None:
    coarse = a_planer(axes=(Axis("height", "thickness", step=mm(0.5)),))
    ((), (remark,)) = tenon_remarks(a_frame(a_joint()), a_shop(coarse, a_saw()))
    assert "9.9 mm thick and the height of the planer is 0.1 mm off at its nearest mark" in remark.text
    assert tenon_remarks(a_frame(a_joint()), SHOP) == ((), ())


def test_how_many_are_spare_is_the_shops_own_rule() -> None:
    shop = replace(SHOP, tenon=TenonRules(spare_one_in=4, spares_at_least=0))
    assert tenon_stock(a_frame(a_joint()), shop)[0].spares == 1


def test_a_tenon_may_be_thicker_or_thinner_by_half_its_fit_and_no_more() -> None:
    # ± 0.2 as for any 9.9 mm would let through 10.1, which goes into no slot of 10
    runs = make_plan(a_frame(a_joint()), SHOP).runs
    stops = {stop.target: stop for run in runs for stop in run.stops if stop.sets == "thickness"}
    assert stops[mm(9.9)].tolerance == mm(0.05)
    assert stops[mm(20)].tolerance == mm(0.2)


def test_a_cutter_is_named_exactly_in_the_unit_of_the_shop_whatever_marks_it_shows() -> None:
    five_sixteenths = replace(two_joints().joints[0], bit=5 * INCH // 16, slot_to=mm(80))
    job = replace(two_joints(), joints=(five_sixteenths,))
    for lengths, cutter in (("in", "round 5/32"), ("mm", "round 3.96875")):
        shop = replace(SHOP, lengths=lengths, show=Show.SIXTEENTHS)
        assert with_tenons(job, shop).mouldings[0].passes[0].cutter == cutter


def test_what_a_scale_is_off_by_is_said_in_thousandths_where_the_shop_reads_64ths() -> None:
    planer = a_planer(axes=(Axis("height", "thickness", step=INCH // 32),))
    shop = replace(a_shop(planer, a_saw(), a_mortiser()), lengths="in", show=Show.SIXTY_FOURTHS)
    (remark,) = {one.text for one in tenon_remarks(two_joints(), shop)[1]}
    # 9.9 mm; the nearest 32nd is 12 × 0.79375 = 9.525, 0.375 mm or 0.0148 in less
    assert "the height of the planer is 0.015 in off" in remark
