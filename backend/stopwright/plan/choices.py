"""What a person may choose about a plan; every choice is a value, so that a plan can be made again alike."""

from dataclasses import dataclass

from stopwright.model.job import Flow


@dataclass(frozen=True, slots=True)
class Choices:
    """How to go through the saw and how to lay out the wood.

    `flow` None: as the job says. `may_turn` None: turn pieces on a sheet only where that saves a sheet.
    `mix_widths` False: every board is ripped to one width only, which takes more wood and fewer touches.
    """

    flow: Flow | None = None
    may_turn: bool | None = None
    mix_widths: bool = True
