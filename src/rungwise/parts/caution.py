"""Signal words of ANSI Z535.4, and a caution as a value: the word, and what it warns of.

A caution travels as one from where it is made to where it is shown, so that no face has to find
the word in a text, and none can miss it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal, get_args

from rungwise.wording import mark, say, shaped

Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]

SIGNALS: tuple[Signal, ...] = get_args(Signal)
"""Worst first."""

_WORDS = (mark("DANGER"), mark("WARNING"), mark("CAUTION"), mark("NOTICE"))
"""For the catalogs."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A signal word, and what it warns of; as text the word stands first, with a colon."""

    signal: Signal
    text: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "text", mark(self.text))

    def __str__(self) -> str:
        return say("{signal}: {text}", signal=mark(self.signal), text=self.text)

    def ended(self) -> Caution:
        """The same with a full stop last."""
        return replace(self, text=shaped(self.text, _ended))


def _ended(text: str) -> str:
    tidy = text.rstrip()
    return tidy if tidy.endswith((".", "!", "?")) else f"{tidy}."


Line = str | Caution
"""One line of an answer: words, or a caution."""


def line_of(signal: Signal | None, text: str) -> Line:
    """A text with the signal word that stands before it, if one does."""
    return Caution(signal, text) if signal else text


def worst_first(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """Sorted by their signal words."""
    return tuple(sorted(cautions, key=lambda caution: SIGNALS.index(caution.signal)))
