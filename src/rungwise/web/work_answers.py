"""The answers about the work itself, as the commands give them, each worked out once."""

from __future__ import annotations

from rungwise.answers.as_json import unit_json

__all__ = [
    "candidates_in",
    "fitting_answer",
    "isolation_answer",
    "live_points",
    "plain",
    "recover_answer",
    "rewire_answer",
    "unit_json",
    "warm",
    "why",
]
