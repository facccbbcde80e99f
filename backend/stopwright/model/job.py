"""A job: parts, joints and wood of one batch."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from stopwright.errors import Inconsistent, Problem
from stopwright.model.cuts import Cut
from stopwright.model.hardware import Hardware
from stopwright.model.joints import Joint
from stopwright.model.meetings import Meeting
from stopwright.model.moisture import USUAL_MOISTURE, Moisture
from stopwright.model.parts import GREATEST_QUANTITY, Part
from stopwright.model.shaping import Mitre, Moulding
from stopwright.model.stock import Stock
from stopwright.model.things import Changed, Thing


class Flow(StrEnum):
    """How work goes through the saw: one station after the other, or part after part on the sliding table."""

    STATION_BY_STATION = "station by station"
    PART_BY_PART = "part by part"


@dataclass(frozen=True, slots=True)
class Job:
    """One batch: `units` finished articles made of `parts`. `lengths` is what a bare number means: "mm" or "in".

    `cuts` are grooves, housings, rebates and all else that is cut into finished sizes, of every kind. What `things`
    make, with what was changed of it by hand, stands among parts, cuts, joints and mitres, after the job's own;
    `meetings` are those of their parts that no joint says.
    """

    name: str
    parts: tuple[Part, ...]
    lengths: str = "mm"
    units: int = 1
    flow: Flow = Flow.STATION_BY_STATION
    joints: tuple[Joint, ...] = ()
    stock: tuple[Stock, ...] = ()
    glue: str = ""
    mitres: tuple[Mitre, ...] = ()
    mouldings: tuple[Moulding, ...] = ()
    cuts: tuple[Cut, ...] = ()
    moisture: Moisture = USUAL_MOISTURE
    hardware: tuple[Hardware, ...] = ()
    things: tuple[Thing, ...] = ()
    changes: tuple[Changed, ...] = ()
    meetings: tuple[Meeting, ...] = ()

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent(f"job {self.name}", problems)

    def _problems(self) -> Iterator[Problem]:
        if not self.parts:
            yield Problem("part", "there is no part", "add at least one part")
        for mark, times in Counter(part.mark for part in self.parts).items():
            if times > 1:
                yield Problem("mark", f"{mark} stands {times} times", "give every part its own mark")
        if self.lengths not in ("mm", "in"):
            yield Problem("lengths", f"'{self.lengths}' is not a unit", "write mm or in")
        if not 1 <= self.units <= GREATEST_QUANTITY:
            yield Problem(
                "units", f"{self.units} is not from 1 to {GREATEST_QUANTITY}", "write how many units are made"
            )
        for kind, named in (
            ("joint", self.joints),
            ("moulding", self.mouldings),
            ("cut", self.cuts),
            ("thing", self.things),
        ):
            for mark, times in Counter(one.mark for one in named).items():
                if times > 1:
                    yield Problem(kind, f"{kind} {mark} stands {times} times", f"give every {kind} its own mark")
        for of, times in Counter(change.of for change in self.changes).items():
            if times > 1:
                yield Problem("changed", f"{of} is changed {times} times", "write all that is changed of it once")
        for part, times in Counter(mitre.part for mitre in self.mitres).items():
            if times > 1:
                yield Problem("mitre", f"part {part} is mitred {times} times", "give each part one mitre")
        yield from self._missing_parts()

    def _missing_parts(self) -> Iterator[Problem]:
        marks = {part.mark for part in self.parts}
        for joint in self.joints:
            for field, mark in (("post", joint.post), ("rail", joint.rail)):
                if mark not in marks:
                    yield Problem(
                        field,
                        f"joint {joint.mark} names part {mark}, which is not there",
                        "name a part's mark",
                    )
        for meeting in self.meetings:
            for field, mark in (("post", meeting.post), ("rail", meeting.rail)):
                if mark not in marks:
                    text = f"what meets by {meeting.mark} names part {mark}, which is not there"
                    yield Problem(field, text, "name a part's mark")
        for mitre in self.mitres:
            if mitre.part not in marks:
                yield Problem("mitre", f"names part {mitre.part}, which is not there", "name a part's mark")
        for moulding in self.mouldings:
            for mark in moulding.parts:
                if mark not in marks:
                    yield Problem(
                        "moulding",
                        f"moulding {moulding.mark} names part {mark}, which is not there",
                        "name a part's mark",
                    )
        for cut in self.cuts:
            for mark in (*cut.parts, *(mark for _, mark in cut.others())):
                if mark not in marks:
                    text = f"{cut.kind} {cut.mark} names part {mark}, which is not there"
                    yield Problem(cut.kind, text, "name a part's mark")

    def part(self, mark: str) -> Part:
        """The part with this mark; KeyError if there is none."""
        for part in self.parts:
            if part.mark == mark:
                return part
        raise KeyError(mark)
