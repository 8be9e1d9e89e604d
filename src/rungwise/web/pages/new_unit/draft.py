"""A nameplate on its way into a unit: what the unit file has, and what was typed over it since."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from rungwise import records
from rungwise.errors import BadInput, UnknownName
from rungwise.files import Document
from rungwise.records import Customers, Sites, UnitOfWork
from rungwise.services import unit_from_text
from rungwise.web.pages.new_unit.estimates import FILE, plain
from rungwise.web.pages.new_unit.forms import (
    FAN,
    HERM,
    FieldVerdict,
    PlateField,
    fields_of,
    left,
    said_of,
    said_of_all,
    two_sections,
    typed_in,
)
from rungwise.web.undo import Names, field_names
from rungwise.wording import mark, say

UNNAMED = mark("New unit")

PLACE_FIELDS = {
    "title": mark("Unit name"),
    "customer": mark("Customer"),
    "phone": mark("Phone"),
    "address": mark("Address"),
    "town": mark("Town"),
}
"""Fields that say whose it is and where it stands."""

SHAPED = "shaped"
"""What the text of a shaped unit, which its plate is then put into, is called in the records."""

_ENTRY = "nameplate."
"""Before a field's name in the records, so that it takes no column's."""


@dataclass(frozen=True)
class Draft:
    """A unit's plate. base: its unit file, or the bare arrangement. entries: typed since, by key,
    those that cannot be used among them. place: whose it is and where, as the records have it.
    """

    base: str
    entries: Mapping[str, str]
    place: Mapping[str, str]

    @property
    def arrangement(self) -> str:
        """The arrangement that it starts from."""
        return str(Document(plain(self.base), file=FILE).data.get("arrangement", ""))

    @cached_property
    def fields(self) -> dict[str, PlateField]:
        """The lines of the plate, by key."""
        return {each.key: each for each in fields_of(self.base)}

    @property
    def keys(self) -> set[str]:
        """Every field of the form."""
        return {*self.fields, *PLACE_FIELDS}

    def entry_name(self, key: str) -> str:
        """What the field is called in the records. Raises UnknownName for one that is none."""
        if key in self.fields:
            return _ENTRY + key
        if key in PLACE_FIELDS:
            return key if key == "title" else f"place.{key}"
        raise UnknownName(what=mark("The form has no such field."), name=key, known=self.keys)

    def label(self, key: str) -> str:
        """What the field is called on the form."""
        return PLACE_FIELDS.get(key) or self.fields[key].label

    def typed(self, key: str) -> str:
        """What stands in a field."""
        if key in self.entries:
            return self.entries[key]
        if key in self.fields:
            return typed_in(self.base, self.fields[key])
        return self.place.get(key, "")

    def with_typed(self, key: str, typed: str) -> Draft:
        """The same with another text in one field."""
        return replace(self, entries={**self.entries, key: typed})

    @cached_property
    def text(self) -> str:
        """The unit file with all that can be read of what was typed."""
        text = self.base
        for key, field in self.fields.items():
            typed = self._meant(key)
            if typed is not None and not said_of(text, field, typed, alone=True).refused:
                text = left(text, field, typed)
        title = self.title
        return Document(text, file=FILE).with_value(("title",), title) if title else text

    @property
    def unread(self) -> list[str]:
        """Fields whose text cannot be used as it stands: the unit is not saved without them."""
        return [key for key in self.fields if self.said_of(key).refused]

    @cached_property
    def _sections(self) -> tuple[str, str] | None:
        """Compressor's and fan's µF, where the one field has both, as a dual capacitor's label."""
        return two_sections(self.entries.get(HERM, ""))

    def _meant(self, key: str) -> str | None:
        """What was typed for a field since, a dual capacitor's label shared out."""
        typed = self.entries.get(key)
        if self._sections and key == HERM:
            return self._sections[0]
        if self._sections and key == FAN and not (typed or "").strip():
            return self._sections[1]
        return typed

    @property
    def title(self) -> str:
        """What the unit is called: its own name, else where it stands, else whose it is."""
        named = self.typed("title")
        own = "" if named == UNNAMED else named
        return own or self.typed("address") or self.typed("customer")

    def said_of(self, key: str) -> FieldVerdict:
        """What can be said of one field."""
        if key not in self.fields:
            return FieldVerdict("", mark("Saved.") if self.typed(key) else "")
        typed = self.typed(key)
        if self._sections and key in (HERM, FAN):
            meant = self._meant(key) or ""
            said = said_of(self.text, self.fields[key], meant)
            if said.level == "fine" and meant != typed:
                return FieldVerdict(
                    "fine",
                    say("{meant}, of {strip}. OK", meant=meant, strip=self.entries[HERM].strip()),
                )
            return said
        return said_of(self.text, self.fields[key], typed)

    @cached_property
    def together(self) -> tuple[FieldVerdict, ...]:
        """What the figures say together."""
        return said_of_all(self.text)

    @property
    def usable(self) -> bool:
        """Whether the unit file can be solved."""
        try:
            unit_from_text(self.text)
        except BadInput:
            return False
        return True


