"""Who may come in: pairing codes on the bench, devices with a secret of their own, shutting out."""

import hashlib
import hmac
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from stopwright.actions.keeping import Clock
from stopwright.errors import NotFound, NotLetIn, StopwrightError
from stopwright.model.codes import ALPHABET
from stopwright.store.devices import Device, fold_devices
from stopwright.store.events import Event, new_id, utc_now, written
from stopwright.store.kinds import text
from stopwright.store.log import Store

CODE_LIVES = timedelta(minutes=2)
CODE_LENGTH = 12
"""60 bits: at a thousand guesses a second, two minutes give one chance in ten million million."""
MOST_OPEN = 20

_READ_AS = str.maketrans({"O": "0", "I": "1", "L": "1", "-": None, " ": None})
_NOBODY = hashlib.sha256(b"nobody").hexdigest()


@dataclass(frozen=True, slots=True)
class Offer:
    """A code that lets one device in, once, until the time given."""

    code: str
    until: datetime


class Door:
    """Lets devices in and out. Codes live in memory: a restart makes them void; devices are kept in the log.

    Every refusal is the same NotLetIn, so that nobody learns whether a code, a device or a page exists.
    """

    def __init__(
        self, store: Store, now: Clock = utc_now, chance: Callable[[int], bytes] = secrets.token_bytes
    ) -> None:
        self._store = store
        self._now = now
        self._chance = chance
        self._offers: dict[str, datetime] = {}
        self._lock = threading.Lock()

    def offer_code(self) -> Offer:
        """A new code of twelve characters, good once within two minutes. Of many open codes the oldest goes."""
        code = "".join(ALPHABET[byte & 31] for byte in self._chance(CODE_LENGTH))
        until = self._now() + CODE_LIVES
        with self._lock:
            self._forget_old()
            while len(self._offers) >= MOST_OPEN:
                del self._offers[min(self._offers, key=lambda one: self._offers[one])]
            self._offers[code] = until
        return Offer(code, until)

    def is_good(self, code: str) -> bool:
        """True while the code would let somebody in; looking at it does not use it up."""
        with self._lock:
            return bool(self._matching(code))

    def let_in(self, code: str, name: str) -> str:
        """The token that the device must show from now on. Raises NotLetIn for a code that is wrong, used or old."""
        name = " ".join(name.split())
        if text(60)(name):
            raise StopwrightError("the device has no proper name", next_step="name it in 1 to 60 characters")
        self._use_up(code)
        device, secret = new_id(), self._chance(32).hex()
        body = {"device": device, "name": name, "secret_hash": _hash(secret)}
        self._store.append([Event(new_id(), "", "device let in", written(self._now()), device, body)])
        return f"{device}.{secret}"

    def who(self, token: str) -> Device:
        """The device that holds this token. Raises NotLetIn when there is none, or it was shut out."""
        id_, _, secret = token.partition(".")
        device = self._all().get(id_)
        right = hmac.compare_digest(_hash(secret), device.secret_hash if device else _NOBODY)
        if device is None or not right or device.shut_out:
            raise _refusal()
        return device

    def devices(self) -> list[Device]:
        """Every device let in, the latest first, those shut out last."""
        latest_first = list(self._all().values())[::-1]
        return sorted(latest_first, key=lambda device: bool(device.shut_out))

    def shut_out(self, device: str, by: str) -> None:
        """Shuts a device out from its next request on, for good; it can be let in anew as another. Raises NotFound."""
        self._tell("device shut out", device, by, {"device": device})

    def name(self, device: str, name: str, by: str) -> None:
        """Gives a device another name. Raises NotFound, StopwrightError."""
        self._tell("device named", device, by, {"device": device, "name": " ".join(name.split())})

    def _tell(self, kind: str, device: str, by: str, body: dict[str, str]) -> None:
        if device not in self._all():
            raise NotFound("there is no such device", next_step="choose one from the list")
        self._store.append([Event(new_id(), "", kind, written(self._now()), by, body)])

    def _all(self) -> dict[str, Device]:
        return self._store.folded("", fold_devices)

    def _use_up(self, code: str) -> None:
        with self._lock:
            found = self._matching(code)
            for one in found:
                del self._offers[one]
        if not found:
            raise _refusal()

    def _matching(self, code: str) -> list[str]:
        """The open offer of that code, compared in a time that tells nothing; the lock is held."""
        self._forget_old()
        typed = code.upper().translate(_READ_AS).encode(errors="replace")
        return [one for one in self._offers if hmac.compare_digest(one.encode(), typed)]

    def _forget_old(self) -> None:
        now = self._now()
        self._offers = {code: until for code, until in self._offers.items() if now < until}


def _hash(secret: str) -> str:
    """SHA-256; the secret has 256 bits of chance, so that neither salt nor stretching would add anything."""
    return hashlib.sha256(secret.encode(errors="replace")).hexdigest()


def _refusal() -> NotLetIn:
    return NotLetIn("this device has not been let in", next_step="scan the code that the bench shows")
