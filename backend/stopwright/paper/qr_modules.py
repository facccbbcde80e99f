"""The modules of a QR code, under the mask that loses the fewest points (ISO/IEC 18004, 7.8)."""

from functools import lru_cache
from typing import TypeAlias

import numpy as np
import numpy.typing as npt
from qrcode import QRCode
from qrcode.constants import ERROR_CORRECT_M, ERROR_CORRECT_Q
from qrcode.util import MODE_ALPHA_NUM, QRData

_CORNER = (True, False, True, True, True, False, True, False, False, False, False)

Modules: TypeAlias = npt.NDArray[np.bool_]


def modules_of(text: str) -> tuple[list[list[bool]], str]:
    """Row by row which modules are dark, and the error correction: Q where that makes the code no larger than M."""
    plain, strong = _code(text, ERROR_CORRECT_M), _code(text, ERROR_CORRECT_Q)
    chosen, correction = (strong, "Q") if strong.best_fit() == plain.best_fit() else (plain, "M")
    rows: list[list[bool]] = _least_lost(chosen).tolist()
    return rows, correction


def _code(text: str, correction: int) -> QRCode:
    code = QRCode(error_correction=correction, border=0)
    code.add_data(QRData(text.encode("ascii"), mode=MODE_ALPHA_NUM))
    return code


def _least_lost(code: QRCode) -> Modules:
    """The modules of a code that fits, under the mask that loses the fewest points: as `code.make` gives them.

    The library writes the data anew for every mask and counts point by point, which took most of the time of a sheet
    of labels. A mask turns the same modules about whatever the data, so here they are written once.
    """
    code.makeImpl(False, 0)
    plain: Modules = np.array(code.modules, dtype=bool)
    judged, masked = _masks(code.version, code.error_correction)
    found: Modules = plain ^ masked[int(lost_points(plain ^ judged).argmin())]
    return found


@lru_cache(maxsize=16)
def _masks(version: int, correction: int) -> tuple[Modules, Modules]:
    """Mask by mask, the modules that differ from the first mask: while the masks are judged, and as printed."""
    sample = QRCode(version=version, error_correction=correction, border=0)
    sample.add_data(QRData(b"0", mode=MODE_ALPHA_NUM))
    made: list[Modules] = []
    for test in (True, False):  # judged without the mask's own number
        for mask in range(8):
            sample.makeImpl(test, mask)
            made.append(np.array(sample.modules, dtype=bool))
    return np.stack(made[:8]) ^ made[8], np.stack(made[8:]) ^ made[8]


def lost_points(codes: Modules) -> npt.NDArray[np.int64]:
    """The points that each code of a stack loses: rows of one colour, blocks, lookalikes of a corner, too much ink."""
    both = np.concatenate((codes, codes.transpose(0, 2, 1)), axis=1)  # rows, then columns
    alike = both[:, :, 1:] == both[:, :, :-1]
    five = alike[:, :, 3:] & alike[:, :, 2:-1] & alike[:, :, 1:-2] & alike[:, :, :-3]
    begun = five.copy()
    begun[:, :, 1:] &= ~five[:, :, :-1]
    lost = five.sum(axis=(1, 2)) + 2 * begun.sum(axis=(1, 2))  # 3 for five in a row, 1 for each more
    across = codes[:, :, 1:] == codes[:, :, :-1]
    down = codes[:, 1:, :] == codes[:, :-1, :]
    lost += 3 * (across[:, 1:] & across[:, :-1] & down[:, :, 1:]).sum(axis=(1, 2))
    width = both.shape[2] - len(_CORNER) + 1
    for corner in (_CORNER, _CORNER[::-1]):
        looks = np.ones((*both.shape[:2], width), dtype=bool)
        for at, dark in enumerate(corner):
            part = both[:, :, at : at + width]
            looks &= part if dark else ~part
        lost += 40 * looks.sum(axis=(1, 2))
    share = codes.mean(axis=(1, 2))
    points: npt.NDArray[np.int64] = lost + 10 * (abs(share * 100 - 50) / 5).astype(np.int64)
    return points
