"""How long a piece is while it is worked: with its horn, or to the long points of its mitres."""

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds
from stopwright.model.parts import Part
from stopwright.model.stations import Shop, Work
from stopwright.plan.joinery.slots import horn_of
from stopwright.plan.stations.mitres import kerf_along_fence, mitre_cut


def worked_length(job: Job, part: Part, shop: Shop) -> Nm:
    """The length a piece of the part needs of the wood, nm: its own, more for a horn or for mitres.

    A post with a horn is crosscut to this length and cut off after glue-up; a mitred piece gets it at the mitre,
    where a cut takes more of the stick than a square one: kerf along the fence less kerf. One mitred at one end only
    leaves a slanting end, and squaring that for the next piece takes a kerf besides.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.shaping import MeasuredTo, Mitre
    >>> from stopwright.model.stations import Station
    >>> side = Part("F", "Side", 2, 200 * MM, 10 * MM, 10 * MM)
    >>> job = Job("Frame", (side,), mitres=(Mitre("F", sides=3, length=MeasuredTo.LONG_POINT),))
    >>> saw = Station("saw", (Work.MITRE,), kerf=3 * MM)
    >>> worked_length(job, side, Shop("Ours", (saw,))) / MM  # 60°: 3 / cos 60° − 3 = 3
    203.0
    """
    length = part.length
    saw = shop.station_for(Work.MITRE)
    for mitre in job.mitres:
        if mitre.part == part.mark:
            kerf = saw.kerf if saw else 0
            squared = mitre.ends is not RailEnds.BOTH
            length = mitre_cut(job, mitre).long_point + kerf_along_fence(kerf, mitre.degrees) - kerf * (not squared)
    return length + horn_of(job, part.mark)
