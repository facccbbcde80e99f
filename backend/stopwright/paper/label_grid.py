"""Where labels lie on a sheet, or that they come one by one from a roll."""

from collections.abc import Iterator
from dataclasses import dataclass

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import MM, Nm


@dataclass(frozen=True, slots=True)
class Grid:
    """Equal labels in columns and rows on a page; lengths in nm. A roll is a page of one label."""

    page_width: Nm
    page_height: Nm
    columns: int
    rows: int
    label_width: Nm
    label_height: Nm
    left: Nm = 0
    top: Nm = 0
    gap_x: Nm = 0
    gap_y: Nm = 0

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent("label sheet", problems)

    def _problems(self) -> Iterator[Problem]:
        for field in ("columns", "rows"):
            if not 1 <= getattr(self, field) <= 100:
                yield Problem(field, f"{getattr(self, field)} is not from 1 to 100", "count the labels on the sheet")
        for field in ("label_width", "label_height"):
            if getattr(self, field) <= 0:
                yield Problem(field, "is 0", "measure one label")
        for field in ("left", "top", "gap_x", "gap_y"):
            if getattr(self, field) < 0:
                yield Problem(field, "must not be negative", "measure it on the sheet, or write 0")
        for across, field, page, start, count, size, gap in (
            ("width", "columns", self.page_width, self.left, self.columns, self.label_width, self.gap_x),
            ("height", "rows", self.page_height, self.top, self.rows, self.label_height, self.gap_y),
        ):
            needed = start + count * size + (count - 1) * gap
            if needed > page:
                yield Problem(
                    field,
                    f"the labels take {needed / MM:g} mm of the page's {across} of {page / MM:g} mm",
                    "measure the sheet again, or take fewer",
                )

    @property
    def per_page(self) -> int:
        """How many labels a page holds."""
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[float, float]:
        """Top left corner of the label at a place counted from 0, row by row; mm from the top left of the page."""
        row, column = divmod(place, self.columns)
        x = self.left + column * (self.label_width + self.gap_x)
        y = self.top + row * (self.label_height + self.gap_y)
        return x / MM, y / MM


def roll(width: Nm, height: Nm) -> Grid:
    """One label a page of its own size, as label printers with a roll take them."""
    return Grid(width, height, 1, 1, width, height)


A4_SHEET = Grid(210 * MM, 297 * MM, 3, 7, 63_500_000, 38_100_000, left=7_200_000, top=15_100_000, gap_x=2_500_000)
"""21 labels on A4, a size that stationers everywhere keep."""

LETTER_SHEET = Grid(
    215_900_000, 279_400_000, 3, 10, 66_675_000, 25_400_000, left=4_762_500, top=12_700_000, gap_x=3_175_000
)
"""30 labels on Letter, 2 5/8 by 1 in."""
