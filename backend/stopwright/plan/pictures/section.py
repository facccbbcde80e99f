"""What sections at the tool have in common: the table, and the height of a tool written where no wood lies."""

from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.run_sheet import Stop

TABLE = 92.0
"""How far down the top of the table lies."""
ABOVE, BELOW = 14.0, 124.0
"""Where words stand: over all wood, and under the table."""


def the_table(canvas: Canvas) -> None:
    """The table, with room for words below it."""
    canvas.box("table", 8, TABLE, WIDE - 16, 8)
    canvas.tall = 130


def height_over_table(canvas: Canvas, height: Stop, reach: tuple[float, float], level: float) -> None:
    """The height of a tool beside all that is drawn, its words above: nothing there lies under them.

    `reach` is from where the tool ends to where the height is written, `level` how high it stands.
    """
    tool, outside = reach
    canvas.line("tick", tool, level, outside, level)
    canvas.upright(outside, level, TABLE)
    canvas.line("tick", outside, level, outside, ABOVE + 5)
    canvas.length_inside(height.reads, outside, ABOVE, height.axis)
