"""Why each run stands where it stands, in short sentences from the plan's own facts."""

from stopwright.model.stations import Shop
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.weighing.machine_reasons import machine_reasons


def reasons(sheet: RunSheet, shop: Shop) -> tuple[tuple[str, ...], ...]:
    """For each run of the sheet, in its order, why it comes there and why its stops stand so."""
    runs, of_machines = sheet.runs, machine_reasons(sheet, shop)
    return tuple(
        tuple(
            text[:1].upper() + text[1:] + "."
            for text in (
                *of_machines.get(run.number, ()),
                *OPERATIONS[run.work].reason(run, runs[:place], runs[place + 1 :], shop),
            )
        )
        for place, run in enumerate(runs)
    )
