"""The words of sheet cutting: what is on hand, and what a laid-out sheet says.

Length runs along the grain (x), width across it (y); all values are whole numbers of one unit.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

Effort = Callable[[], bool]
Direction = Literal["rip", "crosscut"]


class Zone(NamedTuple):
    """A rectangle of a sheet that must not end up in a piece: a knot, a split, a bad corner."""

    x: int
    y: int
    length: int
    width: int


@dataclass(frozen=True, slots=True)
class SheetKind:
    """Sheets of one size on hand or on sale; `count` None means as many as wanted.

    `prefer` marks an offcut from the shelf: it is used before a fresh sheet is opened.
    """

    length: int
    width: int
    count: int | None = None
    zones: tuple[Zone, ...] = ()
    prefer: bool = False

    def __post_init__(self) -> None:
        if self.length <= 0 or self.width <= 0:
            raise ValueError(f"a sheet of {self.length} × {self.width}; give both sides above 0")
        if self.count is not None and self.count < 0:
            raise ValueError(f"{self.count} sheets; give 0 or more, or None for as many as wanted")
        object.__setattr__(self, "zones", tuple(sorted(Zone(*z) for z in self.zones)))


class Placement(NamedTuple):
    """One piece on the sheet; `length` and `width` as it lies there, `turned` when across its own grain."""

    piece: int
    x: int
    y: int
    length: int
    width: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Cut:
    """One pass of the saw, edge to edge through one rectangle of the sheet.

    The blade takes `position` to `position + kerf`: in y for a rip (along the grain), in x for a crosscut.
    `strip` is the rectangle (x, y, length, width) that goes through the saw. `stage` 0 trims the factory
    edges; stages then alternate between the two directions.
    """

    number: int
    direction: Direction
    position: int
    strip: tuple[int, int, int, int]
    stage: int


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle that is left; `sound` is False where a zone not to be used lies in it."""

    x: int
    y: int
    length: int
    width: int
    sound: bool = True


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """One way to cut one sheet: which line of the stock (`sheet`), how many `times`, and how."""

    sheet: int
    times: int
    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Offcut, ...]


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """All sheets laid out; `least_possible` sheets are needed whatever the layout.

    `unplaced` names pieces for which there was no room: (piece index, count).
    """

    sheets_used: int
    least_possible: int
    proven: bool
    layouts: tuple[SheetLayout, ...]
    unplaced: tuple[tuple[int, int], ...] = field(default=())
