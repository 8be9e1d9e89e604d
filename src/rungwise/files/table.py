"""One table of a file, read key by key, with an error that names file, line and key."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, TypeVar, overload

from rungwise import quantity
from rungwise.errors import BadInput, BadQuantity, close_matches

if TYPE_CHECKING:
    from rungwise.files.document import Document
    from rungwise.files.key_lines import KeyPath

Default = TypeVar("Default")


_MISSING = object()  # for a value or a default that is not there, so that None can be one
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_UNIT_WORD = re.compile(r"_(?:ohm|v|a|uf|f|w|va|hz|m|min|minutes|s|c|h|percent)$")
_SHOWN_LENGTH = 80


class Table:
    """One table of a `Document`, at `path` in it.

    Every method that reads a key raises the document's error class when the key is missing and
    has no default, or when its value is of the wrong kind or not allowed. `done` refuses keys
    that nobody asked for, so ask for all keys first.

    data: the values of the table as they stand in the file.
    """

    def __init__(self, document: Document, path: KeyPath, data: Mapping[str, Any]) -> None:
        self.document = document
        self.path = path
        self.data = data
        self._asked: dict[str, None] = {}

    def __eq__(self, other: object) -> bool:
        """Whether the other says the same in the same place, whatever file it stands in."""
        if not isinstance(other, Table):
            return NotImplemented
        return self.path == other.path and self.data == other.data

    def __hash__(self) -> int:
        return hash(self.path)

    def __contains__(self, key: str) -> bool:
        return key in self.data

    def __iter__(self) -> Iterator[str]:
        """The keys in the order of the file. Looking is not asking: see `done`."""
        return iter(self.data)

    @property
    def name(self) -> str:
        """The table in the words of the file, such as `parts.contactor` or `wires[3]`."""
        return key_text(self.path) or "the file"

    def value(self, key: str, *, default: Any = _MISSING) -> Any:
        """The value as it stands, of whatever kind; the caller judges it."""
        raw = self._find(key)
        return self._default(key, default) if raw is _MISSING else raw

    @overload
    def text(self, key: str, *, choices: Iterable[str] | None = None) -> str: ...
    @overload
    def text(
        self, key: str, *, choices: Iterable[str] | None = None, default: Default
    ) -> str | Default: ...
    def text(
        self, key: str, *, choices: Iterable[str] | None = None, default: Any = _MISSING
    ) -> Any:
        """A text without the blanks around it; of `choices` when they are given.

        A text with nothing in it counts as a missing key.
        Raises the document's error for what is no text.
        """
        options = None if choices is None else tuple(choices)
        allowed = "a text" if options is None else ", ".join(options)
        raw = self._find(key)
        if raw is _MISSING:
            return self._default(key, default, allowed)
        if not isinstance(raw, str):
            raise self._wrong_kind(key, raw, "a text", f'put it in quotes: {key} = "{_shown(raw)}"')
        return self._chosen((key,), raw.strip(), options)

    @overload
    def strings(self, key: str, *, choices: Iterable[str] | None = None) -> tuple[str, ...]: ...
    @overload
    def strings(
        self, key: str, *, choices: Iterable[str] | None = None, default: Default
    ) -> tuple[str, ...] | Default: ...
    def strings(
        self, key: str, *, choices: Iterable[str] | None = None, default: Any = _MISSING
    ) -> Any:
        """A list of texts; each of `choices` when they are given.

        Raises the document's error for what is no list of texts.
        """
        options = None if choices is None else tuple(choices)
        raw = self._find(key)
        if raw is _MISSING:
            return self._default(key, default, "a list of texts")
        if not isinstance(raw, list) or not all(isinstance(each, str) for each in raw):
            example = f'"{raw}"' if isinstance(raw, str) else '"one", "two"'
            raise self._wrong_kind(
                key, raw, "a list of texts", f"write it like {key} = [{example}]"
            )
        return tuple(
            self._chosen((key, index), each.strip(), options) for index, each in enumerate(raw)
        )

    def number(
        self, key: str, *, unit: str, low: float | None = None, high: float | None = None,
        what: str = "", default: Any = _MISSING,
    ) -> Any:  # fmt: skip
        """A number of `unit`, from a bare number or a text with a unit, within `low` to `high`.

        unit: as in `quantity.parse`; "" for a plain number.
        what: the words for it in an error; by default the key without its unit.
        Raises the document's error for no number, another unit, or one out of range.
        """
        allowed = quantity.range_text(low, high, unit) or _any_number(unit)
        raw = self._find(key)
        if raw is _MISSING:
            return self._default(key, default, allowed)
        typed = self._number_or_text(key, raw, allowed)
        subject = what or _spoken(key)
        try:
            value = quantity.parse(typed, unit, what=subject)
            return quantity.in_range(value, low, high, unit, subject, typed=typed)
        except BadQuantity as error:
            raise self._placed(error, key, allowed) from error

    def rating(
        self, key: str, *, unit: str, low: float, high: float, what: str
    ) -> tuple[float, float] | None:
        """The lowest and highest value of a label such as "208/230 V"; None where it is missing.

        Both within `low` to `high`; arguments as of `number`.
        Raises the document's error for no rating, another unit, or one out of range.
        """
        allowed = quantity.range_text(low, high, unit)
        raw = self._find(key)
        if raw is _MISSING:
            return None
        typed = self._number_or_text(key, raw, allowed)
        try:
            first, last = (
                quantity.in_range(each, low, high, unit, what, typed=typed)
                for each in quantity.parse_rating(typed, unit, what=what)
            )
        except BadQuantity as error:
            raise self._placed(error, key, allowed) from error
        return first, last

    def reading(self, key: str, *, unit: str, what: str = "") -> float | None:
        """A meter reading in `unit`; None where the technician wrote "can't reach" or "-".

        Raises the document's error for no reading, or one out of range.
        """
        allowed = f'{_any_number(unit)}, or "can\'t reach"'
        raw = self._find(key)
        if raw is _MISSING:
            raise self.absent(key, allowed)
        typed = self._number_or_text(key, raw, allowed)
        try:
            return quantity.parse_reading(typed, unit, what=what or _spoken(key))
        except BadQuantity as error:
            raise self._placed(error, key, allowed) from error

    def flag(self, key: str, *, default: Any = _MISSING) -> Any:
        """True or false. Raises the document's error for anything but true or false."""
        raw = self._find(key)
        if raw is _MISSING:
            return self._default(key, default, "true or false")
        if isinstance(raw, bool):
            return raw
        raise self._wrong_kind(key, raw, "true or false", "write true or false, without quotes")

    def table(self, key: str, *, required: bool = True) -> Table:
        """The table under `key`; an empty one when it is missing and not `required`.

        Raises the document's error where something else stands there.
        """
        raw = self._find(key)
        if raw is _MISSING:
            raw = self._default(key, _MISSING if required else {}, "a table")
        if not isinstance(raw, dict):
            header = key_text((*self.path, key))
            raise self._wrong_kind(key, raw, "a table", f"begin it with [{header}]")
        return Table(self.document, (*self.path, key), raw)

    def tables(self, key: str) -> tuple[Table, ...]:
        """The tables `[[key]]` in the order of the file; none when the key is missing.

        Raises the document's error where something else stands there.
        """
        found = self._find(key)
        raw = [] if found is _MISSING else found
        if not isinstance(raw, list) or not all(isinstance(each, dict) for each in raw):
            header = key_text((*self.path, key))
            advice = f"begin each with [[{header}]], in two pairs of brackets"
            raise self._wrong_kind(key, raw, "a list of tables", advice)
        path = (*self.path, key)
        return tuple(Table(self.document, (*path, index), each) for index, each in enumerate(raw))

    def bad(
        self,
        key: str | None = None,
        *,
        what: str,
        value: str | float | None = None,
        allowed: str | None = None,
        next_step: str | None = None,
    ) -> BadInput:
        """An error to raise about `key`, or about the whole table."""
        path = self.path if key is None else (*self.path, key)
        return self.document.bad(path, what=what, value=value, allowed=allowed, next_step=next_step)

    def done(self) -> None:
        """Refuse a key that nobody has asked for: it is a slip, and would be lost in silence.

        Raises the document's error for a key that nobody has read.
        """
        strange = next((key for key in self.data if key not in self._asked), None)
        if strange is None:
            return
        near = close_matches(strange, (key for key in self._asked if key not in self.data))
        raise self.bad(
            strange,
            what=f"'{strange}' means nothing in {self.name}.",
            value=_shown(self.data[strange]),
            allowed=", ".join(self._asked),
            next_step=f"did you mean {' or '.join(near)}?" if near else "take it out",
        )

    def _find(self, key: str) -> Any:
        """The value of `key`, which now has been asked for; an empty text is no value."""
        self._asked[key] = None
        raw = self.data.get(key, _MISSING)
        return _MISSING if isinstance(raw, str) and not raw.strip() else raw

    def _default(self, key: str, default: Any, allowed: str | None = None) -> Any:
        if default is _MISSING:
            raise self.absent(key, allowed)
        return default

    def absent(self, key: str, allowed: str | None = None) -> BadInput:
        """An error to raise about a key that is not there. allowed: what would do."""
        return self.bad(
            key if key in self.data else None,
            what=f"{self.name[0].upper()}{self.name[1:]} has no {key}.",
            allowed=allowed,
            next_step=self._where_it_may_be(key),
        )

    def _where_it_may_be(self, key: str) -> str:
        """A key that looks like the missing one, or the advice to write it."""
        near = close_matches(key, (each for each in self.data if each not in self._asked))
        if not near:
            return f"write {key} = ... in {self.name}"
        line = self.document.line_of((*self.path, near[0]))
        return f"rename {near[0]} on line {line} to {key}, if that was meant"

    def _number_or_text(self, key: str, raw: Any, allowed: str) -> str | float:
        if isinstance(raw, str | int | float) and not isinstance(raw, bool):
            return raw
        raise self._wrong_kind(key, raw, "a number", "write a number", allowed)

    def _chosen(self, keys: KeyPath, text: str, options: tuple[str, ...] | None) -> str:
        """`text`, if it is one of the options."""
        if options is None or text in options:
            return text
        near = close_matches(text, options)
        raise self.document.bad(
            (*self.path, *keys),
            what=f"'{text}' is no {_spoken(str(keys[0]))} that is known here.",
            value=text,
            allowed=", ".join(options),
            next_step=f"did you mean {' or '.join(near)}?" if near else "write one of those",
        )

    def _wrong_kind(
        self, key: str, raw: Any, wanted: str, advice: str, allowed: str | None = None
    ) -> BadInput:
        what = f"{key} must be {wanted}, and this is {_kind(raw)}."
        shown = _shown(raw)
        return self.bad(key, what=what, value=shown, allowed=allowed or wanted, next_step=advice)

    def _placed(self, error: BadQuantity, key: str, allowed: str) -> BadInput:
        """The same refusal as an error of this document, with its place."""
        path = (*self.path, key)
        return error.retold(
            self.document.error,
            file=self.document.file,
            line=self.document.line_of(path),
            key=key_text(path),
            allowed=allowed,
        )


def key_text(path: KeyPath) -> str:
    """A path as people read it: `parts.contactor`; the third wire's key is `wires[3].from`."""
    parts = (
        f"[{part + 1}]" if isinstance(part, int) else f".{part}" if _BARE_KEY.fullmatch(part)
        else f'."{part}"' for part in path
    )  # fmt: skip
    return "".join(parts).removeprefix(".")


def _spoken(key: str) -> str:
    """The key as words: `coil_resistance_ohm` is a coil resistance."""
    return _UNIT_WORD.sub("", key).replace("_", " ")


def _any_number(unit: str) -> str:
    return f"a number in {unit}" if unit else "a number"


def _kind(raw: Any) -> str:
    names = {str: "a text", bool: "true or false", int: "a number", float: "a number",
             list: "a list", dict: "a table"}  # fmt: skip
    return names.get(type(raw), "a date or time")


def _shown(raw: Any) -> str:
    """A value in the spelling of the file, cut short when it is long."""
    text = str(raw).lower() if isinstance(raw, bool) else str(raw)
    return text if len(text) <= _SHOWN_LENGTH else f"{text[:_SHOWN_LENGTH]}…"
