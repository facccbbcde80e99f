"""How pieces come out of the wood: from which thickness, ripped to one size, crosscut to another."""

from collections.abc import Iterable
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.parts import Part, mark_order
from stopwright.plan.run_sheet import Pieces


@dataclass(frozen=True, slots=True)
class Sawn:
    """So many pieces of a part ripped at `rip` and crosscut at `crosscut`, nm.

    Rip is the width and crosscut the length, the other way about where the layout turns the piece on its sheet.
    """

    part: Part
    rip: Nm
    crosscut: Nm
    count: int


@dataclass(frozen=True, slots=True)
class Rough:
    """So many pieces of a solid part that come from `wood` so thick, `thickness` when one face is true; nm."""

    part: Part
    thickness: Nm
    count: int
    wood: Nm


def count_sawn(sawn: Iterable[Sawn | Rough]) -> tuple[Pieces, ...]:
    """The pieces a mark, in the order of the marks: A … Z, AA …"""
    counts: dict[str, int] = {}
    names: dict[str, str] = {}
    for one in sawn:
        counts[one.part.mark] = counts.get(one.part.mark, 0) + one.count
        names[one.part.mark] = one.part.name
    return tuple(Pieces(mark, names[mark], counts[mark]) for mark in sorted(counts, key=mark_order))
