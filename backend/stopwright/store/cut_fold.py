"""Which pieces were cut while which version of the job stood: what was cut keeps the size that it was cut to."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from stopwright.store.events import Event
from stopwright.store.job_fold import SAVES
from stopwright.store.run_fold import standing

OF_CUTS = frozenset({*SAVES, "stop set", "piece cut", "piece spoiled", "undo"})
"""The kinds that the fold looks at."""


@dataclass(frozen=True, slots=True)
class CutWhile:
    """So many good pieces of a mark that a run counted while a version of the job stood; `work` "" if nobody told."""

    run: str
    work: str
    mark: str
    mirrored: bool
    version: int
    count: int


def fold_cuts(events: Iterable[Event]) -> tuple[CutWhile, ...]:
    """What every run counted, version by version, oldest first.

    A piece that went wrong is one of the newest, but for one that was put aside because the job had come to ask for
    another size: that is one of the oldest.
    """
    works: dict[str, str] = {}
    cut: dict[tuple[str, str, bool], dict[int, int]] = defaultdict(dict)
    version = 0
    for event in standing(events, OF_CUTS):
        if event.kind in SAVES:
            version = event.seq
            continue
        run = event.body["run"]
        if event.kind == "stop set":
            works[run] = event.body["work"]
            continue
        counts = cut[run, event.body["mark"], event.body.get("mirrored", False)]
        if event.kind == "piece cut":
            counts[version] = counts.get(version, 0) + event.body["count"]
        elif event.body.get("counted", True):
            left = event.body["count"]
            for one in sorted(counts, reverse=not event.body.get("outdated", False)):
                taken = min(left, counts[one])
                counts[one] -= taken
                left -= taken
    return tuple(
        CutWhile(run, works.get(run, ""), mark, mirrored, one, count)
        for (run, mark, mirrored), counts in cut.items()
        for one, count in sorted(counts.items())
        if count > 0
    )
