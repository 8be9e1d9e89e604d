"""Laying out what a call's wires file comes to."""

from __future__ import annotations

from rungwise.cli.page import Page
from rungwise.cli.recovering_told import tell_recovery
from rungwise.cli.rewiring_told import tell_rewiring
from rungwise.services import RecoverAnswer, WiresAnswer


def tell_wired(page: Page, wires: WiresAnswer) -> None:
    """Print it, without the cautions, which the plan for making the unit dead has told."""
    if isinstance(wires, RecoverAnswer):
        tell_recovery(page, wires, cautions=False)
    else:
        tell_rewiring(page, wires, cautions=False)
