"""One declaration of a table's keys: from it come its reader, its JSON Schema and its docs.

A `Row` is a table as a dataclass, each field one key::

    class StockRow(Row, what="what the van may carry"):
        part: str = key(Text("what the van calls it", needed=True))
        cost: float = key(Number("what one costs", low=0.01, high=1e5, needed=True))
        source: str = key(Text("where it comes from"), called="from")

`StockRow.read(table)` gives the row or raises the document's error, `StockRow.schema()` the schema
of the same table. Where the keys follow from what a file says (the kind of a part), a plain dict
of keys does as well: `read_keys`, `object_schema`.

What the declaration cannot know, such as names that hang on the unit, is judged by who asked for
the row; `Row.at` is the table that it was read from, for errors that name the place.
"""

from __future__ import annotations

import datetime as dt
from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields
from typing import Any, ClassVar, Self, dataclass_transform

from rungwise.files.table import Table
from rungwise.quantity import range_text

__all__ = [
    "Date", "Dates", "Flag", "Key", "Keys", "Many", "Named", "Number", "One", "Only", "Open", "Row",
    "Schema", "Shown", "Text", "Texts", "TwoNumbers", "document_schema", "key", "object_schema",
    "read_keys",
]  # fmt: skip

Schema = dict[str, Any]
DRAFT = "https://json-schema.org/draft/2020-12/schema"

_QUANTITY = r"^\s*[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)([eE][+-]?[0-9]+)?\s*[A-Za-zΩµ°%·/ ]*$"
"""A number with or without a unit; whether a text is in range is judged where the file is read."""

_TWO_NUMBERS = r"^\s*[0-9.,]+\s*[A-Za-z]*\s*[/\u2010-\u2014-]\s*[0-9.,]+\s*[A-Za-z ]*$"
"""A label of two ratings, such as "208/230 V"."""


@dataclass(frozen=True)
class Key(ABC):
    """What may stand under one key.

    what: what it says, for the schema and the docs. needed: whether it must be there.
    missing: what the reader gives where it is not there.
    """

    what: str = ""
    needed: bool = False
    missing: Any = None

    def read(self, table: Table, name: str) -> Any:
        """The value in a table; raises the document's error."""
        return self._read(table, name)

    def schema(self) -> Schema:
        """The JSON Schema of the value."""
        return _described(self._form(), self.what)

    def told(self) -> str:
        """What may stand there, in a few words for the docs."""
        return self._told()

    def inner(self) -> Iterator[tuple[str, Keys]]:
        """The tables that it holds, each with what is added to the key's name."""
        return self._inner()

    @abstractmethod
    def _read(self, table: Table, name: str) -> Any: ...

    @abstractmethod
    def _form(self) -> Schema:
        """The schema but for its description."""

    @abstractmethod
    def _told(self) -> str: ...

    def _inner(self) -> Iterator[tuple[str, Keys]]:
        yield from ()

    def _default(self) -> dict[str, Any]:
        return {} if self.needed else {"default": self.missing}


Keys = Mapping[str, Key]


@dataclass(frozen=True)
class Text(Key):
    """A text; of `choices` where there are some. pattern, longest: for the schema only."""

    missing: Any = ""
    choices: tuple[str, ...] | None = None
    pattern: str = ""
    longest: int = 0

    def _read(self, table: Table, name: str) -> Any:
        return table.text(name, choices=self.choices, **self._default())

    def _form(self) -> Schema:
        if self.choices is not None:
            return {"enum": list(self.choices)}
        made: Schema = {"type": "string"}
        if self.pattern:
            made["pattern"] = self.pattern
        elif self.needed:
            made["minLength"] = 1
        return made | ({"maxLength": self.longest} if self.longest else {})

    def _told(self) -> str:
        if self.choices is not None:
            return _listed(self.choices)
        return f"a text, at most {self.longest} letters" if self.longest else "a text"


