"""Sides tapered in a sled, worked out in space from the sheet as it is printed; shares nothing with the planner.

The sled: x to the right, y forward along the blade, z up; nm. The blade stands at the left of the piece, the sled's
fence at its right, and the block lies between fence and piece at the hind end of the sled. Where the taper begins the
piece touches the fence and its other side just touches the blade. A piece has its axes as in `machines`.
"""

import re
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

import numpy as np
from tests.shop.machines import MM, OUTWARD, PLACE

Side = str
Cuts = dict[tuple[str, bool], dict[Side, tuple[int, int]]]
"""By part and hand, for each tapered side where the taper begins and how deep it is at the other end."""

ACROSS = {"edge": "far edge", "far edge": "edge", "face": "back", "back": "face"}
PLAIN = {"face side": "face", "face edge": "edge"}


def tapers_of(sheet: Mapping[str, Any]) -> Cuts:
    """What the runs at the sled take off, one after the other."""
    found: Cuts = defaultdict(dict)
    for run in sheet["runs"]:
        if run["work"] == "taper":
            block = next(stop["target"]["nm"] for stop in run["stops"] if stop["sets"] == "jig block")
            assert "marked end first, the block at the other end" in run["note"]
            (begins,) = re.findall(r"K\d+ from ([\d.]+)(?: mm)? off the marked end", run["note"])
            for pieces in run["pieces"]:
                for lying in (pieces, *pieces.get("then", ())):
                    done = found[pieces["mark"], pieces["mirrored"]]
                    _cut(run, lying, pieces["mirrored"], block, round(float(begins) * MM), done)
    return found


def _cut(run: Any, lying: Any, mirrored: bool, block: int, begins: int, done: dict[Side, tuple[int, int]]) -> None:
    against = PLAIN.get(lying["reference"], lying["reference"])
    side = ACROSS[against]
    assert PLACE[lying["down"]][0] not in (0, PLACE[side][0]), f"{run['number']}: it lies on no side beside the cut"
    assert side not in done, f"{run['number']}: {side} is tapered twice"
    right, up = OUTWARD[against], -OUTWARD[lying["down"]]
    forward = np.cross(up, right) * (-1 if mirrored else 1)
    goes_first = "marked end" if forward[0] < 0 else "other end"
    assert goes_first == "marked end", f"{run['number']}: the block would lie at the end that goes first"
    if lying["down"] in done:
        named = {"face": "face side", "edge": "face edge"}.get(lying["down"], lying["down"])
        assert f"where the {named} is tapered already, its wedge is taped back" in run["note"], "it lies on a slope"
    # The side against the fence may be gone by then: the block lies on what is left of it.
    gone = done[against][1] if against in done else 0
    done[side] = (begins, block - gone)
