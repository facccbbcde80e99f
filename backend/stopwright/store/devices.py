"""The devices that were paired: their names, and whether they were removed again."""

from collections.abc import Iterable
from dataclasses import dataclass

from stopwright.store.events import Event


@dataclass(frozen=True, slots=True)
class Device:
    """A device that was paired, at `since`. `secret_hash` stands for the secret only it holds; removed is for good."""

    id: str
    name: str
    since: str
    secret_hash: str
    shut_out: str = ""


def fold_devices(events: Iterable[Event]) -> dict[str, Device]:
    """Every device ever paired, by its id, in the order of its coming. Nothing of this can be undone by a tap."""
    once = sorted({event.id: event for event in events}.values(), key=lambda event: (event.seq, event.at, event.id))
    names = {event.body["device"]: event.body["name"] for event in once if event.kind == "device named"}
    out: dict[str, str] = {}
    for event in once:
        if event.kind == "device shut out":
            out.setdefault(event.body["device"], event.at)
    devices: dict[str, Device] = {}
    for event in once:
        body = event.body
        if event.kind == "device let in" and body["device"] not in devices:
            id_ = body["device"]
            name = names.get(id_, body["name"])
            devices[id_] = Device(id_, name, event.at, body["secret_hash"], out.get(id_, ""))
    return devices
