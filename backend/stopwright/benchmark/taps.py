"""How long a tap takes with a shop full of phones, and what the phone page weighs; one server process, real disk."""

import asyncio
import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Awaitable, Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter
from typing import Any

from stopwright.actions.jobs.keeping import create_job
from stopwright.benchmark.figures import Figure
from stopwright.benchmark.instances import made_job
from stopwright.benchmark.phone import Connection, FollowingPhone
from stopwright.intake.job_file import job_to_document
from stopwright.store.events import new_id, utc_now, written
from stopwright.store.log import Store

PAUSE = 1.0
"""Seconds from one tap of a phone to its next: nobody counts pieces faster for long."""
JOB = "1"
RUNS = 12
SETTLE = 1.0


def measure_taps(quick: bool, _yardstick: float) -> Iterator[Figure]:
    """The figures of `run_taps` beside what they ought to be."""
    found = run_taps(taps=100 if quick else 500)
    how = f"{found['phones']} phones, {found['before']} taps before"
    yield Figure("a tap stored, p50", found["stored"]["p50"], "ms", note=how)
    yield Figure("a tap stored, p99", found["stored"]["p99"], "ms", 50, how)
    yield Figure("a tap seen by all, p99", found["seen"]["p99"], "ms", 1000, how)
    for name, ratio in found["ratio"].items():
        bare = f"bare {found['bare'][name]} ms"
        yield Figure(f"a tap against a bare row behind the same web server, {name}", ratio, "×", note=bare)
    beside = run_beside_plans(taps=60 if quick else 400)
    load = f"{beside['phones']} phones, {beside['plans']} plans of {beside['pieces']} pieces, {beside['taps']} taps"
    yield Figure("a tap stored beside plans against undisturbed, p99", beside["ratio"], "×", 2, load)
    yield Figure("a tap stored beside plans, p99", beside["stored"]["p99"], "ms", 50, load)
    yield Figure("taps a second without pause", found["flat_out"], "/s", note=how)
    yield Figure("phone page, first load", found["page_bytes"] / 1000, "kB", 60)


def run_taps(phones: int = 50, taps: int = 500, before: int = 2000) -> dict[str, Any]:
    """Milliseconds: `stored` (sent until acknowledged, so on disk) and `seen` (until every other phone has it).

    Every phone follows the job and taps once a second; `before` taps are in the job beforehand. `bare` is one row
    into SQLite behind the same web server under the same taps, `ratio` how much longer ours takes; `flat_out` is
    taps a second when all phones tap without pause, `page_bytes` the first load of the phone page over the wire.
    """
    with tempfile.TemporaryDirectory() as folder:
        with _server("stopwright.benchmark.bare_insert", str(Path(folder, "bare.db"))) as port:
            bare = asyncio.run(_bare(port, phones, taps))
        with _server("stopwright", "demo", "--data", folder, "--port", "0") as port:
            measured = asyncio.run(_ours(port, phones, taps, before))
            measured["page_bytes"] = asyncio.run(_page_bytes(port))
    ratio = {name: round(measured["stored"][name] / bare[name], 2) for name in ("p50", "p99")}
    return {"phones": phones, "taps": taps, "before": before} | measured | {"bare": bare, "ratio": ratio}


