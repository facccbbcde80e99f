"""The shop in a test puts frames and drawers together in the driest and the wettest time of the job.

Wood Handbook, FPL-GTR-190, Eq. 13-2, ΔD = D · C · (M₂ − M₁), with coefficients of Table 13-5 written out again here;
what a panel grows in its thickness counts as well. Lengths in mm.
"""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.plan.making.made import a_thing, made
from tests.shop.test_put_together import Placed, overlaps, place, room_of

from stopwright.lengths import MM, Show
from stopwright.model.job import Job
from stopwright.model.moisture import Moisture
from stopwright.model.parts import Kind
from stopwright.plan.assembling.moving_panels import moving_panels
from stopwright.plan.operations.rebate import Rebate

ACROSS = {"red oak": ".00369", "cherry": ".00248", "beech": ".00431"}
"""Tangential, for one percent: flat boards move by that across their width."""
THROUGH = {"red oak": ".00158", "cherry": ".00126", "beech": ".00190"}
"""Radial: they move by that in their thickness."""
HEATED, DAMP = Moisture(), Moisture(Fraction(8), Fraction(6), Fraction(13))
STILE, TOP, BOTTOM, DEEP = 60, 60, 80, 10


def at_moisture(job: Job, mark: str, percent: Fraction) -> Job:
    """The job with one part as wide and thick as it is at a moisture; along the grain it stays."""
    part, by = job.part(mark), percent - job.moisture.made_at
    wide = round(part.width * (1 + Fraction(ACROSS[part.material]) * by))
    thick = round(part.thickness * (1 + Fraction(THROUGH[part.material]) * by))
    moved = replace(part, width=wide, thickness=thick)
    return replace(job, parts=tuple(moved if one is part else one for one in job.parts))


def a_door(width: int, wood: str, moisture: Moisture, **more: object) -> Job:
    """The parts of a door with one solid panel, 700 high."""
    given = {"width": width, "height": 700, "stiles": STILE, "bottom": BOTTOM, "thickness": 22, "groove_depth": DEEP}
    found = made(a_thing("frame", **(given | {"panel_kind": Kind.SOLID, "panel_material": wood} | more)))
    return Job("door", found.parts, cuts=found.cuts, moisture=moisture)


def stood(job: Job, width: int, percent: Fraction) -> tuple[list[Placed], Placed]:
    """The bars of the door, and its panel in the middle of its grooves as it is at a moisture."""
    then = at_moisture(job, "Fp", percent)
    panel = then.part("Fp")
    beside = (width - 2 * STILE) / 2 - panel.width / MM / 2
    above = (700 - TOP - BOTTOM - panel.length / MM) / 2
    off = next((cut.depth for cut in job.cuts if isinstance(cut, Rebate)), 0)
    front = 11 - (off + panel.thickness) / MM / 2  # what is left of its edges lies in the middle
    tongue = 9.5
    bars = [
        place(job, "Fst", (STILE, 0, 0), ("-Y", "-X", "+Z"), "left stile"),
        place(job, "Fst", (width - STILE, 0, 0), ("-Y", "+X", "+Z"), "right stile"),
        place(job, "Ftr", (STILE - tongue, 0, 0), ("+X", "-Y", "+Z"), "top rail"),
        place(job, "Fbr", (STILE - tongue, BOTTOM - 700, 0), ("+X", "-Y", "+Z"), "bottom rail"),
    ]
    return bars, place(then, "Fp", (STILE + beside, -TOP - above, front), ("-Y", "+X", "+Z"), "panel")


@pytest.mark.parametrize("moisture", [HEATED, DAMP], ids=["heated", "damp"])
@pytest.mark.parametrize("whole", [None, 14])
@pytest.mark.parametrize("wood", ACROSS)
def test_a_panel_that_the_plan_lets_pass_stays_held_when_driest_and_never_presses_when_wettest(
    wood: str, moisture: Moisture, whole: float | None
) -> None:
    verdicts = []
    for width in range(300, 1300, 100):
        job = a_door(width, wood, moisture, panel_full=whole)
        fine = moving_panels(job, Show.MM).faults == ()
        bars, wet = stood(job, width, moisture.wettest)
        free = overlaps([*bars, wet]) == [] and sum(room_of(wet, bars, 0, way) for way in (-1, 1)) >= 1 - 0.02
        bars, dry = stood(job, width, moisture.driest)
        left, right = (float(end) for end in dry.whole[0])
        held = STILE - left >= 3 and right - (width - STILE) >= 3
        assert overlaps([*bars, dry]) == []
        assert fine is (free and held), width
        verdicts.append(fine)
    assert verdicts[0] and not verdicts[-1]  # both are met with


def a_bottom(depth: int, lowered: bool, **more: object) -> Job:
    """The parts of a drawer with a bottom of solid beech."""
    given = {"width": 450, "height": 132.7, "depth": depth, "lowered": lowered, "bottom_kind": Kind.SOLID}
    found = made(a_thing("drawer", **(given | {"bottom_material": "beech"} | more)))
    return Job("drawer", found.parts, cuts=found.cuts)


def grown(job: Job, percent: Fraction) -> tuple[list[Placed], Placed]:
    """Sides, front and back of the drawer, and its bottom with its front edge where it was put, or in the middle."""
    then = at_moisture(job, "Dbo", percent)
    bottom, back, side = then.part("Dbo"), job.part("Db"), job.part("Ds")
    long, wide, clear = side.length / MM, 424.6, 12
    lift = (side.width - back.width) / MM
    spare = (long - 12 - 12 + 2 * 6 - bottom.width / MM) / 2 if not lift else 0.5
    pieces = [
        place(job, "Ds", (clear, 0, 0), ("+Y", "+Z", "-X"), "left side"),
        place(job, "Ds", (wide - clear, 0, 0), ("+Y", "+Z", "+X"), "right side"),
        place(job, "Df", (6, 12, 0), ("+X", "+Z", "-Y"), "front"),
        place(job, "Db", (6, long - 12, lift), ("+X", "+Z", "+Y"), "back"),
    ]
    lies = 10.1 - (bottom.thickness / MM - 6) / 2
    return pieces, place(then, "Dbo", (6.5, 6 + spare, lies), ("+X", "+Y", "+Z"), "bottom")


@pytest.mark.parametrize("depth", [300, 500])
def test_a_solid_bottom_under_a_lowered_back_grows_out_behind_and_presses_nothing(depth: int) -> None:
    job = a_bottom(depth, lowered=True)
    assert moving_panels(job, Show.MM).faults == ()
    for percent in (HEATED.driest, HEATED.wettest):
        pieces, bottom = grown(job, percent)
        assert overlaps([*pieces, bottom]) == []


def test_a_solid_bottom_in_four_grooves_is_told_of_where_it_would_press() -> None:
    # Beech, 287 wide in 288, grows by 287 * 0.00431 * 2 = 2.5. 284.5 in 288 is free then, and held when driest:
    # 284.5 * (1 - 0.00862) = 282.05, with 276 clear 3.02 in either groove
    for room, fine in ((1, False), (3.5, True)):
        job = a_bottom(300, lowered=False, bottom_play=room)
        pieces, bottom = grown(job, HEATED.wettest)
        assert (overlaps([*pieces, bottom]) == []) is fine
        assert (moving_panels(job, Show.MM).faults == ()) is fine
