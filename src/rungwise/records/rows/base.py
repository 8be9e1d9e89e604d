"""What all tables share: names of constraints, types, and how a row is named."""

from __future__ import annotations

import datetime as dt
from typing import Any, ClassVar

from sqlalchemy import Date, Double, LargeBinary, MetaData
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from rungwise.records.columns import Facts, UtcTime, Words

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class Row(DeclarativeBase):
    """One row of any table. id: counted up, and never given twice."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        str: Words,
        float: Double,
        bytes: LargeBinary,
        dt.datetime: UtcTime,
        dt.date: Date,
        dict[str, Any]: Facts,
    }
    __table_args__: Any = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True, sort_order=-10)


class Versioned(Row):
    """Counts the changes made to a thing, so that a form that is out of date is noticed."""

    __abstract__ = True

    version: Mapped[int] = mapped_column(default=1, sort_order=-5)
