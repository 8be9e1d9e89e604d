"""Records: everything a shop keeps, in SQLite or PostgreSQL."""

from __future__ import annotations

from rungwise.records.book import Book
from rungwise.records.keeping import Left
from rungwise.records.shot import Shot, developed
from rungwise.records.store import Store

__all__ = ["Book", "Left", "Shot", "Store", "developed"]
