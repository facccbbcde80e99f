"""What a cut takes out of a part, as a solid on the part's own axes."""

from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import SignedNm

Span: TypeAlias = tuple[SignedNm, SignedNm]
"""From and to, nm."""


@dataclass(frozen=True, slots=True)
class Solid:
    """A convex solid that a cut takes away, given by its corners (x, y, z) in nm.

    x runs from the marked end along the part, y from the face edge across it, z from the face side into it. `cut` is
    the mark of what asked for it.
    """

    cut: str
    corners: tuple[tuple[SignedNm, SignedNm, SignedNm], ...]

    @property
    def spans(self) -> tuple[Span, Span, Span]:
        """From and to along x, y and z."""
        xs, ys, zs = zip(*self.corners, strict=True)
        return (min(xs), max(xs)), (min(ys), max(ys)), (min(zs), max(zs))


def box(cut: str, x: Span, y: Span, z: Span) -> Solid:
    """A box.

    >>> box("G1", (0, 450), (10, 16), (0, 6)).spans
    ((0, 450), (10, 16), (0, 6))
    """
    return Solid(cut, tuple((a, b, c) for a in x for b in y for c in z))