def run_beside_plans(phones: int = 10, plans: int = 3, pieces: int = 5000, taps: int = 400) -> dict[str, Any]:
    """Milliseconds until a tap is stored: `alone`, and `stored` while so many plans are made; `ratio` of their p99."""
    with (
        tempfile.TemporaryDirectory() as folder,
        _server("stopwright", "demo", "--data", folder, "--port", "0") as port,
    ):
        with Store.open(Path(folder, "demo.sqlite")) as store:
            made = (made_job(pieces // 25, pieces, seed) for seed in range(plans))
            jobs = [create_job(store, job_to_document(job), "bench") for job in made]
        alone, beside = asyncio.run(_beside(port, phones, jobs, taps))
    ratio = round(_quantiles(beside)["p99"] / _quantiles(alone)["p99"], 2)
    about = {"phones": phones, "plans": plans, "pieces": pieces, "taps": len(beside)}
    return about | {"alone": _quantiles(alone), "stored": _quantiles(beside), "ratio": ratio}


async def _beside(port: int, phones: int, jobs: Sequence[str], taps: int) -> tuple[list[float], list[float]]:
    shop = [FollowingPhone(port, JOB) for _ in range(phones)]
    alone = await _all_tap([phone.tap for phone in shop], taps, {})
    planning = [asyncio.create_task(_until_planned(port, job)) for job in jobs]
    beside = await _all_tap([phone.tap for phone in shop], phones, {})
    while not all(one.done() for one in planning):
        beside += await _all_tap([phone.tap for phone in shop], phones, {})
    await asyncio.gather(*planning)
    for phone in shop:
        phone.close()
    return alone, beside


async def _until_planned(port: int, job: str) -> None:
    """Waits as the page does that says a plan is being made."""
    connection = Connection(port)
    while json.loads((await connection.ask("GET", f"/jobs/{job}/sheet/progress"))[1])["running"]:
        await asyncio.sleep(PAUSE)
    connection.close()


@contextmanager
def _server(*arguments: str) -> Iterator[int]:
    """The port at which a server process of its own listens, as it says itself: `Name: http://host:port `."""
    command = [sys.executable, "-m", *arguments]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            said = (re.match(r"\w+: http://127\.0\.0\.1:(\d+) ", line) for line in process.stdout)
            found = next((match for match in said if match), None)
            if found is None:
                raise ConnectionError(f"{' '.join(command)} did not begin to serve")
            yield int(found[1])
        finally:
            process.terminate()
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                process.kill()


async def _ours(port: int, phones: int, taps: int, before: int) -> dict[str, Any]:
    shop = [FollowingPhone(port, JOB) for _ in range(phones)]
    begun = perf_counter()
    await asyncio.gather(
        *(_tap_on(phone.tap, part, 0.0) for phone, part in zip(shop, _parts(before, phones), strict=True))
    )
    flat_out = before / (perf_counter() - begun) if before else 0.0
    lines = [asyncio.create_task(phone.follow(f"page-{place}")) for place, phone in enumerate(shop)]
    await asyncio.sleep(SETTLE)
    sent: dict[str, float] = {}
    stored = await _all_tap([phone.tap for phone in shop], taps, sent)
    await asyncio.sleep(SETTLE)
    for line in lines:
        line.cancel()
    unseen = sum(id_ not in phone.seen for phone in shop for id_ in sent)
    if unseen:
        raise ConnectionError(f"{unseen} times a phone never heard of a tap")
    seen = [max(phone.seen[id_] for phone in shop) - at for id_, at in sent.items()]
    for phone in shop:
        phone.close()
    return {"stored": _quantiles(stored), "seen": _quantiles(seen), "flat_out": round(flat_out)}


async def _bare(port: int, phones: int, taps: int) -> dict[str, float]:
    connections = [Connection(port) for _ in range(phones)]

    def tap_by(connection: Connection) -> Callable[[dict[str, Any]], Awaitable[float]]:
        async def tap(event: dict[str, Any]) -> float:
            begun = perf_counter()
            await connection.ask("POST", "/", json.dumps(event).encode(), content_type="application/json")
            return perf_counter() - begun

        return tap

    taken = await _all_tap([tap_by(connection) for connection in connections], taps, {})
    for connection in connections:
        connection.close()
    return _quantiles(taken)


async def _all_tap(
    tap_by: Sequence[Callable[[dict[str, Any]], Awaitable[float]]], taps: int, sent: dict[str, float]
) -> list[float]:
    """All phones tap once a second, evenly out of step; `sent` gets the moment of each tap by its id."""
    parts = _parts(taps, len(tap_by))

    async def one(place: int) -> list[float]:
        await asyncio.sleep(PAUSE * place / len(tap_by))
        return await _tap_on(tap_by[place], parts[place], PAUSE, sent)

    return [taken for part in await asyncio.gather(*map(one, range(len(tap_by)))) for taken in part]


async def _tap_on(
    tap: Callable[[dict[str, Any]], Awaitable[float]], count: int, pause: float, sent: dict[str, float] | None = None
) -> list[float]:
    taken = []
    for number in range(count):
        body = {"run": f"saw|crosscut|stop={number % RUNS}", "mark": "A", "count": 1}
        id_, begun = new_id(), perf_counter()
        event = {"id": id_, "kind": "piece cut", "at": written(utc_now()), "body": body}
        if sent is not None:
            sent[id_] = begun
        taken.append(await tap(event))
        await asyncio.sleep(max(0.0, begun + pause - perf_counter()))
    return taken


async def _page_bytes(port: int) -> int:
    """The phone page with all its styles and scripts, heads included, as a browser asks for them."""
    connection, size = Connection(port), 0
    wanted, had = [f"/jobs/{JOB}/runs/1"], set[str]()
    while wanted:
        path = wanted.pop()
        had.add(path)
        head, body = await connection.ask("GET", path, accept="text/html,*/*", accept_encoding="identity")
        text = body.decode(errors="replace")
        packed = await connection.ask("GET", path, accept="text/html,*/*", accept_encoding="gzip")
        size += sum(map(len, packed))
        if b"text/html" in head:
            wanted += {found for found in re.findall(r'"(/(?:styles|scripts)/[^"]+)"', text) if found not in had}
    connection.close()
    return size


def _parts(count: int, phones: int) -> list[int]:
    return [count // phones + (place < count % phones) for place in range(phones)]


def _quantiles(seconds: Sequence[float]) -> dict[str, float]:
    """Median, the longest of the best 99 in 100, and the longest, in milliseconds."""
    sorted_ = sorted(seconds)
    at = {"p50": len(sorted_) // 2, "p99": max(0, -(-len(sorted_) * 99 // 100) - 1), "most": len(sorted_) - 1}
    return {name: round(sorted_[place] * 1000, 2) for name, place in at.items()}
