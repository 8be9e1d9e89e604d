"""English lines on a page that is meant to be in Spanish, by the words of the catalog itself."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser

from rungwise.wording.catalogs import messages_of

__all__ = ["Lines", "english_in"]

_WORD = re.compile(r"[^\W\d_]{2,}")
_VALUE = re.compile(r"\{\w*\}|%\(\w+\)s")
_BREAKS = frozenset((
    "p", "div", "li", "td", "th", "h1", "h2", "h3", "h4", "summary", "button", "label", "a", "tr",
    "option", "dt", "dd", "section", "legend", "figcaption", "span", "b", "br", "small", "strong",
    "em", "code", "i",
))  # fmt: skip
_EMPTY = frozenset(["input", "br", "img", "meta", "link", "hr", "source"])
_UNREAD = frozenset(("script", "style", "head", "svg", "datalist", "textarea"))
"""What nobody reads, what is typed, and drawings: marks on parts are the same in any language."""

_SAID = ("aria-label", "placeholder", "title", "alt")


def _words(text: str | None) -> set[str]:
    return {each.lower() for each in _WORD.findall(_VALUE.sub(" ", text or ""))}


@cache
def english_words() -> frozenset[str]:
    """Words of the catalog's English that none of its Spanish has."""
    english: set[str] = set()
    spanish: set[str] = set()
    for message in messages_of("es"):
        for told, into in ((message.id, english), (message.string, spanish)):
            for each in told if isinstance(told, (tuple, list)) else (told,):
                into.update(_words(each))
    return frozenset(english - spanish)


def english_in(text: str, typed: frozenset[str]) -> list[str]:
    """The English words of a line. typed: what people wrote, which stands as they wrote it."""
    for each in sorted(typed, key=len, reverse=True):
        text = text.replace(each, " ")
    return sorted(_words(text) & english_words())


class Lines(HTMLParser):
    """What is read of a page, line by line, labels of its controls included."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.lines: list[str] = []
        self._line, self._inside = "", list[str]()
        self.feed(html)
        self._break()

    def _break(self) -> None:
        if told := " ".join(self._line.split()):
            self.lines.append(told)
        self._line = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _BREAKS:
            self._break()
        if not self._inside:
            self.lines += [told for name, told in attrs if name in _SAID and told]
        if tag in _UNREAD or (self._inside and tag not in _EMPTY):
            self._inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in _BREAKS:
            self._break()
        if self._inside and tag == self._inside[-1]:
            self._inside.pop()

    def handle_data(self, data: str) -> None:
        if not self._inside:
            self._line += data

    def english(self, typed: frozenset[str]) -> Iterator[tuple[str, list[str]]]:
        """Each line with English in it, and which words those are."""
        for line in self.lines:
            if found := english_in(line, typed):
                yield line, found
