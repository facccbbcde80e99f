"""Who may come in: one-use codes shown on the bench, and the devices that came in with one."""

import hashlib
import secrets
import threading
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from time import monotonic

from stopwright.store.events import Event, new_id, utc_now, written
from stopwright.store.log import Store

CODE_SECONDS = 120.0
CODES_AT_ONCE = 20
COOKIE = "stopwright_device"
BENCH = "bench"

_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


@dataclass(frozen=True, slots=True)
class Device:
    """A phone that was let in: its id, the name given to it, when it came (as the log writes times)."""

    id: str
    name: str
    since: str


class Door:
    """Hands out codes, lets devices in and shuts them out. Codes live in memory, devices in the log of the shop.

    Neither a code nor a device's secret is ever kept, only its hash. `clock` counts seconds.
    """

    def __init__(self, store: Store, clock: Callable[[], float] = monotonic) -> None:
        self._store = store
        self._clock = clock
        self._lock = threading.Lock()
        self._codes: dict[str, float] = {}

    def new_code(self) -> str:
        """A code that lets one device in, once, within two minutes; letters and figures that suit a QR code."""
        code = "".join(secrets.choice(_LETTERS) for _ in range(26))
        with self._lock:
            now = self._clock()
            alive = {one: until for one, until in self._codes.items() if until > now}
            while len(alive) >= CODES_AT_ONCE:
                alive.pop(next(iter(alive)))
            self._codes = alive | {_hash(code): now + CODE_SECONDS}
        return code

    def is_good(self, code: str) -> bool:
        """True while the code would still let somebody in; looking at it does not use it up."""
        with self._lock:
            return self._codes.get(_hash(code.upper()), -1.0) > self._clock()

    def let_in(self, code: str, name: str) -> str | None:
        """The secret for the new device's cookie, None when the code is not good (any more). Uses the code up."""
        with self._lock:
            until = self._codes.pop(_hash(code.upper()), -1.0)
            if until <= self._clock():
                return None
        device, secret = new_id(), secrets.token_urlsafe(32)
        self._note("device let in", {"device": device, "name": named(name), "secret_hash": _hash(secret)})
        return f"{device}.{secret}"

    def device_of(self, cookie: str) -> Device | None:
        """The device that a cookie belongs to, None for a made-up one and for one that was shut out."""
        device, _, secret = cookie.partition(".")
        found = self._store.folded("", fold_devices).get(device)
        if found and secrets.compare_digest(found[1], _hash(secret)):
            return found[0]
        return None

    def devices(self) -> list[Device]:
        """All devices that may come in, the newest first."""
        return [device for device, _ in reversed(self._store.folded("", fold_devices).values())]

    def device_ids(self) -> Collection[str]:
        """The ids of all devices that may come in."""
        return self._store.folded("", fold_devices).keys()

    def shut_out(self, device: str) -> None:
        """Nothing that this device sends is answered any more."""
        self._note("device shut out", {"device": device})

    def rename(self, device: str, name: str) -> None:
        """Gives the device another name."""
        self._note("device named", {"device": device, "name": named(name)})

    def _note(self, kind: str, body: dict[str, str]) -> None:
        self._store.append([Event(new_id(), "", kind, written(utc_now()), BENCH, body)])


def fold_devices(events: Sequence[Event]) -> dict[str, tuple[Device, str]]:
    """Devices that may come in with the hash of their secret, by id; who was shut out never comes back."""
    devices: dict[str, tuple[Device, str]] = {}
    names: dict[str, tuple[str, str, str]] = {}
    out: set[str] = set()
    for event in events:
        body = event.body
        if event.kind == "device let in":
            devices[body["device"]] = (Device(body["device"], body["name"], event.at), body["secret_hash"])
        elif event.kind == "device named":
            names[body["device"]] = max(names.get(body["device"], ("", "", "")), (event.at, event.id, body["name"]))
        elif event.kind == "device shut out":
            out.add(body["device"])
    return {
        id_: (Device(id_, names[id_][2] if id_ in names else device.name, device.since), secret)
        for id_, (device, secret) in devices.items()
        if id_ not in out
    }


def named(name: str) -> str:
    """A name fit to be shown: one line, at most 60 characters, never empty.

    >>> named("  Marta's  \\n phone "), named("")
    ("Marta's phone", 'A phone')
    """
    plain = " ".join("".join(sign if sign.isprintable() else " " for sign in name).split())
    return plain[:60].strip() or "A phone"


def _hash(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