@dataclass(frozen=True)
class Only(Text):
    """The one text that stands there in this table, such as the kind that its other keys are of."""

    value: str = ""

    def _read(self, table: Table, name: str) -> Any:
        return table.text(name, choices=(self.value,), default=self.value)

    def _form(self) -> Schema:
        return {"const": self.value}

    def _told(self) -> str:
        return f"`{self.value}`"


@dataclass(frozen=True)
class Texts(Key):
    """A list of texts, each of `choices` where there are some.

    each: what one of them is. least, most, unique: for the schema only.
    """

    missing: Any = ()
    choices: tuple[str, ...] | None = None
    each: str = ""
    least: int = 0
    most: int = 0
    unique: bool = False

    def _read(self, table: Table, name: str) -> Any:
        return table.strings(name, choices=self.choices, **self._default())

    def _form(self) -> Schema:
        made: Schema = {"type": "array", "items": Text(self.each, choices=self.choices).schema()}
        more = {"minItems": self.least, "maxItems": self.most, "uniqueItems": self.unique}
        return made | {name: limit for name, limit in more.items() if limit}

    def _told(self) -> str:
        count = f"{self.least} " if self.least and self.least == self.most else ""
        return f"list of {count}texts" + (f": {_listed(self.choices)}" if self.choices else "")


@dataclass(frozen=True)
class Number(Key):
    """A number of `unit` within `low` to `high`, or a text such as "45 µF".

    usual: what stands in for it where the file does not tell, for the schema and the docs.
    subject: the words for it in an error; by default the key's own.
    """

    unit: str = ""
    low: float | None = None
    high: float | None = None
    usual: float | None = None
    subject: str = ""

    def _read(self, table: Table, name: str) -> Any:
        return table.number(
            name, unit=self.unit, low=self.low, high=self.high, what=self.subject,
            **self._default(),
        )  # fmt: skip

    def schema(self) -> Schema:
        """The JSON Schema of the number, with its unit and what it usually is."""
        what = f"{self.what}, in {self.unit}" if self.unit else self.what
        usual = {} if self.usual is None else {"default": self.usual}
        return _described(self._form(), what) | usual

    def _form(self) -> Schema:
        number: Schema = {"type": "number"}
        ends = {"minimum": self.low, "maximum": self.high}
        number |= {name: end for name, end in ends.items() if end is not None}
        return {"anyOf": [number, {"type": "string", "pattern": _QUANTITY}]}

    def _told(self) -> str:
        usual = "" if self.usual is None else f"; usually {self.usual:g}"
        return (range_text(self.low, self.high, self.unit) or "a number") + usual


@dataclass(frozen=True)
class TwoNumbers(Number):
    """The same, or a label of two such as "208/230 V"; reads lowest and highest, or None."""

    def _read(self, table: Table, name: str) -> Any:
        return table.rating(
            name, unit=self.unit, low=self.low or 0.0, high=self.high or 0.0, what=self.subject
        )

    def _form(self) -> Schema:
        both = {"type": "string", "pattern": _TWO_NUMBERS}
        return {"anyOf": [*super()._form()["anyOf"], both]}

    def _told(self) -> str:
        return f"{super()._told()}, or two such as 208/230"


@dataclass(frozen=True)
class Shown(Key):
    """What a meter showed, as typed: a number or a text, which its check judges later."""

    allowed: str = "a number, a number with its unit in quotes, or one of the check's answers"

    def _read(self, table: Table, name: str) -> Any:
        raw = table.value(name, **self._default())
        if raw is None or (isinstance(raw, str | int | float) and not isinstance(raw, bool)):
            return raw
        raise table.bad(
            name,
            what="A reading is a number, or a text such as 26.4 V.",
            value=str(raw),
            allowed=self.allowed,
            next_step='write what the meter showed: value = "26.4 V"',
        )

    def _form(self) -> Schema:
        return {"type": ["number", "string"]}

    def _told(self) -> str:
        return "a number or a text"


@dataclass(frozen=True)
class Flag(Key):
    """True or false."""

    def _read(self, table: Table, name: str) -> Any:
        return table.flag(name, **self._default())

    def _form(self) -> Schema:
        return {"type": "boolean"}

    def _told(self) -> str:
        return "true or false"


