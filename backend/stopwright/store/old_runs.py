"""What version 0.1.0 called a run, and the id that the same run has now.

Its name said station, work, stops, spacer and what else told it apart, joined by bars:
`saw|rip|rip fence=84000000`. Logs, whole jobs and taps kept on phones of that version are read through this.
"""

from collections.abc import Mapping
from typing import Any

from stopwright.plan.run_sheet import run_id

_ENDS = {
    "long edge against the fence, square other end touches the stop": "square other end",
    "long edge against the fence, square marked end touches the stop": "square marked end",
    "first end, without a stop": "first end, parallel",
    "same edge against the fence, slid along: its point touches the stop": "second end, slid along",
    "first end, without a stop: long edge against the fence": "first end",
    "turned over, long edge against the fence: the long point touches the stop": "second end, turned over",
    "first end, without a stop, to the other hand: long edge against the fence": "first end, other hand",
    "not turned, long edge against the fence: the long point touches the stop": "second end, not turned",
}
"""Which of the ends a mitre run cut, by the sentence that stood in its name."""


def renewed(kind: str, body: Mapping[str, Any]) -> dict[str, Any]:
    """The body of a tap with its run named as runs are named now; any other body as it is.

    >>> renewed("stop set", {"run": "saw|rip|rip fence=84000000"})["stops"]
    [['rip fence', 84000000]]
    >>> renewed("run done", {"run": "r5fu5zibvyq"})
    {'run': 'r5fu5zibvyq'}
    """
    told = body.get("run")
    if not isinstance(told, str) or told.count("|") < 2:
        return dict(body)
    station, work, places, *rest = told.split("|")
    stops = [[axis, position] for axis, found, position in (one.rpartition("=") for one in places.split(",")) if found]
    spacer: list[int] = []
    if rest and rest[0].startswith("spacer="):
        spacer = [int(one) for one in rest.pop(0).removeprefix("spacer=").split("x")]
    apart = "|".join(rest)
    id_ = run_id(station, work, stops, spacer, _ENDS.get(apart, apart))
    renamed = {**body, "run": id_}
    if kind == "stop set":
        renamed |= {"station": station, "work": work, "stops": [[axis, _position(at)] for axis, at in stops]}
    if kind == "piece measured":
        renamed.setdefault("station", station)
    return renamed


def _position(text: str) -> int | str:
    """A length in nm, or the degrees of an angle, or a name, as the name of a run told them apart."""
    return int(text) if text.isdecimal() and (text == "0" or int(text) >= 1000) else text
