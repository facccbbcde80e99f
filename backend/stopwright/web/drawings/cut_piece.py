"""A part as a cut leaves it: seen on its marked end, and from its face side, with every side to be chosen."""

from markupsafe import Markup

from stopwright.actions.jobs.joint_answers import CutPiece
from stopwright.lengths import Show
from stopwright.model.joints import Side
from stopwright.plan.pictures.canvas import WIDE, Canvas, outline
from stopwright.web.drawings.joint_sizes import side_name
from stopwright.web.drawings.svg import svg_of


def draw_cut_piece(piece: CutPiece, show: Show) -> Markup:
    """On its marked end above, face side up and face edge at the left; below it along its length, marked end left."""
    canvas = Canvas()
    part = piece.part
    scale = min(190 / part.width, 84 / part.thickness)
    w, t = part.width * scale, part.thickness * scale
    x, y = (WIDE - w) / 2, 52.0
    canvas.box("wood end-grain", x, y, w, t)
    for solid in piece.solids:
        canvas.path("slot", outline((x + b * scale, y + c * scale) for _, b, c in solid.corners))
    canvas.path("edge", f"M{x:.1f} {y}h{w:.1f}M{x:.1f} {y}v{t:.1f}")
    below = y + t + 62
    along, across = 300 / part.length, min(300 / part.length, 70 / part.width)
    canvas.wood(30, below, 300, part.width * across)
    for solid in piece.solids:
        canvas.path("slot", outline((30 + a * along, below + b * across) for a, b, _ in solid.corners))
    canvas.words("marked end", 30, below + part.width * across + 18, "start", "said small")
    canvas.tall = below + part.width * across + 28
    names = {
        Side.FACE: (WIDE / 2, y - 14, x, y - 16, w, 20.0),
        Side.BACK: (WIDE / 2, y + t + 22, x, y + t - 4, w, 20.0),
        Side.EDGE: (x - 34, y + t / 2 + 5, x - 16, y, 20.0, t),
        Side.FAR_EDGE: (x + w + 34, y + t / 2 + 5, x + w - 4, y, 20.0, t),
    }
    choices = []
    for side, (at_x, at_y, left_x, top_y, wide, tall) in names.items():
        chosen = " chosen" if side == piece.side else ""
        canvas.words(side_name(side), at_x, at_y, kind=f"said small{chosen}")
        choices.append(
            f'<rect class="choose{chosen}" data-side="{side}" x="{left_x:.1f}" y="{top_y:.1f}" '
            f'width="{wide:.1f}" height="{tall:.1f}"/>'
        )
    canvas.label = f"Part {part.mark} on its marked end, face side up, and along its length, with what is cut out of it"
    return svg_of(canvas, show, choices)
