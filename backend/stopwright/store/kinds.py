"""The kinds of events and what each must say: its fields, their types and sizes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

from stopwright.lengths import GREATEST
from stopwright.model.codes import JOBS, PIECES
from stopwright.model.job import Flow
from stopwright.model.parts import GREATEST_QUANTITY
from stopwright.store.document_changes import a_change
from stopwright.store.pictures import GREATEST_PICTURE, picture

Check: TypeAlias = Callable[[Any], str]
"""Says what was expected instead of the value, or nothing when the value will do."""

GREATEST_JOB = JOBS - 1
GREATEST_PIECE = PIECES - 1
"""What the codes on labels hold."""
GREATEST_DOCUMENT = 4_000_000
GREATEST_BODY = 16_000
GREATEST_ZONES = 200
"""So many flaws of an offcut are told one by one."""


@dataclass(frozen=True, slots=True)
class Kind:
    """What an event of one kind must (`needs`) and may (`may`) say.

    `tapped` kinds come from people at the machine and can be undone; `shop_wide` ones belong to no job.
    """

    needs: Mapping[str, Check]
    may: Mapping[str, Check]
    tapped: bool = False
    shop_wide: bool = False
    size: int = GREATEST_BODY

    def faults(self, body: Mapping[str, Any]) -> list[str]:
        """Everything wrong with a body, in words; empty when it will do."""
        places = {**self.needs, **self.may}
        missing = [f"{field} is missing" for field in self.needs if field not in body]
        unknown = [f"it has no place for {field!r}" for field in body if field not in places]
        wrong = []
        for field, check in places.items():
            expected = check(body[field]) if field in body else ""
            if expected:
                wrong.append(f"{field} must be {expected}")
        return missing + unknown + wrong


def text(most: int, least: int = 1) -> Check:
    """Accepts text of so many characters that can be shown and kept."""

    def check(value: Any) -> str:
        kept = isinstance(value, str) and least <= len(value) <= most
        shown = kept and all(sign.isprintable() or sign in "\n\u00a0\u202f" for sign in value)
        return "" if shown else f"text of {least} to {most} characters"

    return check


def whole(low: int, high: int) -> Check:
    """Accepts a whole number within bounds, both included; True and False are no numbers."""

    def check(value: Any) -> str:
        fits = isinstance(value, int) and not isinstance(value, bool) and low <= value <= high
        return "" if fits else f"a whole number from {low} to {high}"

    return check


def several(one: Check, most: int, least: int = 0) -> Check:
    """Accepts a list of so many values that `one` accepts."""

    def check(value: Any) -> str:
        if not isinstance(value, list) or not least <= len(value) <= most:
            return f"a list of {least} to {most}"
        return next((f"a list, each {expected}" for expected in map(one, value) if expected), "")

    return check


def flag(value: Any) -> str:
    """Accepts true or false."""
    return "" if isinstance(value, bool) else "true or false"


def table(value: Any) -> str:
    """Accepts fields by name: a document, or choices."""
    return "" if isinstance(value, dict) else "fields by name"


def choices(value: Any) -> str:
    """Accepts choices for a plan; those that this version does not know are of another time and not looked at."""
    if not isinstance(value, dict):
        return "fields by name"
    wrong = [field for field, good in _CHOICES.items() if value.get(field) is not None and not good(value[field])]
    return f"choices that a plan has; {', '.join(wrong)} is none" if wrong else ""


def _is_standing(value: Any) -> bool:
    def is_stop(one: Any) -> bool:
        named = isinstance(one, list) and len(one) == 3 and not _name(one[0]) and not _name(one[1])
        return named and not _nm(one[2])

    return isinstance(value, list) and len(value) <= 1000 and all(map(is_stop, value))


def _is_ready(value: Any) -> bool:
    def named(one: Any) -> bool:
        return isinstance(one, list) and len(one) == 2 and not _name(one[0]) and not _name(one[1])

    return isinstance(value, list) and len(value) <= 100 and all(map(named, value))


_CHOICES: Mapping[str, Callable[[Any], bool]] = {
    "flow": lambda value: value in tuple(Flow),
    "may_turn": lambda value: isinstance(value, bool),
    "mix_widths": lambda value: isinstance(value, bool),
    "strips": lambda value: isinstance(value, bool),
    "soonest": lambda value: isinstance(value, bool),
    "standing": _is_standing,
    "ready": _is_ready,
    "steps": lambda value: not _seq(value),
    "version": lambda value: not _seq(value),
}


def digest(value: Any) -> str:
    """Accepts 64 hexadecimal digits: the hash that stands for a secret."""
    good = isinstance(value, str) and len(value) == 64 and set(value) <= set("0123456789abcdef")
    return "" if good else "64 hexadecimal digits"


def _part_counted(value: Any) -> str:
    good = isinstance(value, dict) and set(value) == {"mark", "quantity"}
    good = good and not _mark(value["mark"]) and not _count(value["quantity"])
    return "" if good else "a mark and a quantity"


_nm = whole(-GREATEST, GREATEST)
_spread = whole(0, GREATEST)
_seq: Check = whole(0, 2**53)
_count = whole(1, GREATEST_QUANTITY)
_piece = whole(0, GREATEST_PIECE)
_unit = whole(1, GREATEST_QUANTITY)
_offcut = whole(1, GREATEST_PIECE)
_size = whole(1, GREATEST)
_stage = whole(0, 1000)
_run = text(40)
_name = text(120)
_mark = text(120)  # a part's mark, or the name of a lot that is not pieces yet
_blade = text(120, least=0)
_id = text(64, least=8)
_note = text(400)


def _stop(value: Any) -> str:
    good = isinstance(value, list) and len(value) == 2 and not _name(value[0])
    good = good and (not _nm(value[1]) or not _name(value[1]))
    return "" if good else "the name of a stop and where it stands"


def _stop_of(value: Any) -> str:
    good = isinstance(value, list) and len(value) == 2 and not _name(value[0]) and not _name(value[1])
    return "" if good else "the names of a station and of a stop"


def _stop_there(value: Any) -> str:
    good = isinstance(value, list) and len(value) == 3 and not _name(value[0]) and not _stop(value[1:])
    return "" if good else "the names of a station and of a stop, and where it stands"


def _zone(value: Any) -> str:
    good = isinstance(value, list) and len(value) == 4 and not any(map(_spread, value))
    good = good and value[0] < value[1] and value[2] < value[3]
    return "" if good else "where a zone starts and ends along and across, four whole numbers"


def _tap(needs: Mapping[str, Check], **may: Check) -> Kind:
    return Kind(needs, may, tapped=True)


def _run_tap(needs: Mapping[str, Check], **may: Check) -> Kind:
    return Kind({"run": _run, **needs}, {**may, "tap": _id}, tapped=True)


def _shop(needs: Mapping[str, Check], **may: Check) -> Kind:
    return Kind(needs, may, shop_wide=True)


KINDS: Mapping[str, Kind] = {
    "job saved": Kind({"document": table, "base": _seq}, {}, size=GREATEST_DOCUMENT),
    "job changed": Kind({"after": _id, "change": a_change}, {}, size=GREATEST_DOCUMENT),
    "job repeated": Kind({"of": text(4)}, {}),
    "job put away": Kind({}, {}),
    "job brought back": Kind({}, {}),
    "job joined": Kind({"together": text(4)}, {}),
    "job left": Kind({"together": text(4)}, {}),
    "plan chosen": Kind({"choices": choices}, {}),
    "codes given": Kind({"parts": several(_part_counted, 20_000, least=1)}, {}, size=GREATEST_DOCUMENT),
    "stop made": _run_tap({"axis": _name}),
    "stop set": _run_tap({"station": _name, "work": _name, "stops": several(_stop, 40)}),
    "piece cut": _run_tap({"mark": _mark, "count": _count}, mirrored=flag),
    "piece spoiled": _run_tap(
        {"mark": _mark, "count": _count},
        mirrored=flag,
        counted=flag,
        need=_count,
        piece=_piece,
        what=_note,
        outdated=flag,
    ),
    "piece measured": _run_tap(
        {
            "station": _name,
            "axis": _name,
            "target_nm": _nm,
            "reading_nm": _nm,
            "measured_nm": _nm,
        },
        blade=_blade,
        tolerance_nm=_spread,
        step_nm=_size,
        wanted_nm=_nm,
        outboard=flag,
    ),
    "reading noted": _run_tap({"axis": _name, "reading_nm": _nm}),
    "machine made ready": _run_tap({"machine": _name, "from": _name, "to": _name, "lost": several(_stop_of, 100)}),
    "machine used": _tap(
        {"moved": several(_stop_of, 200), "stands": several(_stop_there, 200)},
        run=_run,
        machine=_name,
        ready=_name,
        tap=_id,
    ),
    "run noted": _run_tap({"text": _note}),
    "run pictured": replace(_run_tap({"jpeg": picture}), size=2 * GREATEST_PICTURE),
    "run done": _run_tap({}),
    "run reopened": _run_tap({}),
    "undo": Kind({"event": _id}, {"tap": _id}),
    "piece scanned": _tap({"piece": _piece, "purpose": _name}),
    "piece sorted": _tap({"piece": _piece, "unit": _unit}),
    "piece remade": _tap({"piece": _piece}, run=_run),
    "dry fit ticked": _tap({"unit": _unit, "joint": _name}),
    "glue-up begun": _tap({"unit": _unit, "stage": _stage, "glue": text(120, least=0)}),
    "joint closed": _tap({"unit": _unit, "stage": _stage, "joint": _name}),
    "glue-up done": _tap({"unit": _unit, "stage": _stage}),
    "shop saved": Kind({"document": table, "base": _seq}, {}, shop_wide=True, size=GREATEST_DOCUMENT),
    "shop changed": Kind({"after": _id, "change": a_change}, {}, shop_wide=True, size=GREATEST_DOCUMENT),
    "zero accepted": _shop({"station": _name, "axis": _name, "zero_nm": _nm}),
    "kerf measured": _shop(
        {"station": _name, "blade": _blade, "kerf_nm": whole(1, GREATEST)},
        uncertainty_nm=_spread,
        boards=several(table, 20),
    ),
    "minutes accepted": _shop({"station": _name, "axis": text(120, least=0), "seconds": whole(0, 86_400)}),
    "changeover minutes accepted": _shop({"machine": _name, "from": _name, "to": _name, "seconds": whole(0, 86_400)}),
    "mapping kept": Kind({"signature": digest, "mapping": table}, {}, shop_wide=True, size=GREATEST_DOCUMENT),
    "offcut shelved": _shop(
        {"offcut": _offcut, "length_nm": _size, "width_nm": _size, "thickness_nm": _size, "sheet": flag},
        material=text(120, least=0),
        note=text(120, least=0),
        zones=several(_zone, GREATEST_ZONES, least=1),
        planed=flag,
    ),
    "offcut taken": _shop({"offcut": _offcut}, job=text(4)),
    "device let in": _shop({"device": _id, "name": _name, "secret_hash": digest}),
    "device shut out": _shop({"device": _id}),
    "device named": _shop({"device": _id, "name": _name}),
}
"""Every kind there is. Lengths are whole nanometres, runs are named by their key, pieces by their index in the job.

A "job changed" tells what an edit changed in the document of the "job saved" or "job changed" that it names as `after`,
a "shop changed" that of the shop.
A "stop made" tells of one stop of several; "stop set" tells that all of a run are.
A "machine made ready" tells of a changeover before a run, with the stops that it loses. A "machine used" tells that it
was needed for something else: what stood then, what was moved, for which of its stations it is ready since.
A "piece spoiled" with `counted` false was never counted in its run: the one in hand went wrong. `need` is how many
its run wanted: what was counted beyond that (two phones at the last piece) does not stand in for the spoiled one.
One that is `outdated` was good when it was cut, before the job came to ask for something else.
A "piece measured" with `wanted_nm` was measured at something else than the stop's own target, by so much beside it: a
slot, from the end of the piece.
A "run noted" or "run pictured" is about the set-up of a run; a picture says nothing but what is to be seen.
A "piece remade" with `run` has passed that run again; without, it is whole again.
With `tap` it is one job's share of a tap of that id, made on the run sheet of several jobs that are worked together;
the first share has that id itself. A "job joined" and a "job left" name the number of that sheet.
"""

FROM_THE_FLOOR = frozenset(name for name, kind in KINDS.items() if kind.tapped) | {"undo"}
"""What a phone may send on its own."""
