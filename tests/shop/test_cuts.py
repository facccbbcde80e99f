"""Cuts as the sheet has them made, against what the job asks for: every wall where it was wanted, to the nanometre."""

import json
from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.builders import fitted, mm
from tests.conftest import ROOT
from tests.shop.machines import Box, Station, complaints, cuts_of

from stopwright.actions.jobs.file_planning import plan_file
from stopwright.intake.shop_file import default_shop
from stopwright.model.cuts import Cut
from stopwright.model.gear import Blade, Discs, GroovingTools
from stopwright.model.job import Job
from stopwright.model.joints import POST_SIDES, Joint, RailEnds, Side
from stopwright.model.parts import Hand, Part
from stopwright.model.shaping import Mitre
from stopwright.model.stations import Axis, Shop
from stopwright.plan.effort import Steps
from stopwright.plan.joinery.corner_slots import CornerSlots
from stopwright.plan.joinery.mitre_slots import MitreSlot
from stopwright.plan.operations.bore import Holes
from stopwright.plan.operations.comb import Comb
from stopwright.plan.operations.groove import Groove, Housing
from stopwright.plan.operations.lap import Bridle, Lap
from stopwright.plan.operations.rebate import Rebate
from stopwright.plan.operations.spline import Spline
from stopwright.plan.operations.tenon import Tenon
from stopwright.plan.operations.tongue import Tongue
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet_json import run_sheet_json
from stopwright.plan.stations.cut_before import CutBefore

JOBS = sorted(path.parent for path in (ROOT / "fixtures").glob("*/job.toml"))
AXES = {"x": 0, "y": 1, "z": 2}
SIDES = {
    "marked end": ("x", False), "other end": ("x", True), "edge": ("y", False), "far edge": ("y", True),
    "face": ("z", False), "back": ("z", True),
}  # fmt: skip


def room(size: tuple[int, int, int], **walls: tuple[int, int]) -> Box:
    """The room between two distances from each of some sides (`far_edge=(10, 16)`), all of the part elsewhere."""
    spans = [(0, one) for one in size]
    for side, (near, far) in walls.items():
        letter, is_far = SIDES[side.replace("_", " ")]
        axis = AXES[letter]
        spans[axis] = (size[axis] - far, size[axis] - near) if is_far else (near, far)
    return spans[0], spans[1], spans[2]


def wanted(job: Job) -> dict[tuple[str, str], list[Box]]:
    """What every cut asks for in each part, in the words of the job file."""
    found: dict[tuple[str, str], list[Box]] = {}
    for cut in job.cuts:
        others = [mark for _, mark in cut.others() if isinstance(cut, Tongue) and mark not in cut.parts]
        for place, mark in enumerate([*cut.parts, *others]):
            part = job.part(mark)
            found[cut.mark, mark] = list(_rooms(cut, place, part, job))
    for joint in job.joints:
        found[joint.mark, joint.rail] = list(_rail_slots(joint, job.part(joint.rail)))
        found[joint.mark, joint.post] = list(_post_slots(joint, job.part(joint.post), job.part(joint.rail)))
    return found


