"""What is typed for the shop, each entry with what it is for; which of them a station needs follows from its work."""

from stopwright.lengths import Show
from stopwright.plan.operations.known import ROLES
from stopwright.web.entry_fields import Entry, Kind, choices

SHOP = (
    Entry("name", "Name of the shop", "stands on every paper", Kind.TEXT),
    Entry("lengths", "A bare number means", "in every field of this page", Kind.CHOICE, choices(("mm", "in"))),
    Entry("show", "Lengths are shown in", "the finest mark that is read here", Kind.CHOICE, choices(Show)),
    Entry("spacers", "Spacers may be used", "blocks between stop and piece, where they save a setting", Kind.TICK),
    Entry("block_minutes", "Minutes for a block", "making an exact one, once; it must save more", Kind.NUMBER),
    Entry("shims", "Strips on hand", "their thicknesses, with ; between them: they need not be made", Kind.TEXT),
)
STATION = (
    Entry("name", "Name", "as it is called in the shop", Kind.TEXT),
    Entry("minutes_between", "Minutes between runs", "carrying a stack, starting the machine", Kind.NUMBER),
    Entry("minutes_per_piece", "Minutes a piece", "working one piece once", Kind.NUMBER),
)
_AT_A_SAW = frozenset({"break down", "rip", "square", "crosscut", "mitre", "groove", "rebate", "tenon", "lap", "comb"})
_WITH_A_TOOL = frozenset({"groove", "rebate", "comb"})
BY_WORK: tuple[tuple[frozenset[str], Entry], ...] = (
    (
        _AT_A_SAW,
        Entry("kerf", "Kerf", "what one cut takes away; measure it, do not believe the box"),
    ),
    (
        _AT_A_SAW,
        Entry("trim", "Trim", "the first cut at an end or a factory edge"),
    ),
    (
        _AT_A_SAW,
        Entry("blade", "Blade on it now", "a name for it: kerf and zeros are remembered by blade", Kind.TEXT),
    ),
    (frozenset({"joint", "plane"}), Entry("greatest_cut", "Greatest cut", "the most that one pass takes off")),
    (
        frozenset({"joint"}),
        Entry("longest", "Longest board", "that it makes true; longer ones are broken down; empty: any"),
    ),
    (frozenset({"plane"}), Entry("rollers", "Feed rollers apart", "no shorter piece goes through")),
    (frozenset({"mortise"}), Entry("bits", "Bits on hand", "diameters, with ; between them", Kind.TEXT)),
    (frozenset({"mortise"}), Entry("reach", "Reach", "the deepest slot; empty: as deep as wanted")),
    (frozenset({"mortise"}), Entry("rollers", "Least length to clamp", "shorter pieces are warned about")),
    (_WITH_A_TOOL, Entry("tools", "Grooving tools on hand", "their widths, with ; between them", Kind.TEXT)),
    (frozenset({"groove"}), Entry("tool_radius", "Radius of the grooving tool", "axis to rim, for stopped grooves")),
    (frozenset({"bore"}), Entry("drills", "Drills on hand", "diameters, with ; between them; empty: any", Kind.TEXT)),
    (frozenset({"mould"}), Entry("cutters", "Cutters on hand", "their names, with ; between them", Kind.TEXT)),
)
AXIS = (
    Entry("name", "Name", "as it is called in the shop", Kind.TEXT),
    Entry("sets", "It sets the", "what of the piece it decides", Kind.CHOICE, choices(ROLES)),
    Entry("minutes", "Minutes to set it", "they decide what is set seldom", Kind.NUMBER),
)
SCALE = (
    Entry("step", "Finest graduation", "of its scale; empty: no scale, set to a mark on the master piece"),
    Entry("zero", "Scale shows too much by", "learned from trial pieces; less than 0 where it shows too little"),
    Entry("low", "Reaches from", "the least position"),
    Entry("high", "to", "the greatest position"),
    Entry("holds", "Positions at once", "two flip stops stand at once: 2", Kind.NUMBER),
    Entry("clearance", "Least distance of two", "how close two standing stops can come"),
)
ALLOWANCE = (
    Entry("length", "Length", "rough over finished"),
    Entry("width", "Width", "rough over finished; the jointer takes it off the face edge"),
    Entry("thickness", "Each face", "what a face loses until it is true: twice this over the finished thickness"),
)
TENON = (
    Entry("fit", "Fit", "thinner than the bit: so much air in all"),
    Entry("play", "Play", "narrower than the slot, to shift the rail a little"),
    Entry("clearance", "Clearance", "stays empty at the bottom of each mortise, for glue"),
    Entry("spares", "Spares", "such as: 1 in 20, at least 2", Kind.TEXT),
)
LIMITS = (
    Entry("slot_wall", "Wall beside a slot", "less wood than this is warned about"),
    Entry("slot_from_end", "Slot from a post’s end", "nearer than this is warned about"),
    Entry("between_slots", "Between two slots", "wood that stays where slots of two sides come near each other"),
    Entry("slot_length_warn", "Long slot, warn", "times the bit", Kind.NUMBER),
    Entry("slot_length_stop", "Long slot, refuse", "times the bit", Kind.NUMBER),
    Entry("offcut_length", "Offcut worth keeping", "from this length on"),
    Entry("offcut_width", "and from this width", "narrower ones are waste"),
    Entry("nearly_equal", "Nearly equal", "sizes closer than this are asked about: meant to be one?"),
)
GLUE = (
    Entry("name", "Name", "as it is called in the shop", Kind.TEXT),
    Entry("open_minutes", "Minutes open", "from the first glue to the last clamp; the maker prints it", Kind.NUMBER),
    Entry("clamp_minutes", "Minutes in clamps", "before the clamps may come off", Kind.NUMBER),
)
MACHINE = (
    Entry("name", "Name", "as it is called in the shop", Kind.TEXT),
    Entry("stations", "Stations", "that share its body, with ; between them", Kind.TEXT),
    Entry("minutes", "Minutes", "to make it ready for another of them", Kind.NUMBER),
)
CHANGE = (
    Entry("from", "From", "the station it stood ready for", Kind.TEXT),
    Entry("to", "to", "the one it is made ready for", Kind.TEXT),
    Entry("minutes", "Minutes", "for this change alone", Kind.NUMBER),
)
SHARE = (
    Entry("axis", "Shared stop", "one physical stop, by the name of its axis", Kind.TEXT),
    Entry("stations", "Stations", "that read it, with ; between them", Kind.TEXT),
)
WITHOUT_SCALE = tuple(role.name for role in ROLES.values() if not role.is_length)
"""What has no positions in lengths: how far it goes is not asked."""
SEVERAL_AT_ONCE = ("work", "loses")


def entries_of(works: frozenset[str]) -> list[Entry]:
    """The entries of a station that does these works, each once.

    >>> [entry.name for entry in entries_of(frozenset({"plane"}))][-2:]
    ['greatest_cut', 'rollers']
    """
    found = {entry.name: entry for needed, entry in BY_WORK if needed & works}
    return [*STATION, *found.values()]