def draft_of(book: UnitOfWork, unit: records.Unit) -> Draft:
    """The plate of a unit as the records have it."""
    typed = {name: each.typed for name, each in book.units.entries(unit.id).items()}
    begun = typed.get(SHAPED) or f'arrangement = "{typed.get("arrangement", "one_pole_heater")}"\n'
    site, whose = book.units.where(unit)
    place = {
        "title": unit.title,
        "customer": whose.name if whose else "",
        "phone": whose.phone if whose else "",
        "address": site.address if site else "",
        "town": site.town if site else "",
    }
    entries = {
        name.removeprefix(_ENTRY).removeprefix("place."): text
        for name, text in typed.items()
        if name.startswith((_ENTRY, "place."))
    }
    return Draft(unit.toml or begun, entries, place)


def unit_names(book: UnitOfWork, number: int) -> Names:
    """What the entries of a unit are called."""
    draft = draft_of(book, book.units.get(number))
    titles = {draft.entry_name(key): draft.label(key) for key in draft.keys}
    named = field_names(titles)

    def name(row: records.Statement | records.Photo) -> str:
        is_file = isinstance(row, records.Entry) and row.field == "toml"
        return mark("Unit saved") if is_file else named(row)

    return name


def put_in(book: UnitOfWork, unit: records.Unit) -> bool:
    """Put the plate into the unit; False where a figure cannot be used, or not with the others."""
    draft = draft_of(book, unit)
    if not draft.usable or draft.unread:
        return False
    _put_on_site(book, unit, draft)
    if draft.title and draft.title != unit.title:
        book.units.leave(unit.id, "title", draft.title)
    book.units.rewrite(unit.id, draft.text)
    return True


def _put_on_site(book: UnitOfWork, unit: records.Unit, draft: Draft) -> None:
    """Make the customer and the site that were typed, or mend those that the unit has."""
    site, whose = book.units.where(unit)
    told = {key: draft.typed(key).strip() for key in PLACE_FIELDS}
    if whose is None and told["customer"]:
        named = [each for each in book.customers.find(told["customer"])
                 if each.name.casefold() == told["customer"].casefold()]  # fmt: skip
        whose = named[0] if named else book.customers.add(told["customer"], phone=told["phone"])
    elif whose is not None:
        _mend(book.customers, whose.id, {"name": told["customer"], "phone": told["phone"]})
    if site is not None:
        _mend(book.sites, site.id, {"address": told["address"], "town": told["town"]})
    elif whose is not None or told["address"]:
        made = book.sites.add(
            whose.id if whose else None, told["address"] or "address not known", town=told["town"]
        )
        book.units.place(unit.id, made.id)


def _mend(page: Customers | Sites, number: int, told: dict[str, str]) -> None:
    for field, typed in told.items():
        if typed and typed != getattr(page.get(number), field):
            page.leave(number, field, typed)
