"""Short codes of pieces: six characters and a check character that a person can read, say and type.

The 32 characters are those of Crockford's base 32: no I, L, O or U, so that nothing is taken for 1 or 0. The
check character is a seventh of the same alphabet. It makes the weighted sum of all seven 0 in the field of 32
elements, with a different weight for every place: one wrong character, or any two that have changed places,
cannot add up to 0 again.
"""

from stopwright.errors import StopwrightError
from stopwright.model.counts import counted

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 7
PIECES = 2**17
"""How many pieces a job can have."""
JOBS = 2**13
"""Job numbers run from 0 to one less than this."""
SHELF = 0
"""The job number under which the offcuts on the shelf are labelled."""

_MODULUS = 0b100101
"""x⁵ + x² + 1, whose root x is primitive: its powers 1, x, x² … x³⁰ are all different."""
_READ_AS = str.maketrans({"O": "0", "I": "1", "L": "1", " ": None, "-": None, "–": None, "\t": None, "\n": None})


def encode(job_number: int, index: int) -> str:
    """The code of a piece, by its job's number and its own index within the job.

    Raises StopwrightError when either is too great for six characters.

    >>> encode(3, 6)
    '00C006J'
    >>> decode(encode(3, 6))
    (3, 6)
    """
    if not 0 <= job_number < JOBS:
        raise StopwrightError(
            f"job number {job_number} is not from 0 to {JOBS - 1}", next_step="keep new jobs in another folder (--data)"
        )
    if not 0 <= index < PIECES:
        raise StopwrightError(
            f"a job cannot label more than {PIECES} pieces", f"piece {index + 1}", "split the job into smaller ones"
        )
    value = job_number * PIECES + index
    digits = [value >> shift & 31 for shift in range(25, -1, -5)]
    return "".join(ALPHABET[digit] for digit in (*digits, _weighted_sum(digits)))


def decode(text: str) -> tuple[int, int]:
    """Job number and piece index of a code as a person typed or a camera read it.

    Lower case is read as upper case, O as 0, I and L as 1; spaces and dashes are left out. Raises StopwrightError
    when it is no code: every single wrong character and every two that changed places are noticed.

    >>> decode("oo0c0-06j")
    Traceback (most recent call last):
        ...
    stopwright.errors.StopwrightError: '000C006J' has 8 characters, a code 7; read it again from the label
    >>> decode("ooc-oo6j")
    (3, 6)
    """
    code = text.upper().translate(_READ_AS)
    strange = next((character for character in code if character not in ALPHABET), None)
    if strange is not None:
        raise StopwrightError(f"'{strange}' is in no code", next_step="read it again from the label")
    if len(code) != LENGTH:
        raise StopwrightError(
            f"'{code}' has {counted(len(code), 'character')}, a code {LENGTH}", next_step="read it again from the label"
        )
    digits = [ALPHABET.index(character) for character in code]
    if _weighted_sum(digits[:-1]) != digits[-1]:
        raise StopwrightError(
            f"the code {spaced(code)} cannot be right: a character is wrong, or two have changed places",
            next_step="read it again from the label",
        )
    value = 0
    for digit in digits[:-1]:
        value = value << 5 | digit
    return divmod(value, PIECES)


def spaced(code: str) -> str:
    """The code as it is printed beside the QR code, in two groups that can be kept in mind.

    >>> spaced("00C006J")
    '00C-006J'
    """
    return f"{code[:3]}-{code[3:]}"


def _weighted_sum(digits: list[int]) -> int:
    """Sum of x^i · digit over the field, i = 1 at the rightmost; Horner's rule."""
    total = 0
    for digit in digits:
        total = _times_x(total ^ digit)
    return total


def _times_x(element: int) -> int:
    element <<= 1
    return element ^ _MODULUS if element & 32 else element
