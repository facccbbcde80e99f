"""The glue-up of a unit as the run sheet tells it: by stages, what goes into what, what lies loose, clamps, glue."""

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from stopwright.lengths import Nm
from stopwright.model.joints import Side
from stopwright.model.stations import Glue
from stopwright.model.whose import mark_for, own_name

HeldIn: TypeAlias = Literal["grooves", "rebates"]
Nth: TypeAlias = tuple[str, int]
"""A piece of a unit: its part's mark, and which of the unit's it is, from 0."""


@dataclass(frozen=True, slots=True)
class Joined:
    """One end of a rail into one side of a post, or to its mitred end.

    `held_by` is the mark of the joint or cut between them, "" where glue alone holds a mitre.
    """

    held_by: str
    rail: Nth
    end: Side
    post: Nth
    side: Side


@dataclass(frozen=True, slots=True)
class LaidIn:
    """What lies without glue in the grooves of these pieces, or is laid into their rebates, as `held_in` says.

    `units` as those of a stage.
    """

    piece: Nth
    into: tuple[Nth, ...]
    held_in: HeldIn = "grooves"
    units: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class StageTold:
    """One glue-up of a unit; `after` are the stages whose work comes together in it, `opening` that of its clamps, nm.

    `loose` goes in first. Clamps press along `direction`, or `all_round`: then it is a band, and `opening` its length.
    `units`, from 1, are those that have it, empty where every unit does.
    """

    number: int
    after: tuple[int, ...]
    members: tuple[tuple[str, int], ...]
    loose: tuple[LaidIn, ...]
    joined: tuple[Joined, ...]
    direction: str
    clamps: int
    opening: Nm
    cauls: int
    all_round: bool = False
    units: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Horn:
    """What is cut off every post of a mark at its marked end, `long`, so that it `keeps` its finished length; nm.

    Where all that is glued to the post `lies_flat` it is cut at the saw, the post's other end at the stop, which stands
    at what it keeps; else by hand (common practice).
    """

    mark: str
    long: Nm
    keeps: Nm
    lies_flat: bool


@dataclass(frozen=True, slots=True)
class GlueUpTold:
    """How each of the `units` of a job is glued up; `whose` is the job's number where several are worked together.

    `afterwards` slides or is laid in when all is glued, and `horns` are cut off then.
    """

    whose: str
    units: int
    glue: Glue | None
    stages: tuple[StageTold, ...]
    afterwards: tuple[LaidIn, ...]
    horns: tuple[Horn, ...]

    def of_its_own(self) -> "GlueUpTold":
        """The same by the marks that the job itself has, where it was told among others."""
        if not self.whose:
            return self
        return replace(
            self,
            whose="",
            stages=tuple(self._own_stage(stage) for stage in self.stages),
            afterwards=tuple(map(self._own_laid_in, self.afterwards)),
            horns=tuple(replace(one, mark=own_name(self.whose, one.mark)) for one in self.horns),
        )

    def _own_stage(self, stage: StageTold) -> StageTold:
        return replace(
            stage,
            members=tuple(map(self._own, stage.members)),
            loose=tuple(map(self._own_laid_in, stage.loose)),
            joined=tuple(
                replace(
                    one, held_by=own_name(self.whose, one.held_by), rail=self._own(one.rail), post=self._own(one.post)
                )
                for one in stage.joined
            ),
            direction=stage.direction.replace(mark_for(self.whose, ""), ""),
        )

    def _own_laid_in(self, one: LaidIn) -> LaidIn:
        return LaidIn(self._own(one.piece), tuple(map(self._own, one.into)), one.held_in, one.units)

    def _own(self, piece: Nth) -> Nth:
        return own_name(self.whose, piece[0]), piece[1]
