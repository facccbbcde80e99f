"""The shelf of offcuts: put there after cutting, offered to jobs they fit, used first, labelled."""

from collections.abc import Collection, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from stopwright.actions.jobs.editing import save_section
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import ChangedMeanwhile, NotFound, StopwrightError
from stopwright.intake.keys import Document
from stopwright.lengths import INCH, MM, Nm, Show, format_exact
from stopwright.model.job import Job
from stopwright.model.parts import Kind
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock, StockKind, Zone, clean_part, zones_within
from stopwright.paper.label_grid import Grid
from stopwright.paper.labels import label_sheet_pdf, offcut_label
from stopwright.plan.timber.sections import planing_loss
from stopwright.plan.timber.wood import SHEET_MAY_BE_OFF
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.kinds import GREATEST_ZONES
from stopwright.store.log import Store
from stopwright.store.shelf_fold import SHELF_KINDS, SHELVED, TAKEN, Offcut, Shelf, fold_shelf

_OF_A_ZONE = ("start", "end", "low", "high")


@dataclass(frozen=True, slots=True)
class NewOffcut:
    """An offcut to put on the shelf; nm. The same `id` again is the same offcut. `note` says whence it comes.

    `zones` are its flaws, which stay in it; `planed` says that both faces are.
    """

    id: str
    length: Nm
    width: Nm
    thickness: Nm
    material: str = ""
    sheet: bool = False
    note: str = ""
    zones: tuple[Zone, ...] = ()
    planed: bool = False

    @property
    def clean(self) -> tuple[Nm, Nm]:
        """Length and width of its largest part without a flaw, nm."""
        return clean_part(self.length, self.width, self.zones)[2:]


@dataclass(frozen=True, slots=True)
class LeftOver:
    """An offcut worth keeping that the plan leaves; `number` is its number on the shelf, 0 if it was not put there."""

    offcut: NewOffcut
    number: int


def shelf(store: Store) -> Shelf:
    """The shelf as it stands now."""
    return store.folded("", fold_shelf)


def shelve(store: Store, offcuts: Sequence[NewOffcut], device: str, now: Clock = utc_now) -> list[int]:
    """The numbers under which the offcuts lie on the shelf, in order; one that was put there before keeps its number.

    Raises StopwrightError for what is no piece of wood.
    """
    for one in offcuts:
        as_stock(one)
    while True:
        stands = shelf(store)
        number = max(stands.offcuts, default=0)
        events = []
        for one in offcuts:
            if store.event(one.id) is None:
                number += 1
                events.append(Event(one.id, "", SHELVED, written(now()), device, _body(number, one)))
        try:
            store.append(events, base=stands.version, kinds=SHELF_KINDS)
        except ChangedMeanwhile:
            continue  # somebody else took the numbers
        found = [store.event(one.id) for one in offcuts]
        return [int(event.body["offcut"]) for event in found if event]


def take_off(store: Store, number: int, device: str, job: str = "", now: Clock = utc_now) -> Offcut:
    """The offcut, taken off the shelf: for a job, or thrown away. Raises NotFound when it does not lie there."""
    body = {"offcut": number} | ({"job": job} if job else {})
    while True:
        stands = shelf(store)
        offcut = stands.offcuts.get(number)
        if offcut is None or offcut.taken:
            raise NotFound(f"offcut {number} does not lie on the shelf", next_step="reload the shelf")
        event = Event(new_id(), "", TAKEN, written(now()), device, body)
        with suppress(ChangedMeanwhile):  # something else on the shelf changed: look again
            store.append([event], base=stands.version, kinds=SHELF_KINDS)
            return offcut


def put_back(store: Store, number: int, device: str, now: Clock = utc_now) -> None:
    """Puts an offcut that was taken on the shelf again, under its number. Raises NotFound."""
    offcut = shelf(store).offcuts.get(number)
    if offcut is None:
        raise NotFound(f"there is no offcut {number}", next_step="reload the shelf")
    if offcut.taken:
        store.append([Event(new_id(), "", SHELVED, written(now()), device, _body(number, _as_it_lay(offcut)))])


def use_in_job(store: Store, number: int, job: str, device: str) -> None:
    """Takes an offcut off the shelf and adds it to the wood of a job, where it is used before any board.

    Raises NotFound when there is no such job, or the offcut does not lie there.
    """
    job_document(store, job)
    offcut = take_off(store, number, device, job)
    while True:
        saved = job_document(store, job)
        stands = saved.document.get("stock", [])
        unit = "in" if saved.document.get("lengths") == "in" else "mm"
        rows = [*(stands if isinstance(stands, list) else []), _row(offcut, unit)]
        with suppress(ChangedMeanwhile):
            save_section(store, job, {"stock": rows}, saved.version, device)
            return


