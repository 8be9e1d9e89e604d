"""The first tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "first_tables"
down_revision = None

POINTS = {
    "call_id": "call",
    "customer_id": "customer",
    "person_id": "person",
    "site_id": "site",
    "technician_id": "person",
    "unit_id": "unit",
    "visit_id": "visit",
}
"""The table that a column of this name points at; `superseded_by_id` points at its own."""

Columns = list[sa.Column[Any]]


def upgrade() -> None:
    """Make them, each after those that it points at."""
    _table("customer", _version(), _texts("name", "phone", "email", "note"))
    _person()
    _table(
        "shop",
        _version(),
        _texts("name", "zone", "address", "phone", "licence", "stock"),
        _maybe(sa.Text(), "prices"),
        _texts("note"),
    )
    _table(
        "entry",
        _texts("subject"),
        _sure(sa.Integer(), "subject_id"),
        _texts("field", "typed", "refusal"),
        _told(),
        indexed=["subject subject_id field"],
    )
    _table(
        "site",
        _version(),
        _maybe(sa.Integer(), "customer_id"),
        _texts("address", "town", "note"),
        indexed=["customer_id"],
    )
    _unit()
    _call()
    _of_call("fitted", _texts("part"), _maybe(sa.Text(), "candidate"),
             _texts("typed", "refusal", "note"))  # fmt: skip
    _photo()
    _practice()
    _of_call("sign_off", _texts("text", "received_by"), _maybe(sa.Text(), "facts"))
    _step()
    _of_call("truth", _texts("part", "suspect", "how"))
    _of_call("verdict", _texts("kind", "suspect", "part"), _maybe(sa.Double(), "probability"),
             _texts("text", "engine"))  # fmt: skip
    _visit()
    _of_call("wires", _texts("stage", "toml", "refusal"), within={"stage": ("as found", "as left")})
    _reading()


def _person() -> None:
    _table(
        "person",
        _version(),
        _texts("name", "zone", "role"),
        _sure(sa.Boolean(), "active"),
        _texts("phone", "stock", "note"),
        within={"role": ("technician", "owner", "apprentice", "desk")},
        unique="name",
    )


def _unit() -> None:
    _table(
        "unit",
        _version(),
        _maybe(sa.Integer(), "site_id"),
        _texts("title", "toml", "state"),
        _maybe(sa.Date(), "installed"),
        _texts("note"),
        _sure(_moment(), "added_at"),
        within={"state": ("draft", "whole")},
        indexed=["site_id"],
    )


def _call() -> None:
    _table(
        "call",
        _version(),
        _maybe(sa.Integer(), "unit_id", "customer_id", "technician_id"),
        _texts("kind", "state", "title", "suspected", "note"),
        _sure(sa.Date(), "day"),
        _sure(_moment(), "opened_at"),
        _maybe(_moment(), "closed_at"),
        within={"kind": ("service", "practice"), "state": ("booked", "open", "closed")},
        indexed=["customer_id", "day", "technician_id", "unit_id"],
    )


def _photo() -> None:
    _table(
        "photo",
        _version(),
        _maybe(sa.Integer(), "call_id", "unit_id", "person_id"),
        _sure(_moment(), "at"),
        _texts("zone", "media_type"),
        _sure(sa.Integer(), "width", "height"),
        _texts("digest", "shows", "caption"),
        _sure(sa.Boolean(), "removed"),
        _sure(sa.LargeBinary(), "content", "small"),
        indexed=["call_id", "digest", "unit_id"],
    )


def _practice() -> None:
    _table(
        "practice",
        _sure(sa.Integer(), "call_id"),
        _texts("fault"),
        _sure(sa.BigInteger(), "seed"),
        _maybe(_moment(), "finished_at"),
        _texts("named"),
        _maybe(sa.Boolean(), "right"),
        _maybe(sa.Integer(), "checks", "wrong_parts"),
        _maybe(sa.Double(), "score"),
        unique="call_id",
    )


def _step() -> None:
    _of_call(
        "step",
        _texts("zone_of_work"),
        _sure(sa.Integer(), "number"),
        _texts("text"),
        _sure(sa.Boolean(), "done"),
        _texts("typed"),
        _maybe(sa.Double(), "reading"),
        _texts("unit", "refusal"),
    )


def _visit() -> None:
    _table(
        "visit",
        _version(),
        _sure(sa.Integer(), "call_id"),
        _maybe(sa.Integer(), "person_id"),
        _sure(_moment(), "arrived_at"),
        _maybe(_moment(), "left_at"),
        _texts("zone", "note"),
        indexed=["call_id"],
    )


def _reading() -> None:
    _of_call(
        "reading",
        _texts("kind", "check"),
        _sure(sa.Integer(), "taken"),
        _texts("typed"),
        _maybe(sa.Double(), "number"),
        _maybe(sa.Text(), "choice"),
        _texts("unit", "note", "refusal"),
        _maybe(sa.Integer(), "visit_id"),
        within={"kind": ("symptom", "reading", "proof")},
    )


def _sure(kind: sa.types.TypeEngine[Any], *names: str) -> Columns:
    """Columns that always hold something."""
    return [sa.Column(name, kind, nullable=False) for name in names]


def _maybe(kind: sa.types.TypeEngine[Any], *names: str) -> Columns:
    return [sa.Column(name, kind, nullable=True) for name in names]


def _texts(*names: str) -> Columns:
    return _sure(sa.Text(), *names)


def _version() -> Columns:
    return _sure(sa.Integer(), "version")


def _moment() -> sa.DateTime:
    return sa.DateTime(timezone=True)


def _told() -> Columns:
    """Who told it and when, and what has taken its place."""
    return [
        *_maybe(sa.Integer(), "person_id"),
        *_sure(_moment(), "at"),
        *_texts("zone"),
        *_version(),
        *_sure(sa.Boolean(), "beside"),
        *_maybe(sa.Integer(), "superseded_by_id"),
    ]


def _of_call(
    name: str, *columns: Columns, within: Mapping[str, Sequence[str]] | None = None
) -> None:
    """A table of what somebody told of a call."""
    told = [_sure(sa.Integer(), "call_id"), *columns, _told()]
    _table(name, *told, within=within, indexed=["call_id"])


def _table(
    name: str,
    *columns: Columns,
    within: Mapping[str, Sequence[str]] | None = None,
    unique: str = "",
    indexed: Sequence[str] = (),
) -> None:
    """Make a table. within: the words that a column may hold. indexed: columns, apart by spaces."""
    own = [each for some in columns for each in some]
    names = [each.name for each in own]
    points = {**POINTS, "superseded_by_id": name}
    op.create_table(
        name,
        *_sure(sa.Integer(), "id"),
        *own,
        *(
            sa.CheckConstraint(
                f"{column} IN ({', '.join(map(repr, words))})", name=op.f(f"ck_{name}_{column}")
            )
            for column, words in (within or {}).items()
        ),
        *(
            sa.ForeignKeyConstraint([each], [f"{points[each]}.id"], name=f"fk_{name}_{each}")
            for each in sorted(points.keys() & set(names))
        ),
        sa.PrimaryKeyConstraint("id", name=f"pk_{name}"),
        *([sa.UniqueConstraint(unique, name=f"uq_{name}_{unique}")] if unique else []),
        sqlite_autoincrement=True,
    )
    for index in indexed:
        op.create_index(f"ix_{name}_{index.replace(' ', '_')}", name, index.split())
