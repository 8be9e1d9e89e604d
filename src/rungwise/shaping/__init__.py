"""Shaping: from plain answers, or from a wiring label, to a unit and what it does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.shaping.candidates import Candidate, own_candidate, shipped_candidates
    from rungwise.shaping.choose import Choice, Extra, chosen
    from rungwise.shaping.edits import without_part
    from rungwise.shaping.facts import facts_of
    from rungwise.shaping.label import LabelUnit, label_of, read_label
    from rungwise.shaping.portrait import Portrait, portrait_of
    from rungwise.shaping.questions import QUESTIONS, UNKNOWN, Answer, Question
    from rungwise.shaping.supplies_alone import SUPPLIES, Unlike, unlike
    from rungwise.shaping.unit_text import text_of_unit
else:
    __getattr__ = door(__name__)
