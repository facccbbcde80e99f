"""The glue-ups of a run sheet as plain data for JSON; a piece is its mark and which of the unit's it is, from 1."""

from typing import Any

from stopwright.lengths import Show
from stopwright.model.stations import Glue
from stopwright.plan.assembling.glue_up_told import GlueUpTold, Horn, LaidIn, Nth, StageTold
from stopwright.plan.length_json import length_json


def glue_up_json(told: GlueUpTold, show: Show) -> dict[str, Any]:
    """Stages of one unit, the glue where the shop knows it, and what is done when it has set."""
    return ({"job": told.whose} if told.whose else {}) | {
        "units": told.units,
        "glue": _glue(told.glue) if told.glue else None,
        "stages": [_stage(one, show) for one in told.stages],
        "afterwards": [_laid_in(one) for one in told.afterwards],
        "horns": [_horn(one, show) for one in told.horns],
    }


def _horn(horn: Horn, show: Show) -> dict[str, Any]:
    return {
        "mark": horn.mark,
        "length": length_json(horn.long, show),
        "keeps": length_json(horn.keeps, show),
        "cut": "at the saw" if horn.lies_flat else "by hand",
    }


def _glue(glue: Glue) -> dict[str, Any]:
    return {"name": glue.name, "open_minutes": glue.open_minutes, "clamp_minutes": glue.clamp_minutes}


def _stage(stage: StageTold, show: Show) -> dict[str, Any]:
    return {
        "stage": stage.number,
        "after": list(stage.after),
        "pieces": [{"mark": mark, "count": count} for mark, count in stage.members],
        "loose": [_laid_in(one) for one in stage.loose],
        "joined": [
            {
                "by": one.held_by or "mitre",
                "piece": _piece(one.rail),
                "end": one.end.value,
                "into": _piece(one.post),
                "side": one.side.value,
            }
            for one in stage.joined
        ],
        "closes": stage.direction,
        "clamps": {
            "kind": "band" if stage.all_round else "bar",
            "opening": length_json(stage.opening, show),
            "count": stage.clamps,
        },
        "cauls": stage.cauls,
    } | _units(stage.units)


def _units(units: tuple[int, ...]) -> dict[str, Any]:
    """Which units have it, where not all do."""
    return {"units": list(units)} if units else {}


def _laid_in(one: LaidIn) -> dict[str, Any]:
    return {
        "piece": _piece(one.piece),
        "into": [_piece(holder) for holder in one.into],
        "held_in": one.held_in,
    } | _units(one.units)


def _piece(piece: Nth) -> dict[str, Any]:
    mark, nth = piece
    return {"mark": mark, "number": nth + 1}
