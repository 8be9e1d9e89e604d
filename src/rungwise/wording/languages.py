"""The language that is spoken just now, and texts put into it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from rungwise.wording.catalogs import Catalog, Language, catalog_of
from rungwise.wording.dates import US_HOURS, Moment, hours_now
from rungwise.wording.measures import Quantity, system_now
from rungwise.wording.said import Said

T = TypeVar("T")

_NOW: ContextVar[Language] = ContextVar("language", default="en")


def current() -> Language:
    """The language that is spoken."""
    return _NOW.get()


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Speak a language for as long as this lasts, in this thread or task."""
    before = _NOW.set(language)
    try:
        yield
    finally:
        _NOW.reset(before)


def gettext(message: str) -> str:
    """A message in the language that is spoken."""
    return catalog_of(_NOW.get()).get(message)


def ngettext(one: str, many: str, count: int) -> str:
    """The same with a count."""
    return catalog_of(_NOW.get()).get_plural(one, many, count)


def told(text: str) -> str:
    """A text in the language that is spoken; English where it, or a text in it, is not known."""
    return in_language(text, _NOW.get())


def in_language(text: str, language: Language) -> str:
    """The same in a language of one's choice."""
    as_written = language == "en" and hours_now() == US_HOURS and system_now() is None
    if not isinstance(text, Said) or as_written:
        return str.__str__(text)
    catalog = catalog_of(language)
    return _put(text, catalog) if _known(text, catalog) else str.__str__(text)


def is_known(text: str, language: Language | None = None) -> bool:
    """Whether a text is told in the language; what somebody typed is taken to be."""
    return _known(text, catalog_of(language or _NOW.get()))


def told_throughout(held: T) -> T:
    """Tuples, lists, mappings and dataclasses with every text in the language that is spoken."""
    found: Any = held
    if isinstance(held, str):
        found = told(held)
    elif isinstance(held, (tuple, list)):
        found = type(held)(told_throughout(each) for each in held)
    elif isinstance(held, Mapping):
        found = {key: told_throughout(each) for key, each in held.items()}
    elif is_dataclass(held) and not isinstance(held, type):
        found = replace(held, **{it.name: told_throughout(getattr(held, it.name))
                                 for it in fields(held) if it.init})  # fmt: skip
    put: T = found
    return put


def _known(text: str, catalog: Catalog) -> bool:
    if not isinstance(text, Said):
        return True
    here = text.is_name or not _has_words(text.message) or catalog.knows(text.message)
    return here and all(_known(each, catalog) for each in text.values.values())


def _put(text: str, catalog: Catalog) -> str:
    if isinstance(text, Moment):
        return text.in_language(catalog.language)
    if isinstance(text, Quantity):
        return text.in_system()
    if not isinstance(text, Said):
        return text
    held = {name: _put(each, catalog) for name, each in text.values.items()}
    message = catalog.get(text.message) if _has_words(text.message) else text.message
    put = message.format(**held) if held else message
    return text.shape(put) if text.shape else put


def _has_words(message: str) -> bool:
    """Whether a message has a word beside its values: what is only signs is in no catalog."""
    outside, depth = False, 0
    for sign in message:
        depth += (sign == "{") - (sign == "}")
        outside |= depth == 0 and sign.isalpha()
    return outside
