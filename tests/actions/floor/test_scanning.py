"""Photos of labels as phones take them: turned, blurred, dirty, half covered, several at once, and hostile files."""

import struct
import zlib
from collections.abc import Sequence
from functools import partial
from io import BytesIO
from random import Random
from time import sleep

import pytest
from PIL import Image, ImageDraw, ImageFilter
from tests.paper.pixels import page_pixels

from stopwright.actions.floor import scanning
from stopwright.actions.floor.photo_codes import codes_in_photo as read_photo
from stopwright.errors import StopwrightError
from stopwright.intake.apart import read_apart
from stopwright.lengths import MM
from stopwright.model.codes import encode
from stopwright.paper.label_grid import roll
from stopwright.paper.label_layout import Label
from stopwright.paper.labels import label_sheet_pdf
from stopwright.paper.qr import qr_code

ADDRESS = "http://192.168.1.20:8000"
CODES = [encode(5, number) for number in range(8)]


@pytest.fixture(scope="module")
def labels() -> list[Image.Image]:
    """Labels of 57 × 32 mm as a printer with 203 dpi makes them, seen at 12 pixels a mm."""
    made = [Label(code, f"B-{n:02}", "Upper rail", "244 × 60 × 22 mm", ("unit 1",)) for n, code in enumerate(CODES)]
    pdf = label_sheet_pdf(made, roll(57 * MM, 32 * MM), ADDRESS)
    return [page_pixels(pdf, 203, page).resize((684, 384), Image.Resampling.BICUBIC) for page in range(len(made))]


