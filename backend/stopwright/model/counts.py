"""How many of a thing, in words."""


def counted(number: int, thing: str) -> str:
    """A number with its thing, singular or plural.

    >>> counted(1, "piece"), counted(12, "flip stop"), counted(0, "fault")
    ('1 piece', '12 flip stops', '0 faults')
    """
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
