"""A unit with a fault that the tests know of and the page does not: its meters are simulated."""

from __future__ import annotations

import math

import numpy as np
from playwright.sync_api import Page, expect
from tests.web.mill_street import UNIT_TOML

from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.checks import checks_of
from rungwise.evaluation.sources import EngineSource
from rungwise.evaluation.technician import Technician
from rungwise.faults import SuspectSet
from rungwise.quantity import format_quantity
from rungwise.services import unit_from_text

__all__ = ["Cabinet"]


class Cabinet:
    """A unit with one fault in it, the one in Mill Street unless another is told."""

    def __init__(self, fault: str, seed: int = 3, unit: str = UNIT_TOML) -> None:
        suspects = SuspectSet(unit_from_text(unit))
        suspect = suspects.suspect(fault)
        values = suspects.particles([suspect], 1, seed)
        self.title = suspect.title
        self._checks = {check.card.id: check for check in checks_of(suspects.unit)}
        bench = Bench(suspects.plan, values, 1, np.zeros(1))
        self._meter = Technician(bench, suspect, self._checks, EngineSource(bench), seed)

    def read(self, check: str) -> str:
        """What a person reads there, as it is typed."""
        found = self._meter.take(check)
        if isinstance(found, str):
            return found
        unit = self._checks[check].card.unit
        return "OL" if math.isinf(found) else format_quantity(found, unit, 4)

    def answer(self, page: Page) -> str:
        """Read what the page asks for next, enter it, and give the check's name."""
        page.wait_for_load_state()  # without script it may still be read, half of its card there
        form = page.locator("section.check form[data-draft]")
        check = form.get_attribute("data-draft") or ""
        read = self.read(check)
        buttons = form.locator("button[name=typed]")
        if buttons.count():
            form.locator(f'button[name=typed][value="{read}"]').click()
        else:
            form.locator("input[name=typed]").fill(read)
            form.get_by_role("button", name="Save").click()
        expect(page.locator(f'section.check form[data-draft="{check}"]')).to_have_count(0)
        return check
