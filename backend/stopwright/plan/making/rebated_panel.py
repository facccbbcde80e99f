"""Panels thicker than their groove: rebated all round, so that what is left of their edges goes in."""

from typing import Protocol

from stopwright.lengths import MM, Nm
from stopwright.model.joints import EDGES, ENDS, Side
from stopwright.plan.making.formulas import GEOMETRY, Measure, Named, Sum
from stopwright.plan.making.work import Work
from stopwright.plan.operations.rebate import Rebate

CLEAR_OF_FRAME: Nm = MM
"""Between the rebate of a panel and the frame, where its edge lies against the bottom of the groove (common
practice)."""

_CLEAR = "the rebate ends outside the groove however the panel lies: common practice"


class Rebated(Protocol):
    """A thing with a panel that may be thicker than its groove; lengths in nm."""

    @property
    def panel(self) -> Nm: ...
    @property
    def panel_full(self) -> Nm | None: ...
    @property
    def panel_rebate(self) -> Nm | None: ...
    @property
    def panel_side(self) -> Side: ...


def whole_thickness(thing: Rebated, work: Work) -> Measure:
    """How thick the panel is where it is thickest."""
    if thing.panel_full is None:
        return work.typed("panel", "panel")
    return work.typed("panel_full", "whole panel")


def rebate_panel(thing: Rebated, work: Work, panel: str, groove: Measure, field: Nm) -> None:
    """Rebates of its four edges, where it is thicker than the groove.

    `groove` is how deep that is, `field` how far the whole thickness stays behind the frame, less than 0 where it
    stands out; nm.
    """
    if thing.panel_full is None:
        return
    off = Sum(
        "off the panel", ((1, work.thick("p", "panel_full", "whole panel")), (-1, work.typed("panel", "panel"))),
        GEOMETRY,
    )  # fmt: skip
    wide: Named = Sum("rebate of the panel", ((1, groove), (1, Measure("clear of the frame", CLEAR_OF_FRAME))), _CLEAR)
    if thing.panel_rebate is not None:
        wide = work.typed("panel_rebate", "rebate of the panel")
        if wide.value < groove.value:
            text = f"the groove is {work.said(groove.value)} deep, and the panel would meet the frame before its bottom"
            work.refuse("panel_rebate", text, f"write at least {work.said(groove.value)}")
    half = min((min(part.length, part.width) // 2 for part in work.parts if part.mark == panel), default=wide.value)
    work.at_most("panel_rebate", "the rebate of the panel", wide.value, half, "half of the panel")
    if not work.above(off):
        return
    for number, edge in enumerate((*ENDS, *EDGES), start=1):
        work.cut(Rebate, number, (panel,), side=thing.panel_side, edge=edge, width=wide, depth=off)
    side = "face" if thing.panel_side is Side.FACE else "back"
    lies = f"stands {work.said(-field)} out of" if field < 0 else f"lies {work.said(field)} behind"
    work.notes.append(f"The whole thickness of the panel {lies} the {side} of the frame")
