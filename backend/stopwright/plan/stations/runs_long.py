"""What is moulded while it is long: before anything is crosscut, because no end of it is moulded."""

from stopwright.model.joints import ENDS
from stopwright.model.shaping import Moulding


def runs_long(moulding: Moulding) -> bool:
    """Whether the stock is run while it is long: no end of it is moulded."""
    return not set(moulding.edges) & set(ENDS)
