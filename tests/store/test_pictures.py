"""Pictures in the log: small, JPEG, without a word in them; photos of any kind made so."""

from base64 import b64decode, b64encode
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from tests.store.taps import PICTURE

from stopwright.actions.floor.photos import LONGEST_KEPT
from stopwright.actions.floor.set_up_pictures import read_picture
from stopwright.errors import StopwrightError
from stopwright.store.pictures import GREATEST_PICTURE, picture, says_nothing

GPS, MAKER, TURNED = 0x8825, 0x010F, 0x0112


def a_photo(kind: str = "JPEG", size: tuple[int, int] = (64, 48), turn: int = 1) -> bytes:
    """A photo that says where it was taken and with what; left half red, right half blue before it is turned."""
    seen = Image.new("RGB", size, (200, 20, 20))
    seen.paste((20, 20, 200), (size[0] // 2, 0, *size))
    said = Image.Exif()
    said[MAKER], said[TURNED] = "a phone maker", turn
    said[GPS] = {1: "N", 2: (47.0, 30.0, 15.25), 3: "E", 4: (8.0, 32.0, 10.0)}
    written = BytesIO()
    seen.save(written, kind, exif=said, **({"comment": b"our shop"} if kind == "JPEG" else {}))
    return written.getvalue()


def kept(photo: bytes) -> bytes:
    return b64decode(read_picture({"run": "r1", "jpeg": b64encode(photo).decode()})["jpeg"])


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_that_a_photo_says_besides_what_is_seen_is_kept(kind):
    photo = a_photo(kind)
    assert dict(Image.open(BytesIO(photo)).getexif().get_ifd(GPS))
    found = kept(photo)
    assert says_nothing(found) and not says_nothing(photo)
    again = Image.open(BytesIO(found))
    assert not dict(again.getexif()) and "comment" not in again.info and "icc_profile" not in again.info
    assert b"phone maker" not in found and b"our shop" not in found


def test_a_photo_is_kept_upright_and_small():
    upright = Image.open(BytesIO(kept(a_photo(turn=6))))  # held on its side: turned by a quarter to the right
    assert upright.size == (48, 64)
    top, bottom = (np.asarray(upright)[y, 24] for y in (8, 56))
    assert top[0] > 150 and bottom[2] > 150  # red above, blue below
    written = BytesIO()
    Image.effect_noise((3000, 2000), 120).convert("RGB").save(written, "JPEG", quality=95)
    small = kept(written.getvalue())
    assert len(small) <= GREATEST_PICTURE < len(written.getvalue())
    assert max(Image.open(BytesIO(small)).size) <= LONGEST_KEPT


@pytest.mark.parametrize("bad", ["", "no base64 at all", b64encode(b"GIF89a, or nothing").decode(), 7])
def test_what_is_no_photo_is_refused_with_a_sentence(bad):
    with pytest.raises(StopwrightError) as refused:
        read_picture({"jpeg": bad})
    assert refused.value.what and refused.value.next_step


def test_the_log_takes_no_picture_that_says_anything_whatever_way_it_comes():
    assert not picture(PICTURE)
    said = b64encode(a_photo()).decode()
    long = b64encode(b64decode(PICTURE) + bytes(GREATEST_PICTURE)).decode()
    for bad in (said, long, "", "%%%", None, b64encode(b"\xff\xd8\xff\xda").decode()):
        assert "JPEG" in picture(bad), bad
