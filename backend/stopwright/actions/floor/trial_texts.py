"""What a person typed as the measure of a trial piece or the reading of a stop, read as a length."""

from collections.abc import Mapping
from typing import Any

from stopwright.errors import StopwrightError
from stopwright.lengths import MM, Nm, parse_length

FAR_OFF = 5 * MM
"""A piece this far off, and by more than a tenth of its size, was typed or measured wrongly."""


def read_trial(body: Mapping[str, Any]) -> dict[str, Any]:
    """The body of a "piece measured" with `text` and `unit` ("mm" or "in") read as `measured_nm`.

    Raises StopwrightError for what is no length, and for one so far from the target that it was a slip: a stop is
    never to be moved by it.

    Callipers that type may send a sign and noughts before the number.

    >>> read_trial({"text": "450,4", "unit": "mm", "target_nm": 450_000_000})
    {'target_nm': 450000000, 'measured_nm': 450400000}
    >>> read_trial({"text": "+0038.10", "unit": "mm", "target_nm": 38_000_000})["measured_nm"]
    38100000

    With `wanted_nm` something else was measured than what the stop stands for; it is off by as much.

    >>> read_trial({"text": "20.3", "unit": "mm", "target_nm": 34_000_000, "wanted_nm": 20_000_000})["measured_nm"]
    34300000
    """
    measured, target = _typed(body, "nothing was measured", "type what the piece measures"), body.get("target_nm")
    wanted = body.get("wanted_nm")
    if isinstance(wanted, int) and isinstance(target, int):
        return _judged(body, measured, wanted) | {"measured_nm": target + measured - wanted}
    return _judged(body, measured, target)


def _judged(body: Mapping[str, Any], measured: Nm, target: Any) -> dict[str, Any]:
    if isinstance(target, int) and abs(measured - target) > max(FAR_OFF, target // 10):
        raise StopwrightError(
            f"'{body['text'][:60]}' {body['unit']} is far from what the piece was to be",
            next_step="measure again, and look at the unit",
        )
    return _without_text(body) | {"measured_nm": measured}


def read_noted(body: Mapping[str, Any]) -> dict[str, Any]:
    """The body of a "reading noted" with `text` and `unit` read as `reading_nm`. Raises StopwrightError.

    >>> read_noted({"text": "12 1/2", "unit": "in", "axis": "stop"})
    {'axis': 'stop', 'reading_nm': 317500000}
    """
    return _without_text(body) | {"reading_nm": _typed(body, "nothing was noted", "type where the stop stands")}


def _typed(body: Mapping[str, Any], nothing: str, next_step: str) -> Nm:
    typed, unit = body.get("text"), body.get("unit")
    if not isinstance(typed, str) or unit not in ("mm", "in"):
        raise StopwrightError(nothing, next_step=next_step)
    return parse_length(typed[:60].strip().removeprefix("+"), unit)


def _without_text(body: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in body.items() if name not in ("text", "unit")}
