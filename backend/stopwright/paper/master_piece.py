"""Master pieces for the screen and on paper at their true size, and the story stick of a job."""

from collections.abc import Iterable, Iterator

from stopwright.lengths import MM, Nm, Show, format_length
from stopwright.model.counts import counted
from stopwright.paper.drawing import Anchor, Drawing, Item, Words, line, moved, rectangle
from stopwright.paper.master_drawing import (
    ENDS,
    LETTERS,
    LONG_SIDES,
    SIDE_NAMES,
    cut_texts,
    mark_text,
    master_drawing,
    slotted_sides,
)
from stopwright.paper.pdf import A4
from stopwright.paper.svg import drawing_svg
from stopwright.paper.tiling import page_room, tiled_pdf
from stopwright.paper.typeface import wrapped
from stopwright.paper.wording import piece_count, size_text
from stopwright.plan.joinery.master_piece import Mark, MasterPiece, StickMark, StoryStick

BETWEEN = 6.0
STRIP = 12.0
"""Height of the story stick itself; mm."""
STICK_LETTERS = 2.4


def master_piece_svg(master: MasterPiece, show: Show = Show.MM, ground: str = "", ink: str = "currentColor") -> str:
    """All slotted sides of a master piece one under the other, for the screen, with letters that can be read."""
    letters = max(3.0, max(master.length, master.width) / MM / 75)
    return drawing_svg(
        _stacked(_sides(master, show, letters), f"master piece {master.part}, {master.name}"), ground, ink
    )


def master_pieces_pdf(masters: Iterable[MasterPiece], show: Show = Show.MM, page: tuple[float, float] = A4) -> bytes:
    """Every master piece of a job at 1:1: a page of words and figures, then its slotted sides, as many as fit a page.

    The first page of a long side shows the marked end. Every page bears a bar of 100 mm to check the printer by.
    """
    room = page_room(page)
    drawings: list[tuple[str, Drawing]] = []
    for master in masters:
        title = f"Master {master.part}, {master.name}"
        words, sides = _words(master, room[0], show), _sides(master, show)
        if all(side.width <= room[0] for side in sides):
            sides = [words, *sides]
        else:
            drawings.append((title, words))
        drawings += [(title, drawing) for drawing in _together(sides, room[1])]
    return tiled_pdf(drawings, page, "Master pieces", from_right=True)


def story_stick_svg(stick: StoryStick, show: Show = Show.MM, ground: str = "", ink: str = "currentColor") -> str:
    """The story stick for the screen."""
    return drawing_svg(_stick(stick, show, max(STICK_LETTERS, stick.length / MM / 80)), ground, ink)


def story_stick_pdf(stick: StoryStick, show: Show = Show.MM, page: tuple[float, float] = A4) -> bytes:
    """The story stick at 1:1, to be glued on a lath; 0 is at the left of its first page."""
    return tiled_pdf([("Story stick", _stick(stick, show, STICK_LETTERS))], page, "Story stick")


def stick_lines(stick: StoryStick) -> dict[Nm, str]:
    """What every line of a story stick stands for, by its place; nm."""
    places: dict[Nm, list[StickMark]] = {}
    for mark in stick.marks:
        places.setdefault(mark.position, []).append(mark)
    return {place: _stick_words(marks) for place, marks in places.items()}


def serves_text(master: MasterPiece) -> str:
    """How many pieces follow the master, and in how many runs.

    >>> serves_text(MasterPiece("A", "Leg", 1, 1, 1, 0, (), 12, 12, 8))
    'for 12 pieces as it is drawn and 12 pieces as its mirror image, in 8 runs'
    """
    mirrored = f" and {piece_count(master.mirrored)} as its mirror image" if master.mirrored else ""
    return f"for {piece_count(master.copies)} as it is drawn{mirrored}, in {counted(master.runs, 'run')}"


