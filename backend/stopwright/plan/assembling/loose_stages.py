"""Glue-ups in which only loose parts find their grooves belong to the one that closes a joint around them."""

from collections.abc import Sequence
from dataclasses import replace

from stopwright.plan.assembling.closing_order import Body, GlueUp


def folded(glue_ups: Sequence[GlueUp], joints: int) -> list[GlueUp]:
    """The glue-ups that close joints, those below `joints` in the list of bonds; what only lays in goes into them.

    What is laid in before a joint closes is no glue-up of its own: it waits for nothing and takes no clamp. One that
    nothing closes afterwards falls away.

    >>> panel_into_rails = GlueUp(1, 1, (4, 5), (frozenset({2}), frozenset({3}), frozenset({4})))
    >>> stiles = GlueUp(2, 0, (0, 1, 2, 3), (frozenset({0}), frozenset({2, 3, 4}), frozenset({1})))
    >>> [(one.round, sorted(map(len, one.bodies))) for one in folded([panel_into_rails, stiles], 4)]
    [(1, [1, 1, 1, 1, 1])]
    """
    by_body = {one.body: one for one in glue_ups}
    glued: dict[Body, GlueUp] = {}
    rounds: dict[Body, int] = {}

    def opened(body: Body) -> list[Body]:
        """A body as the bodies it is laid together from, where only loose parts hold it together."""
        one = by_body.get(body)
        if one is None or _closes(one, joints):
            return [body]
        return [part for inner in one.bodies for part in opened(inner)]

    for one in sorted(glue_ups, key=lambda one: one.round):
        if _closes(one, joints):
            bodies = tuple(part for body in one.bodies for part in opened(body))
            rounds[one.body] = 1 + max((rounds.get(body, 0) for body in bodies), default=0)
            glued[one.body] = replace(one, bodies=bodies, round=rounds[one.body])
    return sorted(glued.values(), key=lambda one: (one.round, min(one.body)))


def _closes(glue_up: GlueUp, joints: int) -> bool:
    return any(bond < joints for bond in glue_up.bonds)
