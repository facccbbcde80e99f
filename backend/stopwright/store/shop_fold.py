"""The shop as it stands: its document, and what was measured and accepted since it was saved."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.store.events import Event
from stopwright.store.job_fold import SHOP_SAVES, Saved, fold_saved

SHOP_KINDS = (*SHOP_SAVES, "zero accepted", "kerf measured", "minutes accepted", "changeover minutes accepted")
"""What changes the shop: who saves its document must have seen all of it."""


@dataclass(frozen=True, slots=True)
class Kerf:
    """A measured kerf and what it may be off by (standard uncertainty), nm."""

    kerf: Nm
    uncertainty: Nm | None
    at: str


@dataclass(frozen=True, slots=True)
class ShopState:
    """The shop: `zeros` by (station, axis) and `kerfs` by (station, blade) came after the document was saved.

    So did `seconds`: for one setting by (station, axis), for one piece by (station, ""); and `changeovers`, in seconds
    by (machine, from, to). `version` is the base that the next change of the document must name.
    """

    saved: Saved | None
    zeros: Mapping[tuple[str, str], Nm]
    kerfs: Mapping[tuple[str, str], Kerf]
    seconds: Mapping[tuple[str, str], int]
    changeovers: Mapping[tuple[str, str, str], int]
    version: int


def fold_shop(events: Iterable[Event]) -> ShopState:
    """The shop as it stands. A document saved later holds what was accepted before it, so it wins.

    All of it follows the order of the log: none of these events is ever late, they are made where the log is.
    """
    events = sorted((event for event in events if event.kind in SHOP_KINDS), key=lambda event: event.seq)
    saved = fold_saved(events, SHOP_SAVES)
    zeros: dict[tuple[str, str], Nm] = {}
    kerfs: dict[tuple[str, str], Kerf] = {}
    seconds: dict[tuple[str, str], int] = {}
    changeovers: dict[tuple[str, str, str], int] = {}
    for event in events:
        if saved and event.seq < saved.sure:
            continue
        body = event.body
        if event.kind == "zero accepted":
            zeros[body["station"], body["axis"]] = body["zero_nm"]
        elif event.kind == "kerf measured":
            kerfs[body["station"], body["blade"]] = Kerf(body["kerf_nm"], body.get("uncertainty_nm"), event.at)
        elif event.kind == "minutes accepted":
            seconds[body["station"], body["axis"]] = body["seconds"]
        elif event.kind == "changeover minutes accepted":
            changeovers[body["machine"], body["from"], body["to"]] = body["seconds"]
    return ShopState(saved, zeros, kerfs, seconds, changeovers, max((event.seq for event in events), default=0))
