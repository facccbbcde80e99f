"""Ends cut under gauge and tilt, worked out in space from the sheet as it is printed; shares nothing with the planner.

The saw: x to the right along the fence, y away from the person towards the fence, z up from the table; nm. The blade
crosses the fence line at x = 0 on the table, the stop stands at the left of it. A piece has x from its marked end, y
from its face edge, z from its face side.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from math import cos, radians, sin, tan
from typing import Any

import numpy as np
from tests.shop.machines import OUTWARD, PLACE

Plane = tuple[np.ndarray, float]
"""Outward normal and how far from the piece's zero along it: what lies beyond it is gone."""


def planes_of(
    sheet: Mapping[str, Any], sizes: Mapping[str, tuple[int, int, int]]
) -> dict[tuple[str, bool], list[tuple[str, Plane]]]:
    """By part and hand, every end that is cut slanting and the plane that it is cut to."""
    found: dict[tuple[str, bool], list[tuple[str, Plane]]] = defaultdict(list)
    for run in sheet["runs"]:
        if run["work"] == "splay":
            for pieces in run["pieces"]:
                for lying in (pieces, *pieces.get("then", ())):
                    size, before = sizes[pieces["mark"]], found[pieces["mark"], pieces["mirrored"]]
                    found[pieces["mark"], pieces["mirrored"]] += _cut(run, lying, pieces["mirrored"], size, before)
    return found


def _cut(run: Any, lying: Any, mirrored: bool, size: tuple[int, int, int], before: Any) -> Iterator[tuple[str, Plane]]:
    at = {stop["sets"]: stop["target"] for stop in run["stops"]}
    gauge, tilt, stop = radians(at["angle"]["deg"]), radians(at["tilt"]["deg"]), at["length"]["nm"]
    up, touches = -OUTWARD[lying["down"]], OUTWARD[lying["reference"]]
    slid = "slid along" in run["note"]
    right = touches if slid else -touches
    behind = np.cross(up, right) * (-1 if mirrored else 1)
    if not slid:  # which edge is at the fence follows from how the piece lies; the words must name the same one
        named = re.findall(r"(face edge|far edge)[^;]* against the fence", run["note"])
        assert any((OUTWARD[edge] == behind).all() for edge in named), f"{run['number']}: another edge is at the fence"
    turned = np.array([right, behind, up])  # from the piece to the saw, but for where it lies
    # The blade: on the table it runs forward from the fence to the left under the gauge, and it leans to the left.
    normal = np.array([cos(tilt) * cos(gauge), -cos(tilt) * sin(gauge), sin(tilt)])
    if slid:
        normal = -normal
    line = _line(lying["down"], behind, size)  # a point on the table along the fence, in the piece's own axes
    axis = int(np.argmax(np.abs(touches)))
    touching = line.copy()
    touching[axis] = size[axis] if touches[axis] > 0 else 0
    for end, (n, far) in before:  # an end that is cut already touches with its point on this line
        if end == lying["reference"]:
            rest = n @ touching - n[axis] * touching[axis]
            touching[axis] = (far - rest) / n[axis]
    shift = np.array([stop if slid else -stop, 0, 0]) - turned @ touching
    end = next(side for side, outward in OUTWARD.items() if PLACE[side][0] == 0 and (outward == -touches).all())
    yield end, (turned.T @ normal, -float(normal @ shift))


def _line(down: str, behind: np.ndarray, size: tuple[int, int, int]) -> np.ndarray:
    point = np.zeros(3)
    for outward in (OUTWARD[down], behind):
        axis = int(np.argmax(np.abs(outward)))
        point[axis] = size[axis] if outward[axis] > 0 else 0
    return point


def wanted_plane(end: str, size: tuple[int, int, int], across: float, through: float, long: tuple[str, str]) -> Plane:
    """The plane through the long arris of an end, running off by two angles over width and thickness."""
    sign = 1 if end == "other end" else -1
    normal = np.array([sign, 0.0, 0.0])
    point = np.array([size[0] if sign > 0 else 0, 0.0, 0.0])
    for side, angle in zip(long, (across, through), strict=True):
        axis, far = PLACE[side]
        point[axis] = size[axis] if far else 0
        normal[axis] = tan(radians(angle)) * (-1 if far else 1)
    normal /= np.linalg.norm(normal)
    return normal, float(normal @ point)
