"""Every figure that plans are made with, from the modules that calculate with it."""

from collections.abc import Iterable

from stopwright import lengths
from stopwright.lengths import INCH, MM, Show, format_length
from stopwright.model import gear, moisture, shaping, stations
from stopwright.plan.assembling import assembly
from stopwright.plan.joinery import (
    corner_slots,
    joint_advice,
    mortise_checks,
    mortise_placings,
    mortise_setups,
    slot_clashes,
    spacing,
    tenons,
)
from stopwright.plan.operations import comb, fasten, groove, mitre, splay, taper, template, tongue
from stopwright.plan.sourcing.making_figures import MAKING
from stopwright.plan.sourcing.sources import Figure, Section
from stopwright.plan.stations import cut_fit, slot_cuts, stopped_slots, thickness, tolerances, two_discs
from stopwright.plan.timber import buying, fastening_room, grooves, movement, panel_room, panels, wood

_LIMITS, _TENON, _ALLOWANCE = stations.Limits(), stations.TenonRules(), stations.Allowance()
_TRADE = "a rule of the trade"
_PANELS = "makers’ pages on edge-glued panels"
_GUILD = "questions and answers of a furniture makers’ guild"
_HANDBOOK = "Wood Handbook FPL-GTR-190, Eq. 13-2"
_RULE = "a woodworking magazine’s rules of thumb for slot mortises"


