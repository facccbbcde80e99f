"""One operation planned by itself: its setups through the scheduler, with what it says about them."""

from dataclasses import dataclass

from stopwright.model.job import Job
from stopwright.model.stations import Shop, Station
from stopwright.plan.effort import Effort
from stopwright.plan.operations.mitre import mitre_setups
from stopwright.plan.operations.mortise import mortise_setups
from stopwright.plan.operations.mould import mould_setups
from stopwright.plan.operations.operation import Setups
from stopwright.plan.run_sheet import AllStanding, Remark, Run, SpacerBlock
from stopwright.plan.schedule import schedule
from stopwright.plan.stations.moves import NOTHING, settle_moves


@dataclass(frozen=True)
class Alone:
    """The runs of one operation in order, the least settings and whether that is proven, and its remarks."""

    runs: tuple[Run, ...] = ()
    least_possible: int = 0
    proven: bool = True
    faults: tuple[Remark, ...] = ()
    warnings: tuple[Remark, ...] = ()
    spacers: tuple[SpacerBlock, ...] = ()


def plan_mortises(job: Job, shop: Shop, station: Station, effort: Effort | None = None, standing=None) -> Alone:
    """As the mortise operation plans them at this station."""
    there: AllStanding = {station.name: standing} if standing else {}
    return _alone(mortise_setups(job, shop, station, effort, standing), shop, station, effort, there)


def plan_mitres(job: Job, shop: Shop, station: Station) -> Alone:
    """As the mitre operation plans them at this station."""
    return _alone(mitre_setups(job, shop, station) if job.mitres else Setups(), shop, station)


def plan_mouldings(job: Job, shop: Shop, station: Station) -> Alone:
    """As the mould operation plans them at this station."""
    return _alone(mould_setups(job, shop, station) if job.mouldings else Setups(), shop, station)


def _alone(
    asked: Setups, shop: Shop, station: Station, effort: Effort | None = None, standing: AllStanding = NOTHING
) -> Alone:
    shop = Shop(shop.name, (station,), shop.lengths, shop.show)
    visits = schedule([asked], shop, effort, standing)
    runs = settle_moves([run for visit in visits for run in visit.runs], shop, standing)
    least, proven = sum(visit.least for visit in visits), all(visit.proven for visit in visits)
    return Alone(tuple(runs), least, proven, asked.faults, asked.warnings, asked.spacers)
