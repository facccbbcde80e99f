"""The shop in a test: what the runs of a sheet cut out of a piece, worked out from the sheet as it is printed.

Shares no code with the planner: it reads the JSON of the sheet, the sizes of the parts, and of each station its kerf
and the radius of its tools. A piece has x from its marked end, y from its face edge, z from its face side; nm.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isqrt
from typing import Any

import numpy as np

Box = tuple[tuple[int, int], tuple[int, int], tuple[int, int]]

MM = 1_000_000
PLACE = {
    "marked end": (0, 0),
    "other end": (0, 1),
    "edge": (1, 0),
    "face edge": (1, 0),
    "far edge": (1, 1),
    "face": (2, 0),
    "face side": (2, 0),
    "back": (2, 1),
}
"""The axis a side stands across, and whether it lies at its far end."""
OUTWARD = {side: np.eye(3, dtype=int)[axis] * (1 if far else -1) for side, (axis, far) in PLACE.items()}


@dataclass(frozen=True)
class Cut:
    """What one run takes out of one piece: the cuts it is for, whether the piece is a mirror image, and the room."""

    marks: tuple[str, ...]
    part: str
    mirrored: bool
    box: Box


@dataclass(frozen=True)
class Station:
    """What is known of a station besides the sheet."""

    kerf: int
    radius: int = 0
    teeth: int = 0


def cuts_of(sheet: Mapping[str, Any], sizes: Mapping[str, tuple[int, int, int]], stations: Mapping[str, Station]):
    """Everything that saw, spindle, borer and mortiser cut out of pieces, run by run."""
    for run in sheet["runs"]:
        if run["work"] not in ("groove", "rebate", "tongue", "tenon", "spline", "lap", "comb", "bore", "mortise"):
            continue
        for pieces in run["pieces"]:
            for lying in (pieces, *pieces.get("then", ())):
                for box in _boxes(run, lying, pieces, sizes[pieces["mark"]], stations[run["station"]]):
                    yield Cut(_marks(run["note"]), pieces["mark"], pieces["mirrored"], box)


def _marks(note: str) -> tuple[str, ...]:
    named = note.split(";")[0]
    if named.startswith("for "):
        return tuple(named.removeprefix("for ").split(", "))
    return tuple(re.findall(r"(?:groove|housing|rebate|tenon|lap|bridle|comb|holes|tongue|spline) ([\w.]*\w)", named))


def _boxes(run: Any, lying: Any, pieces: Any, size: tuple[int, int, int], station: Station) -> Iterator[Box]:
    at = {stop["sets"]: stop["target"] for stop in run["stops"]}
    place = {name: target["nm"] for name, target in at.items() if "nm" in target}
    strip = run["spacer"]["thickness"]["nm"] * run["spacer"]["count"] if run["spacer"] else 0
    if run["work"] == "mortise":
        yield _slot(run, lying, pieces, size, place, strip)
    elif "peg" in place and "blade height" in place:
        yield from _comb(lying, size, place, station)
    elif "blade height" in place:
        tool = place.get("tool", station.kerf)
        fence = place.get("length", place.get("width", 0)) - strip
        start = 0 if "to the end" in run["note"] else fence
        end = size[0] if "to the other end" in run["note"] else fence + tool
        walls = {lying["reference"]: (start, end), lying["down"]: (0, place["blade height"])}
        yield room_of(walls, size)
    elif "spindle height" in place:
        if "discs" in at["cutter"]["text"]:
            yield from _between_discs(at, lying, size, station)
        else:
            yield _at_the_spindle(run, at, strip, lying, pieces, size, station)
    else:
        yield from _holes(run, lying, pieces, size, place)


def _at_the_spindle(run: Any, at: Any, strip: int, lying: Any, pieces: Any, size: Any, station: Station) -> Box:
    place, note = {name: target["nm"] for name, target in at.items() if "nm" in target}, run["note"]
    height, deep = place["spindle height"] - strip, place["spindle fence"]
    cutter = at["cutter"]["text"]
    if "rebate" in cutter:
        return room_of({lying["down"]: (0, height), lying["reference"]: (0, deep)}, size)
    wide = round(float(re.findall(r"[\d.]+", cutter)[0]) * MM)
    walls = {lying["down"]: (height, height + wide), lying["reference"]: (0, deep)}
    if "pass by pass to the face side" in note:
        walls[lying["down"]] = (0, height + wide)
    if "pass by pass to the back" in note:
        walls[lying["down"]] = (height, size[2])
    if "front stop" in place or "back stop" in place:
        # One stands before the fence, the piece goes from right to left: its left end leads.
        right = np.cross(OUTWARD[lying["reference"]], -OUTWARD[lying["down"]])
        leads = "marked end" if bool(right[0] > 0) is not pieces["mirrored"] else "other end"
        run_out = isqrt(deep * (2 * station.radius - deep))
        start = size[0] - place["back stop"] - run_out if "back stop" in place else 0
        end = place["front stop"] + run_out if "front stop" in place else size[0]
        walls[leads] = (start, end)
    return room_of(walls, size)


def _between_discs(at: Any, lying: Any, size: Any, station: Station) -> Iterator[Box]:
    """One disc below the rings, one above; their teeth stand so far beyond their bodies into the gap."""
    wide, *rings = (round(float(one) * MM) for one in re.findall(r"[\d.]+", at["cutter"]["text"]))
    low = at["spindle height"]["nm"]
    high = low + sum(rings) - station.teeth
    for near, far in ((low - wide, low), (high, high + wide)):
        yield room_of({lying["down"]: (near, far), lying["reference"]: (0, at["spindle fence"]["nm"])}, size)


def _comb(lying: Any, size: Any, place: Any, station: Station) -> Iterator[Box]:
    tool, gap = place.get("tool", station.kerf), place["peg"]
    start = gap if lying["at"] == "peg" else 0
    while start < size[1]:  # every slot stands over the peg while the next one is cut
        walls = {lying["down"]: (0, place["blade height"]), "edge": (start, min(start + tool, size[1]))}
        yield room_of(walls, size)
        start += tool + gap


def _holes(run: Any, lying: Any, pieces: Any, size: Any, place: Any) -> Iterator[Box]:
    size_of_drill = place.get("drill", place.get("bit", 0))
    half = size_of_drill // 2
    row = place.get("drill fence", place.get("table height", 0))
    first = place.get("travel from", place.get("end stop left", place.get("end stop right", 0)))
    if place.get("end stop right", 0) > place.get("travel to", place.get("end stop right", 0)):
        first = place["end stop right"] - first  # one scale, from left to right
    count = int(re.findall(r"(\d+) holes", run["note"])[0]) if "peg" in place else 1
    if "drill fence" in place:
        beside = re.findall(r"up, (face edge|far edge) against", run["note"])[0]
        side = {"back": "face", "face": "back"}[lying["down"]]
        right = np.cross(OUTWARD[beside], OUTWARD[side])  # looking at the fence, the bored side up
    else:
        beside, side = (
            lying["down"],
            re.findall(r"(face|back|far edge|edge|marked end|other end) to the bit", run["note"])[0],
        )
        right = np.cross(-OUTWARD[side], -OUTWARD[beside])  # looking from the bit at the piece
    _at_the_right_stop(run, lying, pieces, right)
    depth = place.get("drill depth", place.get("depth", 0))
    for number in range(count):
        centre = first + number * place.get("peg", 0)
        walls = {beside: (row - half, row + half), lying["reference"]: (centre - half, centre + half), side: (0, depth)}
        yield room_of(walls, size)


def _slot(run: Any, lying: Any, pieces: Any, size: Any, place: Any, strip: int) -> Box:
    """A bit that travels between two places, counted from the end stop at which the reference side lies."""
    half = place["bit"] // 2
    stop = place[f"end stop {lying['at']}"]
    high, deep = place["table height"], place["depth"]
    if strip and run["spacer"]["place"] == "under the piece":
        high -= strip
    elif strip:
        assert run["spacer"]["place"] == "between end stop and piece"
        stop += strip
    right = np.cross(-OUTWARD[lying["slotted"]], -OUTWARD[lying["down"]])  # looking from the bit at the piece
    _at_the_right_stop(run, lying, pieces, right)
    along = (place["travel from"] - stop - half, place["travel to"] - stop + half)
    if lying["at"] == "right" and place["end stop right"] > place["travel to"]:  # one scale, from left to right
        end = place["end stop right"] - (stop - place["end stop right"])
        along = (end - place["travel to"] - half, end - place["travel from"] + half)
    return room_of(
        {lying["slotted"]: (0, deep), lying["down"]: (high - half, high + half), lying["reference"]: along}, size
    )


def _at_the_right_stop(run: Any, lying: Any, pieces: Any, right: Any) -> None:
    """The reference side lies at the left stop where the piece goes on to the right of it, else at the right one."""
    at_left = bool((right == -OUTWARD[lying["reference"]]).all()) is not pieces["mirrored"]
    assert lying["at"] == ("left" if at_left else "right"), f"{run['number']}: the piece lies at the wrong stop"


def room_of(walls: Mapping[str, tuple[int, int]], size: tuple[int, int, int]) -> Box:
    spans = [(0, one) for one in size]
    for side, (near, far) in walls.items():
        axis, is_far = PLACE[side]
        near, far = max(near, 0), min(far, size[axis])
        spans[axis] = (size[axis] - far, size[axis] - near) if is_far else (near, far)
    return spans[0], spans[1], spans[2]


def complaints(
    cuts: list[Cut], wanted: Mapping[tuple[str, str], list[Box]], hands: Mapping[str, set[bool]]
) -> list[str]:
    """What is wrong: a cut outside of what was asked for, or something asked for whose walls no cut makes."""
    wrong = []
    made: dict[tuple[str, str, bool], list[Box]] = defaultdict(list)
    for cut in cuts:
        boxes = {mark: wanted.get((mark, cut.part), []) for mark in cut.marks}
        if not any(_inside(cut.box, box) for several in boxes.values() for box in several):
            wrong.append(f"{cut.marks} in {cut.part}: cuts {cut.box}, asked for {boxes}")
        for mark in cut.marks:
            made[mark, cut.part, cut.mirrored].append(cut.box)
    for (mark, part), asked in wanted.items():
        for hand in hands[part]:
            for box in asked:
                here = [one for one in made[mark, part, hand] if _inside(one, box)]
                if not here or _hull(here) != box:
                    wrong.append(f"{mark} in {part}, mirrored {hand}: {box} is not made by {here}")
    return wrong


def _inside(one: Box, two: Box) -> bool:
    return all(b[0] <= a[0] and a[1] <= b[1] for a, b in zip(one, two, strict=True))


def _hull(boxes: list[Box]) -> Box:
    spans = [(min(box[axis][0] for box in boxes), max(box[axis][1] for box in boxes)) for axis in range(3)]
    return spans[0], spans[1], spans[2]
