"""What may stand under one key of a file: a text, a number, a date, a table and so on.

Each sort of key knows how it is read, its JSON Schema, and how the docs tell it.
"""

# ruff: noqa: D102  # the four methods of a key are told once, at `Key`
from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from rungwise.errors import close_matches
from rungwise.files.table import Table
from rungwise.quantity import range_text

if TYPE_CHECKING:
    from rungwise.files.declared import Row

Schema = dict[str, Any]

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

    @abstractmethod
    def read(self, table: Table, name: str) -> Any:
        """The value in a table; raises the document's error."""

    @abstractmethod
    def form(self) -> Schema:
        """The JSON Schema of the value, but for its description."""

    @abstractmethod
    def told(self) -> str:
        """What may stand there, in a few words for the docs."""

    def schema(self) -> Schema:
        """The JSON Schema of the value."""
        return _described(self.form(), self.what)

    def inner(self) -> Iterator[tuple[str, Keys]]:
        """The tables that it holds, each with what is added to the key's name."""
        yield from ()

    def rules(self, name: str) -> list[Schema]:  # noqa: ARG002  # most keys have none
        """What the schema of its table says beyond its own value."""
        return []

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

    def read(self, table: Table, name: str) -> Any:
        return table.text(name, choices=self.choices, **self._default())

    def form(self) -> Schema:
        if self.choices is not None:
            return {"enum": list(self.choices)}
        made: Schema = {"type": "string"}
        if self.pattern:
            made["pattern"] = self.pattern
        elif self.needed:
            made["minLength"] = 1
        return made | ({"maxLength": self.longest} if self.longest else {})

    def told(self) -> str:
        if self.choices is not None:
            return _listed(self.choices)
        return f"a text, at most {self.longest} letters" if self.longest else "a text"


@dataclass(frozen=True)
class Only(Text):
    """The one text that stands there in this table, such as the kind that its other keys are of."""

    value: str = ""

    def read(self, table: Table, name: str) -> Any:
        return table.text(name, choices=(self.value,), default=self.value)

    def form(self) -> Schema:
        return {"const": self.value}

    def told(self) -> str:
        return f"`{self.value}`"


@dataclass(frozen=True)
class TextBy(Text):
    """A text whose choices follow from the text under another key, `by`, that is read before it."""

    by: str = ""
    by_text: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def read(self, table: Table, name: str) -> Any:
        options = self.by_text.get(str(table.data.get(self.by, "")).strip())
        return table.text(name, choices=options, **self._default())

    def rules(self, name: str) -> list[Schema]:
        return [
            {
                "if": {"properties": {self.by: {"const": text}}, "required": [self.by]},
                "then": {"properties": {name: {"enum": list(choices)}}},
            }
            for text, choices in self.by_text.items()
        ]

    def told(self) -> str:
        return f"a text; which ones there are follows from `{self.by}`"


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

    def read(self, table: Table, name: str) -> Any:
        return table.strings(name, choices=self.choices, **self._default())

    def form(self) -> Schema:
        made: Schema = {"type": "array", "items": Text(self.each, choices=self.choices).schema()}
        more = {"minItems": self.least, "maxItems": self.most, "uniqueItems": self.unique}
        return made | {name: limit for name, limit in more.items() if limit}

    def told(self) -> str:
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

    def read(self, table: Table, name: str) -> Any:
        return table.number(
            name, unit=self.unit, low=self.low, high=self.high, what=self.subject,
            **self._default(),
        )  # fmt: skip

    def schema(self) -> Schema:
        """The JSON Schema of the number, with its unit and what it usually is."""
        what = f"{self.what}, in {self.unit}" if self.unit else self.what
        usual = {} if self.usual is None else {"default": self.usual}
        return _described(self.form(), what) | usual

    def form(self) -> Schema:
        number: Schema = {"type": "number"}
        ends = {"minimum": self.low, "maximum": self.high}
        number |= {name: end for name, end in ends.items() if end is not None}
        return {"anyOf": [number, {"type": "string", "pattern": _QUANTITY}]}

    def told(self) -> str:
        usual = "" if self.usual is None else f"; usually {self.usual:g}"
        return (range_text(self.low, self.high, self.unit) or "a number") + usual


@dataclass(frozen=True)
class TwoNumbers(Number):
    """The same, or a label of two such as "208/230 V"; reads lowest and highest, or None."""

    def read(self, table: Table, name: str) -> Any:
        return table.rating(
            name, unit=self.unit, low=self.low or 0.0, high=self.high or 0.0, what=self.subject
        )

    def form(self) -> Schema:
        both = {"type": "string", "pattern": _TWO_NUMBERS}
        return {"anyOf": [*super().form()["anyOf"], both]}

    def told(self) -> str:
        return f"{super().told()}, or two such as 208/230"


@dataclass(frozen=True)
class HigherOfTwo(TwoNumbers):
    """The same, of a part made for both, such as a coil for 208/240 V; reads the higher."""

    def read(self, table: Table, name: str) -> Any:
        both = super().read(table, name)
        return Number.read(self, table, name) if both is None else both[1]


@dataclass(frozen=True)
class Measured(Key):
    """A number or a text, as typed: who asks for it knows the unit it must be in."""

    def read(self, table: Table, name: str) -> Any:
        return table.value(name, **self._default())

    def form(self) -> Schema:
        return {"type": ["number", "string"]}

    def told(self) -> str:
        return "a number, or a text with its unit"


