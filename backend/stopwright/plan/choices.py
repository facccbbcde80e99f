"""What a person may choose about a plan; every choice is a value, so that a plan can be made again alike."""

from dataclasses import dataclass

from stopwright.model.job import Flow


@dataclass(frozen=True, slots=True)
class Choices:
    """`flow` None: as the job says. `may_turn` None: turn pieces on a sheet where that saves a sheet."""

    flow: Flow | None = None
    may_turn: bool | None = None