@dataclass(frozen=True)
class Date(Key):
    """A day, as TOML has it or as a text; a day with a time counts as that day."""

    def _read(self, table: Table, name: str) -> Any:
        raw = table.value(name, **self._default())
        return None if raw is None else _date(table, name, raw)

    def _form(self) -> Schema:
        # TOML has dates of its own; a validator meets them as text.
        return {"type": "string", "format": "date"}

    def _told(self) -> str:
        return "a date: 2025-07-14"


@dataclass(frozen=True)
class Dates(Key):
    """A list of days."""

    missing: Any = ()

    def _read(self, table: Table, name: str) -> Any:
        raw = table.value(name, default=[])
        if not isinstance(raw, list):
            raise table.bad(
                name, what=f"{name.capitalize()} are a list of days.", value=str(raw),
                next_step=f"write them like {name} = [2024-04-10, 2025-04-12]",
            )  # fmt: skip
        return tuple(_date(table, name, each) for each in raw)

    def _form(self) -> Schema:
        return {"type": "array", "items": Date().schema()}

    def _told(self) -> str:
        return "list of dates: [2024-04-10, 2025-04-12]"


@dataclass(frozen=True)
class One(Key):
    """A table ``[key]``, read as a row; without one, as a row of nothing unless it is `needed`.

    row: its declaration. absent: None is read where the file has no such table.
    """

    row: type[Row] = field(kw_only=True)
    absent: bool = True

    def _read(self, table: Table, name: str) -> Any:
        if self.absent and name not in table:
            table.value(name, default=None)
            return None
        return self.row.read(table.table(name, required=self.needed))

    def _form(self) -> Schema:
        return self.row.schema()

    def _told(self) -> str:
        return "a table"

    def _inner(self) -> Iterator[tuple[str, Keys]]:
        yield "", self.row.keys()


@dataclass(frozen=True)
class Many(Key):
    """Tables ``[[key]]``, read as rows in the order of the file.

    shared: the name of the row's schema among the ``$defs`` of the file, where it stands there.
    """

    missing: Any = ()
    row: type[Row] = field(kw_only=True)
    least: int = 0
    shared: str = ""

    def _read(self, table: Table, name: str) -> Any:
        return tuple(self.row.read(each) for each in table.tables(name))

    def _form(self) -> Schema:
        items = {"$ref": f"#/$defs/{self.shared}"} if self.shared else self.row.schema()
        made: Schema = {"type": "array", "items": items}
        return made | ({"minItems": self.least} if self.least else {})

    def _told(self) -> str:
        return "tables, one an entry"

    def _inner(self) -> Iterator[tuple[str, Keys]]:
        yield "[]", self.row.keys()


@dataclass(frozen=True)
class Named(Key):
    """A table with keys that the file chooses; each holds what `each` says.

    known: the names that there are, where the declaration knows them.
    """

    missing: Any = field(default_factory=dict)
    each: Key = field(default_factory=Text)
    known: tuple[str, ...] = ()

    def _read(self, table: Table, name: str) -> Any:
        inner = table.table(name, required=self.needed)
        found = {one: self.each.read(inner, one) for one in (self.known or inner)}
        inner.done()
        return found

    def _form(self) -> Schema:
        if self.known:
            named = dict.fromkeys(self.known, self.each.schema())
            return {"type": "object", "properties": named, "additionalProperties": False}
        return {"type": "object", "additionalProperties": self.each.schema()}

    def _told(self) -> str:
        known = f" ({_listed(self.known)})" if self.known else ""
        return f"a table of names{known}, each with {self.each.told()}"

    def _inner(self) -> Iterator[tuple[str, Keys]]:
        yield from ((f".NAME{more}", keys) for more, keys in self.each.inner())


