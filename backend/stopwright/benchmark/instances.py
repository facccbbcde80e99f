"""What is measured on: published instances where the folder is there, and jobs made from fixed seeds."""

import json
from pathlib import Path
from time import process_time
from typing import Any

from stopwright.lengths import MM
from stopwright.model.job import Flow, Job
from stopwright.model.parts import Grain, Kind, Part
from stopwright.model.stock import Stock, StockKind

DATA = Path(__file__).resolve().parents[4] / "shared" / "data"


def published(name: str, data: Path = DATA) -> list[dict[str, Any]]:
    """The rows of one published file, empty where the folder is absent."""
    path = data / f"{name}.json"
    return list(json.loads(path.read_text())) if path.is_file() else []


def within(seconds: float) -> "Until":
    """An effort that has had enough after so many seconds of the processor: another's work takes nothing from it."""
    return Until(process_time() + seconds)


class Until:
    """True when the processor has worked until a moment."""

    def __init__(self, end: float) -> None:
        self.end = end

    def __call__(self) -> bool:
        """Whether it has."""
        return process_time() >= self.end


class Dice:
    """Whole numbers by chance from a seed, the same on every machine (a linear congruential generator, Knuth's)."""

    def __init__(self, seed: int) -> None:
        self._state = seed

    def __call__(self, below: int) -> int:
        """A number from 0 to below `below`."""
        self._state = (self._state * 6364136223846793005 + 1442695040888963407) % 2**64
        return (self._state >> 33) % below


def made_job(lines: int, pieces: int, seed: int = 7, flow: Flow = Flow.STATION_BY_STATION) -> Job:
    """A furniture-like job of so many part lines and about so many pieces: boards in four thicknesses, and panels."""
    dice, each = Dice(seed), pieces // lines
    parts = []
    for line in range(lines):
        panel = dice(4) == 0
        quantity = max(1, each + dice(each + 1) - each // 2)
        if panel:
            length, width = (300 + 10 * dice(80)) * MM, (150 + 10 * dice(40)) * MM
            parts.append(Part(f"P{line}", "panel", quantity, length, width, 18 * MM, "plywood", Kind.SHEET, Grain.ANY))
        else:
            width, thickness = (38, 45, 60, 70, 84, 95, 110)[dice(7)] * MM, (18, 22, 28, 38)[dice(4)] * MM
            parts.append(Part(f"P{line}", "rail", quantity, (200 + 5 * dice(200)) * MM, width, thickness, "ash"))
    stock = (
        Stock(StockKind.BOARD, None, 2400 * MM, 180 * MM, 45 * MM, "ash"),
        Stock(StockKind.BOARD, None, 2400 * MM, 150 * MM, 27 * MM, "ash"),
        Stock(StockKind.SHEET, None, 2440 * MM, 1220 * MM, 18 * MM, "plywood"),
    )
    return Job(f"{lines} lines", tuple(parts), flow=flow, stock=stock)
