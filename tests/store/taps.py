"""Small events for tests: a tap is one line."""

from itertools import count
from typing import Any

from stopwright.store.events import Event

RUN = "rrip000084"
OTHER_RUN = "rcrosscut450"

PICTURE = "/9j/4AAEAAD/2gACc2Nhbg=="
"""The head of a JPEG with nothing in it, in base64."""

BODIES: dict[str, dict[str, Any]] = {
    "job saved": {"document": {"name": "Six bakery stools"}, "base": 0},
    "job changed": {"after": "tap-00001", "change": {"set": {"name": "Six ash stools"}}},
    "plan chosen": {"choices": {"flow": "part by part"}},
    "codes given": {"parts": [{"mark": "A", "quantity": 4}]},
    "stop made": {"run": RUN, "axis": "rip fence"},
    "stop set": {"run": RUN, "station": "saw", "work": "rip", "stops": [["rip fence", 84_000_000]]},
    "piece cut": {"run": RUN, "mark": "A", "count": 1},
    "piece spoiled": {"run": RUN, "mark": "A", "count": 1},
    "piece measured": {
        "run": RUN, "station": "saw", "axis": "rip fence",
        "target_nm": 84_000_000, "reading_nm": 84_000_000, "measured_nm": 84_300_000,
    },
    "reading noted": {"run": RUN, "axis": "rip fence", "reading_nm": 83_500_000},
    "machine made ready": {
        "run": RUN, "machine": "saw side", "from": "saw", "to": "spindle", "lost": [["saw", "blade height"]],
    },
    "machine used": {"moved": [["saw", "rip fence"]], "stands": [["saw", "rip fence", 84_000_000]]},
    "run noted": {"run": RUN, "text": "featherboard on the left, push block"},
    "run pictured": {"run": RUN, "jpeg": PICTURE},
    "run done": {"run": RUN},
    "run reopened": {"run": RUN},
    "undo": {"event": "tap-00001"},
    "piece scanned": {"piece": 6, "purpose": "sort"},
    "piece sorted": {"piece": 6, "unit": 2},
    "piece remade": {"piece": 6},
    "dry fit ticked": {"unit": 2, "joint": "J1"},
    "glue-up begun": {"unit": 2, "stage": 1, "glue": "white glue"},
    "joint closed": {"unit": 2, "stage": 1, "joint": "J1"},
    "glue-up done": {"unit": 2, "stage": 1},
    "shop saved": {"document": {"name": "Our shop"}, "base": 0},
    "shop changed": {"after": "tap-00001", "change": {"set": {"name": "Our shop"}}},
    "zero accepted": {"station": "saw", "axis": "rip fence", "zero_nm": -300_000},
    "kerf measured": {"station": "saw", "blade": "rip 24", "kerf_nm": 3_200_000},
    "job repeated": {"of": "1"},
    "job put away": {},
    "job brought back": {},
    "job joined": {"together": "3"},
    "job left": {"together": "3"},
    "minutes accepted": {"station": "saw", "axis": "rip fence", "seconds": 45},
    "changeover minutes accepted": {"machine": "saw side", "from": "saw", "to": "spindle", "seconds": 400},
    "mapping kept": {"signature": "0" * 64, "mapping": {"qty": "quantity"}},
    "offcut shelved": {
        "offcut": 5, "length_nm": 620_000_000, "width_nm": 90_000_000, "thickness_nm": 22_000_000, "sheet": False,
    },
    "offcut taken": {"offcut": 5},
    "device let in": {"device": "phone-0001", "name": "Ada's phone", "secret_hash": "0" * 64},
    "device shut out": {"device": "phone-0001"},
    "device named": {"device": "phone-0001", "name": "At the saw"},
}  # fmt: skip
"""One body for every kind, with nothing in it that may be left out."""

_numbers = count(1)


def tap(kind: str, job: str = "1", at: int = 0, id_: str = "", seq: int = 0, **body: Any) -> Event:
    """An event of the kind, `at` so many seconds after half past seven; fields given replace those of BODIES."""
    time = f"2026-03-01T07:{30 + at // 60:02}:{at % 60:02}.000Z"
    return Event(id_ or f"tap-{next(_numbers):08}", job, kind, time, "phone", BODIES[kind] | body, seq)
