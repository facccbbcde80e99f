"""Faults of the day of a run sheet, found in its JSON alone: hours, order, clamps, bench, joints and their pieces."""

import itertools
from collections.abc import Iterator
from typing import Any

DAY = 24 * 60
SLACK = 1
"""Moments are told to the nearest minute."""


def faults_of_day(
    sheet: dict[str, Any],
    stretches: list[tuple[int, int]],
    clamps: dict[str, int],
    places: int,
    needs: dict[int, set[str]],
    brings: dict[int, list[int]],
    rest: int,
) -> Iterator[str]:
    """Everything in the day that cannot be, in words.

    `stretches` of work in minutes from midnight, `clamps` by how far they open, as text; `needs` has the marks of every
    stage, `brings` the stages that it brings together, `rest` minutes for a panel.
    """
    entries = sheet["day"]["entries"]
    runs = {run["id"]: run for run in sheet["runs"]}
    begin = {one["run"]: one["begin"]["minute"] for one in reversed(entries) if "run" in one}
    end = {one["run"]: one["end"]["minute"] for one in entries if "run" in one}
    if set(begin) != set(runs):
        yield "not every run falls"
    for one, two in itertools.pairwise(entries):
        if two["begin"]["minute"] < one["end"]["minute"] - SLACK:
            yield f"two things at once at {two['begin']}"
    for one in entries:
        for moment in (one["begin"], one["end"]):
            if not any(a <= moment["minute"] % DAY <= b for a, b in stretches):
                yield f"work at {moment}"
        if "free" in one and not any(
            a <= one["begin"]["minute"] % DAY and one["end"]["minute"] % DAY <= b for a, b in stretches
        ):
            yield f"glue open over a break at {one['begin']}"
    for id_, run in runs.items():
        for before in run["after"]:
            lag = rest if runs[before]["work"] == "glue" else 0
            if begin[id_] < end[before] + lag - SLACK:
                yield f"run {run['number']} before run {runs[before]['number']}"
    held = [one for one in entries if "free" in one]
    for one in held:
        now = [other for other in held if other["begin"]["minute"] <= one["begin"]["minute"] < other["free"]["minute"]]
        if places and len(now) > places:
            yield f"too many on the bench at {one['begin']}"
        for opening, there in clamps.items():
            used = sum(kind["count"] for other in now for kind in other["clamps"] if kind["opening"]["text"] == opening)
            if used > there:
                yield f"clamps used twice at {one['begin']}"
    free = {(one["stage"], one["unit"]): one["free"]["minute"] for one in held if "stage" in one}
    for one in held:
        if "stage" not in one:
            continue
        for run in sheet["runs"]:
            marks = {piece["mark"] for piece in run["pieces"]}
            if marks & needs[one["stage"]] and one["begin"]["minute"] < end[run["id"]] - SLACK:
                yield f"stage {one['stage']} before run {run['number']}"
        for earlier in brings[one["stage"]]:
            if one["begin"]["minute"] < free[earlier, one["unit"]] - SLACK:
                yield f"stage {one['stage']} before stage {earlier} has set"
