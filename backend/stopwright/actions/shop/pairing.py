"""Who may come in: one-use codes shown on the bench, the devices that came in with one, and shutting out."""

import hashlib
import hmac
import secrets
import threading
from collections.abc import Callable, Collection
from time import monotonic

from stopwright.errors import NotFound, NotPaired
from stopwright.model.codes import ALPHABET
from stopwright.store.devices import Device, fold_devices
from stopwright.store.events import Event, new_id, utc_now, written
from stopwright.store.log import Store

BENCH = "bench"
CODE_SECONDS = 120.0
CODE_LENGTH = 12
"""60 bits: at a thousand guesses a second, two minutes give one chance in ten million million."""
CODES_AT_ONCE = 20

_READ_AS = str.maketrans({"O": "0", "I": "1", "L": "1", "-": None, " ": None})
_NOBODY = hashlib.sha256(b"nobody").hexdigest()


class Door:
    """Lets devices in and out. Codes live in memory: a restart makes them void; devices are kept in the log.

    Neither a code nor a device's secret is kept, only its hash. `clock` counts seconds and never goes back, as the
    time of day may.
    """

    def __init__(self, store: Store, clock: Callable[[], float] = monotonic) -> None:
        self._store = store
        self._clock = clock
        self._lock = threading.Lock()
        self._codes: dict[str, float] = {}

    def new_code(self) -> str:
        """A code that lets one device in, once, within two minutes. Of too many open codes the oldest goes."""
        code = "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))
        with self._lock:
            now = self._clock()
            alive = {one: until for one, until in self._codes.items() if until > now}
            while len(alive) >= CODES_AT_ONCE:
                alive.pop(next(iter(alive)))
            self._codes = alive | {_hash(code): now + CODE_SECONDS}
        return code

    def is_good(self, code: str) -> bool:
        """True while the code would let somebody in; looking at it does not use it up."""
        with self._lock:
            return self._codes.get(_hash(_typed(code)), -1.0) > self._clock()

    def pair(self, code: str, name: str) -> str:
        """The token that the device must show from now on; uses the code up.

        Raises NotPaired for a code that is wrong, used or old, so that nobody learns which.
        """
        with self._lock:
            if self._codes.pop(_hash(_typed(code)), -1.0) <= self._clock():
                raise NotPaired("this code pairs no phone", next_step="scan the code that the bench shows now")
        device, secret = new_id(), secrets.token_hex(32)
        body = {"device": device, "name": named(name), "secret_hash": _hash(secret)}
        self._tell("device let in", device, body)
        return f"{device}.{secret}"

    def who(self, token: str) -> Device | None:
        """The device that holds this token, None for a made-up one and for one that was removed."""
        id_, _, secret = token.partition(".")
        device = self._all().get(id_)
        right = hmac.compare_digest(_hash(secret), device.secret_hash if device else _NOBODY)
        return device if device and right and not device.shut_out else None

    def devices(self) -> list[Device]:
        """Every device that may come in, the latest first."""
        return [device for device in reversed(self._all().values()) if not device.shut_out]

    def device_ids(self) -> Collection[str]:
        """The ids of all devices that may come in."""
        return {device.id for device in self._all().values() if not device.shut_out}

    def shut_out(self, device: str, by: str = BENCH) -> None:
        """Removes a device from its next request on, for good; it can be paired anew as another. Raises NotFound."""
        self._known(device)
        self._tell("device shut out", by, {"device": device})

    def rename(self, device: str, name: str, by: str = BENCH) -> None:
        """Gives a device another name. Raises NotFound."""
        self._known(device)
        self._tell("device named", by, {"device": device, "name": named(name)})

    def _known(self, device: str) -> None:
        if device not in self._all():
            raise NotFound("there is no such device", next_step="choose one from the list")

    def _tell(self, kind: str, by: str, body: dict[str, str]) -> None:
        self._store.append([Event(new_id(), "", kind, written(utc_now()), by, body)])

    def _all(self) -> dict[str, Device]:
        return self._store.folded("", fold_devices, ("device let in", "device named", "device shut out"))


def named(name: str) -> str:
    """A name fit to be shown: one line, at most 60 characters, never empty.

    >>> named("  Marta's  \\n phone "), named("")
    ("Marta's phone", 'A phone')
    """
    plain = " ".join("".join(sign if sign.isprintable() else " " for sign in name).split())
    return plain[:60].strip() or "A phone"


def _typed(code: str) -> str:
    return code.upper().translate(_READ_AS)


def _hash(secret: str) -> str:
    """SHA-256; a secret has 256 bits of chance and a code two minutes, so that salt would add nothing."""
    return hashlib.sha256(secret.encode(errors="replace")).hexdigest()