def _scale_words() -> str:
    planes_to = (
        (rough * 4 // INCH, format_length(planed, Show.SIXTEENTHS)) for rough, planed in thickness.QUARTER_SCALE
    )
    listed = ", ".join(f"{quarters}/4 → {planed}" for quarters, planed in planes_to)
    return f"rough to planed: {listed}; beyond, the next quarter that leaves 1/4 in"


def _tolerance_words() -> str:
    allowed = ((edge, tolerances.general_tolerance(edge * MM) or 0) for edge in tolerances.UP_TO_MM)
    steps = (f"to {edge} mm ±{tolerance / MM:g}" for edge, tolerance in allowed)
    return "where the part list says nothing, class m: " + ", ".join(steps)


def _movement_figures() -> Iterable[Figure]:
    for species in movement.SPECIES:
        words = (
            f"{float(species.radial):.5f} radial, {float(species.tangential):.5f} tangential, of the width a percent"
        )
        yield Figure(
            species, "tangential", species.name.capitalize(), words, "Wood Handbook FPL-GTR-190, Table 13-5", "S"
        )


SECTIONS: tuple[Section, ...] = (
    Section(
        "Lengths",
        (
            Figure(lengths, "INCH", "Inch", "{0} nm exactly, that is 25.4 mm", "NIST SP 811, appendix B.8", "C", True),
            Figure(
                lengths,
                "nearest",
                "Rounding to a mark",
                "to the nearest; halfway to the longer, a long piece can be cut again",
                _TRADE,
                "P",
            ),
            Figure(tolerances, "general_tolerance", "Tolerance", _tolerance_words(), "ISO 2768-1:1989, table 1", "C"),
            Figure(
                _LIMITS,
                "nearly_equal",
                "Sizes that are nearly equal",
                "closer than {0}: asked whether they are meant to be one",
                _TRADE,
                "P",
            ),
        ),
    ),
    Section(
        "Rough wood and planing",
        (
            Figure(_ALLOWANCE, "length", "Rough over finished length", "{0}", _GUILD, "S"),
            Figure(
                _ALLOWANCE,
                "width",
                "Rough over finished width",
                "{0}; 1/4 to 3/8 in are published",
                _GUILD,
                "S",
            ),
            Figure(thickness, "QUARTER_SCALE", "Quarter scale", _scale_words(), _GUILD, "S"),
            Figure(buying, "board_feet", "Board foot", "thickness × width × length in inches / 144", "definition", "S"),
            Figure(
                thickness,
                "planing_heights",
                "Heights of the planer",
                "as many passes as the gap between two thicknesses holds greatest cuts, rounded up",
                "arithmetic",
                "K",
            ),
            Figure(
                gear.Sander(),
                "calibrating",
                "Left by the planer for calibrating",
                "{0} until the shop says otherwise; 0.2 to 0.4 mm are usual",
                _TRADE,
                "P",
            ),
            Figure(gear.Sander(), "greatest_pass", "Greatest pass of a sander", "{0}; 0.2 to 0.3 mm", _TRADE, "P"),
            Figure(gear, "MOST_CALIBRATED", "Most that is left for calibrating", "{0}; more is refused", _TRADE, "P"),
            Figure(gear, "FINEST_PASS", "Finest pass of a sander", "{0}; a finer one is refused", _TRADE, "P"),
            Figure(
                gear.Knives(),
                "greatest_cut",
                "Greatest cut of a pass",
                "{0} until the shop says otherwise",
                "training sheet on thickness planers",
                "C",
            ),
            Figure(
                thickness,
                "GREATEST_SAFE_CUT",
                "Never more in one pass",
                "{0}, warned about",
                "an insurer’s sheet on planing machines",
                "S",
            ),
            Figure(
                thickness,
                "GREATEST_SAFE_CUT_UP_TO",
                "So much only on narrow stock",
                "up to {0} wide",
                "training sheet on thickness planers",
                "C",
            ),
            Figure(
                thickness,
                "GREATEST_CUT_ON_WIDE_STOCK",
                "Most in one pass on wider stock",
                "{0}, warned about",
                "training sheet on thickness planers",
                "C",
            ),
            Figure(
                wood,
                "SHEET_MAY_BE_OFF",
                "Thickness of sheets",
                "a sheet counts as of the part’s thickness within {0}; 18 mm plywood runs +0.7 to −0.9 mm",
                "makers’ tolerances for sanded plywood",
                "C",
            ),
        ),
    ),
    Section(
        "Mortises and loose tenons",
        (
            Figure(
                joint_advice, "nearest_bit", "Thickness of the bit", "the nearest to a third of the rail", _RULE, "S"
            ),
            Figure(
                joint_advice,
                "USUAL_DEPTH",
                "Usual depth",
                "{0} × the bit",
                "published rule of 3 to 5 × the bit",
                "C",
                True,
            ),
            Figure(
                mortise_checks,
                "DEEPEST",
                "Greatest depth",
                "{0} × the bit, then a warning",
                "published rule of 3 to 5 × the bit",
                "C",
                True,
            ),
            Figure(_LIMITS, "slot_length_warn", "Long slot, warned about", "{0} × the bit", _RULE, "S/C", True),
            Figure(_LIMITS, "slot_length_stop", "Long slot, refused", "{0} × the bit", _RULE, "S/C", True),
            Figure(_LIMITS, "between_slots", "Wood between slots of two sides", "{0} or more", _TRADE, "P"),
            Figure(_LIMITS, "slot_wall", "Wall beside a slot", "{0} or more", _TRADE, "P"),
            Figure(
                _LIMITS,
                "slot_from_end",
                "Slot from a post’s end",
                "{0} or more; better the post’s own thickness",
                "published rule",
                "C",
            ),
            Figure(
                slot_clashes,
                "greatest_clear_depth",
                "Depth clear of a neighbour",
                "as far as the neighbour’s near wall, less the wall that stays: width − its centre line − half its bit",
                "geometry",
                "K",
            ),
            Figure(mortise_checks, "LEAST_CLEARANCE", "Room below a tenon, least", "{0}", _RULE, "S"),
            Figure(mortise_checks, "GREATEST_CLEARANCE", "Room below a tenon, most", "{0}", _RULE, "S"),
            Figure(_TENON, "clearance", "Room below each tenon end", "{0} until the shop says otherwise", _RULE, "S"),
            Figure(_TENON, "fit", "Tenon thinner than the bit", "{0}; 0.05 to 0.15 mm are usual", _TRADE, "P"),
            Figure(
                _TENON,
                "play",
                "Tenon narrower than the slot",
                "{0}; 1/32 in is published",
                f"{_TRADE}; a magazine article",
                "P/C",
            ),
            Figure(_TENON, "spare_one_in", "Spare tenons", "one in {0}", _TRADE, "P", True),
            Figure(_TENON, "spares_at_least", "Spare tenons, least", "{0}", _TRADE, "P", True),
            Figure(
                tenons,
                "tenon_stock",
                "Size of a tenon",
                "bit − fit · slot − play · both depths − 2 × the room at the bottom; edges round, half the thickness",
                "geometry",
                "K",
            ),
            Figure(
                mortise_setups,
                "positions",
                "Travel of the mortiser",
                "from the slot’s start + half the bit to its end − half the bit",
                "geometry",
                "K",
            ),
            Figure(spacing, "divide_slot", "Wide rail", "equal slots, twice the bit apart", _TRADE, "P"),
            Figure(
                assembly,
                "TOLD_FROM",
                "A rail out of its place",
                "told from {0} on; less is what a saw leaves",
                _TRADE,
                "P",
            ),
            Figure(mortise_checks, "LEAST_TO_CLAMP", "Least length to clamp", "{0}, then a warning", _TRADE, "P"),
            Figure(corner_slots, "TALLEST", "Standing at the mortiser", "up to {0}, then a warning", _TRADE, "P"),
            Figure(mortise_placings, "LEAST_BLOCK", "Thinnest spacer", "{0}", _TRADE, "P"),
            Figure(mortise_placings, "GREATEST_BLOCK", "Thickest spacer before a piece", "{0}", _TRADE, "P"),
            Figure(mortise_placings, "GREATEST_UNDER", "Thickest spacer under a piece", "{0}", _TRADE, "P"),
            Figure(mortise_setups, "MOST_IN_A_STACK", "Most blocks in a stack", "{0}", _TRADE, "P", True),
        ),
    ),
    Section(
        "Panels from strips",
        (
            Figure(panels, "USUAL_STRIP", "Widest strip", "{0} where the part list says nothing", _TRADE, "P"),
            Figure(panels, "TRIM", "Trimmed off each edge", "{0} after gluing; about an inch in all", _PANELS, "S"),
            Figure(
                panels, "JOINTING", "Jointed off each edge", "{0} before gluing; 0.5 to 1 mm are usual", _TRADE, "P"
            ),
            Figure(panels, "SECOND_MILLING", "Thicker when glued", "{0}; 1 to 2 mm are usual", _TRADE, "P"),
            Figure(panels, "JAW", "Jaw of a clamp", "{0}", _TRADE, "P"),
            Figure(
                panels.Panel,
                "clamps",
                "Clamps of a panel",
                "pressure spreads at 45°: one every 2 × edge strip + jaw",
                "a tool maker’s page on clamping up (2 in strips over 48 in: 8 clamps with 1/2 in pads)",
                "S",
            ),
            Figure(panels, "REST_HOURS", "Rest before planing", "{0} h, or the joint lines sink", _PANELS, "S", True),
        ),
    ),
    Section(
        "Cuts into finished sizes",
        (
            Figure(groove, "HOUSING_PLAY", "Play in a housing", "{0}, glued, under hand pressure", _TRADE, "P"),
            Figure(groove, "PANEL_PLAY", "Play of a panel in its groove", "{0}, so that it slides", _TRADE, "P"),
            Figure(
                stopped_slots,
                "run_out",
                "Run-out of a round tool",
                "√(depth × (2 × radius − depth)) beyond the full depth at each stopped end",
                "geometry",
                "K",
            ),
            Figure(slot_cuts, "OVERLAP", "Overlap of passes", "{0} where a slot is cleared", _TRADE, "P"),
            Figure(comb, "PROUD", "Fingers left proud", "{0}, planed off; 0.2 to 0.5 mm are usual", _TRADE, "P"),
            Figure(
                comb,
                "height_for",
                "Width for whole fingers",
                "(fingers − 1) / 2 × pitch + gap, with a finger at both edges",
                "geometry",
                "K",
            ),
            Figure(tongue, "TONGUE_PLAY", "Play of a tongue", "{0} thinner than its groove", _TRADE, "P"),
            Figure(
                two_discs,
                "rings_for",
                "Rings between two discs",
                "as thick as tongue or tenon, and as far as the teeth of both stand beyond their bodies into the gap",
                "geometry; a magazine's tenon of 5/16 in between rings of 1/4 and 1/16, the discs ground hollow",
                "K/S",
            ),
            Figure(two_discs, "RING_TOLERANCE", "Rings on hand", "within {0} of what is asked for", _TRADE, "P"),
            Figure(
                tongue,
                "TONGUE_RELIEF",
                "Relief of a tongue",
                "{0} shorter than its groove is deep; that it must be shorter is published, 0.5 to 1 mm is practice",
                "a page on cladding boards; common practice",
                "S/P",
            ),
            Figure(
                tongue,
                "cover",
                "What a board covers",
                "(surface − gaps) / boards; ripped to this and the length of the tongue",
                "arithmetic",
                "K",
            ),
            Figure(
                splay,
                "box_angles",
                "Ends of a box that leans",
                "tan gauge = tan(180° / n) × cos slope, sin tilt = sin(180° / n) × sin slope; slope from the level",
                "geometry; the table in the manual of a table saw agrees to a hundredth of a degree",
                "K/S",
            ),
            Figure(cut_fit, "PANEL_GAP", "Gap of a panel in its grooves", "{0} in all", _TRADE, "P"),
            Figure(
                splay,
                "end_angles",
                "Ends off square both ways",
                "with the normal (1, tan across, tan through) of the end: tan gauge = y / x, sin tilt = z / its length",
                "geometry",
                "K",
            ),
            Figure(splay, "STEEPEST_GAUGE", "Steepest gauge", "{0}° off square", _TRADE, "P", True),
            Figure(splay, "STEEPEST_TILT", "Steepest tilt", "{0}° off upright", _TRADE, "P", True),
            Figure(
                template,
                "smaller_by",
                "Template under a ring",
                "(ring − cutter) / 2 smaller than the part all round; in a hollow reversed",
                "geometry",
                "K",
            ),
            Figure(
                taper,
                "block_for",
                "Block of a taper sled",
                "what is taken off at the thin end; twice that on a side opposite to one that is tapered already",
                "geometry; a maker’s page on a taper scale gives the figure for one side",
                "K/S",
            ),
        ),
    ),
    Section(
        "Spacing and mitres",
        (
            Figure(
                spacing,
                "space_evenly",
                "Gap between slats",
                "(opening − slats × width) / (slats + 1); the last gap takes what rounding leaves",
                "arithmetic",
                "K",
            ),
            Figure(
                shaping, "polygon_setting", "Mitre of a closed frame", "180° / sides", "published mitre tables", "S"
            ),
            Figure(
                mitre, "long_point", "Long point", "short point + 2 × width × tan of the angle", "trigonometry", "K"
            ),
            Figure(
                mitre,
                "frame_stop",
                "Stop for a picture frame",
                "opening + 1/16 in + 2 × (rebate to outer edge)",
                "a woodworking magazine on picture frames",
                "S",
            ),
            Figure(mitre, "kerf_along_fence", "Kerf of a mitre", "kerf / cos of the angle", "trigonometry", "K"),
        ),
    ),
    Section(
        "Wood movement",
        (
            Figure(
                movement,
                "movement",
                "Change of width",
                "width × coefficient × change of moisture in percent",
                _HANDBOOK,
                "S",
            ),
            Figure(moisture, "LEAST_MOISTURE", "Holds from", "{0} % moisture", _HANDBOOK, "S", True),
            Figure(moisture, "GREATEST_MOISTURE", "Holds to", "{0} % moisture", _HANDBOOK, "S", True),
            Figure(movement, "WIDE", "Worth a word", "solid parts from {0} wide", _TRADE, "P"),
            Figure(
                panel_room.PanelRoom,
                "widest_opening",
                "Widest opening of a panel",
                "up to where one width is still held in both grooves when driest and has room when wettest",
                f"geometry; {_HANDBOOK}",
                "K/S",
            ),
            Figure(
                fastening_room.FasteningRoom,
                "slot",
                "Slot for the screw of a top",
                "screw + its way outwards until wettest + its way inwards until driest, by how far it is from the line "
                "without play",
                f"geometry; {_HANDBOOK}",
                "K/S",
            ),
            Figure(fastening_room, "BUTTON_GRIP", "Tongue of a button", "{0} in its groove when driest", _TRADE, "P"),
            Figure(fasten, "USUAL_SCREW", "Screw of a top", "{0} where nothing is said", _TRADE, "P"),
            Figure(panel_room, "ROOM", "Room of a panel", "{0} in both grooves together when wettest", _TRADE, "P"),
            Figure(panel_room, "GRIP", "Grip of a panel", "{0} in each groove when driest", _TRADE, "P"),
            *_movement_figures(),
        ),
    ),
    Section(
        "Grooves for sheets",
        (
            Figure(grooves, "USUAL_PLAY", "Play of a sheet in its groove", "{0} wider than the thickest", _TRADE, "P"),
            Figure(grooves, "GREATEST_PLAY", "Most play", "{0}; more is taken for a slip", _TRADE, "P"),
            Figure(grooves, "THICKEST_SHEET", "Thickest sheet", "{0}; more is taken for a slip", _TRADE, "P"),
            Figure(grooves, "OVER_18", "18 mm sanded plywood, over", "up to {0} thicker", "a plywood standard", "C"),
            Figure(grooves, "UNDER_18", "18 mm sanded plywood, under", "up to {0} thinner", "a plywood standard", "C"),
            Figure(grooves, "DADO_LIMIT", "Grooving head", "{0} is a common limit of the arbor", _TRADE, "P"),
        ),
    ),
    MAKING,
    Section(
        "Offcuts",
        (
            Figure(_LIMITS, "offcut_length", "Worth keeping from", "{0} long", _TRADE, "P"),
            Figure(_LIMITS, "offcut_width", "and from", "{0} wide", _TRADE, "P"),
        ),
    ),
)
