"""The figures that things to make are worked out with."""

from stopwright.plan.making import (
    bars,
    carcase,
    drawer,
    drawer_tenons,
    face_frame,
    frame,
    mitred_frame,
    rebated_panel,
    shelf,
    work,
)
from stopwright.plan.sourcing.sources import Figure, Section
from stopwright.plan.timber import dry_fit

_TRADE = "a rule of the trade"
_BOXES = "a drawer box maker’s measuring instructions"

MAKING = Section(
    "Things to make",
    (
        Figure(drawer, "SIDE_SLIDES", "Side slides", "{0} of the width in all; the maker’s sheet decides", _BOXES, "S"),
        Figure(
            drawer,
            "HIDDEN_SLIDES",
            "Hidden slides",
            "the box is {0} narrower inside than the opening; the maker’s sheet decides",
            "two box makers’ tables",
            "S",
        ),
        Figure(drawer, "WOOD_PLAY", "Drawer on wood", "{0} of the width in all; 0.5 to 1 mm are usual", _TRADE, "P"),
        Figure(drawer, "ABOVE_SIDE_SLIDES", "Box on side slides", "{0} lower than the opening", _BOXES, "S"),
        Figure(drawer, "ABOVE_HIDDEN_SLIDES", "Box on hidden slides", "{0} lower than the opening", _BOXES, "S"),
        Figure(drawer, "ABOVE_WOOD", "Box on wood", "{0} lower than the opening, more where it moves", _TRADE, "P"),
        Figure(drawer, "BOTTOM_PLAY", "Room of a drawer bottom", "{0} less than its grooves leave", _TRADE, "P"),
        Figure(
            drawer, "GROOVE_UP", "Groove of the bottom", "{0} from the lower edge; 3/8 in is published", _TRADE, "P"
        ),
        Figure(drawer, "CORNER_PLAY", "Play of a drawer corner", "{0}, glued", _TRADE, "P"),
        Figure(drawer_tenons, "FROM_EDGES", "Slot in a drawer’s corner", "{0} from edges and grooves", _TRADE, "P"),
        Figure(
            drawer, "FRONT_GAP", "Gap of an inset front", "{0} all round at the time of making", "a home magazine", "S"
        ),
        Figure(frame, "SHEET_GAP", "Room beside a panel of sheet", "{0} in each groove; 0.5 to 1 mm", _TRADE, "P"),
        Figure(
            frame,
            "SOLID_GAP",
            "Room beside a panel of solid wood",
            "{0} in each groove at a middling moisture; 1/8 in at least is published",
            "a woodworking magazine on seasonal movement",
            "S",
        ),
        Figure(frame, "ALONG_GAP", "Room at the ends of a panel’s grain", "{0} in each groove", _TRADE, "P"),
        Figure(frame, "TONGUE_RELIEF", "Relief of a stub tongue", "{0} shorter than its groove is deep", _TRADE, "P"),
        Figure(frame, "TONGUE_PLAY", "Play of a stub tongue", "{0} thinner than its groove", _TRADE, "P"),
        Figure(rebated_panel, "CLEAR_OF_FRAME", "Rebate of a panel", "{0} wider than the groove is deep", _TRADE, "P"),
        Figure(frame, "BESIDE_GROOVE", "Slot beside a groove", "{0} of wood between the two", _TRADE, "P"),
        Figure(work, "MOST_OFF", "A frame put together dry", "at most {0} off; more is taken for a slip", _TRADE, "P"),
        Figure(dry_fit, "OVER", "Blank of a panel of sheet", "{0} longer and wider until the dry fit", _TRADE, "P"),
        Figure(bars, "FROM_OUTSIDE", "Slot from the outer edge of a rail", "{0}", _TRADE, "P"),
        Figure(bars, "BETWEEN_SLOTS", "Two slots across a wide rail", "{0} of wood between them", _TRADE, "P"),
        Figure(bars, "LEAST_BEHIND", "Wood behind a slot", "{0} at least", _TRADE, "P"),
        Figure(face_frame, "FROM_EDGES", "Slot from the inner edge of a rail", "{0} without a groove", _TRADE, "P"),
        Figure(carcase, "BACK_BEHIND", "Rebate of a back", "{0} deeper than the back; 1 to 2 mm", _TRADE, "P"),
        Figure(carcase, "BACK_PLAY", "Room around a back", "{0} less than its rebates leave", _TRADE, "P"),
        Figure(carcase, "BACK_INSET", "Groove of a back", "{0} of wood behind it", _TRADE, "P"),
        Figure(carcase, "LEFT_OUTSIDE", "Wood outside the rebate of a back", "{0} at least", _TRADE, "P"),
        Figure(shelf, "NOTCH_ROOM", "Notch of a shelf", "{0} longer than its housing is stopped", _TRADE, "P"),
        Figure(
            mitred_frame,
            "EASE",
            "Ease of a picture",
            "{0}: so much larger is the rebate",
            "a picture framer’s rule, as for mitres",
            "S",
        ),
    ),
)
