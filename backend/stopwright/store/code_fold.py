"""The numbers behind the codes of a job's pieces: given once for so many of a mark, and kept whatever comes after."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.store.events import Event


@dataclass(frozen=True, slots=True)
class Block:
    """So many numbers one after the other, from `start`."""

    start: int
    count: int


Given: TypeAlias = Mapping[str, tuple[Block, ...]]
"""By mark: the blocks that its pieces have, piece 1 first."""

NONE_GIVEN: Given = {}


def fold_codes(events: Iterable[Event]) -> Given:
    """The numbers given so far, in the log's own order."""
    given = NONE_GIVEN
    for event in sorted((one for one in events if one.kind == "codes given"), key=lambda one: one.seq):
        given = give_codes(given, [(part["mark"], part["quantity"]) for part in event.body["parts"]])
    return given


def give_codes(given: Given, parts: Iterable[tuple[str, int]]) -> Given:
    """The numbers with those of these parts added: what a mark has it keeps, what it lacks comes after all others.

    A part that has become fewer, or has gone, keeps its numbers too: its labels may still lie about.

    >>> first = give_codes({}, [("A", 4), ("B", 2)])
    >>> first["B"]
    (Block(start=4, count=2),)
    >>> give_codes(first, [("A", 5), ("B", 1)])["A"]  # the fifth A comes after both B
    (Block(start=0, count=4), Block(start=6, count=1))
    """
    after = dict(given)
    free = max((block.start + block.count for blocks in given.values() for block in blocks), default=0)
    for mark, quantity in parts:
        has = after.get(mark, ())
        lacks = quantity - sum(block.count for block in has)
        if lacks > 0:
            after[mark] = (*has, Block(free, lacks))
            free += lacks
    return after


def number_of(given: Given, mark: str, number: int) -> int:
    """The number behind the code of a piece: A-07 is piece 7 of mark A. KeyError if it has none.

    >>> number_of(give_codes(give_codes({}, [("A", 4), ("B", 2)]), [("A", 5)]), "A", 5)
    6
    """
    left = number - 1
    for block in given.get(mark, ()):
        if left < block.count:
            return block.start + left
        left -= block.count
    raise KeyError(mark, number)
