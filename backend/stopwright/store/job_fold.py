"""The document of a job or of the shop as it was saved last, and what was chosen for the plan."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from stopwright.store.events import Event
from stopwright.store.run_fold import standing


@dataclass(frozen=True, slots=True)
class Saved:
    """A document as it was saved: `version` is the seq of the event that holds it; the next change names it as base."""

    document: Mapping[str, Any]
    version: int
    at: str
    device: str

    @property
    def name(self) -> str:
        """What the document calls itself, "" if it has no name yet."""
        name = self.document.get("name", "")
        return name if isinstance(name, str) else ""


def fold_saved(events: Iterable[Event], kind: str = "job saved") -> Saved | None:
    """The document saved last, None if none was. Versions follow the log's own order, not the clocks of devices."""
    newest = max((event for event in events if event.kind == kind), key=lambda event: event.seq, default=None)
    return None if newest is None else Saved(newest.body["document"], newest.seq, newest.at, newest.device)


def fold_choices(events: Iterable[Event]) -> Mapping[str, Any]:
    """What was chosen last for the plan, empty if nothing was."""
    chosen = standing(events, {"plan chosen"})
    return chosen[-1].body["choices"] if chosen else {}
