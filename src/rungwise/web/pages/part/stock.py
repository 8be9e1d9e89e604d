"""The van's stock as the records hold it, and one candidate as a table."""

from __future__ import annotations

from typing import Any

from rungwise.errors import BadCandidateFile
from rungwise.files.document import Document
from rungwise.records import UnitOfWork
from rungwise.replacement import Candidate, read_candidate
from rungwise.unit.unit import Unit

__all__ = ["candidate_in", "stock_text"]


def stock_text(book: UnitOfWork, person_id: int | None) -> str:
    """The candidates file of this person's van, else the shop's, "" where there is none."""
    own = book.persons.get(person_id).stock if person_id is not None else ""
    shop = book.shop.only()
    return own or (shop.stock if shop else "")


def candidate_in(table: dict[str, Any], unit: Unit) -> Candidate:
    """The candidate that a table of a candidates file describes. Raises BadCandidateFile."""
    import tomlkit  # noqa: PLC0415  # slow to import

    text = tomlkit.dumps(table)
    return read_candidate(Document(text, file="the label", error=BadCandidateFile).root, unit)
