"""The document of a job or of the shop as it was saved last, and what was chosen for the plan."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from stopwright.store.document_changes import change_between, changed
from stopwright.store.events import Event, body_text
from stopwright.store.run_fold import standing

WHOLE = "job saved"
CHANGE = "job changed"
SAVES = (WHOLE, CHANGE)
"""What holds the document of a job: whole, or what an edit changed in the one before."""
SHOP_SAVES = ("shop saved", "shop changed")
"""What holds that of the shop."""


@dataclass(frozen=True, slots=True)
class Saved:
    """A document as it was saved: `version` is the seq of the event that holds it; the next change names it as base.

    `event` is the id of that event, `whole` how large the last one was that held the document whole, `since` how much
    the changes after it hold together; in signs. `since` None: one of them is lost, so that the document is the last
    one that is sure, that of the seq `sure`, and the next must be saved whole.
    """

    document: Mapping[str, Any]
    version: int
    at: str
    device: str
    event: str = ""
    whole: int = 0
    since: int | None = 0
    sure: int = 0

    @property
    def name(self) -> str:
        """What the document calls itself, "" if it has no name yet."""
        name = self.document.get("name", "")
        return name if isinstance(name, str) else ""

    def followed_by(self, event: Event) -> "Saved":
        """What is saved after an edit that says only what it changed."""
        stands = replace(self, version=event.seq, at=event.at, device=event.device, event=event.id)
        try:
            if self.since is None or event.body["after"] != self.event:
                raise ValueError("the one before is not there")
            document = changed(self.document, event.body["change"])
        except ValueError:
            return replace(stands, since=None)
        return replace(stands, document=document, since=self.since + len(body_text(event)), sure=event.seq)


def fold_saved(events: Iterable[Event], kinds: tuple[str, str] = SAVES) -> Saved | None:
    """The document saved last, None if none was. Versions follow the log's own order, not the clocks of devices."""
    saves = sorted((event for event in events if event.kind in kinds), key=lambda event: event.seq)
    begins = max((at for at, event in enumerate(saves) if event.kind == kinds[0]), default=None)
    if begins is None:
        return None
    whole = saves[begins]
    held = len(body_text(whole))
    saved = Saved(whole.body["document"], whole.seq, whole.at, whole.device, whole.id, held, sure=whole.seq)
    for event in saves[begins + 1 :]:
        saved = saved.followed_by(event)
    return saved


def documents_of(events: Iterable[Event], versions: Collection[int]) -> dict[int, Mapping[str, Any]]:
    """The documents of these versions of a job; one that is lost, or was never there, is left out."""
    found: dict[int, Mapping[str, Any]] = {}
    saved: Saved | None = None
    for event in sorted((event for event in events if event.kind in SAVES), key=lambda event: event.seq):
        if event.kind == WHOLE:
            saved = Saved(event.body["document"], event.seq, event.at, event.device, event.id)
        elif saved is not None:
            saved = saved.followed_by(event)
        if saved is not None and saved.since is not None and event.seq in versions:
            found[event.seq] = saved.document
    return found


def save_of(
    stands: Saved | None, document: Mapping[str, Any], kinds: tuple[str, str] = SAVES
) -> tuple[str, dict[str, Any]]:
    """The kind and the body of the event that saves this document after the one that stands.

    What changed, while all changes since the last whole one together are smaller than it: so whole ones cost no more
    than the changes between them, and no more than twice the document is read to know it.
    """
    as_whole, as_change = kinds
    whole = {"document": dict(document), "base": stands.version if stands else 0}
    if stands is None or stands.since is None:
        return as_whole, whole
    change = change_between(stands.document, document)
    body = {"after": stands.event, "change": change}
    same_order = list(changed(stands.document, change)) == list(document)
    small = stands.since + len(body_text(Event("", "", as_change, "", "", body))) < stands.whole
    return (as_change, body) if same_order and small else (as_whole, whole)


def numbers_together(document: Mapping[str, Any]) -> tuple[str, ...]:
    """The numbers of the jobs that are worked together where a document stands for several; none for one job.

    >>> numbers_together({"name": "Stools and drawers", "together": ["3", "7"]}), numbers_together({"name": "Stools"})
    (('3', '7'), ())
    """
    numbers = document.get("together")
    return tuple(one for one in numbers if isinstance(one, str)) if isinstance(numbers, list) else ()


def fold_together(events: Iterable[Event]) -> tuple[str, ...]:
    """The numbers of the jobs that are worked together under a number now, none for one job."""
    saved = fold_saved(events)
    return numbers_together(saved.document) if saved else ()


def fold_ever_together(events: Iterable[Event]) -> frozenset[str]:
    """The numbers of all jobs that were ever worked together under a number."""
    return frozenset(
        number for event in events if event.kind == WHOLE for number in numbers_together(event.body["document"])
    )


def fold_joined(events: Iterable[Event]) -> str:
    """The number of the run sheet of several that a job joined last, "" when it has left it or never did."""
    moves = [event for event in events if event.kind in ("job joined", "job left")]
    newest = max(moves, key=lambda event: event.seq, default=None)
    return newest.body["together"] if newest and newest.kind == "job joined" else ""


def fold_choices(events: Iterable[Event]) -> Mapping[str, Any]:
    """What was chosen last for the plan, empty if nothing was."""
    chosen = standing(events, {"plan chosen"})
    return chosen[-1].body["choices"] if chosen else {}
