"""The shelf of offcuts: what lies on it and what was taken, worked out from events."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.stock import Zone, clean_part
from stopwright.store.events import Event
from stopwright.store.run_fold import standing

SHELVED, TAKEN = "offcut shelved", "offcut taken"
SHELF_KINDS = (SHELVED, TAKEN)
"""What changes the shelf: who takes a number or an offcut must have seen all of it."""


@dataclass(frozen=True, slots=True)
class Offcut:
    """An offcut with its number on the shelf, nm. `taken_for` is the job it was taken for, "" if for none.

    `zones` are its flaws: where each starts and ends along it, and across it; `planed` says that both faces are.
    """

    number: int
    length: Nm
    width: Nm
    thickness: Nm
    material: str
    sheet: bool
    note: str
    at: str
    taken: bool = False
    taken_for: str = ""
    zones: tuple[Zone, ...] = ()
    planed: bool = False

    @property
    def clean(self) -> tuple[Nm, Nm]:
        """Length and width of its largest part without a flaw, nm."""
        return clean_part(self.length, self.width, self.zones)[2:]


@dataclass(frozen=True, slots=True)
class Shelf:
    """All offcuts that ever lay on the shelf by number; `version` the seq of the last change."""

    offcuts: Mapping[int, Offcut]
    version: int

    @property
    def lying(self) -> list[Offcut]:
        """What lies there now, the newest first."""
        return [one for one in reversed(tuple(self.offcuts.values())) if not one.taken]

    @property
    def taken(self) -> list[Offcut]:
        """What was taken, the newest first."""
        return [one for one in reversed(tuple(self.offcuts.values())) if one.taken]


def fold_shelf(events: Iterable[Event]) -> Shelf:
    """The shelf as it stands: the word that came last about an offcut holds."""
    events = [event for event in events if event.kind in SHELF_KINDS]
    offcuts: dict[int, Offcut] = {}
    ordered = standing(events)
    last = {event.body["offcut"]: event for event in ordered}
    for event in ordered:
        body = event.body
        if event.kind == SHELVED:
            now = last[body["offcut"]]
            offcuts[body["offcut"]] = Offcut(
                body["offcut"],
                body["length_nm"],
                body["width_nm"],
                body["thickness_nm"],
                body.get("material", ""),
                body["sheet"],
                body.get("note", ""),
                event.at,
                now.kind == TAKEN,
                now.body.get("job", "") if now.kind == TAKEN else "",
                tuple(Zone(*zone) for zone in body.get("zones", ())),
                body.get("planed", False),
            )
    in_order = dict(sorted(offcuts.items()))
    return Shelf(in_order, max((event.seq for event in events), default=0))