def fitting(store: Store, job: Job, shop: Shop) -> list[Offcut]:
    """What lies on the shelf of a material of the job and thick enough for one of its parts, largest first."""
    wanted = [(part.material.casefold(), part.kind is Kind.SHEET, part.thickness) for part in job.parts]
    fits = [
        one
        for one in shelf(store).lying
        if any(
            one.material.casefold() == material
            and one.sheet is sheet
            and (
                abs(one.thickness - thickness) <= SHEET_MAY_BE_OFF
                if sheet
                else one.thickness - planing_loss(as_stock(one), shop) >= thickness
            )
            for material, sheet, thickness in wanted
        )
    ]
    return sorted(fits, key=lambda one: -one.length * one.width)


def left_over(store: Store, job: str, planned: Planned) -> list[LeftOver]:
    """Every offcut that the plan leaves, largest first, with its number where it was put on the shelf already."""
    found = []
    for one in _offcuts(job, planned):
        event = store.event(one.id)
        found.append(LeftOver(one, int(event.body["offcut"]) if event else 0))
    return sorted(found, key=lambda one: (-one.offcut.length * one.offcut.width, one.offcut.id))


def shelf_labels(store: Store, numbers: Collection[int], grid: Grid, address: str, show: Show, start: int = 1) -> bytes:
    """The labels of these offcuts as a PDF. Raises StopwrightError when there is none, or a label is too small."""
    chosen = [one for one in shelf(store).offcuts.values() if one.number in numbers]
    if not chosen:
        raise StopwrightError("no offcut was chosen", next_step="choose at least one from the shelf")
    labels = [offcut_label(as_stock(one), one.number, show) for one in chosen]
    return label_sheet_pdf(labels, grid, address, start)


def as_stock(one: NewOffcut | Offcut) -> Stock:
    """An offcut as a row of wood on hand. Raises StopwrightError for what is no piece of wood."""
    size = one.length, one.width, one.thickness
    return Stock(StockKind.OFFCUT, 1, *size, one.material, zones=one.zones, sheet=one.sheet, planed=one.planed)


def _as_it_lay(one: Offcut) -> NewOffcut:
    size = one.length, one.width, one.thickness
    return NewOffcut("", *size, one.material, one.sheet, one.note, one.zones, one.planed)


def _offcuts(job: str, planned: Planned) -> Iterator[NewOffcut]:
    """The offcuts of the layouts, sizes rounded down to what one measures it by; of a riddled one its clean part."""
    mark = INCH // 16 if planned.job.lengths == "in" else MM
    for layout in planned.sheet.wood.layouts:
        row = planned.job.stock[layout.stock]
        pieces = ",".join(f"{one.mark}:{one.x}:{one.y}:{one.length}" for one in layout.placements)
        for place, offcut in enumerate(layout.offcuts):
            told = len(offcut.zones) <= GREATEST_ZONES
            length, width = (one - one % mark for one in ((offcut.length, offcut.width) if told else offcut.clean))
            for nth in range(layout.times):
                what = f"{job}|{layout.stock}|{layout.length}x{layout.width}|{pieces}|{place}|{nth}"
                yield NewOffcut(
                    f"offcut-{sha256(what.encode()).hexdigest()[:32]}",
                    length,
                    width,
                    layout.finished,
                    layout.material,
                    row.is_sheet,
                    planned.job.name[:120],
                    zones_within(offcut.zones, offcut.width, length, width) if told else (),
                    not row.is_sheet and (row.planed or layout.finished < layout.thickness),
                )


def _body(number: int, one: NewOffcut) -> dict[str, Any]:
    zones = [[zone.start, zone.end, zone.low, one.width if zone.high is None else zone.high] for zone in one.zones]
    body = {
        "offcut": number,
        "length_nm": one.length,
        "width_nm": one.width,
        "thickness_nm": one.thickness,
        "material": one.material[:120],
        "sheet": one.sheet,
        "note": one.note[:120],
    }
    return body | ({"zones": zones} if zones else {}) | ({"planed": True} if one.planed else {})


def _row(offcut: Offcut, unit: str) -> Document:
    sizes = {field: format_exact(getattr(offcut, field), unit) for field in ("length", "width", "thickness")}
    row: Document = {"kind": StockKind.OFFCUT.value, "quantity": 1} | sizes
    row |= {"material": offcut.material} if offcut.material else {}
    zones = [{field: format_exact(getattr(zone, field), unit) for field in _OF_A_ZONE} for zone in offcut.zones]
    row |= ({"zone": zones} if zones else {}) | ({"planed": True} if offcut.planed else {})
    return row | {"label": f"shelf {offcut.number}"} | ({"sheet": True} if offcut.sheet else {})