@dataclass(frozen=True)
class Open(Key):
    """A table that another reader reads, whole. Read as it stands, None where there is none.

    holds: its keys, where they are known here; else shape is its schema.
    """

    holds: Keys | None = None
    shape: Schema = field(default_factory=lambda: {"type": "object"})

    def _read(self, table: Table, name: str) -> Any:
        if name not in table:
            table.value(name, default=None)
            return None
        return table.table(name)

    def _form(self) -> Schema:
        return self.shape if self.holds is None else object_schema(self.holds)

    def _told(self) -> str:
        return "a table"

    def _inner(self) -> Iterator[tuple[str, Keys]]:
        if self.holds is not None:
            yield "", self.holds


def key(stands: Key, *, called: str = "") -> Any:
    """A field of a `Row`. called: the key in the file, where it is not the field's name."""
    return field(metadata={"key": stands, "called": called})


@dataclass(frozen=True, kw_only=True)
@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(key,))
class Row:
    """A table of a file, read. Subclasses become frozen dataclasses by themselves.

    at: the table that it was read from. WHAT: what the table is. RULES: what its schema says
    beyond its keys. DECLARED: each field, its key in the file, and what may stand there.
    """

    at: Table
    WHAT: ClassVar[str] = ""
    RULES: ClassVar[Schema] = {}
    DECLARED: ClassVar[tuple[tuple[str, str, Key], ...]] = ()

    def __init_subclass__(cls, *, what: str = "", rules: Schema | None = None) -> None:
        cls.WHAT, cls.RULES = what, rules or {}
        made = dataclass(frozen=True, kw_only=True)(cls)
        cls.DECLARED = tuple(
            (each.name, each.metadata["called"] or each.name, each.metadata["key"])
            for each in fields(made)
            if "key" in each.metadata
        )

    @classmethod
    def keys(cls) -> Keys:
        """What may stand under each key, in the order in which it is read."""
        return {name: stands for _, name, stands in cls.DECLARED}

    @classmethod
    def read(cls, table: Table) -> Self:
        """The row in a table; raises the document's error for what it does not allow."""
        found = {inside: stands.read(table, name) for inside, name, stands in cls.DECLARED}
        table.done()
        return cls(at=table, **found)

    @classmethod
    def schema(cls) -> Schema:
        """The JSON Schema of the table."""
        return object_schema(cls.keys(), cls.WHAT) | cls.RULES


def read_keys(table: Table, keys: Keys) -> dict[str, Any]:
    """What stands under each key of a table; raises the document's error."""
    found = {name: stands.read(table, name) for name, stands in keys.items()}
    table.done()
    return found


def object_schema(keys: Keys, what: str = "") -> Schema:
    """JSON Schema of a table that may hold these keys only."""
    made = _described({"type": "object"}, what)
    made["properties"] = {name: stands.schema() for name, stands in keys.items()}
    made["additionalProperties"] = False
    needed = [name for name, stands in keys.items() if stands.needed]
    return made | ({"required": needed} if needed else {})


def document_schema(row: type[Row], title: str, **more: Any) -> Schema:
    """JSON Schema, draft 2020-12, of the values of a whole file."""
    head = {"$schema": DRAFT, "title": title, "description": row.WHAT}
    return head | row.schema() | more


def _described(form: Schema, what: str) -> Schema:
    """The form with its description, behind what says most."""
    if not what:
        return form
    first = ("type", "enum", "const", "pattern", "items")
    return {name: form[name] for name in first if name in form} | {"description": what} | form


def _listed(choices: Iterable[str]) -> str:
    return ", ".join(f"`{each}`" for each in choices)


def _date(table: Table, name: str, raw: Any) -> dt.date:
    day = raw.date() if isinstance(raw, dt.datetime) else raw
    if isinstance(day, str):
        try:
            day = dt.date.fromisoformat(day.strip())
        except ValueError:
            day = None
    if isinstance(day, dt.date):
        return day
    raise table.bad(
        name,
        what="This is not a date.",
        value=str(raw),
        allowed="year-month-day",
        next_step=f"write it like {name} = 2025-07-14",
    )
