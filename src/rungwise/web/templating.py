"""How a page is put together: the templates, their words, and the choice of light or dark."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from itertools import count
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal, get_args

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from jinja2.filters import do_urlencode
from markupsafe import Markup, escape

from rungwise.diagnosis import percent, sentence
from rungwise.parts import JOINT_WORDS
from rungwise.quantity import format_quantity
from rungwise.services import minutes
from rungwise.version import __version__
from rungwise.web.filters import (
    amount,
    anchor,
    asked,
    skipping,
    terminal,
    together,
)
from rungwise.web.forms import fresh_token
from rungwise.web.languages import LANGUAGE_NAMES, SYSTEM_NAMES, put, system_of, told_apart
from rungwise.web.links import STRIP
from rungwise.web.statics import static_url, style_mark
from rungwise.web.styles import dressed
from rungwise.wording import capital, current, gettext, hours_now, named, ngettext

Light = Literal["auto", "sun", "night"]
LIGHTS: tuple[Light, ...] = get_args(Light)


WEB = Path(__file__).parent
"""Templates and styles lie here, in the folder of their page or in those that pages share."""


def _told(message: str, /, **values: object) -> Markup:
    """A message of a template with its values, each of them in the language too."""
    return Markup(gettext(message)) % {name: put(each) for name, each in values.items()}  # noqa: S704


def _told_by_count(one: str, many: str, num: int, /, **values: object) -> Markup:
    """The same with a count."""
    held = {"num": num} | {name: put(each) for name, each in values.items()}
    return Markup(ngettext(one, many, num)) % held  # noqa: S704


def _in_a_row(rows: Iterable[object], between: str = "") -> Markup:
    """Texts one after the other, each in the language."""
    return escape(between).join(escape(put(each)) for each in rows)


NONE: Mapping[str, str] = MappingProxyType({})


@cache
def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader([WEB / "templates", *sorted((WEB / "pages").glob("*/"))]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        extensions=["jinja2.ext.i18n"],
        finalize=put,
    )
    made.globals |= {"_": _told, "gettext": _told, "ngettext": _told_by_count}
    made.filters |= {
        "percent": percent,
        "sentence": sentence,
        "minutes": minutes,
        "named": named,
        "joint": JOINT_WORDS.__getitem__,
        "plain": str.__str__,
        "anchor": anchor,
        "asked": asked,
        "capital": capital,
        "join": _in_a_row,
        "amount": amount,
        "quantity": format_quantity,
        "skipping": skipping,
        "terminal": terminal,
        "urlencode": lru_cache(maxsize=4096)(do_urlencode),  # a page links to each of 200 checks
    }
    made.globals |= {"static": static_url, "version": __version__, "lights": LIGHTS, "strip": STRIP}
    made.globals |= {"style_mark": style_mark, "hours": hours_now}
    made.globals |= {"languages": LANGUAGE_NAMES, "systems": SYSTEM_NAMES}
    return made


class Piece:
    """A piece of a page, as it is asked for: light or dark, person, language and units of it.

    names: what a person calls the terminals that it may speak of.
    """

    def __init__(self, request: Request, names: Mapping[str, str] = NONE) -> None:
        light = request.cookies.get("light", "auto")
        self.names, self.system = names, system_of(request)
        self.around = {
            "light": light if light in LIGHTS else "auto",
            "person": getattr(request.state, "person", ""),
            "person_id": getattr(request.state, "person_id", None),
            "here": request.url.path,
            "again_at": f"{request.url.path}?{request.url.query}".rstrip("?"),
            "language": current(),
            "system": self.system,
            "demo": bool(request.cookies.get("demo")),
            "running": request.cookies.get("timers") == "1",
        }

    def __call__(self, template: str, **told: Any) -> str:
        """The HTML of a template."""
        text = _environment().get_template(template).render(**self.around, **told)
        return told_apart(together(text, self.names))


def render(
    request: Request, template: str, *, status: int = 200, names: Mapping[str, str] = NONE,
    **told: Any,
) -> HTMLResponse:  # fmt: skip
    """The page of a template. Light or dark comes from the cookie, the person too.

    names: what a person calls the terminals that the page may speak of.
    """
    shown = Piece(request, names)(template, **told)
    page, policy = dressed(shown, request.cookies.get("styled", ""))
    headers = {
        "content-language": current(), "vary": "accept-language, cookie",
        "content-security-policy": policy,
    }  # fmt: skip
    return HTMLResponse(once_each(page), status_code=status, headers=headers)


def once_each(html: str) -> str:
    """The page with a token in each form that keeps something, so that it counts once.

    Without script this is all there is; the script gives each sending a token of its own.
    """
    page, numbers = fresh_token(), count(1)
    return _KEEPING.sub(
        lambda form: f'{form[0]}<input type="hidden" name="token" value="{page}{next(numbers)}">',
        html,
    )


_KEEPING = re.compile(r'<form method="post"[^>]*>(?!\s*<input type="hidden" name="token")')
