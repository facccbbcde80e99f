"""What trial pieces teach: readings that worked, the zero of a scale, the kerf of a blade."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from statistics import stdev
from typing import TypeAlias

from stopwright.errors import StopwrightError
from stopwright.lengths import MM, Nm
from stopwright.model.counts import counted
from stopwright.store.events import Event
from stopwright.store.run_fold import Measured, corrected_reading, measured_of

RECENT = 12
"""Trial pieces that speak for a zero: the last so many with the same blade."""
FEWEST = 3
THICKEST_KERF: Nm = 20 * MM


@dataclass(frozen=True, slots=True)
class Trial:
    """A trial piece with the station, axis and blade it was cut at, and the run of which job it belongs to."""

    station: str
    axis: str
    blade: str
    job: str
    run: str
    piece: Measured

    @property
    def zero(self) -> Nm:
        """The zero by this piece alone: the reading that would have been right, minus the target; nm."""
        piece = self.piece
        return corrected_reading(piece.reading, piece.target, piece.measured, piece.outboard) - piece.target


@dataclass(frozen=True, slots=True)
class ZeroFound:
    """The zero of a scale by its recent trial pieces: mean, its standard error, scatter of one piece; nm.

    `offered` says whether it differs enough from the current scale offset to be worth taking.
    """

    zero: Nm
    error: Nm
    scatter: Nm
    trials: int
    in_force: Nm
    offered: bool


@dataclass(frozen=True, slots=True)
class Remembered:
    """A reading from before: where it was, when, and whether a trial piece there was within tolerance."""

    reading: Nm
    at: str
    job: str
    proved: bool


Mark: TypeAlias = tuple[str, str, str, Nm]
"""Where a reading belongs: station, axis, blade, and the target in nm."""


@dataclass(frozen=True, slots=True)
class RippedBoard:
    """A board ripped to measure the kerf: its width before, every strip after, and how many full cuts; nm."""

    width: Nm
    strips: tuple[Nm, ...]
    cuts: int


@dataclass(frozen=True, slots=True)
class KerfFound:
    """A kerf by measurement and its standard uncertainty, nm."""

    kerf: Nm
    uncertainty: Nm


def trial_of(event: Event) -> Trial:
    """The trial piece that a "piece measured" tells of, with its place."""
    body = event.body
    return Trial(body["station"], body["axis"], body.get("blade", ""), event.job, body["run"], measured_of(event))


def find_zero(trials: Sequence[Trial], in_force: Nm, step: Nm) -> ZeroFound | None:
    """The zero by the recent trials of one axis and blade, None when there are fewer than three. Lengths in nm.

    zero = mean of (right reading − target), which for a stop at its zero is the reading minus the measured length,
    whatever reading the piece was cut at. It is offered when it differs from the current scale offset by more
    than half a step *and twice its standard error on top*. Asking for each of the two alone would offer a new zero
    again and again on a stop that scatters by a step: at every new piece the mean of the last few is looked at anew.

    >>> def trial(measured):
    ...     piece = Measured("stop", 500 * MM, 500 * MM, measured, MM, False, "", "", "")
    ...     return Trial("saw", "stop", "", "1", "", piece)
    >>> found = find_zero([trial(500_700_000), trial(500_800_000), trial(500_900_000)], 0, MM // 2)
    >>> found.zero, found.error, found.offered  # scatter .1 mm, error .1 / √3; .8 > .25 + 2 × .058
    (-800000, 57736, True)
    """
    recent = [one.zero for one in trials[-RECENT:]]
    if len(recent) < FEWEST:
        return None
    zero = round(sum(recent) / len(recent))
    scatter = stdev(recent)
    error = scatter / sqrt(len(recent))
    offered = abs(zero - in_force) > step / 2 + 2 * error
    return ZeroFound(zero, ceil(error), ceil(scatter), len(recent), in_force, offered)


def remember(found: dict[Mark, Remembered], one: Trial) -> None:
    """Puts among the readings to start from what a trial piece taught that came after all of theirs.

    The last reading at which a trial piece was within tolerance; where none ever was, the last corrected one.
    """
    place = (one.station, one.axis, one.blade, one.piece.target)
    before = found.get(place)
    if one.piece.within or before is None or not before.proved:
        found[place] = Remembered(one.piece.corrected, one.piece.at, one.job, one.piece.within)


def find_kerf(boards: Sequence[RippedBoard], graduation: Nm) -> KerfFound:
    """The kerf: what is missing of the boards' widths, shared among the cuts. Lengths in nm.

    A width read to the nearest graduation g is uncertain by g/√12 (rectangular distribution); a board brings in one
    reading more than it has strips. From two boards on, their scatter counts if it is the greater.
    Raises StopwrightError when the figures cannot be right.

    >>> board = RippedBoard(150 * MM, (40 * MM, 40 * MM, 40 * MM, 20_400_000), 3)
    >>> find_kerf([board], MM // 10)  # 9.6 / 3; √5 × 0.1 / √12 / 3
    KerfFound(kerf=3200000, uncertainty=21517)
    """
    if not boards:
        raise StopwrightError("no board was measured", next_step="rip a board, measure it before and every strip after")
    for board in boards:
        _check(board)
    cuts = sum(board.cuts for board in boards)
    lost = sum(board.width - sum(board.strips) for board in boards)
    readings = sum(len(board.strips) + 1 for board in boards)
    uncertainty = sqrt(readings / 12) * graduation / cuts
    if len(boards) > 1:
        single = [(board.width - sum(board.strips)) / board.cuts for board in boards]
        uncertainty = max(uncertainty, stdev(single) / sqrt(len(single)))
    return KerfFound(round(lost / cuts), ceil(uncertainty))


def _check(board: RippedBoard) -> None:
    again = "measure the board and every strip again, the last one too"
    if not board.strips or board.cuts < 1:
        raise StopwrightError("a board without strips or cuts shows no kerf", next_step=again)
    if not len(board.strips) - 1 <= board.cuts <= len(board.strips):
        raise StopwrightError(
            f"{counted(board.cuts, 'cut')} for {counted(len(board.strips), 'strip')} cannot be",
            next_step="count full cuts: as many as strips, or one fewer when the last strip is the rest",
        )
    kerf = (board.width - sum(board.strips)) / board.cuts
    if kerf <= 0:
        raise StopwrightError("the strips together are not narrower than the board was", next_step=again)
    if kerf > THICKEST_KERF:
        raise StopwrightError("the strips together are far narrower than the board was", next_step=again)
