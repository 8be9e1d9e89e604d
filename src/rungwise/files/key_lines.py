"""On which line of a TOML text every key stands, so that an error can point at it.

Python's TOML reader gives values without their places. This scanner gives places without values:
it walks over a text that the reader has already accepted, so it need not check anything.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right

KeyPath = tuple[str | int, ...]

# The possessive quantifiers (*+) keep a long text from being tried again in other ways.
_STRINGS = (
    r'"{3}(?:[^"\\]|\\.|"{1,2}(?!"))*+"{3,5}',
    r"'{3}(?:[^']|'{1,2}(?!'))*+'{3,5}",
    r'"(?:[^"\\]|\\.)*+"',
    r"'[^']*'",
)
_STRING = re.compile("|".join(_STRINGS), re.DOTALL)
_OTHER_VALUE = re.compile(r"[^,\]}#\n]+")
_KEY_PART = re.compile(r'[A-Za-z0-9_-]+|"(?:[^"\\]|\\.)*+"|\'[^\']*\'')
_BLANK = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*+")


def find_key_lines(text: str) -> dict[KeyPath, int]:
    """The line, counted from 1, of every key, table, table of an array, and array item in `text`.

    text: valid TOML.
    Tables of `[[wires]]` and items of an array are told apart by their index, counted from 0:
    `("wires", 2, "from")`. A table without a header of its own stands where its first key does.
    """
    scanner = _Scanner(text)
    scanner.run()
    return scanner.lines


class _Scanner:
    """Walks once over the text and keeps where it is: `at` in the text, `table` in the tree."""

    def __init__(self, toml: str) -> None:
        self.toml = toml
        self.at = 0
        self.table: KeyPath = ()
        self.lines: dict[KeyPath, int] = {}
        self.last_of: dict[KeyPath, int] = {}  # of each array of tables, the index of its last
        self.line_starts = [0, *(each.end() for each in re.finditer("\n", toml))]

    def run(self) -> None:
        self.skip(_GAP)
        while self.at < len(self.toml):
            if self.toml.startswith("[", self.at):
                self.header()
            else:
                self.pair(self.table)
            self.skip(_GAP)

    def header(self) -> None:
        """`[table]` or `[[array of tables]]`: where the pairs below belong."""
        brackets = 2 if self.toml.startswith("[[", self.at) else 1
        self.at += brackets
        line = self.line()
        *upper, last = self.key()
        path: KeyPath = ()
        for part in upper:
            path = self.newest((*path, part))
            self.lines.setdefault(path, line)
        path = (*path, last)
        if brackets == 2:
            self.last_of[path] = self.last_of.get(path, -1) + 1
            self.lines.setdefault(path, line)
        self.table = self.newest(path)
        self.lines[self.table] = line  # its own header is a better place than a sub-table's
        self.at += brackets

    def newest(self, path: KeyPath) -> KeyPath:
        """`path`, or the newest table in it when it is an array of tables."""
        self.lines.setdefault(path, self.line())
        return (*path, self.last_of[path]) if path in self.last_of else path

    def pair(self, table: KeyPath) -> None:
        """`key = value`, in a table or between braces."""
        line = self.line()
        path = table
        for part in self.key():
            path = (*path, part)
            self.lines.setdefault(path, line)
        self.at += 1  # the equals sign
        self.skip(_BLANK)
        self.value(path)

    def key(self) -> list[str]:
        """The parts of a key with dots, ending on the first sign after it."""
        parts = [self.key_part()]
        while self.toml.startswith(".", self.at):
            self.at += 1
            parts.append(self.key_part())
        return parts

    def key_part(self) -> str:
        self.skip(_BLANK)
        part = self.skip(_KEY_PART)
        self.skip(_BLANK)
        if part.startswith('"'):
            return next(iter(tomllib.loads(f"{part}=0")))
        return part.strip("'")

    def value(self, path: KeyPath) -> None:
        start = self.toml[self.at]
        if start == "[":
            self.array(path)
        elif start == "{":
            self.inline_table(path)
        else:
            self.skip(_STRING if start in "\"'" else _OTHER_VALUE)

    def array(self, path: KeyPath) -> None:
        index = 0
        while self.goes_on("]"):
            self.lines[(*path, index)] = self.line()
            self.value((*path, index))
            index += 1

    def inline_table(self, path: KeyPath) -> None:
        while self.goes_on("}"):
            self.pair(path)

    def goes_on(self, end: str) -> bool:
        """Step over the opening sign or comma to the next item, or out of the closing sign."""
        self.skip(_GAP)
        if self.toml[self.at] != end:
            self.at += 1
            self.skip(_GAP)
        if self.toml[self.at] != end:
            return True
        self.at += 1
        return False

    def skip(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.toml, self.at)
        if found is None:
            return ""
        self.at = found.end()
        return found[0]

    def line(self) -> int:
        return bisect_right(self.line_starts, self.at)
