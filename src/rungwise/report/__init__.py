"""Papers of a call: the customer's page, the technician's record, and a practice score, as PDF."""

from __future__ import annotations

from rungwise.report.content import CustomerPage, Head, State, Step, TechnicianRecord, Zone
from rungwise.report.content_practice import Made, Point, PracticeScore
from rungwise.report.customer import customer_page
from rungwise.report.extras import Extras, Shot
from rungwise.report.layout import Kind, Layout, Size
from rungwise.report.paper import Paper, customer_paper, practice_paper, technician_paper
from rungwise.report.prices import prices_in
from rungwise.report.technician import technician_record
from rungwise.report.telling import unread
from rungwise.report.worked import Worked, file_extras, worked_file

__all__ = [
    "CustomerPage",
    "Extras",
    "Head",
    "Kind",
    "Layout",
    "Made",
    "Paper",
    "Point",
    "PracticeScore",
    "Shot",
    "Size",
    "State",
    "Step",
    "TechnicianRecord",
    "Worked",
    "Zone",
    "customer_page",
    "customer_paper",
    "file_extras",
    "practice_paper",
    "prices_in",
    "technician_paper",
    "technician_record",
    "unread",
    "worked_file",
]
