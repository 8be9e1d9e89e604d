"""Records: everything a shop keeps, in SQLite or PostgreSQL."""

from __future__ import annotations

from rungwise.records.entries import EntryResult
from rungwise.records.images import StoredImage, developed
from rungwise.records.store import Store
from rungwise.records.unit_of_work import UnitOfWork

__all__ = ["EntryResult", "Store", "StoredImage", "UnitOfWork", "developed"]
