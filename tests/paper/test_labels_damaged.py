"""How much a label stands: blur, turning, dirt up to the error correction, a slanted photo. Share read, with a floor.

Run with -s to see the shares. A label as a common printer makes it (203 and 300 dpi), then as a phone sees it.
"""

from collections.abc import Callable
from random import Random

import pytest
from PIL import Image, ImageDraw, ImageFilter
from tests.paper.pixels import codes_read, page_pixels

from stopwright.lengths import MM
from stopwright.model.codes import encode
from stopwright.paper.label_grid import roll
from stopwright.paper.label_layout import Label
from stopwright.paper.labels import label_sheet_pdf
from stopwright.paper.qr import QUIET, qr_code

ADDRESS = "http://192.168.1.20:8000"
TRIES = 24
WIDTH, HEIGHT = 57, 32
MODULE = 0.75
"""A module of the code on a label of this size, mm; the last test measures it."""

Damage = Callable[[Image.Image, float, Random], Image.Image]


def label(number: int) -> Label:
    return Label(encode(5, number), f"B-{number:02}", "Upper rail", "244 × 60 × 22 mm", ("unit 1",), "", 1, 4)


def blurred(image: Image.Image, dots: float, chance: Random) -> Image.Image:
    """Out of focus by up to half a module."""
    return image.filter(ImageFilter.GaussianBlur(dots * MODULE * chance.uniform(0.2, 0.5)))


def turned(image: Image.Image, _dots: float, chance: Random) -> Image.Image:
    """Turned by any angle on the bench."""
    return image.rotate(chance.uniform(0, 360), Image.Resampling.BILINEAR, expand=True, fillcolor=210)


def slanted(image: Image.Image, _dots: float, chance: Random) -> Image.Image:
    """Photographed from the side: every corner of the bench round the label moved in by up to a quarter."""
    reach = image.height // 4
    bench = Image.new("L", (image.width + 2 * reach, image.height + 2 * reach), 210)
    bench.paste(image, (reach, reach))
    corners = ((0, 0), (0, bench.height), (bench.width, bench.height), (bench.width, 0))
    inwards = ((1, 1), (1, -1), (-1, -1), (-1, 1))
    quad = tuple(
        at + sign * chance.uniform(0, reach)
        for corner, signs in zip(corners, inwards, strict=True)
        for at, sign in zip(corner, signs, strict=True)
    )
    return bench.transform(bench.size, Image.Transform.QUAD, quad, Image.Resampling.BILINEAR)


def dirty(image: Image.Image, dots: float, chance: Random) -> Image.Image:
    """Blots of glue and pitch over the data, together a twelfth of the modules: M mends 15 % of the codewords.

    A blot spoils every codeword it touches, so the area must stay well below that share. The three finders are
    spared here: they are not covered by error correction.
    """
    soiled = image.copy()
    draw = ImageDraw.Draw(soiled)
    module = dots * MODULE
    side = qr_code(f"{ADDRESS.upper()}/P/{label(1).code}").side
    size = 4
    for _ in range(3):
        column, row = chance.choice([(9, 0), (12, 4), (9, 12), (17, 9), (14, 17), (19, 14), (0, 11), (10, 19)])
        x, y = (QUIET + min(column, side - size)) * module, (QUIET + min(row, side - size)) * module
        draw.ellipse((x, y, x + size * module, y + size * module), fill=chance.choice((0, 120, 255)))
    return soiled


def scratched(image: Image.Image, dots: float, chance: Random) -> Image.Image:
    """A pencil line over a third of the code and 40 specks of sawdust, each half a module wide.

    Version 2 at M mends 8 of its 44 codewords: a dark line right across the code can spoil more than that.
    """
    soiled = image.copy()
    draw = ImageDraw.Draw(soiled)
    module = dots * MODULE
    x, y = (chance.uniform(QUIET, 18) * module for _ in "xy")
    draw.line((x, y, x + 9 * module, y + chance.uniform(-3, 3) * module), fill=60, width=round(module * 0.5))
    for _ in range(40):
        x, y = (chance.uniform(0, 33) * module for _ in "xy")
        draw.ellipse((x, y, x + module * 0.5, y + module * 0.5), fill=chance.choice((40, 230)))
    return soiled


def all_of_it(image: Image.Image, dots: float, chance: Random) -> Image.Image:
    """Scratched, turned, slanted and a little out of focus, all at once."""
    photo = slanted(turned(scratched(image, dots, chance), dots, chance), dots, chance)
    return photo.filter(ImageFilter.GaussianBlur(dots * MODULE * 0.2))


@pytest.mark.parametrize("dpi", [203, 300])
@pytest.mark.parametrize(
    ("damage", "floor"),
    [(blurred, 0.95), (turned, 0.95), (slanted, 0.95), (dirty, 0.8), (scratched, 0.8), (all_of_it, 0.6)],
)
def test_most_damaged_labels_are_still_read(damage: Damage, floor: float, dpi: int) -> None:
    chance = Random(2026)
    labels = [label(number) for number in range(1, TRIES + 1)]
    pdf = label_sheet_pdf(labels, roll(WIDTH * MM, HEIGHT * MM), ADDRESS)
    dots = 400 / 25.4
    read = 0
    for page, one in enumerate(labels):
        printed = page_pixels(pdf, dpi, page)
        seen = printed.resize((round(WIDTH * dots), round(HEIGHT * dots)), Image.Resampling.BICUBIC)
        found = codes_read(damage(seen, dots, chance))
        assert found in ([], [f"HTTP://192.168.1.20:8000/P/{one.code}"])  # misread is worse than not read
        read += bool(found)
    print(f"{damage.__name__} at {dpi} dpi: {read} of {TRIES} read")
    assert read / TRIES >= floor


def test_four_modules_round_the_code_are_clear_and_a_module_is_as_large_as_the_damage_takes_it() -> None:
    pixels = page_pixels(label_sheet_pdf([label(1)], roll(WIDTH * MM, HEIGHT * MM), ADDRESS), 2032)  # 80 dots a mm
    ink = pixels.crop((0, 0, 33 * 60, 33 * 60)).point([255 - shade for shade in range(256)]).getbbox()
    assert ink is not None
    assert list(ink) == pytest.approx(
        [4 * 60, 4 * 60, 29 * 60, 29 * 60], abs=2
    )  # 0.75 mm = 60 dots, 4 quiet, 25 of code
