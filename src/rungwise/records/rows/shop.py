"""The tables of the shop: its persons, its customers, their sites and units."""

from __future__ import annotations

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned


class Shop(Versioned):
    """The shop. prices: its price list for checks. stock: van stock, a candidates file's text."""

    __tablename__ = "shop"

    name: Mapped[str]
    zone: Mapped[str] = mapped_column(default="UTC")
    address: Mapped[str] = mapped_column(default="")
    phone: Mapped[str] = mapped_column(default="")
    licence: Mapped[str] = mapped_column(default="")
    stock: Mapped[str] = mapped_column(default="")
    prices: Mapped[dict[str, Any] | None]
    note: Mapped[str] = mapped_column(default="")


ROLES = ("technician", "owner", "apprentice", "desk")


class Person(Versioned):
    """A person. zone: an IANA name, such as America/Chicago. stock: what this one's van carries."""

    __tablename__ = "person"
    __table_args__ = (
        CheckConstraint(f"role IN {ROLES}", name="role"),
        {"sqlite_autoincrement": True},
    )

    name: Mapped[str] = mapped_column(unique=True)
    zone: Mapped[str]
    role: Mapped[str] = mapped_column(default="technician")
    active: Mapped[bool] = mapped_column(default=True)
    phone: Mapped[str] = mapped_column(default="")
    stock: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")

    def local(self, moment: dt.datetime) -> dt.datetime:
        """A moment in this person's own zone."""
        return moment.astimezone(ZoneInfo(self.zone))


class Customer(Versioned):
    """Whoever calls and pays."""

    __tablename__ = "customer"

    name: Mapped[str]
    phone: Mapped[str] = mapped_column(default="")
    email: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")


class Site(Versioned):
    """An address of a customer. note: how one gets in."""

    __tablename__ = "site"

    customer_id: Mapped[int | None] = mapped_column(ForeignKey("customer.id"), index=True)
    address: Mapped[str]
    town: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")


UNIT_STATES = ("draft", "whole")


class Unit(Versioned):
    """A unit. toml: its unit file. state: "draft" until the file can be used."""

    __tablename__ = "unit"
    __table_args__ = (
        CheckConstraint(f"state IN {UNIT_STATES}", name="state"),
        {"sqlite_autoincrement": True},
    )

    site_id: Mapped[int | None] = mapped_column(ForeignKey("site.id"), index=True)
    title: Mapped[str]
    toml: Mapped[str] = mapped_column(default="")
    state: Mapped[str] = mapped_column(default="draft")
    installed: Mapped[dt.date | None]
    note: Mapped[str] = mapped_column(default="")
    added_at: Mapped[dt.datetime]


class OwnArrangement(Versioned):
    """An arrangement that the shop keeps for its next units. toml: a unit file without a plate.

    unit_id: the unit that it was kept from; None for one that came as a file. kept: false once it
    is taken off the list.
    """

    __tablename__ = "own_arrangement"

    title: Mapped[str]
    toml: Mapped[str]
    unit_id: Mapped[int | None] = mapped_column(ForeignKey("unit.id"), index=True)
    kept: Mapped[bool] = mapped_column(default=True)
    added_at: Mapped[dt.datetime]
