"""Mortisers, posts, rails and joints for tests: millimetres in, model out."""

from typing import Any, Unpack

from tests.builders import a_part, fitted, mm
from tests.more_of import MoreOfJob

from stopwright.model.job import Job
from stopwright.model.joints import Joint, Side
from stopwright.model.parts import Hand, Part
from stopwright.model.stations import Axis, Shop, Station

MINUTES = {
    "bit": 3.0,
    "table height": 1.0,
    "depth": 0.5,
    "travel from": 0.5,
    "travel to": 0.5,
    "end stop left": 0.3,
    "end stop right": 0.3,
}


def a_mortiser(leave_out: tuple[str, ...] = (), step: float | None = 0.1, **more: Any) -> Station:
    """A mortiser with all axes but those left out, scales to `step` mm or none, bits of 6, 8, 10, 12 and 15."""
    axes = tuple(
        Axis(str(sets), sets, step=None if step is None or sets == "bit" else mm(step), minutes=minutes)
        for sets, minutes in MINUTES.items()
        if sets not in leave_out
    )
    mortiser = Station("mortiser", ("mortise",), more.pop("axes", axes))
    return fitted(mortiser, **({"bits": tuple(map(mm, (6, 8, 10, 12, 15))), "reach": mm(80)} | more))


def a_joint(mark: str = "J1", side: str = "far edge", **more: Any) -> Joint:
    """Rail B into post A: slot 20 … 80, bit 10, 26 deep in the post, 35 in the rail; lengths in mm."""
    plain: dict[str, Any] = {
        "post": "A", "rail": "B", "slot_from": 20, "slot_to": 80, "bit": 10, "depth_post": 26, "depth_rail": 35
    }  # fmt: skip
    given = plain | more
    lengths = {key: mm(value) for key, value in given.items() if key in LENGTHS and value is not None}
    return Joint(mark=mark, side=Side(side), **(given | lengths))


LENGTHS = (
    "slot_from", "slot_to", "bit", "depth_post", "depth_rail", "setback", "drop", "pitch", "horn", "spacing", "offset",
    "apart", "fit", "play", "clearance",
)  # fmt: skip


def a_frame(
    *joints: Joint,
    posts: int = 4,
    post: tuple[float, float, float] = (700, 45, 45),
    hand: str = "same",
    rails: int = 2,
    rail: tuple[float, float, float] = (400, 100, 20),
    parts: tuple[Part, ...] = (),
    **more: Unpack[MoreOfJob],
) -> Job:
    """Four posts A and two rails B of 400 × 100 × 20, joined as said; more rails as `parts`."""
    both = a_part("A", posts, post, hand=Hand(hand)), a_part("B", rails, rail)
    return Job("frame", (*both, *parts), joints=joints, **more)


def a_bench_shop(station: Station | None = None, **more: Any) -> Shop:
    """A shop with a mortiser only, in which blocks cost nothing to make."""
    return Shop("test shop", (station or a_mortiser(),), **({"block_minutes": 0} | more))
