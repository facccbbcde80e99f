"""The post of a joint seen on its marked end: the slots that lie side by side in it, and its sides to choose from."""

from markupsafe import Markup

from stopwright.actions.jobs.joint_answers import Sketch
from stopwright.lengths import MM, Nm, Show
from stopwright.model.joints import Side
from stopwright.plan.joinery.slots import Slot
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.web.drawings.joint_sizes import REFERENCE_BESIDE, side_name, sizes_of
from stopwright.web.drawings.svg import svg_of


def draw_section(sketch: Sketch, show: Show) -> Markup:
    """The post seen on its marked end, face side up and face edge left, every slot in it; its sides can be chosen."""
    canvas = Canvas()
    width, thick = sketch.post.width / MM, sketch.post.thickness / MM
    scale = min(120 / width, 120 / thick)
    w, t = width * scale, thick * scale
    x, y = (WIDE - w) / 2, 74.0
    canvas.tall = y + t + 78
    if sketch.side:
        _section_rail(canvas, sketch, scale, x, y)
    canvas.box("wood end-grain", x, y, w, t)
    for slot in sketch.others:
        if slot.side in REFERENCE_BESIDE and _is_beside(slot, sketch):
            _section_slot(canvas, "slot other", slot.side, (slot.centre, slot.bit, slot.depth), sketch, scale, x, y)
            canvas.words(", ".join(slot.joints), *_slot_middle(slot.side, slot.centre, slot.depth, sketch, scale, x, y))
    if sketch.side:
        sizes = sizes_of(sketch)
        for one in sizes.centres:
            centre, bit, depth = (round(size * MM) for size in (one, sizes.bit, sizes.depth_post))
            _section_slot(canvas, "slot", sketch.side, (centre, bit, depth), sketch, scale, x, y)
    canvas.path("edge", f"M{x} {y}h{w}M{x} {y}v{t}")
    names = {
        Side.FACE: (WIDE / 2, 16.0, x, y - 14, w, 28.0),
        Side.BACK: (WIDE / 2, canvas.tall - 8, x, y + t - 14, w, 28.0),
        Side.EDGE: (44.0, y + t / 2 + 5, x - 14, y, 28.0, t),
        Side.FAR_EDGE: (WIDE - 44, y + t / 2 + 5, x + w - 14, y, 28.0, t),
    }
    choices = []
    for side, (at_x, at_y, left, top, wide, tall) in names.items():
        chosen = " chosen" if side is sketch.side else ""
        canvas.words(side_name(side), at_x, at_y, kind=f"said small{chosen}")
        choices.append(
            f'<rect class="choose{chosen}" data-side="{side}" x="{left}" y="{top}" width="{wide}" height="{tall}"/>'
        )
    said = f"; its {side_name(sketch.side)} is slotted" if sketch.side else ""
    canvas.label = f"Post {sketch.post.mark} seen on its marked end, face side up, face edge at the left{said}"
    return svg_of(canvas, show, choices)


def _is_beside(other: Slot, sketch: Sketch) -> bool:
    """Whether another slot of the post lies at the same height as this joint's."""
    sizes = sizes_of(sketch)
    spans = [(sizes.top + drop + start, sizes.top + drop + end) for drop in sizes.drops for start, end in sizes.slots]
    return any(start * MM < other.end and other.start < end * MM for start, end in spans)


def _section_slot(
    canvas: Canvas, kind: str, side: Side, slot: tuple[Nm, Nm, Nm], sketch: Sketch, scale: float, x: float, y: float
) -> None:
    centre, bit, depth = (one / MM * scale for one in slot)
    w, t = sketch.post.width / MM * scale, sketch.post.thickness / MM * scale
    beside = centre - bit / 2
    box = {
        Side.FACE: (x + beside, y, bit, depth),
        Side.BACK: (x + beside, y + t - depth, bit, depth),
        Side.EDGE: (x, y + beside, depth, bit),
        Side.FAR_EDGE: (x + w - depth, y + beside, depth, bit),
    }[side]
    canvas.box(kind, *box)


def _slot_middle(
    side: Side, centre: Nm, depth: Nm, sketch: Sketch, scale: float, x: float, y: float
) -> tuple[float, float]:
    middle, half = centre / MM * scale, depth / MM * scale / 2
    w, t = sketch.post.width / MM * scale, sketch.post.thickness / MM * scale
    return {
        Side.FACE: (x + middle, y + half + 5),
        Side.BACK: (x + middle, y + t - half + 5),
        Side.EDGE: (x + half, y + middle + 5),
        Side.FAR_EDGE: (x + w - half, y + middle + 5),
    }[side]


def _section_rail(canvas: Canvas, sketch: Sketch, scale: float, x: float, y: float) -> None:
    """The rail on its side of the post, its setback measured from the reference side."""
    sizes = sizes_of(sketch)
    w, t = sketch.post.width / MM * scale, sketch.post.thickness / MM * scale
    back, thick, deep = (one * scale for one in (sizes.setback, sizes.rail[2], sizes.depth_rail))
    bit, out = sizes.bit * scale, 42.0
    deep = min(deep, out)
    besides = [centre * scale - bit / 2 for centre in sizes.centres]
    match sketch.side:
        case Side.FACE:
            rail, tenons = (x + back, y - out, thick, out), [(x + one, y - deep, bit, deep) for one in besides]
        case Side.BACK:
            rail, tenons = (x + back, y + t, thick, out), [(x + one, y + t, bit, deep) for one in besides]
        case Side.EDGE:
            rail, tenons = (x - out, y + back, out, thick), [(x - deep, y + one, deep, bit) for one in besides]
        case _:
            rail, tenons = (x + w, y + back, out, thick), [(x + w, y + one, deep, bit) for one in besides]
    canvas.box("wood rail", *rail)
    for tenon in tenons:
        canvas.box("wood tenon", *tenon)
