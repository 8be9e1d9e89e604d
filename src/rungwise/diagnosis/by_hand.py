"""What a shop writes by hand for the customer's page: the `[paper]` table of a call file.

None of it is read by the engine: what was done in the technician's own words, what to watch, what
is recommended and for how much. A paper leaves out what nobody wrote.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, Final

from rungwise.files import Keys, Table, Text, Texts, read_keys
from rungwise.wording import mark

PAPER_TEXTS: Final[Mapping[str, str]] = {
    "shop": mark("name of the shop"),
    "license": mark("the shop's license number"),
    "phone": mark("whom to call"),
    "invoice": mark("number of the invoice"),
    "arrived": mark("when the technician came"),
    "left": mark("when the technician left"),
    "refrigerant_added": mark("how much refrigerant was added, and which"),
    "next_step": mark("what comes next, where it is not fixed yet"),
    "warranty": mark("on what was done or fitted"),
    "next_visit": mark("when somebody comes again"),
}
"""Keys that hold one text, with what it says."""

PAPER_LISTS: Final[Mapping[str, str]] = {
    "done": mark("what was done, a sentence each"),
    "watch": mark("what the customer should watch, a sentence each"),
    "recommend": mark("what the shop recommends, when and for how much, a sentence each"),
    "prices": mark("lines of the bill: dual run capacitor: 38.50 $"),
}
"""Keys that hold several."""

PAPER_KEYS: Final[Keys] = {
    **{name: Text(what) for name, what in PAPER_TEXTS.items()},
    **{name: Texts(what) for name, what in PAPER_LISTS.items()},
}
"""What may stand under each key of `[paper]`."""


@dataclass(frozen=True, slots=True)
class ByHand:
    """The texts by their keys in `PAPER_TEXTS` and `PAPER_LISTS`; empty where nobody wrote one."""

    shop: str = ""
    license: str = ""
    phone: str = ""
    invoice: str = ""
    arrived: str = ""
    left: str = ""
    refrigerant_added: str = ""
    next_step: str = ""
    warranty: str = ""
    next_visit: str = ""
    done: tuple[str, ...] = ()
    watch: tuple[str, ...] = ()
    recommend: tuple[str, ...] = ()
    prices: tuple[str, ...] = ()

    @classmethod
    def in_table(cls, table: Table) -> ByHand:
        """Those of a `[paper]` table. Raises BadCallFile for a key or a value of another sort."""
        return cls(**read_keys(table, PAPER_KEYS))

    @classmethod
    def typed(cls, fields_typed: Mapping[str, str]) -> ByHand:
        """Those of a form, a list one a line. Keys that are none of these are passed over."""
        found: dict[str, Any] = {key: fields_typed.get(key, "").strip() for key in PAPER_TEXTS}
        for key in PAPER_LISTS:
            rows = (row.strip() for row in fields_typed.get(key, "").splitlines())
            found[key] = tuple(filter(None, rows))
        return cls(**found)

    def as_typed(self) -> dict[str, str]:
        """What `typed` makes this of; keys without a text are left out."""
        return {
            key: each if isinstance(each, str) else "\n".join(each)
            for key, each in self.values().items()
        }

    def values(self) -> dict[str, str | list[str]]:
        """What its `[paper]` table holds; keys without a text are left out."""
        held = {each.name: getattr(self, each.name) for each in fields(self)}
        return {key: each if isinstance(each, str) else list(each)
                for key, each in held.items() if each}  # fmt: skip
