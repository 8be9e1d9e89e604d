"""A TOML file that a person wrote: its values, and the place of each, for errors that point at it.

`Document` is the whole file; `Table` (in `table.py`) reads one table of it key by key. Reading
never changes the file. An error is always of the class that the document was opened with, so that
a unit file complains as `BadUnitFile` and a call file as `BadCallFile`.
"""

from __future__ import annotations

import os
import re
import stat
import tomllib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, NoReturn

from rungwise.errors import BadInput, BadUnitFile, close_matches
from rungwise.files.key_lines import KeyPath, find_key_lines
from rungwise.files.table import Table, key_text

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
# What people write most often, recognised by the line on which the reader gave up.
_SLIPS = (
    (
        re.compile(r"\s*([\w.-]+)\s*=\s*([+-]?[0-9]+,[0-9]+)\s*(?:#|$)"),
        'write the number with a point, or in quotes: {0} = "{1}"',
    ),
    (
        re.compile(
            r"\s*([\w.-]+)\s*=\s*([+-]?[0-9][0-9.,]*\s*[A-Za-zΩ\u2126µμ°%][A-Za-z ]*?)\s*(?:#|$)"
        ),
        'a number with a unit needs quotes: {0} = "{1}"',
    ),
    (
        re.compile(r"\s*([\w.-]+)\s*=\s*(?i:true|false|yes|no|on|off)\s*(?:#|$)"),
        "write true or false in small letters; a text needs quotes",
    ),
    (
        re.compile(r"\s*([\w.-]+)\s*=\s*([^\W\d][^\"'#=\[\]{{}}]*?)\s*(?:#|$)"),
        'a text needs quotes: {0} = "{1}"',
    ),
    (re.compile(r"\s*([\w.-]+)\s*=\s*(?:#|$)"), "write a value after {0} ="),
    (re.compile(r"\s*([^\[#=]*[^\[#=\s])\s*(?:#|$)"), "write it as key = value"),
)
DEEPEST = 50
"""Tables and arrays in one another; no file of ours needs more than a handful."""

_TWICE = ("Cannot overwrite", "Cannot declare", "Duplicate inline", "Cannot mutate")


class Document:
    """One file of TOML, read.

    text: the file as typed.
    file: its name, for the errors.
    error: the class of the errors.
    data: the values as plain dicts and lists.
    Raises `error`: the text is empty or is not TOML.
    """

    _lines: Mapping[KeyPath, int] = MappingProxyType({})

    def __init__(self, text: str, *, file: str, error: type[BadInput] = BadUnitFile) -> None:
        self.text = text
        self.file = file
        self.error = error
        if not text.strip():
            self._refuse("is empty", next_step="write the file, or start from an example")
        self.data: dict[str, Any] = self._values()
        if not self.data:
            self._refuse("holds only comments", next_step="take the # off the lines that count")

    @classmethod
    def read(
        cls,
        path: str | os.PathLike[str],
        *,
        error: type[BadInput] = BadUnitFile,
        limit_bytes: int = 1_000_000,
    ) -> Document:
        """The document in the file at `path`, which is left as it is.

        Raises `error`: there is no such file, it is not a file, cannot be read, is larger than
        `limit_bytes`, is not UTF-8, is empty, or is not TOML.
        """
        content = _content(os.fspath(path), error, limit_bytes)
        return cls(_decoded(content, os.fspath(path), error), file=os.fspath(path), error=error)

    @classmethod
    def of_values(
        cls, data: Mapping[str, Any], *, file: str, error: type[BadInput] = BadUnitFile
    ) -> Document:
        """A document that was never a text: the same values, and no lines to point at.

        file: what an error calls it.
        """
        made = cls.__new__(cls)
        made.text, made.file, made.error, made.data = "", file, error, dict(data)
        return made

    @property
    def root(self) -> Table:
        """The whole file as a table to read from."""
        return Table(self, (), self.data)

    def line_of(self, path: KeyPath) -> int | None:
        """The line of `("parts", "contactor", "coil_resistance_ohm")`, counted from 1.

        A table in an array, and an item of an array, is named by its index, counted from 0:
        `("wires", 2, "from")`. What is not there has the line of the nearest table around it;
        None when that is the file itself.
        """
        for length in range(len(path), 0, -1):
            line = self._lines.get(tuple(path[:length]))
            if line is not None:
                return line
        return None

    def bad(
        self,
        path: KeyPath,
        *,
        what: str,
        value: str | float | None = None,
        allowed: str | None = None,
        next_step: str | None = None,
    ) -> BadInput:
        """An error to raise about the key at `path`, with file, line and key filled in."""
        return self.error(
            what=what,
            file=self.file,
            line=self.line_of(path),
            key=key_text(path) or None,
            value=value,
            allowed=allowed,
            next_step=next_step,
        )

    def with_value(self, path: KeyPath, value: Any) -> str:
        """The text with the value at `path` replaced or added; comments and order are kept.

        Missing tables on the way are made. An index one past the end of an array adds to it, and
        `("readings", 0)` begins an array of tables. Write the result with `newline=""`.
        Raises `error`: the path leads through something that is no table, or past an array's end,
            or the change cannot be made without touching something else.
        """
        from rungwise.files.editing import text_with_value  # noqa: PLC0415  # slow to import

        try:
            return text_with_value(self.text, path, value)
        except (LookupError, TypeError, ValueError) as fault:
            raise self.bad(
                path,
                what=f"{key_text(path)} cannot be written into this file.",
                value=_short(value),
                next_step="write it there by hand",
            ) from fault

    def _values(self) -> dict[str, Any]:
        try:
            data = tomllib.loads(self.text)
            self._lines = find_key_lines(self.text)
        except tomllib.TOMLDecodeError as fault:
            self._not_toml(str(fault))
        except RecursionError:
            self._refuse("has arrays or tables nested too deep to read")
        except ValueError:  # Python's own limit on the digits of a whole number
            self._refuse("has a number with thousands of digits")
        if _depth(data) > DEEPEST:
            self._refuse("has arrays or tables nested too deep to read")
        return data

    def _not_toml(self, message: str) -> NoReturn:
        """Say where the reader gave up and what to do about it."""
        found = _PLACE.search(message)
        rows = self.text.splitlines() or [""]
        line = int(found[1]) if found and found[1] else len(rows)
        column = f" at column {found[2]}" if found and found[2] else " at its end"
        row = rows[min(line, len(rows)) - 1].strip()
        said = _PLACE.sub("", message)
        raise self.error(
            what=f"The file is not TOML: line {line}{column}: {said}.",
            file=self.file,
            line=line,
            value=_short(row),
            next_step=_mending(said, row),
        )

    def _refuse(self, why: str, next_step: str | None = None) -> NoReturn:
        raise self.error(what=f"The file {why}.", file=self.file, next_step=next_step)


