"""Cuts that a job asks for besides sizes, joints, mitres and mouldings: what all of them have in common.

The kinds themselves are dataclasses in the files of their operations. Their fields carry the words of the form in
which they are typed (`asked`), so that reader, writer and page are made from them.
"""

from collections.abc import Iterator
from dataclasses import MISSING, dataclass, field, fields
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import Nm
from stopwright.model.joints import Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid

if TYPE_CHECKING:
    from stopwright.model.job import Job


class FieldWords(NamedTuple):
    """How a field is called in a form, what it is for in one line, and what there is to choose from, if not all.

    `names_parts` where it holds the mark of another part, or several of them.
    """

    label: str
    use: str
    among: tuple[str, ...] = ()
    names_parts: bool = False


class MortiseAsked(NamedTuple):
    """A slot at the mortiser in an end, from the face edge along it, its centre line from the face side; nm.

    One that runs across face or back says on which end the piece `stands_on` for it: from there its centre line is
    measured.
    """

    side: Side
    start: Nm
    end: Nm
    centre: Nm
    depth: Nm
    bit: Nm
    stands_on: Side | None = None


class TenonAsked(NamedTuple):
    """Loose tenons: what asks for them, the bit, how long the slot is and how deep both together, how many; nm."""

    mark: str
    bit: Nm
    slot: Nm
    deep: Nm
    needed: int
    material: str
    fit: Nm | None = None
    play: Nm | None = None
    clearance: Nm | None = None


def asked(
    label: str, use: str = "", default: Any = MISSING, among: tuple[str, ...] = (), names_parts: bool = False
) -> Any:
    """A field of a cut with its words."""
    return field(default=default, metadata={"words": FieldWords(label, use, among, names_parts)})


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One cut in all pieces of some parts. `station` is where it is made, "" where the plan chooses.

    Raises Inconsistent with every field at fault.
    """

    kind: ClassVar[str] = "cut"
    letter: ClassVar[str] = ""
    is_joint: ClassVar[bool] = False
    """Whether its parts meet in it, so that neither is cut without the other."""
    has_centre: ClassVar[bool] = False
    """Whether it is marked out by its centre."""

    mark: str = asked("Mark", "such as G1; shown on the run sheet")
    parts: tuple[str, ...] = asked("Parts", "the marks of the parts that get it")
    station: str = asked("Station", "where it is made; empty: the plan chooses", "")

    def __post_init__(self) -> None:
        problems = [*self._of_every_cut(), *self.problems()]
        if problems:
            raise Inconsistent(f"{self.kind} {self.mark}".rstrip(), problems)

    def problems(self) -> Iterator[Problem]:
        """What contradicts itself in this kind of cut."""
        yield from ()

    @property
    def is_across(self) -> bool:
        """Whether it runs across the grain: a cut along it comes after, and cleans what breaks out."""
        return False

    @property
    def needs_marked_end(self) -> bool:
        """Whether it is measured from the marked end or made in it, so that no horn may be left there."""
        return True

    def face_each_other(self, _: "Job") -> Iterator[str]:
        """The marks of parts that stand opposite each other with this cut, as the two sides of a shelf do."""
        yield from ()

    def removes(self, _: "Job", __: Part) -> Iterator[Solid]:
        """What it takes away of a finished part of a job, on the part's own axes; nothing of one that it is not in."""
        yield from ()

    def mortises(self, _: "Job", __: Part) -> Iterator[MortiseAsked]:
        """The slots that the mortiser makes for it in a part."""
        yield from ()

    def loose_tenons(self, _: "Job") -> Iterator[TenonAsked]:
        """The loose tenons that it wants."""
        yield from ()

    @classmethod
    def naming(cls) -> tuple[str, ...]:
        """The keys of the job file under which it names parts."""
        return ("parts", *(one.name.rstrip("_") for one in fields(cls) if one.metadata["words"].names_parts))

    def others(self) -> Iterator[tuple[str, str]]:
        """The other parts that it names, besides those that get it: the key in the job file, and the mark."""
        for one in fields(self):
            if one.metadata["words"].names_parts:
                value = getattr(self, one.name)
                for mark in (value,) if isinstance(value, str) else value:
                    if mark:
                        yield one.name.rstrip("_"), mark

    def has_to_fit(self) -> Iterator[str]:
        """The marks of the parts whose thickness, as measured, it is made for."""
        if getattr(self, "width", None) is None:
            yield from (mark for key, mark in self.others() if key == "fits")

    def turned_over(self) -> Iterator[str]:
        """The marks of the parts that a saw cuts from both faces, so that their own thickness counts, as measured."""
        yield from ()

    def _of_every_cut(self) -> Iterator[Problem]:
        if not self.mark:
            yield Problem("mark", "is empty", f"write a mark such as {self.letter}1")
        if not self.parts or not all(self.parts):
            yield Problem("parts", "is empty", "write the marks of the parts that get it")
        if len(set(self.parts)) < len(self.parts):
            yield Problem("parts", "names a part twice", "name each part once")
