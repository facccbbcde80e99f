"""The plain facts of a job and a shop, for the ledger."""

from tests.shop.ledger import Facts

from stopwright.model.gear import Blade, Knives, Sander, Tables, Throat
from stopwright.model.job import Job
from stopwright.model.parts import DryBlank, MadePart
from stopwright.model.stations import Shop
from stopwright.model.stock import StockKind
from stopwright.plan.joinery.slots import horn_of
from stopwright.plan.joinery.tenons import with_tenons
from stopwright.plan.timber.dry_fit import with_blanks
from stopwright.plan.timber.panels import panels_of


def facts_of(job: Job, shop: Shop) -> Facts:
    """What part list (with loose tenons), rack and stations say; a horn is cut off after glue-up."""
    panels = panels_of(job, shop)
    whole = with_tenons(job, shop)
    return Facts(
        parts={
            part.mark: ((part.length + horn_of(job, part.mark), part.width, part.thickness), part.quantity)
            for part in whole.parts
        },
        stock=[
            (
                (row.length, row.width, row.thickness),
                row.quantity,
                row.is_sheet,
                row.planed,
                not (row.is_sheet and row.kind is StockKind.OFFCUT),
            )
            for row in job.stock
        ],
        kerf={station.name: station.of(Blade).kerf for station in shop.stations},
        trim={station.name: station.of(Blade).trim for station in shop.stations},
        greatest_cut={
            one.name: one.of(Sander).greatest_pass if "calibrate" in one.work else one.of(Knives).greatest_cut
            for one in shop.stations
        },
        face_edge=shop.allowance.width,
        face=shop.allowance.thickness,
        panels={
            strip.mark: (len(panel.strips_of(strip.nth)), panel.part.mark)
            for panel in panels
            for strip in panel.all_strips
        }
        | {blank.mark: (1, blank.blank_for) for blank in with_blanks(job).parts if isinstance(blank, DryBlank)},
        dry={
            part.mark: {other.mark for other in job.parts if isinstance(other, MadePart) and other.thing == part.thing}
            for part in job.parts
            if isinstance(part, MadePart) and part.drawn
        },
        jointing=800_000,
        bow=[row.bow for row in job.stock],
        longest=_longest(job, shop),
        passes={one.name: widest for one in shop.stations if (widest := one.of(Throat).widest) is not None},
        calibrating=next((one.of(Sander).calibrating for one in shop.stations if "calibrate" in one.work), 0),
    )


def _longest(job: Job, shop: Shop) -> int | None:
    """The longest board that the jointer may be given: a part that is longer than it takes is wanted all the same."""
    takes = next((station.of(Tables).longest for station in shop.stations if "joint" in station.work), None)
    needed = max(part.length for part in job.parts) + shop.allowance.length
    return None if takes is None else max(takes, needed)