def _words(master: MasterPiece, width: float, show: Show) -> Drawing:
    """Size, what it serves, how it is held, and every mark with the way it lies at the mortiser."""
    items: list[Item] = []
    y = 2.0
    horn = f", {format_length(master.horn, show)} of it horn" if master.horn else ""
    size = size_text((master.length, master.width, master.thickness), show) + horn
    for text, letters, bold in (
        (size, 4.2, True),
        (serves_text(master), 3.4, False),
        (master.holding[:1].upper() + master.holding[1:], 3.4, False),
    ):
        for one in wrapped(text, width, letters, bold):
            y += 1.45 * letters
            items.append(Words(0, y, one, letters, bold))
    y += 8
    items += [Words(0, y, "Marks", 3.4, True), line(0, y + 1.6, width, y + 1.6, ink=0.4)]
    for mark in master.marks:
        y += 7
        items.append(Words(0, y, SIDE_NAMES[mark.side], 3.2, True))
        items.append(Words(28, y, f"{mark_text(mark, show)}, from the {mark.reference}", 3.2))
        items.append(Words(28, y + 4, _lying(mark, bool(master.mirrored)), 2.8))
        y += 3.4
    for side in slotted_sides(master):
        for text in cut_texts(master.cuts_on(side), show):
            lines = wrapped(text, width - 28, 3.2)
            items.append(Words(0, y + 7, SIDE_NAMES[side], 3.2, True))
            items += [Words(28, y + 7 + 4.6 * n, one, 3.2) for n, one in enumerate(lines)]
            y += 2.4 + 4.6 * len(lines)
    return Drawing(width, y + 6, tuple(items))


def _lying(mark: Mark, mirrored: bool) -> str:
    other = "right" if mark.at == "left" else "left"
    mirror = f"; mirror image at the {other} stop" if mirrored else ""
    return f"{SIDE_NAMES[mark.beside]} on the table, {mark.reference} at the {mark.at} stop{mirror}"


def _sides(master: MasterPiece, show: Show, letters: float = LETTERS) -> list[Drawing]:
    """The slotted long sides, then the ends side by side."""
    sides = slotted_sides(master)
    long = [master_drawing(master, side, show, letters) for side in sides if side in LONG_SIDES]
    ends = [master_drawing(master, side, show, letters) for side in sides if side in ENDS]
    return [*long, _side_by_side(ends)] if ends else long


def _side_by_side(drawings: list[Drawing]) -> Drawing:
    items: list[Item] = []
    x = 0.0
    for drawing in drawings:
        items += moved(drawing.items, x, 0)
        x += drawing.width + 2 * BETWEEN
    return Drawing(x - 2 * BETWEEN, max(drawing.height for drawing in drawings), tuple(items))


def _together(drawings: Iterable[Drawing], height: float) -> Iterator[Drawing]:
    """As many drawings one under the other as a page is high."""
    group: list[Drawing] = []
    for drawing in drawings:
        if group and sum(one.height + BETWEEN for one in group) + drawing.height > height:
            yield _stacked(group, "")
            group = []
        group.append(drawing)
    if group:
        yield _stacked(group, "")


def _stacked(drawings: list[Drawing], about: str) -> Drawing:
    """Drawings one under the other."""
    width = max((drawing.width for drawing in drawings), default=1)
    items: list[Item] = []
    y = 0.0
    for drawing in drawings:
        items += moved(drawing.items, 0, y)
        y += drawing.height + BETWEEN
    return Drawing(width, max(y - BETWEEN, 1), tuple(items), about)


def _stick(stick: StoryStick, show: Show, letters: float) -> Drawing:
    """A strip with a line for every place; what it stands for is written up from it, side by side."""
    strip = STRIP * letters / STICK_LETTERS
    words = {place: f"{format_length(place, show)}  {said}" for place, said in stick_lines(stick).items()}
    tall = max((len(text) for text in words.values()), default=0) * letters * 0.62 + 8
    items: list[Item] = [rectangle(0, tall, stick.length / MM, strip, ink=0.3)]
    free = 0.0
    for place, text in words.items():
        x = place / MM
        at = max(x, free + 1.3 * letters)
        free = at
        items.append(line(x, tall, x, tall + strip, ink=0.2))
        items.append(line(x, tall, at, tall - 5, ink=0.12))
        items.append(Words(at + 0.36 * letters, tall - 6, text, letters, turned=True))
    width = max(stick.length / MM, free + 2 * letters)
    items.append(Words(1, tall + strip + 1.3 * letters, "0: marked end or face edge", letters, anchor=Anchor.START))
    return Drawing(width, tall + strip + 2 * letters, tuple(items), "story stick")


def _stick_words(marks: list[StickMark]) -> str:
    said: dict[str, list[str]] = {}
    for mark in marks:
        name = mark.part + (str(mark.number) if mark.number else "")
        said.setdefault(mark.what, []).append(name)
    return "; ".join(f"{what} {', '.join(names)}" for what, names in said.items())
