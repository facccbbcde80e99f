"""What was worked out from the log, kept in files beside it to go on from; without them it is worked out anew."""

import json
import logging
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from stopwright.store.trouble import owner_only

log = logging.getLogger(__name__)

PROGRAM = Path(__file__).parent.parent


class Kept:
    """Files in a folder of their own beside the log. Whatever is in doubt counts as not there: another program wrote
    it, it is cut short or altered, or `mark` does not fit. Nothing that cannot be written stands in anybody's way.
    """

    def __init__(self, log_path: Path) -> None:
        self._folder = log_path.with_name(log_path.name + "-kept")

    def read(self, name: str, mark: str) -> Any:
        """What was written under this name with this mark, None if there is nothing of the kind."""
        try:
            digest, text = self._file(name).read_text(encoding="utf-8").split("\n", 1)
        except (OSError, ValueError):
            return None
        return json.loads(text) if digest == _digest(mark, text) else None

    def write(self, name: str, mark: str, value: Any) -> None:
        """Keeps the value in the place of what was kept under the name."""
        text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
        part = self._file(f"{name}.part")
        try:
            self._folder.mkdir(exist_ok=True)
            owner_only(self._folder)
            part.write_text(f"{_digest(mark, text)}\n{text}", encoding="utf-8")
            owner_only(part)
            part.replace(self._file(name))
        except (OSError, UnicodeEncodeError) as error:
            log.info("%s is not kept: %s", name, error)

    def _file(self, name: str) -> Path:
        return self._folder / name


def _digest(mark: str, text: str) -> str:
    return sha256("\0".join((program_mark(), mark, text)).encode("utf-8", "replace")).hexdigest()


@cache
def program_mark() -> str:
    """What tells this program from one that may work things out otherwise: its files, their sizes and times."""
    files = sorted((path.stat().st_size, path.stat().st_mtime_ns, path.name) for path in PROGRAM.rglob("*.py"))
    return sha256(repr(files).encode()).hexdigest()
