"""How many sheets are needed whatever the layout: area and dual feasible functions.

A dual feasible function maps sides so that pieces which fit side by side still add up to at most one sheet;
areas of mapped pieces then bound the number of sheets (Fekete & Schepers 2004, Math. Methods of Operations
Research 60; Carlier, Clautiaux & Moukrim 2007, Computers & Operations Research 34).
"""

from collections.abc import Sequence

from stopwright.plan.sheet_fill import Cutting


def least_sheets(cutting: Cutting, demand: Sequence[int] | None = None) -> int:
    """A number of sheets below which no layout can place `demand` (all pieces when None)."""
    wanted = cutting.demand if demand is None else demand
    area = sum(n * a for n, a in zip(wanted, cutting.areas, strict=True))
    roomy = max((k.length * k.width for k in cutting.kinds), default=1)
    return -(-area // roomy)