def _across(joint: Joint, rail: Part) -> list[tuple[int, int]]:
    """Where a slot, or each of two side by side, lies in the thickness of its rail, from the face side."""
    middle = rail.thickness // 2 if joint.offset is None else joint.offset
    aside = (-joint.apart // 2, joint.apart // 2) if joint.apart else (0,)
    return [(middle + by - joint.bit // 2, middle + by + joint.bit // 2) for by in aside]


def _rail_slots(joint: Joint, rail: Part):
    ends = ("marked_end", "other_end") if joint.ends in (None, RailEnds.BOTH) else (joint.ends.replace(" ", "_"),)
    for end in ends:
        for number in range(joint.count):
            by = number * (joint.pitch or 0)
            slot = (joint.slot_from + by, joint.slot_to + by)
            for across in _across(joint, rail):
                yield room(rail.size, edge=slot, face=across, **{end: (0, joint.depth_rail)})


def _post_slots(joint: Joint, post: Part, rail: Part):
    size = (post.length + joint.horn, post.width, post.thickness)
    beside = "face" if joint.side in (Side.EDGE, Side.FAR_EDGE) else "edge"
    for rail_number in range(joint.repeat):
        for number in range(joint.count):
            by = joint.horn + joint.drop + rail_number * (joint.spacing or 0) + number * (joint.pitch or 0)
            for near, far in _across(joint, rail):
                walls = {beside: (joint.setback + near, joint.setback + far)}
                walls[joint.side.replace(" ", "_")] = (0, joint.depth_post)
                yield room(size, marked_end=(by + joint.slot_from, by + joint.slot_to), **walls)


def _walls(**walls: tuple[int, int]) -> dict[str, tuple[int, int]]:
    return walls


def _rooms(cut, place: int, part: Part, job: Job):
    size = part.size
    of = {side: str(side).replace(" ", "_") for side in Side}
    ends = {
        RailEnds.BOTH: ("marked_end", "other_end"),
        RailEnds.MARKED: ("marked_end",),
        RailEnds.OTHER: ("other_end",),
    }
    match cut:
        case Groove():
            wide = job.part(cut.fits).thickness + cut.play if cut.width is None else cut.width
            along = (cut.start or 0, part.length if cut.end is None else cut.end)
            yield room(size, **{of[cut.from_]: (cut.at, cut.at + wide), of[cut.side]: (0, cut.depth)}, marked_end=along)
        case Housing():
            wide = job.part(cut.fits).thickness + cut.play if cut.width is None else cut.width
            for at in cut.at:
                yield room(size, marked_end=(at, at + wide), **{of[cut.side]: (0, cut.depth)})
        case Rebate():
            yield room(size, **{of[cut.edge]: (0, cut.width), of[cut.side]: (0, cut.depth)})
        case Tenon():
            near = (part.thickness - cut.thickness) // 2 if cut.from_face is None else cut.from_face
            back = part.thickness - cut.thickness - near
            off = {"face": near, "back": back, "edge": cut.shoulder_edge, "far_edge": cut.shoulder_far_edge}
            for end in ends[cut.ends]:
                for side, deep in off.items():
                    if deep:
                        yield room(size, **{end: (0, cut.length), side: (0, deep)})
        case Lap():
            one, two = (job.part(mark) for mark in cut.parts)
            depth = one.thickness // 2 if cut.depth is None else cut.depth
            wide = (two.width, one.width)[place]
            walls = {("face", "back")[place]: (0, (depth, two.thickness - depth)[place])}
            yield room(size, marked_end=(cut.at[place], cut.at[place] + wide), **walls)
        case Bridle():
            mate = job.part(cut.parts[1 - place])
            near = (part.thickness - cut.thickness) // 2 if cut.from_face is None else cut.from_face
            far = near + cut.thickness
            for end in ends[cut.ends]:
                for face in [(near, far)] if place == 0 else [(0, near), (far, part.thickness)]:
                    yield room(size, face=face, **{end: (0, mate.width)})
        case Comb():
            mate, gap = job.part(cut.parts[1 - place]), cut.cutter - cut.play
            for end in ends[cut.ends]:
                start = gap if place == 0 else 0
                while start < part.width:
                    slot = (start, min(start + cut.cutter, part.width))
                    yield room(size, edge=slot, **{end: (0, mate.thickness + mm(0.3))})
                    start += cut.cutter + gap
        case Spline():
            wide = job.part(cut.fits).thickness + cut.play if cut.fits else cut.width
            for end in ("marked_end", "other_end"):
                yield room(size, face=(cut.at, cut.at + wide), **{end: (0, cut.depth)})
        case CornerSlots():
            second = job.part(cut.parts[1])
            middle = second.thickness // 2
            for number in range(cut.count):
                by = cut.start + number * (cut.pitch or 0)
                if place == 0:
                    across = (cut.at + middle - cut.bit // 2, cut.at + middle + cut.bit // 2)
                    along = (cut.below + by, cut.below + by + cut.length)
                    yield room(size, marked_end=across, edge=along, **{of[cut.side]: (0, cut.depth)})
                    continue
                across = (middle - cut.bit // 2, middle + cut.bit // 2)
                for end in ends[RailEnds.BOTH]:
                    yield room(size, edge=(by, by + cut.length), face=across, **{end: (0, cut.end_depth)})
        case MitreSlot():
            centre, half = part.thickness // 2 if cut.offset is None else cut.offset, cut.bit // 2
            mitre = next(one for one in job.mitres if one.part == part.mark)
            for end in ends[mitre.ends]:
                along, across = (cut.start, cut.start + cut.length), (centre - half, centre + half)
                yield room(size, edge=along, face=across, **{end: (0, cut.depth)})
        case Tongue():
            if part.mark in (cut.grooved or cut.parts):
                other_edge = "edge" if cut.edge is Side.FAR_EDGE else "far_edge"
                yield room(size, face=(cut.at, cut.at + cut.width), **{other_edge: (0, cut.depth)})
            if part.mark in cut.parts:
                out = {of[cut.edge]: (0, cut.depth - cut.relief)}
                yield room(size, face=(0, cut.at), **out)
                yield room(size, face=(cut.at + cut.width - cut.play, part.thickness), **out)
        case Holes():
            half = cut.diameter // 2
            reference = "edge" if cut.side in (Side.MARKED_END, Side.OTHER_END) else "marked_end"
            for number in range(cut.count):
                centre = cut.first + number * cut.pitch
                row = {of[cut.from_]: (cut.at - half, cut.at + half), reference: (centre - half, centre + half)}
                yield room(size, **row, **{of[cut.side]: (0, cut.depth)})


def faults_and_complaints(job: Job, shop: Shop) -> tuple[list[str], list[str]]:
    sheet = make_plan(job, shop, effort=Steps(20))
    printed: Mapping = json.loads(json.dumps(run_sheet_json(sheet, shop.show)))
    stations = {
        one.name: Station(one.of(Blade).kerf, one.of(GroovingTools).tool_radius, one.of(Discs).disc_teeth)
        for one in shop.stations
    }
    horns = {joint.post: joint.horn for joint in job.joints}
    sizes = {part.mark: (part.length + horns.get(part.mark, 0), part.width, part.thickness) for part in job.parts}
    made = list(cuts_of(printed, sizes, stations))
    hands = {part.mark: {False, True} if part.hand is Hand.PAIRS else {False} for part in job.parts}
    refused = {fault.text.split(":")[0].split(" ")[1] for fault in sheet.faults if ":" in fault.text}
    asked = {key: boxes for key, boxes in wanted(job).items() if key[0] not in refused}
    return [fault.text for fault in sheet.faults], complaints(made, asked, hands)


SIDE = Part("A", "Side", 4, mm(400), mm(120), mm(12), hand=Hand.PAIRS)
BOTTOM = Part("B", "Bottom", 2, mm(400), mm(300), mm(6))
RAIL = Part("C", "Rail", 4, mm(300), mm(60), mm(22))
POST = Part("D", "Post", 4, mm(590), mm(45), mm(45))
STILE = Part("E", "Stile", 4, mm(500), mm(60), mm(22))


def a_job(*cuts) -> Job:
    return Job("cuts", (SIDE, BOTTOM, RAIL, POST, STILE), cuts=cuts)


SHOP = replace(default_shop(), block_minutes=0)  # so that strips are made
WITHOUT_STRIPS = replace(SHOP, spacers=False)
ON_ONE_SCALE = replace(
    SHOP,
    stations=tuple(fitted(one, one_scale=True) if "mortise" in one.work else one for one in SHOP.stations),
)
"""Its mortiser reads both end stops and the travel on one scale."""
WITH_A_HEAD = replace(
    SHOP,
    stations=tuple(
        replace(fitted(one, tools=(mm(6), mm(8))), axes=(*one.axes, Axis("head", "tool", minutes=10)))
        if one.name == "saw"
        else one
        for one in SHOP.stations
    ),
)

PLAIN = [
    Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.FAR_EDGE, at=mm(10), fits="B", depth=mm(6)),
    Groove(mark="G1", parts=("C", "E"), side=Side.EDGE, from_=Side.FACE, at=mm(8), width=mm(6), depth=mm(10)),
    Groove(mark="G1", parts=("C",), side=Side.FACE, from_=Side.EDGE, at=mm(8), width=mm(12.3), depth=mm(10),
           station="spindle"),
    Groove(mark="G1", parts=("A",), side=Side.EDGE, from_=Side.BACK, at=mm(3), width=mm(4), depth=mm(8),
           station="spindle", start=mm(40), end=mm(360)),
    Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(9), width=mm(6.2), depth=mm(6),
           station="spindle", start=mm(60)),
    Housing(mark="H1", parts=("A",), side=Side.FACE, at=(mm(10), mm(300)), width=mm(6), depth=mm(5)),
    Housing(mark="H1", parts=("D",), side=Side.BACK, at=(mm(100),), fits="C", depth=mm(12)),
    Rebate(mark="R1", parts=("C",), side=Side.BACK, edge=Side.FAR_EDGE, width=mm(10), depth=mm(8)),
    Rebate(mark="R1", parts=("C",), side=Side.FACE, edge=Side.EDGE, width=mm(10), depth=mm(8), station="spindle"),
    Rebate(mark="R1", parts=("A", "C"), side=Side.FACE, edge=Side.OTHER_END, width=mm(14), depth=mm(5)),
    Tongue(mark="TG1", parts=("C",), grooved=("C", "E"), edge=Side.FAR_EDGE, at=mm(8), width=mm(6), depth=mm(7)),
    Tongue(mark="TG1", parts=("C",), edge=Side.EDGE, at=mm(7), width=mm(7), depth=mm(10), station="saw"),
    Tongue(mark="TG1", parts=("C",), grooved=("E",), edge=Side.EDGE, at=mm(5), width=mm(6.5), depth=mm(7), play=mm(0.2),
           relief=mm(1), station="spindle"),
    Tenon(mark="N1", parts=("C", "E"), length=mm(35), thickness=mm(8)),
    Tenon(mark="N1", parts=("C",), ends=RailEnds.OTHER, length=mm(35), thickness=mm(8), from_face=mm(6),
          shoulder_edge=mm(10), shoulder_far_edge=mm(4)),
    Lap(mark="L1", parts=("C", "E"), at=(mm(100), mm(220))),
    Lap(mark="L1", parts=("C", "E"), at=(0, mm(440)), depth=mm(9)),
    Bridle(mark="B1", parts=("E", "C"), thickness=mm(8)),
    Bridle(mark="B1", parts=("E", "C"), thickness=mm(7), from_face=mm(6), ends=RailEnds.MARKED),
    Comb(mark="C1", parts=("C", "E"), cutter=mm(3.2)),
    Holes(mark="S1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(37), first=mm(72), pitch=mm(32), count=9,
          diameter=mm(5), depth=mm(6)),
    Holes(mark="S1", parts=("A", "C"), side=Side.EDGE, from_=Side.FACE, at=mm(6), first=mm(60), pitch=mm(90), count=3,
          diameter=mm(6), depth=mm(20)),
    Holes(mark="S1", parts=("C",), side=Side.OTHER_END, from_=Side.BACK, at=mm(11), first=mm(12), pitch=mm(36), count=2,
          diameter=mm(8), depth=mm(30)),
    Holes(mark="S1", parts=("C",), side=Side.MARKED_END, from_=Side.FACE, at=mm(11), first=mm(30), diameter=mm(8),
          depth=mm(30)),
    Holes(mark="S1", parts=("A",), side=Side.BACK, from_=Side.FAR_EDGE, at=mm(20), first=mm(72), diameter=mm(5),
          depth=mm(6)),
]  # fmt: skip


@pytest.mark.parametrize("shop", [SHOP, WITHOUT_STRIPS, WITH_A_HEAD], ids=["strips", "no strips", "head"])
@pytest.mark.parametrize("cut", PLAIN, ids=lambda cut: f"{cut.kind} {'+'.join(cut.parts)} {cut.station}")
def test_what_the_sheet_has_cut_is_what_the_job_asks_for(cut, shop):
    faults, wrong = faults_and_complaints(a_job(cut), shop)
    assert not faults
    assert not wrong


@pytest.mark.parametrize("shop", [SHOP, WITHOUT_STRIPS, WITH_A_HEAD], ids=["strips", "no strips", "head"])
@pytest.mark.parametrize("station", ["saw", "spindle"])
def test_splines_are_cut_square_to_the_mitre_where_they_are_asked_for(station, shop):
    spline = Spline(mark="Q1", parts=("C", "E"), at=mm(7), fits="B", depth=mm(14), station=station)
    mitres = (Mitre("C", sides=4), Mitre("E", sides=6))
    faults, wrong = faults_and_complaints(replace(a_job(spline), mitres=mitres), shop)
    assert not faults
    assert not wrong


@pytest.mark.parametrize("real", [21.6, 22.3])
def test_a_tongue_at_the_saw_is_as_thick_as_asked_for_in_wood_as_it_was_measured(real):
    tongue = Tongue(mark="TG1", parts=("C",), edge=Side.EDGE, at=mm(7), width=mm(7), depth=mm(10), station="saw")
    job = Job("measured", (replace(RAIL, measured=mm(real)),), cuts=(tongue,))
    sheet = make_plan(job, SHOP, effort=Steps(20))
    printed: Mapping = json.loads(json.dumps(run_sheet_json(sheet, SHOP.show)))
    stations = {one.name: Station(one.of(Blade).kerf) for one in SHOP.stations}
    made = Job("measured", (replace(RAIL, thickness=mm(real)),), cuts=(tongue,))
    cuts = list(cuts_of(printed, {"C": made.part("C").size}, stations))
    assert complaints(cuts, wanted(made), {"C": {False}}) == []
    seen = CutBefore(sheet.runs, job)
    assert all(seen.at(run, one).now for run in sheet.runs if run.cuts for one in run.pieces)


def test_all_kinds_in_one_job_are_cut_where_they_belong():
    cuts = {cut.kind: cut for cut in PLAIN}.values()
    faults, wrong = faults_and_complaints(a_job(*cuts), SHOP)
    assert not faults
    assert not wrong


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_cut_is_made_where_it_was_asked_for_or_refused_with_a_reason(data):
    tenths = lambda low, high: data.draw(st.integers(low * 10, high * 10)) * mm(0.1)  # noqa: E731
    cuts: list[Cut] = []
    for number in range(data.draw(st.integers(1, 3))):
        kind = data.draw(st.sampled_from(["groove", "housing", "rebate", "tongue", "tenon", "lap", "holes"]))
        mark, part = f"X{number}", data.draw(st.sampled_from(["A", "C", "D", "E"]))
        side = data.draw(st.sampled_from([Side.FACE, Side.BACK, Side.EDGE, Side.FAR_EDGE]))
        flat = data.draw(st.sampled_from([Side.FACE, Side.BACK]))
        beside = [Side.EDGE, Side.FAR_EDGE] if side in (Side.FACE, Side.BACK) else [Side.FACE, Side.BACK]
        wide, deep, at = tenths(2, 14), tenths(1, 9), tenths(0, 20)
        match kind:
            case "groove":
                from_ = data.draw(st.sampled_from(beside))
                cuts.append(Groove(mark=mark, parts=(part,), side=side, from_=from_, at=at, width=wide, depth=deep))
            case "housing":
                cuts.append(Housing(mark=mark, parts=(part,), side=flat, at=(at * 10,), width=wide, depth=deep))
            case "rebate":
                edge = data.draw(st.sampled_from([Side.EDGE, Side.FAR_EDGE, Side.MARKED_END, Side.OTHER_END]))
                cuts.append(Rebate(mark=mark, parts=(part,), side=flat, edge=edge, width=wide, depth=deep))
            case "tongue":
                edge = data.draw(st.sampled_from([Side.EDGE, Side.FAR_EDGE]))
                grooved = data.draw(st.sampled_from([(), ("A", "C"), ("E",)]))
                cuts.append(
                    Tongue(
                        mark=mark, parts=(part,), grooved=grooved, edge=edge, at=at + mm(0.1), width=wide, depth=deep
                    )
                )
            case "tenon":
                cuts.append(Tenon(mark=mark, parts=(part,), length=wide * 3, thickness=deep, shoulder_edge=at))
            case "lap":
                cuts.append(Lap(mark=mark, parts=("C", "E"), at=(at * 5, at * 7)))
            case "holes":
                cuts.append(
                    Holes(mark=mark, parts=(part,), side=flat, from_=Side.EDGE, at=at + deep, first=at + wide + deep,
                          diameter=deep, depth=deep // 2)
                )  # fmt: skip
    faults, wrong = faults_and_complaints(a_job(*cuts), data.draw(st.sampled_from([SHOP, WITHOUT_STRIPS])))
    assert not wrong, faults


@pytest.mark.parametrize("folder", JOBS, ids=lambda path: path.name)
def test_every_slot_and_cut_of_a_whole_job_is_made_where_it_was_asked_for(folder):
    planned = plan_file(folder)
    faults, wrong = faults_and_complaints(planned.job, planned.shop)
    assert (faults, wrong) == ([], [])


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_slots_are_made_where_they_were_asked_for(data):
    """Rails into posts of every hand, on every side, with horns, several slots, several rails and blocks."""
    whole = lambda low, high: data.draw(st.integers(low, high)) * mm(1)  # noqa: E731
    joints = []
    for number, side in enumerate(
        data.draw(st.lists(st.sampled_from(POST_SIDES), min_size=1, max_size=2, unique=True))
    ):
        start = whole(6, 12)
        long, count, repeat = whole(14, 20), data.draw(st.integers(1, 2)), data.draw(st.integers(1, 2))
        joints.append(
            Joint(f"J{number}", "P", f"R{number}", side, start, start + long, mm(8), whole(8, 20), whole(15, 30),
                  setback=whole(0, 8), drop=whole(0, 60), count=count, pitch=long + mm(6) if count > 1 else None,
                  horn=data.draw(st.sampled_from([0, mm(25)])), repeat=repeat,
                  spacing=mm(120) if repeat > 1 else None, apart=data.draw(st.sampled_from([None, mm(13)])))
        )  # fmt: skip
    joints = [replace(joint, horn=joints[0].horn) for joint in joints]
    hand = data.draw(st.sampled_from(Hand))
    rails = [Part(joint.rail, "Rail", 4 * joint.repeat, mm(300), mm(80), mm(22)) for joint in joints]
    job = Job("slots", (Part("P", "Post", 8, mm(500), mm(60), mm(60), hand=hand), *rails), joints=tuple(joints))
    _, wrong = faults_and_complaints(job, data.draw(st.sampled_from([SHOP, WITHOUT_STRIPS, ON_ONE_SCALE])))
    assert not wrong


@pytest.mark.parametrize("shop", [SHOP, ON_ONE_SCALE], ids=["each its own way", "on one scale"])
@pytest.mark.parametrize(("side", "from_"), [(Side.EDGE, Side.FACE), (Side.MARKED_END, Side.FACE)])
def test_dowel_holes_at_the_mortiser_are_made_in_both_hands_however_the_stops_are_read(shop, side, from_):
    holes = Holes(mark="S1", parts=("A",), side=side, from_=from_, at=mm(6), first=mm(20), pitch=mm(32), count=3,
                  diameter=mm(8), depth=mm(20), station="mortiser")  # fmt: skip
    assert faults_and_complaints(Job("holes", (SIDE,), cuts=(holes,)), shop) == ([], [])
