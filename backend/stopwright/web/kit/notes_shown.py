"""Notes and pictures of a set-up as pages show them."""

from collections.abc import Iterable
from typing import Any

from stopwright.store.run_fold import Note


def notes_shown(job: str, notes: Iterable[Note]) -> list[dict[str, Any]]:
    """For each note its text, or the address of its picture in that job; `at` is the day."""
    return [
        {"text": one.text, "picture": f"/jobs/{job}/pictures/{one.event}" if one.is_picture else "", "at": one.at[:10]}
        for one in notes
    ]
