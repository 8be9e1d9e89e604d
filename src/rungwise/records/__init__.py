"""Records: everything a shop keeps, in SQLite or PostgreSQL."""

from __future__ import annotations

from rungwise.records.archive import Summary, export, load
from rungwise.records.by_hand import PAPER_FIELD, by_hand_of
from rungwise.records.endings import KnownCause
from rungwise.records.engine import data_folder
from rungwise.records.entries import EntryResult
from rungwise.records.files import UnitHas, call_values, proof_told, unit_text, wires_of
from rungwise.records.images import StoredImage, developed
from rungwise.records.intake import bring_folder
from rungwise.records.past_calls import PastCall
from rungwise.records.people import Customers, Sites
from rungwise.records.proof_text import (
    COOLING,
    FOUND,
    REPAIRED,
    ProofLine,
    as_list,
    is_field,
    proof_values,
    table_of,
    value_in,
)
from rungwise.records.readings import Readings
from rungwise.records.repository import FIRST_DAY, LAST_DAY, day, zone_name
from rungwise.records.rows import (
    Call,
    Customer,
    Entry,
    FittedPart,
    Photo,
    Practice,
    Reading,
    Share,
    SignOff,
    Site,
    Statement,
    Step,
    Truth,
    Unit,
    Wires,
)
from rungwise.records.session import NUMBERS
from rungwise.records.store import Store
from rungwise.records.taking_back import LastEntry, Scope
from rungwise.records.unit_of_work import UnitOfWork
