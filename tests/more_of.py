"""What the builders take besides: the fields of a part, of wood, of a shop and of a job that may be left out."""

from typing import TypedDict

from stopwright.lengths import Nm, Show
from stopwright.model.cuts import Cut
from stopwright.model.day import Clamps, Day
from stopwright.model.hardware import Hardware
from stopwright.model.job import Flow
from stopwright.model.machines import Machine
from stopwright.model.moisture import Moisture
from stopwright.model.parts import Grain, Hand, Kind, Made, Rings
from stopwright.model.shaping import Mitre, Moulding
from stopwright.model.stations import Allowance, Glue, Limits, TenonRules
from stopwright.model.stock import Stock, Zone
from stopwright.model.things import Changed, Thing


class MoreOfPart(TypedDict, total=False):
    """What else a part may say."""

    material: str
    kind: Kind
    grain: Grain
    hand: Hand
    tolerance: Nm | None
    note: str
    made: Made
    strip: Nm | None
    measured: Nm | None
    rings: Rings


class MoreOfStock(TypedDict, total=False):
    """What else wood may say."""

    material: str
    label: str
    zones: tuple[Zone, ...]
    sheet: bool
    price: float | None
    planed: bool
    bow: Nm


class MoreOfShop(TypedDict, total=False):
    """What else a shop may say."""

    lengths: str
    show: Show
    allowance: Allowance
    tenon: TenonRules
    limits: Limits
    glues: tuple[Glue, ...]
    spacers: bool
    block_minutes: float
    machines: tuple[Machine, ...]
    shims: tuple[Nm, ...]
    day: Day
    clamps: tuple[Clamps, ...]
    bench_places: int


class MoreOfJob(TypedDict, total=False):
    """What else a job may say."""

    lengths: str
    units: int
    flow: Flow
    stock: tuple[Stock, ...]
    glue: str
    mitres: tuple[Mitre, ...]
    mouldings: tuple[Moulding, ...]
    cuts: tuple[Cut, ...]
    moisture: Moisture
    hardware: tuple[Hardware, ...]
    things: tuple[Thing, ...]
    changes: tuple[Changed, ...]
