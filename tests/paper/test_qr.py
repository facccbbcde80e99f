"""The modules of a code, against the library that makes them."""

import numpy as np
from qrcode import QRCode
from qrcode.constants import ERROR_CORRECT_M, ERROR_CORRECT_Q
from qrcode.util import MODE_ALPHA_NUM, QRData, lost_point

from stopwright.paper.qr import qr_code
from stopwright.paper.qr_modules import lost_points

TEXTS = [f"HTTP://SHOP{'-' * (n % 40)}.LOCAL:8765/P/{n * 7919 % 1000003:07d}" for n in range(40)]


def test_a_code_has_the_modules_that_the_library_gives_it() -> None:
    for text in TEXTS:
        found = qr_code(text)
        made = QRCode(error_correction={"M": ERROR_CORRECT_M, "Q": ERROR_CORRECT_Q}[found.correction], border=0)
        made.add_data(QRData(text.encode("ascii"), mode=MODE_ALPHA_NUM))
        made.make(fit=True)
        ours = [[False] * found.side for _ in range(found.side)]
        for column, row, length in found.runs:
            ours[row][column : column + length] = [True] * length
        assert ours == made.modules


def test_points_are_counted_as_the_library_counts_them() -> None:
    chance = np.random.default_rng(7)
    for side in (21, 25, 33):
        # the more ink, the more rows of one colour, down to a code that is all black
        stack = np.stack([chance.random((side, side)) < ink for ink in (0.2, 0.5, 0.5, 0.5, 0.8, 2)])
        assert lost_points(stack).tolist() == [lost_point(code.tolist()) for code in stack]
