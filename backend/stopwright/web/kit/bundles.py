"""Scripts and styles of a page in one answer each: a phone far from the bench waits once, not forty times.

There is no build step: the modules are put together as they are served, each in a function of its own, in the order in
which they ask for each other.
"""

import re
from collections.abc import Sequence
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from fastapi import APIRouter, Request
from starlette.responses import Response

from stopwright.errors import NotFound
from stopwright.web.kit.guard import FOR_PHONES

PAGES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "runs": (
        ("run-page.js", "waiting.js"),
        (
            "run-stepper.css",
            "drawn-scale.css",
            "run-list.css",
            "far-view.css",
            "number-pad.css",
            "machines.css",
            "notes.css",
        ),
    ),
}
"""By the name of a page, the scripts that it starts and the styles that it needs besides the base."""

_IMPORT = re.compile(r'^import (?:(?P<names>\{[^}]*\}|\* as \w+) from )?"(?P<path>\.[^"]+)";\n', re.MULTILINE)
_LATER = re.compile(r'\bimport\("(\.[^"]+)"\)')
_EXPORT = re.compile(r"^export ((?:async )?function|class|const) (\w+)", re.MULTILINE)
_COMMENT = re.compile(r"^[ \t]*(?://.*|/\*\*(?:[^*]|\*(?!/))*\*/)\n|/\*\* @type [^\n]*? \*/ ?", re.MULTILINE)
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)
_SAID_IN_STYLES = re.compile(r"/\*.*?\*/\n?", re.DOTALL)


def bundled_scripts(folder: Path, entries: Sequence[str]) -> str:
    """One script that does what these modules and all that they import do. Raises ValueError for what it cannot join:
    modules that import each other, and names that are exported but change."""
    joined = _Joined(folder.resolve())
    started = [joined.text_of(folder.resolve() / entry) for entry in entries]
    return "\n".join([*joined.modules.values(), *(f"{{\n{text}}}" for text in started)])


def bundled_styles(folder: Path, names: Sequence[str]) -> str:
    """The styles one behind the other, without what is said in them."""
    return "\n".join(_SAID_IN_STYLES.sub("", (folder / name).read_text("utf-8")) for name in names)


def bundle_routes(frontend: Path) -> APIRouter:
    """What a page asks for in one."""
    routes = APIRouter(tags=FOR_PHONES)

    @lru_cache(len(PAGES))
    def joined(page: str, _: int) -> str:
        return bundled_scripts(frontend / "scripts", _page(page)[0])

    @routes.get("/scripts/bundle/{page}.js")
    def scripts(request: Request, page: str) -> Response:
        """Joined once; anew only where a module was written since."""
        written = max(one.stat().st_mtime_ns for one in (frontend / "scripts").rglob("*.js"))
        return _answer(request, joined(page, written), "text/javascript")

    @routes.get("/styles/bundle/{page}.css")
    def styles(request: Request, page: str) -> Response:
        return _answer(request, bundled_styles(frontend / "styles", _page(page)[1]), "text/css")

    return routes


def _page(name: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    if name not in PAGES:
        raise NotFound("There is no such file.", name, "Reload the page.")
    return PAGES[name]


def _answer(request: Request, text: str, kind: str) -> Response:
    """The text, or word that the one which the browser has is the same still."""
    mark = f'"{sha256(text.encode()).hexdigest()[:20]}"'
    headers = {"etag": mark, "cache-control": "no-cache"}
    if mark in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    return Response(text, media_type=kind, headers=headers)


class _Joined:
    """Modules as functions that give what they export, those that are asked for first."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.modules: dict[Path, str] = {}
        self._open: list[Path] = []

    def text_of(self, path: Path) -> str:
        """The text of a module without comments, types and indents, its imports taken from the modules before it."""
        text = _COMMENT.sub("", path.read_text("utf-8"))  # first: a type names the module that it is from
        text = _IMPORT.sub(lambda found: self._import(path, found), text)
        text = _LATER.sub(lambda found: f"Promise.resolve({self._name(path, found[1])})", text)
        return _INDENT.sub("", text)

    def _import(self, path: Path, found: re.Match[str]) -> str:
        name, names = self._name(path, found["path"]), found["names"]
        if names is None:
            return ""
        if names.startswith("*"):
            return f"const {names.removeprefix('* as ')} = {name};\n"
        return f"const {names.replace(' as ', ': ')} = {name};\n"

    def _name(self, path: Path, asked: str) -> str:
        module = (path.parent / asked).resolve()
        if module not in self.modules:
            self._take_in(module)
        return f"m{list(self.modules).index(module)}"

    def _take_in(self, module: Path) -> None:
        if module in self._open:
            raise ValueError(f"{module.name} imports itself by way of others")
        self._open.append(module)
        text = self.text_of(module)
        self._open.pop()
        exported = [name for _, name in _EXPORT.findall(text)]
        text = _EXPORT.sub(r"\1 \2", text)
        if re.search(r"^(export|import) ", text, re.MULTILINE):
            raise ValueError(f"{module.name} has an import or export that cannot be joined")
        place = len(self.modules)
        self.modules[module] = f"const m{place} = (() => {{\n{text}return {{ {', '.join(exported)} }};\n}})();"
