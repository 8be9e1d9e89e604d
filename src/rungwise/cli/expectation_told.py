"""Laying out what a unit should read and do."""

from __future__ import annotations

from rungwise.circuit import LoadState
from rungwise.cli.page import Page
from rungwise.diagnosis import Expected
from rungwise.faults import HEALTHY
from rungwise.parts import Does
from rungwise.services import Expectation, band_text


def tell_expectation(page: Page, expected: Expectation) -> None:
    """Print it: what the loads do, then the checks, those made in one condition together."""
    facts = ["Healthy: 95 good specimens in 100 read within these bands."]
    facts += [f"Beside it, where it differs: {title}." for title in expected.titles.values()]
    page.title(expected.unit.title, facts)
    _tell_loads(page, expected)
    for line in expected.not_judged:
        page.say(line)
    for condition in dict.fromkeys(row[HEALTHY].condition for row in expected.rows):
        page.heading(condition)
        for row in expected.rows:
            if row[HEALTHY].condition == condition:
                _tell_row(page, expected, row)


def _tell_loads(page: Page, expected: Expectation) -> None:
    page.heading("what the loads do")
    for condition in dict.fromkeys(each.condition for each in expected.loads):
        told = (_load(each) for each in expected.loads if each.condition == condition)
        page.point("; ".join(told), mark=f"{condition}:")


def _tell_row(page: Page, expected: Expectation, row: dict[str, Expected]) -> None:
    healthy = row[HEALTHY]
    page.point(f"{healthy.title} ({healthy.id})")
    page.say(band_text(healthy), indent=4, style="bold")
    if healthy.id in expected.limits:
        page.point(expected.limits[healthy.id], mark="limit:", indent=4)
    for name, title in expected.titles.items():
        told = band_text(row[name])
        if told != band_text(healthy):
            page.point(told, mark=f"{title}:", indent=4)


def _load(load: LoadState) -> str:
    told = f"{load.title} {load.does.words}"
    return told if load.does == Does.OFF or not load.watt else f"{told}, {load.watt:.0f} W"
