"""How boards and sheets are cut up: columns, bounds, search. The door to both."""

from stopwright.plan.cutting.boards import lay_out_boards
from stopwright.plan.cutting.sheets import SheetKind, Zone, lay_out_sheets

__all__ = ["SheetKind", "Zone", "lay_out_boards", "lay_out_sheets"]
