"""Papers of a call: the customer's page, the technician's record, and a practice score, as PDF."""

from __future__ import annotations

from rungwise.report.extras import Extras, Shot
from rungwise.report.layout import Layout
from rungwise.report.paper import Paper, customer_paper, practice_paper, technician_paper
from rungwise.report.worked import Worked, file_extras, worked_file

__all__ = ["Extras", "Layout", "Paper", "Shot", "Worked", "customer_paper", "file_extras",
           "practice_paper",
           "technician_paper", "worked_file"]  # fmt: skip
