"""What a length may be off by when the part list says nothing: general tolerances after ISO 2768-1."""

from stopwright.lengths import MM, Nm

UP_TO_MM = (3, 6, 30, 120, 400, 1000, 2000, 4000)
_MICROMETRES: dict[str, tuple[int | None, ...]] = {
    "f": (50, 50, 100, 150, 200, 300, 500, None),
    "m": (100, 100, 200, 300, 500, 800, 1200, 2000),
    "c": (200, 300, 500, 800, 1200, 2000, 3000, 4000),
    "v": (None, 500, 1000, 1500, 2500, 4000, 6000, 8000),
}


def general_tolerance(size: Nm, tolerance_class: str = "m") -> Nm | None:
    """± what a linear size may be off by, in nm; None where the standard gives no figure.

    ISO 2768-1:1989, table 1 (secondary copy): a size on an edge belongs to the lower range. Below 0.5 mm, where
    the standard wants the tolerance beside the size, the first range is used; above 4 m there is none.

    >>> general_tolerance(450 * MM), general_tolerance(400 * MM), general_tolerance(5000 * MM)
    (800000, 500000, None)
    """
    for up_to, micrometres in zip(UP_TO_MM, _MICROMETRES[tolerance_class], strict=True):
        if size <= up_to * MM:
            return None if micrometres is None else micrometres * MM // 1000
    return None
