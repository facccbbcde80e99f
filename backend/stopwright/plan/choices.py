"""What a person may choose about a plan; every choice is a value, so that a plan can be made again alike."""

from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.job import Flow


@dataclass(frozen=True, slots=True)
class Choices:
    """How to go through the saw and how to lay out the wood.

    `flow` None: as the job says. `may_turn` None: turn pieces on a sheet only where that saves
    something.
    `mix_widths` False: every board is ripped to one width only, which takes more wood and fewer handlings.
    `strips` False: no block or strip between a piece and its stop, each place a setting of its own.
    `standing`: what stands on the machines now, as (station, axis, nm): a stop that stands is free. `ready`: for which
    of its stations each machine that is several stands ready now, as (machine, station); else the first one is free.
    `soonest`: where the shop says its day, the order that is done soonest, which may be changed over more often.
    """

    flow: Flow | None = None
    may_turn: bool | None = None
    mix_widths: bool = True
    standing: tuple[tuple[str, str, Nm], ...] = ()
    strips: bool = True
    ready: tuple[tuple[str, str], ...] = ()
    soonest: bool = False

    def stands(self) -> dict[str, dict[str, set[Nm]]]:
        """The positions that stand, by station and axis."""
        by_station: dict[str, dict[str, set[Nm]]] = {}
        for station, axis, position in self.standing:
            by_station.setdefault(station, {}).setdefault(axis, set()).add(position)
        return by_station
