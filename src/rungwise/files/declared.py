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
the row; `Row.at` is the table that it was read from, for errors that name the place. The sorts of
keys are in `rungwise.files.keys`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any, ClassVar, Self, dataclass_transform

from rungwise.files.keys import Key, Keys, Schema, object_schema
from rungwise.files.table import Table

DRAFT = "https://json-schema.org/draft/2020-12/schema"


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

    at: Table = field(compare=False, repr=False)
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

    def given(self, *names: str) -> dict[str, Any]:
        """What the file gives, by field: of `names`, or of all."""
        found = {name: getattr(self, name) for name in names or [each[0] for each in self.DECLARED]}
        return {name: value for name, value in found.items() if value is not None}

    @classmethod
    def schema(cls) -> Schema:
        """The JSON Schema of the table."""
        return object_schema(cls.keys(), cls.WHAT) | cls.RULES


def document_schema(row: type[Row], title: str, **more: Any) -> Schema:
    """JSON Schema, draft 2020-12, of the values of a whole file."""
    head = {"$schema": DRAFT, "title": title, "description": row.WHAT}
    return head | row.schema() | more