def _depth(data: Any) -> int:
    """How many tables and arrays lie in one another; counted without recursion."""
    depth, layer = 0, [data]
    while layer:
        depth += 1
        inner = [each.values() if isinstance(each, dict) else each for each in layer]
        layer = [each for some in inner for each in some if isinstance(each, dict | list)]
    return depth


def _content(path: str, error: type[BadInput], limit_bytes: int) -> bytes:
    """The bytes of a file that is there, is a file, and is small enough."""
    try:
        mode = Path(path).stat().st_mode
        if stat.S_ISDIR(mode):
            what = "This is a folder, not a file."
            raise error(what=what, file=path, next_step="name the file inside it")
        if not stat.S_ISREG(mode):
            raise error(what="This is not a file to read from.", file=path)
        with Path(path).open("rb") as opened:
            content = opened.read(limit_bytes + 1)
    except FileNotFoundError as fault:
        raise error(what="There is no such file.", file=path, next_step=_near(path)) from fault
    except (OSError, ValueError) as fault:  # ValueError: a NUL sign in the name
        what = f"The file cannot be read: {getattr(fault, 'strerror', None) or fault}."
        raise error(what=what, file=path) from fault
    if len(content) > limit_bytes:
        raise error(
            what="The file is too large to be written by hand.",
            file=path,
            value=f"{Path(path).stat().st_size:,} bytes",
            allowed=f"at most {limit_bytes:,} bytes",
            next_step="check that this is the right file; one has a few thousand bytes",
        )
    return content


def _near(path: str) -> str:
    """Which file may have been meant by a name that does not exist."""
    beside = (each.name for each in Path(path).parent.glob("*.toml"))
    near = close_matches(Path(path).name, beside)
    return f"did you mean {' or '.join(near)}?" if near else "check the name and the folder"


def _decoded(content: bytes, path: str, error: type[BadInput]) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise error(
            what="The file is not written in UTF-8.",
            file=path,
            line=content.count(b"\n", 0, fault.start) + 1,
            value=f"byte {content[fault.start]:#04x}",
            next_step="save it again with the encoding UTF-8",
        ) from fault


def _mending(refused: str, row: str) -> str:
    """The next step for a line that Python's reader refused: `refused` is all it tells of why."""
    if refused.startswith(_TWICE):
        return "this key or table stands twice; take one of them out"
    for slip, advice in _SLIPS:
        found = slip.match(row)
        if found:
            return advice.format(*found.groups())
    return "fix this line: key = value, texts in quotes, each quote and bracket closed"


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 80 else f"{text[:80]}…"
