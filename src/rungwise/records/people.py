"""The pages for the shop, its persons, its customers and their sites."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from sqlalchemy import select

from rungwise.errors import BadRecord
from rungwise.records.repository import Reader, Repository, needed, one_of, text, zone_name
from rungwise.records.rows import ROLES, Customer, Person, Shop, Site
from rungwise.wording import mark


class Shops(Repository[Shop]):
    """The shop; there is one in a store."""

    row = Shop
    fields: ClassVar[Mapping[str, Reader]] = {
        "name": needed("shop's name"), "zone": zone_name, "address": text, "phone": text,
        "licence": text, "stock": str, "note": text,
    }  # fmt: skip

    def only(self) -> Shop | None:
        """The shop, None before it is named."""
        return self.hand.session.scalars(select(Shop).order_by(Shop.id)).first()

    def name_it(self, name: str, *, zone: str = "UTC", **more: str) -> Shop:
        """Name the shop, or name it anew. Raises BadRecord for a zone that does not exist."""
        held = self.only()
        if held is None:
            made = Shop(name=needed("shop's name")(name), zone=zone_name(zone), **more)
            return self.hand.add(made)
        for field, typed in {"name": name, "zone": zone, **more}.items():
            self.leave(held.id, field, typed)
        return held


class Persons(Repository[Person]):
    """Those who work for the shop."""

    row = Person
    fields: ClassVar[Mapping[str, Reader]] = {
        "name": needed("name"), "zone": zone_name, "role": one_of("role", ROLES), "phone": text,
        "stock": str, "note": text,
    }  # fmt: skip

    def add(self, name: str, *, zone: str, role: str = "technician", **more: str) -> Person:
        """A new person. Raises BadRecord for an empty name, a zone or a role that is none."""
        self._refuse_twin(name)
        read = {"name": name, "zone": zone, "role": role, **more}
        return self.hand.add(
            Person(**{key: self.fields[key](typed) for key, typed in read.items()})
        )

    def _unusable(self, number: int, field: str, typed: str) -> str:
        """A name that another person has is refused and kept as typed."""
        try:
            if field == "name":
                self._refuse_twin(typed, but=number)
        except BadRecord as error:
            return str(error)
        return ""

    def _refuse_twin(self, name: str, but: int | None = None) -> None:
        held = self.named(name)
        if held is not None and held.id != but:
            raise BadRecord(
                what=mark("There is a person of this name already."), value=name,
                next_step=mark("write more of the name, so that the two can be told apart"),
            )  # fmt: skip

    def named(self, name: str) -> Person | None:
        """The person of that name, None where there is none."""
        return self.hand.session.scalars(select(Person).where(Person.name == name.strip())).first()

    def active(self) -> list[Person]:
        """Those who still work here, by name."""
        query = select(Person).where(Person.active).order_by(Person.name)
        return list(self.hand.session.scalars(query))

    def set_active(self, number: int, *, active: bool) -> Person:
        """Whether a person still works here; what they told stays theirs."""
        person = self.hand.turn(Person, number)
        person.active = active
        return person


class Customers(Repository[Customer]):
    """Those who call."""

    row = Customer
    fields: ClassVar[Mapping[str, Reader]] = {
        "name": needed("customer's name"), "phone": text, "email": text, "note": text,
    }  # fmt: skip

    def add(self, name: str, **more: str) -> Customer:
        """A new customer; more: phone, email, note. Raises BadRecord for an empty name."""
        read = {"name": name, **more}
        return self.hand.add(
            Customer(**{key: self.fields[key](typed) for key, typed in read.items()})
        )

    def find(self, words: str) -> list[Customer]:
        """Those whose name or phone has these words in it, by name."""
        query = select(Customer).where(
            Customer.name.icontains(words.strip(), autoescape=True)
            | Customer.phone.contains(words.strip(), autoescape=True)
        )
        return list(self.hand.session.scalars(query.order_by(Customer.name)))


class Sites(Repository[Site]):
    """Addresses with units."""

    row = Site
    fields: ClassVar[Mapping[str, Reader]] = {
        "address": needed("address"), "town": text, "note": text,
    }  # fmt: skip

    def add(self, customer_id: int | None, address: str, **more: str) -> Site:
        """A new site; more: town, note. Raises BadRecord for an empty address."""
        read = {"address": address, **more}
        values = {key: self.fields[key](typed) for key, typed in read.items()}
        return self.hand.add(Site(customer_id=customer_id, **values))
