"""The tables: of the shop, of calls, and of what is told of them."""

from __future__ import annotations

from rungwise.records.rows.base import Row, Versioned
from rungwise.records.rows.call import (
    CALL_KINDS,
    CALL_STATES,
    Call,
    Photo,
    Practice,
    SentForm,
    Visit,
    complaint_ids,
)
from rungwise.records.rows.shop import (
    ROLES,
    UNIT_STATES,
    Customer,
    OwnArrangement,
    Person,
    Shop,
    Site,
    Unit,
)
from rungwise.records.rows.statement import (
    READING_KINDS,
    STAGES,
    Entry,
    FittedPart,
    OfCall,
    Reading,
    SignOff,
    Statement,
    Step,
    Truth,
    Verdict,
    Wires,
)

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
    "OwnArrangement",
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
    "complaint_ids",
]
