"""What fits what: parts as long as their cuts want, and slots as wide as what goes in was measured; asked in words."""

from collections.abc import Iterator
from dataclasses import dataclass

from stopwright.lengths import MM, Nm, format_length
from stopwright.model.job import Job
from stopwright.model.parts import Part
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import Remark
from stopwright.plan.said_lengths import said
from stopwright.plan.timber.movement import moves_across

PANEL_GAP: Nm = MM
"""How much smaller than its grooves a panel is in all where it does not move: along the grain, or a sheet (common
practice)."""


def room_for(fits: str, play: Nm, width: Nm | None, job: Job) -> Nm:
    """How wide a slot is: as given, else for the part that goes in as it was measured, and the play; nm."""
    return job.part(fits).goes_in + play if width is None else width


def measured_before(fits: str, job: Job) -> str:
    """What to know before a slot is cut that has to fit a part: measure it, or as what it was measured; "" if none."""
    if not fits:
        return ""
    part = job.part(fits)
    thick = said(part.goes_in)
    if part.measured is None:
        return f"measure {fits} first and type it at Fetch the wood: this is for {thick} as listed"
    return f"for {fits} as measured, {thick}"


@dataclass(frozen=True, slots=True)
class Between:
    """What a part sits between: the clear opening, at how many ends it goes in beyond it, and how far at each; nm.

    `room` is what it is smaller in all. `held_in` names what takes it, in a sentence.
    """

    clear: Nm
    ends: int
    each: Nm
    held_in: str
    room: Nm = 0

    @property
    def fits(self) -> Nm:
        """The size that would."""
        return self.clear + self.ends * self.each - self.room


def ask_for_size(part: Part, along: str, between: Between, shop: Shop) -> Iterator[Remark]:
    """A question where a part is not as long, or as wide, as what it sits between wants it; `along`: length or width.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.stations import Station
    >>> shelf, shop = Part("C", "Shelf", 2, 770 * MM, 220 * MM, 18 * MM), Shop("Ours", (Station("saw", ("rip",)),))
    >>> next(ask_for_size(shelf, "length", Between(764 * MM, 2, 6 * MM, "housing"), shop)).text
    'is 770 mm long; an opening of 764 mm and 6 mm in each housing want 776 mm. Correct the length, or the opening'
    >>> next(ask_for_size(shelf, "width", Between(210 * MM, 2, 6 * MM, "groove", MM), shop)).text.split(". ")[0]
    'is 220 mm wide; an opening of 210 mm and 6 mm in each groove, less 1 mm of room, want 221 mm'
    """
    is_now = part.width if along == "width" else part.length
    if is_now != between.fits:
        sizes = (is_now, between.clear, between.each, between.fits, between.room)
        given, clear, beyond, fitting, room = (format_length(one, shop.show) for one in sizes)
        held = f"in each {between.held_in}" if between.ends > 1 else f"in the {between.held_in}"
        less = f", less {room} of room," if between.room else ""
        big = "wide" if along == "width" else "long"
        text = f"is {given} {big}; an opening of {clear} and {beyond} {held}{less} want {fitting}"
        yield Remark(part.mark, f"{text}. Correct the {along}, or the opening")


def ask_for_thickness(part: Part, thin: Nm, width: Nm, slot: str, shop: Shop) -> Iterator[Remark]:
    """A question where a part, `thin` where its rebates leave it thinnest, is thicker than its slot is wide; nm."""
    if thin > width:
        thick, wide = format_length(thin, shop.show), format_length(width, shop.show)
        text = (
            f"is {thick} thick, and {slot} is only {wide} wide. Rebate its edges to less than that, or widen the slot"
        )
        yield Remark(part.mark, text)


def ask_for_panel(
    part: Part, along: str, opening: Nm | None, depth: Nm, gap: Nm | None, shop: Shop
) -> Iterator[Remark]:
    """A question where a panel is not as long, or as wide, as the opening and its two grooves want it.

    `gap` is how much smaller it is in all, None for what is usual; nothing is asked where no opening is given. Across
    solid wood a range of widths would do (`assembling/moving_panels.py`), so only a gap that is given is asked about.
    """
    if opening is not None and not (gap is None and along == "width" and moves_across(part)):
        room = PANEL_GAP if gap is None else gap
        yield from ask_for_size(part, along, Between(opening, 2, depth, "groove", room), shop)
