"""The run sheet as plain data for JSON, version 2. Lengths are {"nm": int, "text": str}, angles {"deg", "text"}."""

from typing import Any

from stopwright.lengths import Show, format_length
from stopwright.plan.assembling.glue_up_json import glue_up_json
from stopwright.plan.day.day_json import day_json
from stopwright.plan.length_json import length_json
from stopwright.plan.run_sheet import (
    Angle,
    Gluing,
    Layout,
    Lot,
    MachineChanges,
    MovingPanel,
    Pieces,
    Placement,
    Position,
    Remark,
    Run,
    RunSheet,
    Spacer,
    Stop,
    TenonStock,
    ToBuy,
    Wood,
)
from stopwright.plan.said_lengths import read_out

VERSION = 2


def run_sheet_json(sheet: RunSheet, show: Show) -> dict[str, Any]:
    """The whole sheet as dicts and lists, keys and meaning as documented in DEVELOPERS.md."""
    settings = sheet.settings
    plain: dict[str, Any] = {
        "version": VERSION,
        "job": sheet.job,
        "lengths": sheet.lengths,
        "settings": {
            "made": settings.made,
            "least_possible": settings.least_possible,
            "proven": settings.proven,
            "minutes": round(settings.minutes, 2),
        },
        "runs": [_run(run, show) for run in sheet.runs],
        "stock": _wood(sheet.wood, show),
        "tenons": [_tenon(tenon, show) for tenon in sheet.tenons],
        "spacers": [
            {"thickness": length_json(block.thickness, show), "count": block.count, "use": block.use}
            for block in sheet.spacers
        ],
        "machines": [_machine(machine, show) for machine in sheet.machines],
        "hardware": [
            {"name": one.name, "per_unit": one.per_unit, "count": one.count, "note": one.note} for one in sheet.hardware
        ],
        "glue_ups": [glue_up_json(one, show) for one in sheet.glue_ups],
        "panels": [_moving_panel(panel, show) for panel in sheet.panels],
        "faults": [_remark(fault) for fault in sheet.faults],
        "warnings": [_remark(warning) for warning in sheet.warnings],
        "notes": list(sheet.notes),
    }
    return plain | ({"day": day_json(sheet.day, show)} if sheet.day else {})


def position_text(position: Position, show: Show, with_unit: bool = True) -> str:
    """A stop's position as shown: a length, an angle in degrees, or a name.

    >>> from fractions import Fraction
    >>> position_text(84_000_000, Show.MM), position_text(Angle(Fraction(-45, 2)), Show.MM)
    ('84 mm', '−22.5°')
    """
    if isinstance(position, Angle):
        return f"{float(round(position.degrees, 2)):g}°".replace("-", "−")
    return position if isinstance(position, str) else format_length(position, show, with_unit)


def _position(position: Position, show: Show) -> dict[str, Any]:
    text = position_text(position, show)
    if isinstance(position, Angle):
        return {"deg": float(position.degrees), "text": text}
    return {"text": text} if isinstance(position, str) else {"nm": position, "text": text}


def _stop(stop: Stop, show: Show) -> dict[str, Any]:
    return {
        "axis": stop.axis,
        "sets": stop.sets,
        "target": _position(stop.target, show),
        "reading": _position(stop.reading, show),
        "residual": length_json(stop.residual, show),
        "tolerance": None if stop.tolerance is None else length_json(stop.tolerance, show),
        "move": stop.move.value,
    } | ({"to_mark": stop.to_mark} if stop.to_mark else {})


def _pieces(pieces: Pieces) -> dict[str, Any]:
    plain: dict[str, Any] = {"mark": pieces.mark, "name": pieces.name, "count": pieces.count}
    if pieces.note:
        plain["note"] = pieces.note
    if pieces.down:
        first, *then = (_lying(one) for one in pieces.each)
        plain |= first | {"mirrored": pieces.mirrored} | ({"then": then} if then else {})
    return plain


def _lying(pieces: Pieces) -> dict[str, Any]:
    slotted = {"slotted": pieces.slotted.value} if pieces.slotted else {}
    down = {"down": pieces.down.value} if pieces.down else {}
    return slotted | down | {"reference": pieces.reference, "at": pieces.at}


def _spacer(spacer: Spacer, show: Show) -> dict[str, Any]:
    return {"thickness": length_json(spacer.thickness, show), "count": spacer.count, "place": spacer.place}


def lot_json(lot: Lot, show: Show) -> dict[str, Any]:
    """Equal workpieces as they are at one time; `size` is that of one of them, `becomes` counts for all."""
    length, width, thickness = (length_json(one, show) for one in lot.size)
    return {
        "lot": lot.name,
        "form": lot.form.value,
        "count": lot.count,
        "of": lot.material,
        "size": {"length": length, "width": width, "thickness": thickness},
        "becomes": [{"mark": mark, "count": count} for mark, count in lot.becomes],
    }


