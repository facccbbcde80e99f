"""What is typed for the shop, each entry with what it is for; which of them a station needs follows from its work."""

from dataclasses import fields

from stopwright.intake.keys import is_length, keys_of
from stopwright.lengths import Show
from stopwright.plan.operations.known import GEAR, ROLES, gear_for
from stopwright.web.desk.entry_fields import Entry, Kind, choices

SHOP = (
    Entry("name", "Name of the shop", "printed on every paper", Kind.TEXT),
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
AXIS = (
    Entry("name", "Name", "as it is called in the shop", Kind.TEXT),
    Entry("sets", "It sets the", "what of the piece it decides", Kind.CHOICE, choices(ROLES)),
    Entry("minutes", "Minutes to set it", "what takes long is set least often", Kind.NUMBER),
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
    Entry("between_slots", "Between two slots", "wood left where slots of two sides come near each other"),
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
DAY = (
    Entry("begin", "The day begins", "as 07:30; empty: no times are shown", Kind.TEXT),
    Entry("end", "and ends", "nothing is glued that would not be closed by then", Kind.TEXT),
    Entry("breaks", "Breaks", "as 10:00-10:15; 12:30-13:00", Kind.TEXT),
)
BENCH = (Entry("bench_places", "Bench places", "so many glue-ups can lie there at once; 0: not counted", Kind.NUMBER),)
CLAMPS = (
    Entry("opening", "Clamps that open to", "from caul to caul, where you use cauls"),
    Entry("count", "How many", "of this kind", Kind.NUMBER),
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
    Entry("take_off", "Take off", "with ; between them; all three empty: as it usually is", Kind.TEXT),
    Entry("cover", "Cover or lower", "what does not work then, with ; between them", Kind.TEXT),
    Entry("put_on", "Put on", "guards too, with ; between them", Kind.TEXT),
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
    ['rollers', 'widest']
    """
    found: dict[str, Entry] = {}
    for kind in gear_for(work for work in GEAR if work in works):
        words = {one.name: one.metadata["words"] for one in fields(kind)}
        for name, key in keys_of(kind).items():
            typed = Kind.LENGTH if is_length(key.kind) else Kind.TICK if key.kind is bool else Kind.TEXT
            found.setdefault(name, Entry(name, words[key.field].label, words[key.field].use, typed))
    return [*STATION, *found.values()]
