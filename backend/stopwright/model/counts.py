"""How many of a thing, in words; and numbers that follow each other."""

from collections.abc import Sequence


def counted(number: int, thing: str) -> str:
    """A number with its thing, singular or plural.

    >>> counted(1, "piece"), counted(12, "flip stop"), counted(0, "fault")
    ('1 piece', '12 flip stops', '0 faults')
    """
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def neighbours(numbers: Sequence[int]) -> list[list[int]]:
    """Rising numbers in stretches of those that follow each other.

    >>> neighbours([3, 4, 5, 9])
    [[3, 4, 5], [9]]
    """
    stretches: list[list[int]] = []
    for number in numbers:
        if stretches and number == stretches[-1][-1] + 1:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    return stretches
