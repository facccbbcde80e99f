"""What is typed for a joint, a mitre and a moulding, in groups, each entry with what it is for."""

from stopwright.model.joints import RailEnds, Side
from stopwright.model.shaping import MeasuredTo, MitrePoints
from stopwright.web.desk.entry_fields import Entry, Kind, choices

SIDES = {Side.FACE: "face side", Side.EDGE: "face edge", Side.BACK: "back", Side.FAR_EDGE: "far edge"}
"""The sides of a post as a person names them, in the order in which the piece is rolled over."""
EDGES = {Side.EDGE: "face edge", Side.FAR_EDGE: "far edge", Side.MARKED_END: "marked end", Side.OTHER_END: "other end"}

SLOT = (
    Entry("slot_from", "Slot from", "across the rail, from its face edge"),
    Entry("slot_to", "Slot to", "from the same face edge"),
    Entry("bit", "Bit", "about a third of the rail’s thickness"),
    Entry("depth_rail", "Depth in the rail", "how deep the slot goes into the rail’s end"),
    Entry("depth_post", "Depth in the post", "how deep it goes into the post"),
)
PLACE = (
    Entry("drop", "Drop", "rail’s face edge below the post’s marked end; empty: flush"),
    Entry("setback", "Setback", "rail’s face side behind the post’s; empty: flush"),
    Entry("horn", "Horn", "left on the post’s marked end, cut off after glue-up"),
)
SEVERAL_SLOTS = (
    Entry("count", "Slots in each rail end", "two or more for a wide rail; empty: one", Kind.NUMBER),
    Entry("pitch", "Pitch", "from the start of one slot to the start of the next"),
    Entry("apart", "Two side by side", "through a thick rail: from centre line to centre line; empty: one"),
)
SEVERAL_RAILS = (
    Entry("repeat", "Rails in one post", "slats, or rungs of a ladder; empty: one", Kind.NUMBER),
    Entry("spacing", "Spacing", "from one rail’s face edge to the next one’s"),
)
UNUSUAL = (
    Entry(
        "ends",
        "Rail ends",
        "say it where the two ends of a rail are cut differently",
        Kind.CHOICE,
        choices(RailEnds, "not said: both alike"),
    ),
    Entry("offset", "Slot off the middle", "its centre line behind the rail’s face side; empty: in the middle"),
    Entry("mitred", "Tenons mitred inside the post", "where two meet, so that both may be longer", Kind.TICK),
    Entry("fit", "Fit", "tenon thinner than the bit; empty: as the shop does it"),
    Entry("play", "Play", "tenon narrower than the slot; empty: as the shop does it"),
    Entry("clearance", "Clearance", "room at the bottom of each mortise; empty: as the shop does it"),
)
SLATS = (
    Entry("from", "Opening from", "its start, from the post’s marked end"),
    Entry("to", "to", "its end, from the same marked end"),
    Entry("count", "Rails in it", "as many as stand in the opening", Kind.NUMBER),
)

MITRE = (
    Entry("sides", "Sides of the frame", "a closed frame of equal sides: 4 for a picture frame", Kind.NUMBER),
    Entry("angle", "or angle", "degrees off square, instead of a number of sides", Kind.NUMBER),
    Entry("ends", "Ends", "which ends of the part are mitred", Kind.CHOICE, choices(RailEnds)),
    Entry(
        "points",
        "Long points",
        "both on one edge (frames, braces) or one on either edge",
        Kind.CHOICE,
        choices(MitrePoints, trapezium="both on one edge", parallel="one on either edge"),
    ),
    Entry("length", "Length is measured to", "what the part list’s length means", Kind.CHOICE, choices(MeasuredTo)),
)
REBATE = (
    Entry("opening", "Glass or picture", "its size along this part: the stop then follows from it"),
    Entry("rebate_to_edge", "Rebate to outer edge", "width of wood outside the rebate"),
    Entry("ease", "Room for it", "how much larger than the picture; empty: 1/16 in"),
)
PASS = (
    Entry("cutter", "Cutter", "as the shop calls it", Kind.TEXT),
    Entry("height", "Spindle height", "from the table"),
    Entry("fence", "Fence", "how deep the cutter stands out of it"),
)
SEVERAL_AT_ONCE = ("parts", "edges")
