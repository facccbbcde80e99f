"""Where a slot begins and ends, from the places of travel and end stop at which it is made."""

from collections.abc import Mapping

from stopwright.lengths import Nm, SignedNm
from stopwright.plan.run_sheet import Position, Run

END_STOPS = ("end stop left", "end stop right")


def places_in(run: Run) -> dict[str, Nm]:
    """The stops of a run that stand at a length, by what they set, nm."""
    return {stop.sets: stop.target for stop in run.stops if isinstance(stop.target, int)}


def is_on_one_scale(places: Mapping[str, Position]) -> bool:
    """Whether the right-hand stop is read on the scale of the travel, which counts from the left.

    There it stands beyond the slot. Counted its own way it never does: the slot lies beyond the stop.

    >>> is_on_one_scale({"end stop right": 110, "travel from": 34, "travel to": 76})
    True
    >>> is_on_one_scale({"end stop right": 0, "travel from": 34, "travel to": 76})
    False
    """
    stop, travel = places.get("end stop right"), places.get("travel to")
    return isinstance(stop, int) and isinstance(travel, int) and stop > travel


def from_the_stop(places: Mapping[str, Nm], spacer: Nm) -> tuple[SignedNm, SignedNm] | None:
    """How far the middle of the bit stands off the piece's end at the stop, where the slot begins and ends; nm.

    `spacer` is what lies between stop and piece. None where the travel is not set.

    >>> from_the_stop({"end stop left": 10, "travel from": 34, "travel to": 76}, 4)
    (20, 62)
    >>> from_the_stop({"end stop right": 110, "travel from": 34, "travel to": 76}, 4)
    (30, 72)
    """
    if "travel from" not in places or "travel to" not in places:
        return None
    low, high = places["travel from"], places["travel to"]
    if is_on_one_scale(places):
        end = places["end stop right"] - spacer
        return end - high, end - low
    end = next((places[one] for one in END_STOPS if one in places), 0) + spacer
    return low - end, high - end
