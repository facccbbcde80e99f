"""Layouts of boards and sheets on paper, to scale with their cuts numbered, and what to buy: with boxes to tick."""

from collections.abc import Iterator

from stopwright.lengths import Show
from stopwright.paper.drawing import Words, moved
from stopwright.paper.layout_drawing import layout_drawing
from stopwright.paper.marks import BOX, mark_in_circle, tick_box
from stopwright.paper.page_flow import Block, document_pdf, heading, text_area, text_block
from stopwright.paper.pdf import A4
from stopwright.paper.typeface import shortened
from stopwright.paper.wording import needed_text, size_text, wood_count
from stopwright.plan.run_sheet import Layout, RunSheet, ToBuy, Wood


def layouts_pdf(sheet: RunSheet, show: Show = Show.MM, page: tuple[float, float] = A4) -> bytes:
    """The layouts of a sheet by themselves as a PDF, for the saw; `page` is A4 or LETTER, mm."""
    width, _ = text_area(page)
    title = f"{sheet.job}: layouts"
    blocks = list(wood_blocks(sheet.wood, width, show)) or [text_block("No wood on hand is laid out.", width)]
    return document_pdf([heading(shortened(title, width, 4.6, True), width), *blocks], page, title)


def wood_blocks(wood: Wood, width: float, show: Show) -> Iterator[Block]:
    """How many boards and sheets, every layout to scale with a box to tick for each time it is cut, what to buy."""
    if wood.boards_used:
        least = (
            "fewer is not possible with one width in each strip"
            if wood.proven and wood.boards_used == wood.least_possible
            else needed_text(wood.least_possible)
        )
        yield text_block(f"{wood_count(wood.boards_used)}; {least}. Numbers are the order of the cuts.", width)
    for layout in wood.layouts:
        yield _layout(layout, width, show)
    if wood.to_buy:
        yield text_block("To buy, rough:", width, bold=True)
    for blank in wood.to_buy:
        yield _to_buy(blank, show)


def _layout(layout: Layout, width: float, show: Show) -> Block:
    size = size_text((layout.length, layout.width, layout.thickness), show)
    drawing = layout_drawing(layout, width, show)
    boxes = min(layout.times, 12)
    ticks = tuple(tick_box(width - BOX - n * (BOX + 1.6), 2) for n in range(boxes))
    name = f"{layout.lot[:1].upper()}{layout.lot[1:]}"
    title = shortened(f"{name} · {layout.material} {size}".strip(), width - boxes * 5.4 - 4, 3.4, True)
    return Block(drawing.height + 12, (Words(0, 5, title, 3.4, True), *ticks, *moved(drawing.items, 0, 7)))


def _to_buy(blank: ToBuy, show: Show) -> Block:
    size = size_text((blank.length, blank.width, blank.thickness), show)
    return Block(
        7.0,
        (
            tick_box(0, 1.4),
            *mark_in_circle(BOX + 5.2, 3.2, blank.mark),
            Words(BOX + 10.5, 4.4, f"{blank.count} × {f'{blank.material} {size}'.strip()}", 3.3),
        ),
    )
