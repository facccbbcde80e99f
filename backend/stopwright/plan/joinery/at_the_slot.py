"""What a person measures at a slot, and how it leads back to the stops of the mortiser: start, end, wall, depth."""

from stopwright.plan.run_sheet import Measured, Run

_END_STOPS = ("end stop left", "end stop right")


def at_the_slot(run: Run) -> dict[str, Measured]:
    """What is measured for each stop of a mortiser; nothing for the end stops themselves.

    The bit stands half its width within the ends and the wall of a slot, the piece before its end stop and spacer.
    What the slot is off by, its stop is off by; so the stops are put right without knowing which of bit, end stop
    and travel is the cause.

    >>> from stopwright.lengths import MM
    >>> from stopwright.plan.run_sheet import Move, Pieces, Stop
    >>> at = [("bit", 8), ("table height", 14), ("travel from", 34), ("end stop left", 10)]
    >>> stops = tuple(Stop(sets, sets, place * MM, place * MM, Move.SET) for sets, place in at)
    >>> run = Run(1, "mortiser", "mortise", stops, (Pieces("A", "Leg", 4, reference="marked end", at="left"),))
    >>> [(one.what, one.wanted // MM) for one in at_the_slot(run).values()]  # 34 − 10 − 8 / 2; 14 − 8 / 2
    [('start of the slot from the marked end', 20), ('wall between slot and the side that lay down', 10)]
    """
    if not run.pieces:
        return {}
    places = {stop.sets: stop.target for stop in run.stops if isinstance(stop.target, int)}
    spacer = run.spacer.thickness * run.spacer.count if run.spacer else 0
    under = spacer if run.spacer and "under" in run.spacer.place else 0
    shift = next((places[one] for one in _END_STOPS if one in places), 0) + spacer - under
    half = places.get("bit", 0) // 2
    references = {piece.reference for piece in run.pieces if piece.reference}
    reference = references.pop() if len(references) == 1 else "end at the stop"
    beyond = {
        "travel from": (f"start of the slot from the {reference}", -shift - half),
        "travel to": (f"end of the slot from the {reference}", half - shift),
        "table height": ("wall between slot and the side that lay down", -under - half),
        "depth": ("depth of the slot", 0),
    }
    return {sets: Measured(what, places[sets] + by) for sets, (what, by) in beyond.items() if sets in places}
