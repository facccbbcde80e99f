"""What fits what: parts as long as their cuts want, and slots as wide as what goes in was measured; asked in words."""

from collections.abc import Iterator

from stopwright.lengths import Nm, format_length
from stopwright.model.job import Job
from stopwright.model.parts import Part
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import Remark


def room_for(fits: str, play: Nm, width: Nm | None, job: Job) -> Nm:
    """How wide a slot is: as given, or for the part that goes in as it was measured, and the play; nm."""
    return job.part(fits).goes_in + play if fits else width or 0


def measured_before(fits: str, job: Job, shop: Shop) -> str:
    """What to know before a slot is cut that has to fit a part: measure it, or as what it was measured; "" if none."""
    if not fits:
        return ""
    part = job.part(fits)
    thick = format_length(part.goes_in, shop.show)
    if part.measured is None:
        return f"measure {fits} first and type it at Fetch the wood: this is for {thick} as listed"
    return f"for {fits} as measured, {thick}"


def ask_for_length(part: Part, opening: Nm, ends: int, each: Nm, called: str, shop: Shop) -> Iterator[Remark]:
    """A question where a part is not as long as the clear opening and what goes in beyond it at each end.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.stations import Station
    >>> shelf, shop = Part("C", "Shelf", 2, 770 * MM, 220 * MM, 18 * MM), Shop("Ours", (Station("saw", ("rip",)),))
    >>> next(ask_for_length(shelf, 764 * MM, 2, 6 * MM, "housing", shop)).text
    'is 770 mm long; an opening of 764 mm and 6 mm in each housing want 776 mm. Correct the length, or the opening'
    """
    wanted = opening + ends * each
    if part.length != wanted:
        given, clear, beyond, long = (format_length(one, shop.show) for one in (part.length, opening, each, wanted))
        where = f"in each {called}" if ends > 1 else f"in the {called}"
        text = f"is {given} long; an opening of {clear} and {beyond} {where} want {long}"
        yield Remark(part.mark, f"{text}. Correct the length, or the opening")
