"""Fields that hold one of several names which are not known here: who reads a file brings them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OneOf:
    """Marks the text of a field as one of the names of this kind, as in `Annotated[str, OneOf("work")]`."""

    kind: str
