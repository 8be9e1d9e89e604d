"""A printed answer: headings drawn as rungs, text that wraps, lists, and words of danger.

The same page serves a narrow terminal and a pipe: colours are only sent to a terminal, and
nothing is said by colour alone.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from rungwise.cli.harmless import harmless

if TYPE_CHECKING:
    from rungwise.parts import Caution, Signal

NARROW = 60
"""Under this width a pair is printed one below the other."""

WIDEST_LEFT = 30

RAIL, NAME = "#b87333", "bold"
# Signal words in the colours of ANSI Z535 (from memory): red, orange, yellow, blue.
SIGNALS: dict[Signal, str] = {
    "DANGER": "bold white on red3",
    "WARNING": "bold black on dark_orange",
    "CAUTION": "bold black on yellow1",
    "NOTICE": "bold white on dodger_blue3",
}
_NUMBER = re.compile(r"(?<=[0-9])( )(?=(?:%|[µmkMG]?(?:V|A|W|F|Ω)\b|minutes?\b))")


class Page:
    """Prints an answer piece by piece onto `console`; by default the standard output."""

    def __init__(self, console: Console | None = None) -> None:
        self.console = console or Console(highlight=False, markup=False, emoji=False)

    def title(self, text: str, facts: Iterable[str] = ()) -> None:
        """What the page is about, and a few facts below it."""
        self.say(text, style="bold")
        for fact in facts:
            self.say(fact)

    def heading(self, text: str) -> None:
        """A rung from rail to rail, its coil named after what follows."""
        name = harmless(text).upper()
        start = "├──┤ ├──( " if len(name) + 16 <= self.console.width else "├─( "
        rows = textwrap.wrap(name, max(self.console.width - len(start) - 5, 10))
        self.blank()
        for number, row in enumerate(rows, start=1):
            rung = Text(start if number == 1 else " " * len(start), style=RAIL)
            rung.append(row, style=NAME)
            if number == len(rows):
                rest = max(self.console.width - len(rung) - 3, 1)
                rung.append(f" ){'─' * rest}┤", style=RAIL)
            self.console.print(rung, soft_wrap=True)

    def say(self, text: str, *, indent: int = 0, style: str = "none") -> None:
        """A paragraph."""
        self._wrapped(text, Text(" " * indent), indent, style)

    def warn(self, signal: Signal, text: str, *, indent: int = 0) -> None:
        """A paragraph behind a signal word, which is set off."""
        front = Text(" " * indent).append(f"{signal}:", style=SIGNALS[signal])
        self._wrapped(text, front.append(" ", style="none"), indent)

    def caution(self, caution: Caution, *, indent: int = 0) -> None:
        """A caution."""
        self.warn(caution.signal, caution.text, indent=indent)

    def point(self, text: str, *, mark: str = "·", indent: int = 0, style: str = "none") -> None:
        """A paragraph that hangs from its mark."""
        front = Text(f"{' ' * indent}{harmless(mark)} ")
        short = len(front) <= max(self.console.width // 4, indent + 4)
        self._wrapped(text, front, None if short else indent + 4, style)

    def lines(self, lines: Iterable[str], *, indent: int = 0) -> None:
        """Lines whose own blanks in front say how deep they stand."""
        for line in lines:
            told = line.lstrip(" ")
            self.say(told, indent=indent + len(line) - len(told))

    def pairs(self, rows: Iterable[tuple[str, str]], *, indent: int = 0) -> None:
        """Two columns, the right one wrapped; a hanging list where the terminal is narrow."""
        held = list(rows)
        widest = min(max((len(left) for left, _ in held), default=0), WIDEST_LEFT)
        for left, right in ((harmless(left), right) for left, right in held):
            if self.console.width < NARROW or len(left) > widest:
                self.point(right, mark=f"{left}:", indent=indent)
            else:
                self._wrapped(right, Text(f"{' ' * indent}{left:<{widest}}  "))

    def blank(self) -> None:
        """An empty line."""
        self.console.print()

    def _wrapped(
        self, text: str, front: Text, hanging: int | None = None, style: str = "none"
    ) -> None:
        """`text` behind `front`; further lines start `hanging` columns in, or below its start."""
        deep = len(front) if hanging is None else hanging
        room = max(self.console.width, deep + 10)
        joined = _NUMBER.sub("\N{NO-BREAK SPACE}", harmless(text))
        rows = textwrap.wrap(
            joined,
            room,
            initial_indent="x" * len(front),
            subsequent_indent=" " * deep,
            break_on_hyphens=False,
        )
        for number, row in enumerate(rows or [front.plain]):
            start = len(front) if number == 0 else deep
            lead = front.copy() if number == 0 else Text(" " * deep)
            told = row[start:].replace("\N{NO-BREAK SPACE}", " ")
            self.console.print(lead.append(told, style=style), soft_wrap=True)
