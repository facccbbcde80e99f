"""What is cut only when a thing was put together dry: its last sizes and cuts come after all that they must fit."""

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from stopwright.model.job import Job
from stopwright.plan.operations.operation import AFTER_DRY_FIT, Setup, Setups
from stopwright.plan.run_sheet import Run
from stopwright.plan.timber.dry_fit import cut_dry


def held_back(setups: Setups, job: Job) -> Setups:
    """The setups with all that is done to these parts after the dry fit in runs of its own, in a later stage."""
    dry = cut_dry(job)
    if not dry:
        return setups
    found: list[Setup] = []
    now: dict[int, int] = {}
    then: dict[int, int] = {}
    for place, setup in enumerate(setups.setups):
        late = AFTER_DRY_FIT.get(setup.stage)
        if late is None:
            is_late = setup.stage in AFTER_DRY_FIT.values()
            (then if is_late else now)[place] = len(found)
            found.append(replace(setup, runs=tuple(replace(run, after_dry_fit=is_late) for run in setup.runs)))
            continue
        for stage, places, runs in (
            (setup.stage, now, tuple(_of(setup.runs, dry, job, inside=False))),
            (late, then, tuple(replace(run, after_dry_fit=True) for run in _of(setup.runs, dry, job, inside=True))),
        ):
            if runs:
                places[place] = len(found)
                found.append(Setup(stage, runs))
    return replace(
        setups,
        setups=tuple(found),
        before=frozenset(_renumbered(setups.before, now) | _renumbered(setups.before, then)),
        rather=frozenset(_renumbered(setups.rather, now) | _renumbered(setups.rather, then)),
    )


def _of(runs: Sequence[Run], dry: AbstractSet[str], job: Job, inside: bool) -> Iterator[Run]:
    """The runs with those of their pieces only that are, or are not, among these parts; none where nothing is left."""
    cuts = {cut.mark: set(cut.parts) for cut in job.cuts}
    for run in runs:
        pieces = tuple(one for one in run.pieces if (one.mark in dry) == inside)
        if pieces == run.pieces:
            yield run
        elif pieces:
            marks = {one.mark for one in pieces}
            made = tuple(mark for mark in run.cuts if mark not in cuts or cuts[mark] & marks)
            yield replace(run, pieces=pieces, cuts=made)


def _renumbered(pairs: AbstractSet[tuple[int, int]], new: dict[int, int]) -> set[tuple[int, int]]:
    return {(new[one], new[two]) for one, two in pairs if one in new and two in new}
