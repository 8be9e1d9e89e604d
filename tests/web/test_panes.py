"""The small picture on a card shows every lead, at letters that can be read in the yard."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

import pytest
from tests.wide import some

from rungwise.drawing import SMALLEST
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import ARRANGEMENTS, FIRST_ARRANGEMENTS, arrangement
from rungwise.web.leads import checks_held, leads_of
from rungwise.web.panes import HIGH_PX, LEAD, LETTER_PX, WIDE_PX, grouped, panes
from rungwise.web.unit_pictures import place_of, spots_of, svg_at_check
from rungwise.wording import speaking

UNITS = some(ARRANGEMENTS, *FIRST_ARRANGEMENTS)


@lru_cache(maxsize=1)
def pictured(name: str, language: Literal["en", "es"]) -> list[tuple[str, str, list[str]]]:
    """Of every check with leads: its id, its picture, and the terminals that it is about."""
    unit: Unit = arrangement(name)
    found = []
    with speaking(language):
        for check in checks_held(unit):
            leads = leads_of(unit, check)
            if spots := spots_of(unit, leads):
                svg = svg_at_check(unit, "ladder", leads, {}, place_of(unit, leads))
                found.append((check, svg, spots))
    return found


def lead_at(svg: str, terminal: str) -> tuple[float, float]:
    """Where the first ring of a terminal stands, and so the mark of a lead on it."""
    group = re.search(rf'data-terminal="{re.escape(terminal)}".*?</g>', svg)
    assert group, terminal
    ring = re.search(r'<circle cx="([\d.]+)" cy="([\d.]+)"', group[0])
    assert ring, terminal
    return float(ring[1]), float(ring[2])


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", UNITS)
def test_every_lead_stands_whole_in_a_pane(name: str, language: Literal["en", "es"]) -> None:
    """All that is drawn is moved by the picture's margin, and none of the terminals' groups is."""
    for check, svg, spots in pictured(name, language):
        moved = re.search(r'<g transform="translate\(([\d.]+) 0\)"', svg)
        assert moved
        margin = float(moved[1])
        windows = [[float(each) for each in told.split()] for told in panes(svg, spots)]
        assert 1 <= len(windows) <= len(set(spots)), check
        for spot in spots:
            x, y = lead_at(svg, spot)
            assert any(
                left + LEAD <= x + margin <= left + wide - LEAD
                and top + LEAD <= y <= top + high - LEAD
                for left, top, wide, high in windows
            ), (check, spot, windows)


@pytest.mark.parametrize("name", UNITS)
def test_the_smallest_letters_of_a_pane_can_be_read(name: str) -> None:
    for check, svg, spots in pictured(name, "es"):
        told = panes(svg, spots)
        for each in told:
            wide, high = (float(size) for size in each.split()[2:])
            scale = min((WIDE_PX / len(told) - 3 * (len(told) > 1)) / wide, HIGH_PX / high)
            assert SMALLEST * scale >= LETTER_PX - 0.01, check


def test_two_leads_beside_each_other_share_one_pane_and_far_ones_have_one_each() -> None:
    def at(name: str, x: float, y: float) -> str:
        return f'<g data-terminal="{name}"><circle cx="{x}" cy="{y}" r="3"/></g>'

    drawn = at("a", 50, 90) + at("b", 200, 90) + at("c", 50, 900)
    svg = f'<svg id="x" viewBox="0 0 390 2000">{drawn}</svg>'
    assert len(panes(svg, ["a", "b"])) == 1
    red, black = panes(svg, ["c", "a"])
    assert float(red.split()[1]) > 800 > float(black.split()[1])
    assert panes(svg, ["nowhere"]) == []


def test_what_a_picture_draws_has_a_name_that_a_pane_can_show() -> None:
    assert grouped('<svg id="x" width="9"><g></g></svg>') == (
        '<svg id="x" width="9"><g id="x-inside"><g></g></g></svg>'
    )
