"""The tables, one a file."""

from __future__ import annotations

from rungwise.records.rows.base import Row, Versioned
from rungwise.records.rows.call import CALL_KINDS, CALL_STATES, Call
from rungwise.records.rows.customer import Customer
from rungwise.records.rows.entry import Entry
from rungwise.records.rows.fitted import FittedPart
from rungwise.records.rows.kept import OfCall, Statement
from rungwise.records.rows.person import ROLES, Person
from rungwise.records.rows.photo import Photo
from rungwise.records.rows.practice import Practice
from rungwise.records.rows.reading import READING_KINDS, Reading
from rungwise.records.rows.sent import SentForm
from rungwise.records.rows.shop import Shop
from rungwise.records.rows.sign_off import SignOff
from rungwise.records.rows.site import Site
from rungwise.records.rows.step import Step
from rungwise.records.rows.truth import Truth
from rungwise.records.rows.unit import UNIT_STATES, Unit
from rungwise.records.rows.verdict import Verdict
from rungwise.records.rows.visit import Visit
from rungwise.records.rows.wires import STAGES, Wires

__all__ = [
    "CALL_KINDS",
    "CALL_STATES",
    "READING_KINDS",
    "ROLES",
    "STAGES",
    "UNIT_STATES",
    "Call",
    "Customer",
    "Entry",
    "FittedPart",
    "OfCall",
    "Person",
    "Photo",
    "Practice",
    "Reading",
    "Row",
    "SentForm",
    "Shop",
    "SignOff",
    "Site",
    "Statement",
    "Step",
    "Truth",
    "Unit",
    "Verdict",
    "Versioned",
    "Visit",
    "Wires",
]
