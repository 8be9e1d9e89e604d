"""A page in the language and the units of who reads it."""

from __future__ import annotations

import datetime as dt
import re

from starlette.requests import HTTPConnection

from rungwise.wording import SYSTEMS, Said, System, day_told, is_known, mark, moment_told, told

LANGUAGE_NAMES = (("en", "English"), ("es", "Español"))
"""Each by its own name."""

SYSTEM_NAMES = (("us", mark("°F, psi, in-lb")), ("si", mark("°C, kPa, N·m")))

_OPEN, _SHUT = "\ue000", "\ue001"
"""Private signs around what is shown in English for want of its message, until the page is whole:
only then is it known whether a tag may stand there."""

_MARKED = re.compile(
    rf"(<(?:textarea|option|title|svg)\b.*?</(?:textarea|option|title|svg)>|<[^<>]*>)"
    rf"|{_OPEN}([^{_SHUT}]*){_SHUT}",
    re.DOTALL,
)


def system_of(request: HTTPConnection) -> System:
    """The units that this phone is set to, else those of its region, else the US trade's."""
    told = (request.cookies.get(each, "") for each in ("measures", "units"))
    return next((each for chosen in told for each in SYSTEMS if each == chosen), "us")


def put(value: object) -> object:
    """What a template is given, in the language that is spoken; a day as it is read there."""
    if isinstance(value, dt.date):
        value = moment_told(value) if isinstance(value, dt.datetime) else day_told(value)
    if not isinstance(value, Said):
        return value
    return told(value) if is_known(value) else f"{_OPEN}{value}{_SHUT}"


def told_apart(html: str) -> str:
    """The page with what is in English on a page of another language marked as English."""
    return _MARKED.sub(_marked, html) if _OPEN in html else html


def _marked(found: re.Match[str]) -> str:
    if found[1] is not None:
        return found[1].replace(_OPEN, "").replace(_SHUT, "")
    return f'<span lang="en">{found[2]}</span>'
