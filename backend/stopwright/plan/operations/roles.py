"""What stops of stations decide, where more than one operation sets it."""

from stopwright.plan.operations.operation import Role

THICKNESS = Role("thickness", is_proved=True, has_rail=True)
WIDTH = Role("width", is_proved=True, has_rail=True)
LENGTH = Role("length", is_proved=True, has_rail=True)
ANGLE = Role("angle", is_turned=True)
BIT = Role("bit", is_put_in=True)
TABLE_HEIGHT = Role("table height")
DEPTH = Role("depth")
TRAVEL_FROM = Role("travel from")
TRAVEL_TO = Role("travel to")
END_STOP_LEFT = Role("end stop left")
END_STOP_RIGHT = Role("end stop right")
CUTTER = Role("cutter", is_put_in=True)
SPINDLE_HEIGHT = Role("spindle height", stands_with=CUTTER.name)
SPINDLE_FENCE = Role("spindle fence", stands_with=CUTTER.name)