@dataclass(frozen=True)
class Shown(Measured):
    """What a meter showed, as typed: its check judges it later."""

    def read(self, table: Table, name: str) -> Any:
        """Raises the file's error for a table or a list."""
        raw = super().read(table, name)
        if raw is None or (isinstance(raw, str | int | float) and not isinstance(raw, bool)):
            return raw
        raise table.bad(
            name,
            what="A reading is a number, or a text such as 26.4 V.",
            value=str(raw),
            allowed="a number, a number with its unit in quotes, or one of the check's answers",
            next_step='write what the meter showed: value = "26.4 V"',
        )


@dataclass(frozen=True)
class Flag(Key):
    """True or false."""

    def read(self, table: Table, name: str) -> Any:
        return table.flag(name, **self._default())

    def form(self) -> Schema:
        return {"type": "boolean"}

    def told(self) -> str:
        return "true or false"


@dataclass(frozen=True)
class One(Key):
    """A table `[key]`, read as a row; without one, as a row of nothing unless it is `needed`.

    row: its declaration. absent: None is read where the file has no such table.
    """

    row: type[Row] = field(kw_only=True)
    absent: bool = True

    def read(self, table: Table, name: str) -> Any:
        if self.absent and name not in table:
            table.value(name, default=None)
            return None
        return self.row.read(table.table(name, required=self.needed))

    def form(self) -> Schema:
        return self.row.schema()

    def told(self) -> str:
        return "a table"

    def inner(self) -> Iterator[tuple[str, Keys]]:
        yield "", self.row.keys()


@dataclass(frozen=True)
class Many(Key):
    """Tables `[[key]]`, read as rows in the order of the file.

    shared: the name of the row's schema among the `$defs` of the file, where it stands there.
    sorts: instead of a row, what a table may hold by the sort of thing that it is; such tables
    are read as they stand.
    """

    missing: Any = ()
    row: type[Row] | None = None
    sorts: Mapping[str, Keys] = field(default_factory=dict)
    least: int = 0
    shared: str = ""

    def read(self, table: Table, name: str) -> Any:
        tables = table.tables(name)
        return tables if self.row is None else tuple(self.row.read(each) for each in tables)

    def form(self) -> Schema:
        least = {"minItems": self.least} if self.least else {}
        return {"type": "array", "items": self._items()} | least

    def _items(self) -> Schema:
        if self.shared:
            return {"$ref": f"#/$defs/{self.shared}"}
        if self.row is not None:
            return self.row.schema()
        return {"oneOf": [object_schema(keys, sort) for sort, keys in self.sorts.items()]}

    def told(self) -> str:
        return "tables, one an entry"

    def inner(self) -> Iterator[tuple[str, Keys]]:
        if self.row is not None:
            yield "[]", self.row.keys()
        yield from ((f"[] {sort}", keys) for sort, keys in self.sorts.items())


@dataclass(frozen=True)
class Named(Key):
    """A table with keys that the file chooses; each holds what `each` says.

    known: the names that there are, where the declaration knows them. stranger: what an error says
    before a name that is none of them.
    """

    missing: Any = field(default_factory=dict)
    each: Key = field(default_factory=Text)
    known: tuple[str, ...] = ()
    stranger: str = ""

    def read(self, table: Table, name: str) -> Any:
        inner = table.table(name, required=self.needed)
        if self.stranger:
            self.refuse_strangers(inner)
        names = inner if self.stranger or not self.known else self.known
        found = {one: self.each.read(inner, one) for one in names}
        inner.done()
        return found

    def refuse_strangers(self, table: Table) -> None:
        """Raise the document's error for a name that is not known."""
        for name in table:
            if name not in self.known:
                near = close_matches(name, self.known)
                raise table.bad(
                    name,
                    what=f"{self.stranger} {name}.",
                    value=name,
                    allowed=", ".join(self.known),
                    next_step=f"did you mean {' or '.join(near)}?" if near else "take it out",
                )

    def form(self) -> Schema:
        if self.known:
            named = dict.fromkeys(self.known, self.each.schema())
            return {"type": "object", "properties": named, "additionalProperties": False}
        return {"type": "object", "additionalProperties": self.each.schema()}

    def told(self) -> str:
        known = f" ({_listed(self.known)})" if self.known else ""
        return f"a table of names{known}, each with {self.each.told()}"

    def inner(self) -> Iterator[tuple[str, Keys]]:
        yield from ((f".NAME{more}", keys) for more, keys in self.each.inner())


@dataclass(frozen=True)
class Open(Key):
    """A table that another reader reads, whole. Read as it stands, None where there is none.

    holds: its keys, where they are known here; else shape is its schema.
    """

    holds: Keys | None = None
    shape: Schema = field(default_factory=lambda: {"type": "object"})

    def read(self, table: Table, name: str) -> Any:
        if name not in table:
            table.value(name, default=None)
            return None
        return table.table(name)

    def form(self) -> Schema:
        return self.shape if self.holds is None else object_schema(self.holds)

    def told(self) -> str:
        return "a table"

    def inner(self) -> Iterator[tuple[str, Keys]]:
        if self.holds is not None:
            yield "", self.holds


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
    rules = [rule for name, stands in keys.items() for rule in stands.rules(name)]
    return made | ({"required": needed} if needed else {}) | ({"allOf": rules} if rules else {})


def _described(form: Schema, what: str) -> Schema:
    """The form with its description, behind what says most."""
    if not what:
        return form
    first = ("type", "enum", "const", "pattern", "items")
    return {name: form[name] for name in first if name in form} | {"description": what} | form


def _listed(choices: Iterable[str]) -> str:
    return ", ".join(f"`{each}`" for each in choices)
