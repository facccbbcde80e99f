"""Cuts of every kind, drawn from the fields of its dataclass: a new kind is drawn without a new line here."""

from dataclasses import MISSING, fields, replace
from enum import StrEnum
from fractions import Fraction
from typing import Any, get_args, get_origin

from hypothesis import assume
from hypothesis import strategies as st
from tests.builders import mm

from stopwright.errors import Inconsistent
from stopwright.intake.keys import is_length, keys_of
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Hand, Part
from stopwright.model.shaping import Mitre
from stopwright.plan.operations.known import CUTS

PARTS = (
    Part("A", "Side", 4, mm(400), mm(120), mm(18), hand=Hand.PAIRS),
    Part("B", "Panel", 2, mm(380), mm(110), mm(6)),
    Part("C", "Rail", 4, mm(300), mm(60), mm(22)),
    Part("D", "Leg", 4, mm(560), mm(44), mm(44), "ash", hand=Hand.PAIRS),
    Part("E", "Front", 2, mm(350), mm(120), mm(18)),
    Part("F", "Frame", 4, mm(320), mm(60), mm(22)),
)
MITRED = (Mitre("F", sides=4),)
MILLIMETRES = (3.2, 4, 5, 6, 8, 9, 12, 20, 35, 60, 110)
OPPOSITE = {Side.EDGE: Side.FAR_EDGE, Side.FAR_EDGE: Side.EDGE}


def job_of(cuts: tuple[Cut, ...], parts: tuple[Part, ...] = PARTS) -> Job:
    return Job("cuts", parts, cuts=cuts, mitres=MITRED)


def any_cut(kind: str, mark: str) -> st.SearchStrategy[Cut]:
    """A cut of this kind that does not contradict itself; a station may refuse it all the same."""

    @st.composite
    def drawn(draw: Any) -> Cut:
        marks = [part.mark for part in PARTS]
        values: dict[str, Any] = {"mark": mark}
        pair = CUTS[kind].is_joint
        values["parts"] = tuple(
            draw(st.lists(st.sampled_from(marks), min_size=1 + pair, max_size=1 + pair, unique=True))
        )
        for field in fields(CUTS[kind]):
            if field.name in ("mark", "parts", "station"):
                continue
            if field.default is not MISSING and draw(st.integers(0, 2)):
                continue
            key = keys_of(CUTS[kind])[field.name.rstrip("_")]
            words = field.metadata["words"]
            values[field.name] = draw(_of(key.kind, words.among, marks if words.names_parts else ()))
        try:
            cut = CUTS[kind](**values)
            job_of((cut,))
        except Inconsistent:
            assume(False)
        return cut

    return drawn()


def _of(kind: Any, among: tuple[str, ...], marks: Any) -> st.SearchStrategy[Any]:
    if get_origin(kind) is tuple:
        return st.lists(_of(get_args(kind)[0], among, marks), min_size=1, max_size=3, unique=True).map(tuple)
    if is_length(kind):
        return st.sampled_from(MILLIMETRES).map(mm)
    if kind is int:
        return st.integers(3, 6)
    if kind is Fraction:
        return st.integers(4, 30).map(Fraction)
    if kind is str:
        return st.sampled_from(marks) if marks else st.just("rebate 12")
    assert issubclass(kind, StrEnum), f"{kind}: say here what may be drawn"
    return st.sampled_from([kind(one) for one in among] if among else list(kind))


def any_cuts(most: int = 3) -> st.SearchStrategy[tuple[Cut, ...]]:
    """Some cuts of any kinds, each under its own mark."""
    kinds = st.lists(st.sampled_from(sorted(CUTS)), min_size=1, max_size=most)
    return kinds.flatmap(
        lambda names: st.tuples(*(any_cut(name, f"X{number}") for number, name in enumerate(names, start=1)))
    )


def mirrored(cut: Cut) -> Cut:
    """The same cut in the mirror image of its part: what lay at one edge lies at the other."""
    changed: dict[str, Any] = {}
    for name in (field.name for field in fields(cut)):
        value = getattr(cut, name)
        if isinstance(value, Side):
            changed[name] = OPPOSITE.get(value, value)
        elif isinstance(value, tuple) and value and all(isinstance(one, Side) for one in value):
            changed[name] = tuple(OPPOSITE.get(one, one) for one in value)
    return replace(cut, **changed)