def _machine(one: MachineChanges, show: Show) -> dict[str, Any]:
    changes = [
        {
            "before": number,
            "from": change.from_,
            "to": change.to,
            "minutes": change.minutes,
            "loses": list(change.lost),
            "take_off": list(change.take_off),
            "cover": list(change.cover),
            "put_on": list(change.put_on),
            "stands": [
                {"axis": stop.axis, "run": run, "reading": _position(stop.reading, show)} for stop, run in change.stands
            ],
            "again": list(change.again),
        }
        for number, change in one.changes
    ]
    return {
        "name": one.machine,
        "changes": changes,
        "minutes": one.minutes,
        "least": one.least,
        "proven": one.proven,
        "best": one.is_best,
    }


def _run(run: Run, show: Show) -> dict[str, Any]:
    return {
        "id": run.id,
        "number": run.number,
        "station": run.station,
        "machine": run.station,
        "work": run.work,
        "stops": [_stop(stop, show) for stop in run.stops],
        "spacer": _spacer(run.spacer, show) if run.spacer else None,
        "takes": [lot_json(lot, show) for lot in run.takes],
        "gives": [lot_json(lot, show) for lot in run.gives],
        "pieces": [_pieces(pieces) for pieces in run.pieces],
        "after": list(run.after),
        "cautions": list(run.cautions),
        "minutes": round(run.minutes, 2),
        "note": read_out(run.note, show),
        "after_dry_fit": run.after_dry_fit,
    } | ({"gluing": _gluing(run.gluing, show)} if run.gluing else {})


def _gluing(gluing: Gluing, show: Show) -> dict[str, Any]:
    return {
        "of": "sub-panels" if gluing.are_sub_panels else "strips",
        "widths": [length_json(width, show) for width in gluing.widths],
        "groups": list(gluing.groups),
        "clamps": gluing.clamps,
        "rest_hours": gluing.rest_hours,
    }


def _placement(placement: Placement, show: Show) -> dict[str, Any]:
    return {
        "mark": placement.mark,
        "x": length_json(placement.x, show),
        "y": length_json(placement.y, show),
        "length": length_json(placement.length, show),
        "width": length_json(placement.width, show),
        "turned": placement.turned,
    }


def _layout(layout: Layout, show: Show) -> dict[str, Any]:
    return {
        "lot": layout.lot,
        "stock": layout.stock,
        "material": layout.material,
        "length": length_json(layout.length, show),
        "width": length_json(layout.width, show),
        "thickness": length_json(layout.thickness, show),
        "finished_thickness": length_json(layout.finished, show),
        "times": layout.times,
        "pieces": [_placement(placement, show) for placement in layout.placements],
        "cuts": [
            {
                "number": cut.number,
                "work": cut.work,
                "position": length_json(cut.position, show),
                "start": length_json(cut.start, show),
                "end": length_json(cut.end, show),
            }
            for cut in layout.cuts
        ],
        "sections": [
            {"start": length_json(one.start, show), "length": length_json(one.length, show)} for one in layout.sections
        ],
    }


def _to_buy(blank: ToBuy, show: Show) -> dict[str, Any]:
    return {
        "lot": blank.lot,
        "mark": blank.mark,
        "pieces": blank.pieces,
        "material": blank.material,
        "count": blank.count,
        "length": length_json(blank.length, show),
        "width": length_json(blank.width, show),
        "thickness": length_json(blank.thickness, show),
    }


def _wood(wood: Wood, show: Show) -> dict[str, Any]:
    return {
        "boards_used": wood.boards_used,
        "least_possible": wood.least_possible,
        "proven": wood.proven,
        "layouts": [_layout(layout, show) for layout in wood.layouts],
        "offcuts": [
            _placement(offcut, show)
            | {"lot": layout.lot, "stock": layout.stock, "times": layout.times}
            | {"clean": dict(zip(("length", "width"), (length_json(one, show) for one in offcut.clean), strict=True))}
            for layout in wood.layouts
            for offcut in layout.offcuts
        ],
        "boards": [
            {"lot": layout.lot, "row": layout.stock, "layout": place} for place, layout in enumerate(wood.layouts)
        ],
        "to_buy": [_to_buy(blank, show) for blank in wood.to_buy],
    }


def _tenon(tenon: TenonStock, show: Show) -> dict[str, Any]:
    return {
        "joint": tenon.joint,
        "thickness": length_json(tenon.thickness, show),
        "width": length_json(tenon.width, show),
        "length": length_json(tenon.length, show),
        "radius": length_json(tenon.radius, show),
        "count": tenon.count,
        "spares": tenon.spares,
        "strip": length_json(tenon.strip, show),
    }


def _moving_panel(panel: MovingPanel, show: Show) -> dict[str, Any]:
    room = panel.room
    lengths = ("width", "opening", "grooves", "least", "most", "driest", "wettest", "held", "left")
    widest = room.widest_opening
    return {
        "mark": panel.mark,
        "cut": panel.cut,
        **{name: length_json(getattr(room, name), show) for name in lengths},
        "widest_opening": None if widest is None else length_json(widest, show),
        "moisture": {name: float(getattr(room.moisture, name)) for name in ("made_at", "driest", "wettest")},
    }


def _remark(remark: Remark) -> dict[str, Any]:
    return {"about": remark.about, "text": remark.text}
