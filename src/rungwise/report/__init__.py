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
from rungwise.report.telling import (
    NOT_DEAD,
    NOT_PROVED,
    WIRES_NOT_LEFT,
    cause_told,
    fitted_told,
    making_dead_told,
    not_made,
    unread,
    work_told,
)
from rungwise.report.worked import Worked, file_extras, worked_file
