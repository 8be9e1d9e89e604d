"""A check: the card that a person and the inference see, and what reads it off the circuit."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.readers import Reader
from rungwise.diagnosis.visual_checks import Look

UNNAMED = ""
"""The id of a card until `addressed` gives it that of its address."""


@dataclass(frozen=True, slots=True)
class Check:
    """One check of a unit; exactly one of `reader` (numbers) and `look` (choices) is set.

    `off` are the terminals whose wires must come off for it.
    """

    card: CheckCard
    reader: Reader | None = None
    look: Look | None = None
    off: tuple[str, ...] = ()
