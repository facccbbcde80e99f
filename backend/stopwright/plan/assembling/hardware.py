"""What a job needs besides wood, in every unit and in all."""

from stopwright.model.job import Job
from stopwright.plan.run_sheet import HardwareNeed


def hardware_needs(job: Job) -> tuple[HardwareNeed, ...]:
    """The hardware of a job, in the order of its list."""
    return tuple(HardwareNeed(one.name, one.count, one.count * job.units, one.note) for one in job.hardware)