def photo_of(labels: Sequence[Image.Image], places: Sequence[tuple[int, int, float]], size=(2000, 1500)) -> Image.Image:
    """Labels laid on a bench, each at a corner and turned by an angle; wood-coloured, unevenly lit."""
    bench = Image.new("L", size, 150)
    for label, (x, y, angle) in zip(labels, places, strict=True):
        turned = label.rotate(angle, Image.Resampling.BICUBIC, expand=True, fillcolor=0)
        mask = Image.new("L", label.size, 255).rotate(angle, expand=True)
        bench.paste(turned, (x, y), mask)
    light = Image.linear_gradient("L").resize(size).point(lambda shade: 150 + shade * 100 // 255)
    return Image.composite(bench, Image.new("L", size, 0), light)


def sent(picture: Image.Image, kind: str = "JPEG") -> bytes:
    file = BytesIO()
    picture.save(file, kind, quality=80)
    return file.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_label_in_a_photo_is_read_whatever_its_file(labels, kind: str) -> None:
    assert read_photo(sent(photo_of(labels[:1], [(600, 500, 10)]), kind)) == (CODES[0],)


def test_three_labels_in_one_photo_are_read_from_the_top_left(labels) -> None:
    photo = photo_of([labels[2], labels[0], labels[1]], [(1100, 150, 5), (100, 100, -8), (500, 750, 90)])
    assert read_photo(sent(photo)) == (CODES[0], CODES[2], CODES[1])


@pytest.mark.parametrize("angle", range(0, 360, 45))
def test_a_turned_label_is_read(labels, angle: int) -> None:
    assert read_photo(sent(photo_of(labels[:1], [(500, 300, angle)]))) == (CODES[0],)


@pytest.mark.parametrize("share", [0.1, 0.2, 0.33, 0.4, 0.5])
@pytest.mark.parametrize("dots", [6, 12])  # pixels a mm; a module is 0.75 mm
def test_a_label_out_of_focus_by_up_to_half_a_module_is_read_and_none_is_misread(labels, dots, share) -> None:
    chance, read = Random(7), 0
    for label, code in zip(labels[:4], CODES, strict=False):
        seen = label.resize((57 * dots, 32 * dots), Image.Resampling.BICUBIC)
        photo = photo_of([seen], [(300, 200, chance.uniform(0, 360))], (1400, 1000))
        try:
            found = read_photo(sent(photo.filter(ImageFilter.GaussianBlur(share * 0.75 * dots))))
        except StopwrightError:
            continue
        assert found == (code,)
        read += 1
    assert read == 4


def test_a_photo_is_looked_through_in_a_process_of_its_own_that_is_ended_when_it_takes_too_long(
    labels, monkeypatch: pytest.MonkeyPatch
) -> None:
    photo = sent(photo_of(labels[:1], [(600, 500, 10)]))
    assert scanning.read_photo(photo) == (CODES[0],)
    with pytest.raises(StopwrightError, match="not a photo that can be read"):
        scanning.read_photo(b"no picture")
    monkeypatch.setattr(scanning, "_look_through", sleep_for_ever)
    monkeypatch.setattr(scanning, "read_apart", partial(read_apart, seconds=1.5))
    with pytest.raises(StopwrightError, match="too much time") as said:
        scanning.read_photo(photo)
    assert "type the code" in said.value.next_step


def sleep_for_ever(_photo: bytes) -> tuple[str, ...]:
    while True:
        sleep(0.01)


def test_a_label_in_the_dark_or_far_away_is_read(labels) -> None:
    photo = photo_of(labels[:1], [(600, 500, 7)])
    assert read_photo(sent(photo.point(lambda shade: shade // 6 + 8))) == (CODES[0],)
    assert read_photo(sent(photo.resize((700, 525), Image.Resampling.BICUBIC))) == (CODES[0],)


def test_most_dirty_or_partly_covered_labels_are_read_and_none_is_misread(labels) -> None:
    chance = Random(7)
    module = qr_code(f"{ADDRESS.upper()}/P/{CODES[0]}")
    read = 0
    for number, label in enumerate(labels * 2):
        soiled = label.copy()
        draw = ImageDraw.Draw(soiled)
        for _ in range(60):  # sawdust
            x, y = chance.randrange(684), chance.randrange(384)
            draw.ellipse((x, y, x + 4, y + 4), fill=chance.choice((30, 220)))
        x = chance.randrange(140, 220)  # a thumb's shadow and a smear of glue over the data
        draw.ellipse((x, 150, x + 3 * 9, 150 + 3 * 9), fill=chance.choice((0, 128, 255)))
        try:
            found = read_photo(sent(photo_of([soiled], [(600, 500, chance.uniform(0, 360))])))
        except StopwrightError:
            continue
        assert found == (CODES[number % len(CODES)],)
        read += 1
    assert module.side in (25, 29)
    print(f"dirty: {read} of {2 * len(labels)} read")
    assert read >= 2 * len(labels) * 0.8


def test_a_label_covered_over_a_finder_is_not_read_and_the_next_step_is_said(labels) -> None:
    covered = labels[0].copy()
    ImageDraw.Draw(covered).rectangle((0, 0, 130, 384), fill=90)
    with pytest.raises(StopwrightError, match="no code can be read") as said:
        read_photo(sent(photo_of([covered], [(600, 500, 0)])))
    assert "type the code" in said.value.next_step


def test_a_code_of_somebody_else_is_told_apart_from_none() -> None:
    import qrcode

    theirs = qrcode.make("https://example.org/a-poster").get_image().convert("L")
    with pytest.raises(StopwrightError, match="not one of our labels"):
        read_photo(sent(theirs))
    with pytest.raises(StopwrightError, match="no code can be read"):
        read_photo(sent(Image.new("L", (400, 300), 200)))


def png_that_claims(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose header claims any size: it would unfold to that many pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("size", [(60_000, 60_000), (20_000, 9_000), (8_000, 8_000), (1, 2**31 - 1)])
def test_a_file_that_would_unfold_to_a_huge_picture_is_refused_unopened(size: tuple[int, int]) -> None:
    with pytest.raises(StopwrightError, match="too large"):
        read_photo(png_that_claims(*size))


@pytest.mark.parametrize(
    "file", [b"", b"no picture", b"\x89PNG\r\n\x1a\n", b"GIF89a" + b"\0" * 40, b"<svg/>", b"\xff\xd8\xff" + b"\0" * 999]
)
def test_what_is_no_photo_is_refused_in_words(file: bytes) -> None:
    with pytest.raises(StopwrightError) as said:
        read_photo(file)
    assert said.value.next_step


def test_a_photo_cut_off_on_the_way_is_refused_in_words(labels) -> None:
    whole = sent(photo_of(labels[:1], [(600, 500, 10)]))
    for share in (0.1, 0.3, 0.6):
        with pytest.raises(StopwrightError):
            read_photo(whole[: int(len(whole) * share)])
    with pytest.raises(StopwrightError):
        read_photo(png_that_claims(500, 500))  # says 500 × 500, holds 1000 bytes
