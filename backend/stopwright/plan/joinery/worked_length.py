"""How long a piece is while it is worked: with its horn, or to the long points of its mitres."""

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.parts import Part
from stopwright.model.stations import Shop
from stopwright.plan.joinery.slots import horn_of
from stopwright.plan.operations.mitre import mitre_cut


def worked_length(job: Job, part: Part, shop: Shop) -> Nm:
    """The length a piece of the part needs of the wood, nm: its own, more for a horn or for mitres.

    A post with a horn is crosscut to this length and cut off after glue-up. What is mitred is crosscut by mark, the
    shop's allowance longer than from long point to long point, and gets its length at the mitre.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.shaping import Mitre
    >>> side = Part("F", "Side", 2, 200 * MM, 10 * MM, 10 * MM)
    >>> job = Job("Frame", (side,), mitres=(Mitre("F", sides=3),))
    >>> from stopwright.model.stations import Station, Work
    >>> worked_length(job, side, Shop("Ours", (Station("saw", ("mitre",)),))) / MM  # 200 and the allowance of 25
    225.0
    """
    length = part.length
    for mitre in job.mitres:
        if mitre.part == part.mark:
            length = mitre_cut(job, mitre).long_point + shop.allowance.length
    return length + horn_of(job, part.mark)
