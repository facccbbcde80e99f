"""How long a piece is while it is worked: with its horn, or to the long points of its mitres."""

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.parts import Part
from stopwright.plan.mitres import mitre_cut
from stopwright.plan.slots import horn_of


def worked_length(job: Job, part: Part) -> Nm:
    """The length a piece of the part needs of the wood, nm: its own, more for a horn or for mitres.

    A post with a horn is crosscut to this length and cut off after glue-up; a mitred piece gets it at the mitre.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.shaping import MeasuredTo, Mitre
    >>> side = Part("F", "Side", 2, 200 * MM, 10 * MM, 10 * MM)
    >>> job = Job("Frame", (side,), mitres=(Mitre("F", sides=4, length=MeasuredTo.SHORT_POINT),))
    >>> worked_length(job, side) // MM
    220
    """
    length = part.length
    for mitre in job.mitres:
        if mitre.part == part.mark:
            length = mitre_cut(job, mitre).long_point
    return length + horn_of(job, part.mark)
