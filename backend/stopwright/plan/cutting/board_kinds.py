"""The words of board cutting: what is on hand, and what a laid-out board says."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BoardKind:
    """Boards of one length on hand or on sale; `count` None means as many as wanted.

    `prefer` marks offcuts from the shelf: they are used before a new board is opened.
    """

    length: int
    count: int | None = None
    prefer: bool = False

    def __post_init__(self) -> None:
        if self.length <= 0:
            raise ValueError(f"a board {self.length} long; give a length above 0")
        if self.count is not None and self.count < 0:
            raise ValueError(f"{self.count} boards; give 0 or more, or None for as many as wanted")


@dataclass(frozen=True, slots=True)
class BoardLayout:
    """One way of cutting, used `times` times, from boards of line number `board` (from 0) of what is on hand.

    `lengths` are in cutting order, longest first. `offcut` is the sound length left between the last cut and
    the far trim; 0 where the last cut or less than a kerf eats it.
    """

    lengths: tuple[int, ...]
    times: int
    board: int
    board_length: int
    offcut: int


@dataclass(frozen=True, slots=True)
class BoardPlan:
    """All boards of one material laid out.

    `least_possible` is never more than the fewest boards that can hold what is placed; offcuts from the shelf are
    there anyway, so it is the fewest new boards and the offcuts used here. `proven` says that it is reached and
    that no plan places more pieces. `unplaced` are the pieces that fit no board or for which no board is left:
    (length, count), longest first.
    """

    boards_used: int
    least_possible: int
    proven: bool
    layouts: tuple[BoardLayout, ...]
    unplaced: tuple[tuple[int, int], ...] = ()

    @property
    def patterns(self) -> int:
        """How many different ways of cutting there are."""
        return len({(layout.board_length, layout.lengths) for layout in self.layouts})
