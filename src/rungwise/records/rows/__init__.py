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
    Share,
    TakenBack,
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
    WITHDRAWN,
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
