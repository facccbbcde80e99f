"""Where every stop of the mortiser stands for one slot, given how the piece lies on the machine."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm, SignedNm
from stopwright.model.gear import EndStops
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.stations import Sets, Station
from stopwright.plan.joinery.hands import count_hands, end_stop, side_down
from stopwright.plan.joinery.slots import Slot, parts_with_slots

Positions: TypeAlias = tuple[tuple[Sets, Nm], ...]

MORTISER_AXES = (
    "bit",
    "table height",
    "depth",
    "travel from",
    "travel to",
    "end stop left",
    "end stop right",
)
MOST_IN_A_STACK = 12


@dataclass(frozen=True, slots=True)
class Working:
    """One slot to be made in so many pieces of a part, in one position on the machine.

    `number` is the slot's number on the master piece, `at` the end stop ("left", "right") its reference touches.
    """

    slot: Slot
    number: int
    count: int
    mirrored: bool
    down: Side
    at: str

    @property
    def stop(self) -> Sets:
        """The end stop it lies at."""
        return "end stop left" if self.at == "left" else "end stop right"


@dataclass(frozen=True, slots=True)
class Placing:
    """How a piece lies: end stop at `end_stop`, a spacer of `spacer` before it, a block of `under` beneath; nm."""

    end_stop: SignedNm = 0
    spacer: Nm = 0
    under: Nm = 0


def workings_of(job: Job) -> tuple[Working, ...]:
    """Every slot of every part, the mirrored half of a handed pair for itself."""
    found = []
    for mark, slots in parts_with_slots(job).items():
        for mirrored, count in enumerate(count_hands(job, job.part(mark))):
            for number, slot in enumerate(slots, start=1):
                at = end_stop(slot.side, bool(mirrored), slot.stands_on)
                if count:
                    down = side_down(slot.side, slot.stands_on)
                    found.append(Working(slot, number, count, bool(mirrored), down, at))
    return tuple(found)


def positions(working: Working, placing: Placing, station: Station) -> Positions:
    """Where the stops of the station stand for a working, in nm; axes that it does not have are left out.

    A slot from a to b off the reference has its travel stops at e + s + a + d/2 and e + s + b − d/2, with the end
    stop at e and a spacer s; the right-hand stop is the mirror image with the same numbers. Where the station reads
    both stops on one scale, the right one stands at e + 2s + a + b, so that the travel is that of the left one. An end
    stop below 0 stands beyond the zero of the travel, so that a slot far along a piece comes within reach.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.stations import Axis
    >>> axes = tuple(Axis(name, Sets(name)) for name in ("bit", "table height", "travel from", "travel to"))
    >>> post = Slot("A", Side.FAR_EDGE, 20 * MM, 80 * MM, 13 * MM, 26 * MM, 10 * MM)
    >>> mortiser = Station("mortiser", ("mortise",), axes)
    >>> found = positions(Working(post, 1, 4, False, Side.FACE, "right"), Placing(), mortiser)
    >>> [(str(sets), position // MM) for sets, position in found]
    [('bit', 10), ('table height', 13), ('travel from', 25), ('travel to', 75)]
    """
    slot, shift = working.slot, placing.end_stop + placing.spacer
    stands = {
        "bit": slot.bit,
        "table height": slot.centre + placing.under,
        "depth": slot.depth,
        "travel from": shift + slot.start + slot.bit // 2,
        "travel to": shift + slot.end - slot.bit // 2,
        working.stop: placing.end_stop,
    }
    if working.at == "right" and station.of(EndStops).one_scale:
        stands[working.stop] += 2 * placing.spacer + slot.start + slot.end
    return tuple((sets, stands[sets]) for sets in MORTISER_AXES if sets in stands and station.axis(sets))


def needs_of(stands: Positions, station: Station) -> dict[str, set[Nm]]:
    """What a run needs of each axis, by the axis's name."""
    return {axis.name: {position} for sets, position in stands if (axis := station.axis(sets))}


def out_of_range(stands: Positions, station: Station) -> int:
    """How many of these stops the station does not reach."""
    axes = ((station.axis(sets), position) for sets, position in stands)
    return sum(not axis.low <= position + axis.zero <= axis.high for axis, position in axes if axis)


def blocks_for(amounts: Iterable[Nm]) -> dict[Nm, tuple[Nm, int]]:
    """For each amount of spacer the block and how many of it: equal steps are stacks of one block.

    >>> blocks_for([90, 180, 270, 35])
    {35: (35, 1), 90: (90, 1), 180: (90, 2), 270: (90, 3)}
    """
    made: dict[Nm, tuple[Nm, int]] = {}
    for amount in sorted(set(amounts) - {0}):
        stacks = [
            made[lower] for lower in made if amount - lower == made[lower][0] and made[lower][1] < MOST_IN_A_STACK
        ]
        block, count = max(stacks, default=(amount, 0))
        made[amount] = (block, count + 1)
    return made
