"""Which sides of wood are true when it comes to a run, before anything is cut into it; and so how it lies there.

The jointer makes a face and an edge true, the planer both faces, the squaring cut an end. What no run has made true is
not said: rough boards, sheets, wood of a shop without a jointer, a panel fresh from its clamps.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from stopwright.lengths import Nm
from stopwright.model.joints import Side
from stopwright.plan.operations import joint, plane
from stopwright.plan.run_sheet import Form, Lot, Pieces, Run
from stopwright.plan.stations.cut_setups import CALLED
from stopwright.plan.stations.sawing import CROSSCUT, PANELS, RIP, SQUARE


class TrueSide(StrEnum):
    """What a run makes true."""

    FACE = "face"
    EDGE = "edge"
    BOTH_FACES = "both faces"
    END = "end"


_NOTHING = frozenset[TrueSide]()
_MADE = {
    (joint.WORK, ""): frozenset({TrueSide.FACE, TrueSide.EDGE}),
    (plane.WORK, ""): frozenset({TrueSide.BOTH_FACES}),
    (SQUARE, ""): frozenset({TrueSide.END}),
    (SQUARE, PANELS): frozenset({TrueSide.END}),
}


@dataclass(frozen=True, slots=True)
class Whole:
    """Wood of one section as it lies at a run, whole or with what was cut while it was long; `size` in nm.

    `called` is what it is, `lying` which side is down and what is against fence or stop, as far as it is known;
    `besides` says what else is against the fence. `marks` are the lots or parts it is told of.
    """

    called: str
    size: tuple[Nm, Nm, Nm]
    lying: Pieces
    marks: tuple[str, ...]
    besides: str = ""

    @property
    def said(self) -> tuple[str, ...]:
        """How it lies, in words."""
        down = [f"{CALLED.get(self.lying.down, str(self.lying.down))} down"] if self.lying.down else []
        against = [f"{self.lying.reference} at the {self.lying.at}"] if self.lying.reference else []
        return (*down, *against, *([self.besides] if self.besides else []))

    @property
    def far(self) -> tuple[str, ...]:
        """The same in words short enough to be read from where the machine is worked."""
        down = [f"{self.lying.down} down"] if self.lying.down else []
        return (*down, *([f"{self.lying.reference} {self.lying.at}"] if self.lying.reference else []))


class TrueSides:
    """What every run of a sheet finds true of the wood that it takes."""

    def __init__(self, runs: Sequence[Run]) -> None:
        self._found: dict[int, Mapping[str, frozenset[TrueSide]]] = {}
        true: dict[str, frozenset[TrueSide]] = {}
        for run in runs:
            taken = {lot.name: true.get(lot.name, _NOTHING) for lot in run.takes}
            self._found[run.number] = taken
            for lot in run.gives:
                true[lot.name] = _before(lot, run, taken) | _MADE.get((run.work, run.lot), _NOTHING)

    def wholes(self, run: Run) -> tuple[Whole, ...]:
        """How its wood lies, each section and each way of lying once; nothing where no side of it is true yet."""
        drawn = {
            (joint.WORK, ""): self._at_the_jointer,
            (joint.WORK, joint.EDGES): self._edges_of_strips,
            (plane.WORK, ""): self._on_the_bed,
            (RIP, ""): self._at_the_fence,
            (CROSSCUT, ""): self._at_the_stop,
            (CROSSCUT, PANELS): self._at_the_stop,
        }.get((run.work, run.lot))
        return tuple(drawn(run)) if drawn and run.takes else ()

    def _at_the_jointer(self, run: Run) -> Iterator[Whole]:
        """The face is true once it was passed over, so it lies against the fence while the edge is made."""
        yield _whole("then the edge", run.gives[0], Side.EDGE, Side.FACE, "fence", run.gives)

    def _edges_of_strips(self, run: Run) -> Iterator[Whole]:
        """Both faces are planed: one edge is made with the face at the fence, the other with the back there."""
        yield _whole("one edge", run.gives[0], Side.EDGE, Side.FACE, "fence", run.gives)
        yield _whole("then the other", run.gives[0], Side.FAR_EDGE, Side.BACK, "fence", run.gives)

    def _on_the_bed(self, run: Run) -> Iterator[Whole]:
        """The true face down, as long as it is the only one: afterwards either may lie there."""
        found = self._found[run.number]
        lots = [lot for lot in run.takes if TrueSide.FACE in found[lot.name]]
        lots = [lot for lot in lots if TrueSide.BOTH_FACES not in found[lot.name]]
        if lots:
            called = "" if len(lots) == len(run.takes) else ", ".join(lot.name for lot in lots)
            yield _whole(called, lots[0], Side.FACE, None, "", lots)

    def _at_the_fence(self, run: Run) -> Iterator[Whole]:
        """Strips as they come off, by their thickness."""
        by_thickness: dict[Nm, list[Lot]] = {}
        for lot in run.cut_free:
            if lot.form is Form.STRIP and self._is_true(run, lot, TrueSide.FACE, TrueSide.EDGE):
                by_thickness.setdefault(lot.thickness, []).append(lot)
        for lots in by_thickness.values():
            first, *others = dict.fromkeys(lot.source or lot.name for lot in lots)
            called = f"strip of {first}{' …' if others else ''}" if len(by_thickness) > 1 else "strip"
            yield _whole(called, lots[0], Side.FACE, Side.EDGE, "fence", lots)

    def _at_the_stop(self, run: Run) -> Iterator[Whole]:
        """Pieces as they come off, by width and thickness; the end that was squared first is at the stop."""
        by_section: dict[tuple[Nm, Nm], list[Lot]] = {}
        lots = run.gives if run.lot == PANELS else run.cut_free
        for lot in lots:
            if run.stops and lot.form is Form.PIECE and self._is_true(run, lot, TrueSide.END):
                by_section.setdefault((lot.width, lot.thickness), []).append(lot)
        for alike in by_section.values():
            marks = list(dict.fromkeys(mark for lot in alike for mark, _ in lot.becomes))
            on_face = all(self._is_true(run, lot, TrueSide.FACE, TrueSide.EDGE) for lot in alike)
            down = Side.FACE if on_face else None
            besides = "face edge at the fence" if on_face else ""
            yield _whole(", ".join(marks), alike[0], down, Side.MARKED_END, "stop", alike, besides)

    def _is_true(self, run: Run, lot: Lot, *sides: TrueSide) -> bool:
        return _before(lot, run, self._found[run.number]).issuperset(sides)


def _before(lot: Lot, run: Run, taken: Mapping[str, frozenset[TrueSide]]) -> frozenset[TrueSide]:
    """What was true of what a run made this of: of all of it, where it is not said of which; of none that is glued."""
    if lot.name in taken:
        return taken[lot.name]
    if run.gluing or not taken:
        return _NOTHING
    if lot.source in taken:
        return taken[lot.source]
    marks = {mark for mark, _ in lot.becomes}
    mine = [taken[one.name] for one in run.takes if marks & {mark for mark, _ in one.becomes}]
    return frozenset.intersection(*(mine or taken.values()))


def _whole(
    called: str, lot: Lot, down: Side | None, reference: Side | None, at: str, lots: Sequence[Lot], besides: str = ""
) -> Whole:
    against = CALLED.get(reference, str(reference)) if reference else ""
    marks = tuple(mark for one in lots for mark in (one.name, one.source, *(mark for mark, _ in one.becomes)))
    return Whole(called, lot.size, Pieces("", "", lot.count, None, down, against, at), marks, besides)
