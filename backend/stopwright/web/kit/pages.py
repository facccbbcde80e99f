"""Pages from templates: Jinja with autoescape, the length filters, and the ways a person wants things shown."""

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse

from stopwright.lengths import Show
from stopwright.web.kit.shown import SHOWN, figure_html, length_html, said_html, size_html

TEXT_SIZES = ("normal", "large", "largest")
THUMBS = ("right", "left")


@dataclass(frozen=True, slots=True)
class Ways:
    """How this device wants things shown: unit of lengths, size of text, which thumb; kept in plain cookies."""

    show: Show
    text: str = "normal"
    thumb: str = "right"


def opened(text: str) -> str:
    """The text with a capital letter first; the rest as the shop writes it.

    >>> opened("CNC-free saw, rip"), opened("saw, rip")
    ('CNC-free saw, rip', 'Saw, rip')
    """
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """The text as a sentence of its own.

    >>> sentence("there is no such job"), sentence("There is no such page.")
    ('There is no such job.', 'There is no such page.')
    """
    return opened(text) + ("" if text.endswith((".", "!", "?")) else ".")


class Pages:
    """The templates of one folder. `shop_show` is how the shop shows lengths unless a device says otherwise."""

    def __init__(self, folder: Path, shop_show: Show) -> None:
        self._shop_show = shop_show
        self._templates = Environment(
            loader=FileSystemLoader(folder),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self._templates.filters |= {"opened": opened, "sentence": sentence}

    def ways(self, request: Request, show_unless_said: Show | None = None) -> Ways:
        """What the device's cookies ask for; without a word from them `show_unless_said`, else the shop's way."""
        show, text = unquote(request.cookies.get("show", "")), request.cookies.get("text", "")
        thumb = request.cookies.get("thumb", "")
        return Ways(
            Show(show) if show in SHOWN else show_unless_said or self._shop_show,
            text if text in TEXT_SIZES else "normal",
            thumb if thumb in THUMBS else "right",
        )

    def show(
        self, request: Request, name: str, status: int = 200, *, shop_show: Show | None = None, **data: Any
    ) -> HTMLResponse:
        """The page of a template, filled. In it `length`, `figure`, `size` and `said` give texts that switch units."""
        ways = self.ways(request, shop_show)
        page = self._templates.get_template(name).render(
            ways=ways,
            shown=SHOWN,
            text_sizes=TEXT_SIZES,
            thumbs=THUMBS,
            length=partial(length_html, show=ways.show),
            figure=partial(figure_html, show=ways.show),
            size=partial(size_html, show=ways.show),
            said=partial(said_html, show=ways.show),
            **data,
        )
        return HTMLResponse(page, status)
