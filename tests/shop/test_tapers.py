"""Tapers as the sheet has them cut, against what the job asks for, on both hands and in every set of sides."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import mm
from tests.conftest import ROOT
from tests.shop.tapers import tapers_of

from stopwright.actions.jobs.file_planning import plan_file
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Hand, Part
from stopwright.plan.effort import Steps
from stopwright.plan.operations.taper import Taper
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet_json import run_sheet_json

LONG_SIDES = ("face", "back", "edge", "far edge")
PAIR = {"face": ("back", 2), "back": ("face", 2), "edge": ("far edge", 1), "far edge": ("edge", 1)}


def sheet_of(cut: Taper, *parts: Part) -> dict:
    shop = default_shop()
    sheet = make_plan(Job("tapered", parts, cuts=(cut,)), shop, effort=Steps(20))
    assert not sheet.faults
    return json.loads(json.dumps(run_sheet_json(sheet, shop.show)))


def wanted(cut: Taper, part: Part) -> dict[str, tuple[int, int]]:
    """By side where it begins and how much is gone at the other end, from the words of the job file."""
    named = [str(side) for side in cut.sides]
    found = {}
    for side in named:
        other, axis = PAIR[side]
        off = part.size[axis] - cut.leaves
        found[side] = (cut.begins, off // 2 if other in named else off)
    return found


def wrong(cut: Taper, *parts: Part) -> list[str]:
    made = tapers_of(sheet_of(cut, *parts))
    hands = [(part, hand) for part in parts for hand in ((False, True) if part.hand is Hand.PAIRS else (False,))]
    assert set(made) == {(part.mark, hand) for part, hand in hands}
    return [
        f"{part.mark}, mirrored {hand}: {made[part.mark, hand]} instead of {wanted(cut, part)}"
        for part, hand in hands
        if made[part.mark, hand] != wanted(cut, part)
    ]


@settings(max_examples=80, deadline=None)
@given(
    sides=st.lists(st.sampled_from(LONG_SIDES), min_size=1, max_size=4, unique=True),
    begins=st.integers(0, 200),
    leaves=st.integers(10, 30),
    width=st.integers(32, 60),
    hand=st.sampled_from(Hand),
)
def test_every_taper_is_cut_as_deep_and_as_long_as_it_is_asked_for(sides, begins, leaves, width, hand):
    leg = Part("A", "Leg", 4, mm(590), mm(width), mm(45), hand=hand)
    other = Part("B", "Foot", 4, mm(300), mm(40), mm(35), hand=hand)
    cut = Taper(mark="K1", parts=("A", "B"), sides=tuple(map(Side, sides)), begins=mm(begins), leaves=mm(leaves))
    assert wrong(cut, leg, other) == []


def test_two_neighbouring_sides_of_a_square_leg_share_the_block_and_lie_on_what_is_still_square():
    leg = Part("A", "Leg", 4, mm(590), mm(45), mm(45), hand=Hand.PAIRS)
    cut = Taper(mark="K1", parts=("A",), sides=(Side.BACK, Side.FAR_EDGE), begins=mm(120), leaves=mm(28))
    (run,) = [run for run in sheet_of(cut, leg)["runs"] if run["work"] == "taper"]
    assert [stop["target"]["nm"] for stop in run["stops"]] == [mm(17)]
    assert "taped" not in run["note"]


@pytest.mark.parametrize(
    ("field", "other"), [("down", {"edge": "far edge", "far edge": "edge"}), ("reference", {"face side": "back"})]
)
def test_a_side_mixed_up_is_seen(field, other):
    leg = Part("A", "Leg", 4, mm(590), mm(45), mm(45))
    cut = Taper(mark="K1", parts=("A",), sides=(Side.BACK,), begins=mm(120), leaves=mm(28))
    sheet = sheet_of(cut, leg)
    lying = next(run for run in sheet["runs"] if run["work"] == "taper")["pieces"][0]
    lying[field] = other[lying[field]]
    with pytest.raises(AssertionError):
        assert tapers_of(sheet)["A", False] == wanted(cut, leg)


def test_a_wrong_block_is_seen():
    leg = Part("A", "Leg", 4, mm(590), mm(45), mm(45))
    cut = Taper(mark="K1", parts=("A",), sides=(Side.BACK, Side.FACE), begins=mm(120), leaves=mm(29))
    sheet = sheet_of(cut, leg)
    assert tapers_of(sheet)["A", False] == wanted(cut, leg)
    tapers = [run for run in sheet["runs"] if run["work"] == "taper"]
    tapers[1]["stops"][0]["target"]["nm"] = mm(8)  # forgets that it lies on a side that is tapered already
    assert tapers_of(sheet)["A", False] != wanted(cut, leg)


def test_the_legs_of_a_whole_job_are_tapered_as_it_asks():
    planned = plan_file(ROOT / "fixtures" / "ferry-tables")
    (cut,) = [one for one in planned.job.cuts if isinstance(one, Taper)]
    made = tapers_of(json.loads(json.dumps(run_sheet_json(planned.sheet, planned.shop.show))))
    assert {mark for mark, _ in made} == set(cut.parts)
    assert all(tapered == wanted(cut, planned.job.part(mark)) for (mark, _), tapered in made.items())
