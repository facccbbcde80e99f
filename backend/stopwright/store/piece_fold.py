"""How the pieces and units of a job stand: scanned, sorted, spoiled, remade, tried dry, glued up."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from stopwright.store.events import Event
from stopwright.store.run_fold import standing


@dataclass(frozen=True, slots=True)
class PieceState:
    """One piece by its index in the job. `scanned` gives for each purpose when it was scanned last.

    A piece that went wrong loses the unit it was sorted into; its remake is sorted anew. `remade` is how many of its
    mishaps are made good. `again` are the runs, by key, that the remake has passed so far, and `what` is what went
    wrong last.
    """

    scanned: Mapping[str, str] = field(default_factory=dict)
    unit: int | None = None
    spoiled: int = 0
    remade: int = 0
    again: frozenset[str] = frozenset()
    what: str = ""

    @property
    def missing(self) -> bool:
        """True while a spoiled piece has not been made again."""
        return self.spoiled > self.remade


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of a unit's glue-up. The clock runs from the first "begun"; `done` "" while it is open."""

    begun: str = ""
    glue: str = ""
    closed: frozenset[str] = frozenset()
    done: str = ""


@dataclass(frozen=True, slots=True)
class Assembly:
    """What has been put together: joints tried dry by unit, stages of glue-up by (unit, stage)."""

    dry: Mapping[int, frozenset[str]]
    stages: Mapping[tuple[int, int], Stage]


_OF_A_PIECE = frozenset({"piece scanned", "piece sorted", "piece spoiled", "piece remade"})
_OF_AN_ASSEMBLY = frozenset({"dry fit ticked", "glue-up begun", "joint closed", "glue-up done"})
OF_PIECES = _OF_A_PIECE | _OF_AN_ASSEMBLY | {"undo"}
"""The kinds that the folds of this file look at."""


def fold_pieces(events: Iterable[Event]) -> dict[int, PieceState]:
    """How each piece stands, by its index; pieces without any event are left out."""
    scanned: dict[int, dict[str, str]] = defaultdict(dict)
    unit: dict[int, int | None] = {}
    spoiled: Counter[int] = Counter()
    remade: Counter[int] = Counter()
    again: dict[int, frozenset[str]] = defaultdict(frozenset)
    what: dict[int, str] = {}
    for event in standing(events, _OF_A_PIECE):
        piece = event.body.get("piece")
        if piece is None:
            continue
        if event.kind == "piece scanned":
            scanned[piece][event.body["purpose"]] = event.at
        elif event.kind == "piece sorted":
            unit[piece] = event.body["unit"]
        elif event.kind == "piece spoiled":
            spoiled[piece] += 1
            unit[piece] = None
            again[piece] = frozenset()
            what[piece] = event.body.get("what", "")
        elif event.kind == "piece remade" and "run" in event.body:
            again[piece] |= {event.body["run"]}
        elif event.kind == "piece remade":
            remade[piece] = spoiled[piece]  # one piece, however often it went wrong or two people said it is whole
    return {
        piece: PieceState(
            scanned.get(piece, {}),
            unit.get(piece),
            spoiled[piece],
            remade[piece],
            again.get(piece, frozenset()),
            what.get(piece, ""),
        )
        for piece in sorted({*scanned, *unit, *spoiled, *remade, *again})
    }


def fold_assembly(events: Iterable[Event]) -> Assembly:
    """What has been tried dry and glued up. A stage that two phones began counts from the first."""
    dry: dict[int, set[str]] = defaultdict(set)
    stages: dict[tuple[int, int], Stage] = defaultdict(Stage)
    for event in standing(events, _OF_AN_ASSEMBLY):
        body = event.body
        if event.kind == "dry fit ticked":
            dry[body["unit"]].add(body["joint"])
            continue
        place = (body["unit"], body["stage"])
        stage = stages[place]
        if event.kind == "glue-up begun":
            stages[place] = replace(stage, begun=stage.begun or event.at, glue=stage.glue or body["glue"])
        elif event.kind == "joint closed":
            stages[place] = replace(stage, closed=stage.closed | {body["joint"]})
        else:
            stages[place] = replace(stage, done=stage.done or event.at)
    return Assembly({unit: frozenset(joints) for unit, joints in dry.items()}, dict(stages))
