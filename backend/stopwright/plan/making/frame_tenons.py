"""Loose tenons of a frame: slots beside the groove, as long as the rail leaves room for."""

from typing import TYPE_CHECKING

from stopwright.lengths import MM, Nm
from stopwright.model.joints import RailEnds, Side
from stopwright.plan.making.formulas import Named
from stopwright.plan.making.work import Work

if TYPE_CHECKING:
    from stopwright.plan.making.frame import Frame

BESIDE_GROOVE: Nm = 2 * MM
"""Wood between the groove and a slot (common practice)."""
FROM_OUTSIDE: Nm = 15 * MM
"""Wood between the outer edge of a rail and its slot (common practice)."""


def loose_tenons(
    frame: "Frame",
    work: Work,
    marks: dict[str, str],
    sizes: tuple[Named, Named, Named, Named],
    widths: tuple[Named, Named, Named, Named],
) -> None:
    """Rails into stiles, uprights into rails; a rail's face edge lies towards the marked end of the stiles."""
    _, high, light, tall = (one.value for one in sizes)
    stile, top, bottom, middle = (one.value for one in widths)
    inner = frame.groove_depth + BESIDE_GROOVE
    slots = {
        "tr": (FROM_OUTSIDE, top - inner),
        "br": (inner, bottom - FROM_OUTSIDE),
        "mr": (inner, middle - inner),
        "up": (inner, middle - inner),
    }
    depth = {"bit": frame.bit, "depth_rail": frame.tenon_depth, "depth_post": frame.tenon_depth}
    entries = {"tr": "top", "br": "bottom", "mr": "middle", "up": "middle"}
    for suffix, (start, end) in slots.items():
        if suffix in marks and end - start < frame.bit:
            least = work.said(frame.bit + end_room(slots[suffix], widths, suffix))
            text = f"{work.said(max(end - start, 0))} are left for the slot of a bit of {work.said(frame.bit)}"
            work.refuse(entries[suffix], text, f"make it at least {least} wide, or take a thinner bit")
    least_post = min([stile] + ([middle, top, bottom] if "up" in marks else []))
    if frame.tenon_depth > least_post - 5 * MM:
        text = f"a slot {work.said(frame.tenon_depth)} deep leaves less than {work.said(5 * MM)} of the wood"
        work.refuse("tenon_depth", text, f"write at most {work.said(least_post - 5 * MM)}")
    if frame.bit * 2 > frame.thickness:
        work.refuse("bit", "it is thicker than half of the frame", f"write at most {work.said(frame.thickness // 2)}")
    if work.refused:
        return
    number = 1

    def join(post: str, rail: str, side: Side, drop: Nm, **more: object) -> None:
        nonlocal number
        start, end = slots[rail]
        slot = {"side": side, "slot_from": start, "slot_to": end, "drop": drop}
        work.joint(number, marks[post], marks[rail], **slot, **depth, **more)
        number += 1

    join("st", "tr", Side.EDGE, 0)
    if "mr" in marks:
        many = {"repeat": frame.rows - 1, "spacing": tall + middle} if frame.rows > 2 else {}
        join("st", "mr", Side.EDGE, top + tall, **many)
    join("st", "br", Side.EDGE, high - bottom)
    if "up" in marks:
        many = {"repeat": frame.lights - 1, "spacing": light + middle} if frame.lights > 2 else {}
        for post, side, ends in (
            ("tr", Side.FAR_EDGE, RailEnds.MARKED),
            ("mr", Side.EDGE, RailEnds.OTHER),
            ("mr", Side.FAR_EDGE, RailEnds.MARKED),
            ("br", Side.EDGE, RailEnds.OTHER),
        ):
            if post in marks:
                join(post, "up", side, light, ends=ends, **many)
    work.notes.append("The groove runs out at the ends of the stiles: plug it there, or stop it at the spindle")


def end_room(slot: tuple[Nm, Nm], widths: tuple[Named, Named, Named, Named], suffix: str) -> Nm:
    """What of a rail's width is not for its slot, nm."""
    width = widths[{"tr": 1, "br": 2}.get(suffix, 3)].value
    return width - (slot[1] - slot[0])
