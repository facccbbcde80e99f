"""What is moulded while it is long: before anything is crosscut, because no end of it is moulded."""

from stopwright.model.joints import ENDS
from stopwright.model.parts import Part
from stopwright.model.shaping import Moulding
from stopwright.plan.timber.dry_fit import is_from_blank


def runs_long(moulding: Moulding, part: Part) -> bool:
    """Whether a part is run while it is long: no end is moulded, and it comes off a strip, not out of a panel."""
    return not (set(moulding.edges) & set(ENDS) or part.is_glued or is_from_blank(part))
