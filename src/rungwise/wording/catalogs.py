"""The catalogs of messages: one file a language, compiled when it is first asked for.

Compiled catalogs are not kept: from the text it takes a third of a second, once for a process,
and no binary then has to be built, shipped or held to its text.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal, get_args

from babel import Locale, negotiate_locale
from babel.messages.catalog import Catalog as Messages
from babel.messages.pofile import read_po

Language = Literal["en", "es"]
LANGUAGES: tuple[Language, ...] = get_args(Language)

REGION = {"en": "en_US", "es": "es_US"}
"""Whose dates and figures go with a language: the same country for all."""


@dataclass(frozen=True)
class Catalog:
    """The messages of one language; English has none of its own and knows all.

    singular: by message. plural: by message, both forms.
    """

    language: Language
    locale: Locale
    singular: dict[str, str]
    plural: dict[str, tuple[str, str]]

    def knows(self, message: str) -> bool:
        """Whether it has the message, which English always does."""
        return self.language == "en" or message in self.singular

    def get(self, message: str) -> str:
        """The message in this language; as it is where it is not known."""
        return self.singular.get(message, message)

    def get_plural(self, one: str, many: str, count: int) -> str:
        """The form for a count."""
        forms = self.plural.get(one, (one, many))
        return forms[0] if count == 1 else forms[1]


@cache
def catalog_of(language: Language) -> Catalog:
    """The catalog of a language."""
    singular: dict[str, str] = {}
    plural: dict[str, tuple[str, str]] = {}
    for each in messages_of(language) if language != "en" else ():
        if not each.id or each.fuzzy:
            continue
        if isinstance(each.id, tuple) and isinstance(each.string, tuple):
            if all(each.string):
                plural[each.id[0]] = (each.string[0], each.string[1])
        elif each.string:
            singular[str(each.id)] = str(each.string)
    return Catalog(language, Locale.parse(REGION[language]), singular, plural)


def messages_of(language: Language) -> Messages:
    """The file of a language as it is written. Raises FileNotFoundError for English."""
    folder = resources.files("rungwise.wording") / "locale" / language / "LC_MESSAGES"
    with (folder / "rungwise.po").open("rb") as file:
        return read_po(file, locale=language)


def language_for(*asked: str) -> Language:
    """The language of the first wish that is met: a language, or a browser's list of them.

    asked: "es", "es-MX,es;q=0.9,en;q=0.8", "es_US.UTF-8"; "" asks for nothing.
    """
    for each in asked:
        found = negotiate_locale(_in_order(each), LANGUAGES, sep="-")
        if found is not None:
            return "es" if found == "es" else "en"
    return "en"


def _in_order(wishes: str) -> list[str]:
    """The languages of an Accept-Language header, the dearest first (RFC 9110, 12.5.4)."""
    found = []
    for at, wish in enumerate(wishes.split(",")):
        name, _, weight = wish.partition(";q=")
        tag = name.strip().partition(".")[0].replace("_", "-")
        try:
            share = float(weight or 1.0)
        except ValueError:
            share = 0.0
        if tag and share > 0.0:
            found.append((-share, at, tag))
    return [tag for _, _, tag in sorted(found)]
