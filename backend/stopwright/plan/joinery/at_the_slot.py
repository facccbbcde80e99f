"""What a person measures at a slot, and how it leads back to the stops of the mortiser: start, end, wall, depth."""

from stopwright.model.joints import ENDS
from stopwright.plan.joinery.lateral_scale import from_the_stop, is_on_one_scale, places_in
from stopwright.plan.run_sheet import Measured, Run


def at_the_slot(run: Run) -> dict[str, Measured]:
    """What is measured for each stop of a mortiser; nothing for the end stops themselves.

    The bit stands half its width within the ends and the wall of a slot, the piece before its end stop and spacer.
    What the slot is off by, its stop is off by; so the stops are corrected without knowing which of bit, end stop
    and travel is the cause.

    >>> from stopwright.lengths import MM
    >>> from stopwright.plan.run_sheet import Move, Pieces, Stop
    >>> at = [("bit", 8), ("table height", 14), ("travel from", 34), ("travel to", 76), ("end stop left", 10)]
    >>> stops = tuple(Stop(sets, sets, place * MM, place * MM, Move.SET) for sets, place in at)
    >>> run = Run(1, "mortiser", "mortise", stops, (Pieces("A", "Leg", 4, reference="marked end", at="left"),))
    >>> [(one.what, one.wanted // MM) for one in at_the_slot(run).values()][:2]  # 34 − 10 − 8 / 2; 76 − 10 + 8 / 2
    [('start of the slot from the marked end', 20), ('end of the slot from the marked end', 70)]
    >>> at_the_slot(run)["table height"].wanted // MM  # 14 − 8 / 2
    10
    """
    if not run.pieces:
        return {}
    places = places_in(run)
    spacer = run.spacer.thickness * run.spacer.count if run.spacer else 0
    under = spacer if run.spacer and "under" in run.spacer.place else 0
    half = places.get("bit", 0) // 2
    references = {piece.reference for piece in run.pieces if piece.reference}
    reference = references.pop() if len(references) == 1 else "end at the stop"
    found = {}
    middle = from_the_stop(places, spacer - under)
    if middle:
        turned = is_on_one_scale(places)
        first, last = ("travel to", "travel from") if turned else ("travel from", "travel to")
        found[first] = Measured(f"start of the slot from the {reference}", middle[0] - half, turned)
        found[last] = Measured(f"end of the slot from the {reference}", middle[1] + half, turned)
    if "table height" in places:
        stands = {piece.down for piece in run.pieces} <= set(ENDS)
        words = f"wall between slot and the {'end that stood on the table' if stands else 'side that lay down'}"
        found["table height"] = Measured(words, places["table height"] - under - half)
    if "depth" in places:
        found["depth"] = Measured("depth of the slot", places["depth"])
    return found
