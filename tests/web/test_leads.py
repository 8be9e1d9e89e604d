"""The leads that the diagram marks are those of the check itself."""

from __future__ import annotations

import re

import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.drawing import ladder, panel
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement
from rungwise.web.cropping import BELOW, cropped
from rungwise.web.leads import EARTH_METAL, leads_of

TOUCH = 0.01


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_measurement_shows_where_its_leads_or_its_jaw_go(name: str) -> None:
    unit = arrangement(name)
    terminals, wires = {*unit.terminals(), EARTH_METAL}, set(unit.wire_by_name)
    for check in checks_of(unit):
        found = leads_of(unit, check.card.id)
        if check.card.form == "choice":
            assert (found.red, found.jaw) == ("", "")
            continue
        assert found.jaw in wires or {found.red, found.black} <= terminals, check.card.id
        assert set(found.off) <= terminals


def test_a_crop_keeps_the_scale_and_shows_both_leads() -> None:
    svg = (
        '<svg viewBox="0 0 390 2000" width="390" height="2000">'
        '<g data-terminal="a.1"><circle cx="9" cy="1000" r="3"/></g>'
        '<g data-terminal="b.1"><rect x="2" y="1100" width="9" height="9"/></g></svg>'
    )
    near = cropped(svg, ["a.1", "b.1"])
    assert 'viewBox="0 945 390 275" width="390" height="275"' in near
    assert cropped(svg, ["nowhere.1"]) == svg
    assert cropped(svg, []) == svg


@pytest.mark.parametrize("kind", ["ladder", "panel"])
@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_no_label_is_cut_through_at_the_edge_of_a_crop(name: str, kind: str) -> None:
    """Wherever a lead goes; a label is cut when some of its box is in the crop and some is not."""
    unit = arrangement(name)
    drawn = ladder(unit) if kind == "ladder" else panel(unit)
    crops = {cropped(drawn.svg, [each]) for each in unit.terminals()} - {drawn.svg}
    if kind == "ladder":
        assert len(crops) > 20
    for crop in crops:
        found = re.search(r'viewBox="0 ([\d.]+) [\d.]+ ([\d.]+)"', crop)
        assert found
        top = float(found[1])
        for edge in (top, top + float(found[2])):
            cut = [box for box in drawn.labels if box.y + TOUCH < edge < box.y + box.h - TOUCH]
            assert cut == []


def test_the_lines_of_one_name_stay_together() -> None:
    lines = "".join(
        f'<text x="73" y="{y}" font-size="11">{word}</text>'
        for y, word in ((1108, "control"), (1121.2, "terminal"), (1134.4, "board"))
    )
    svg = (
        '<svg viewBox="0 0 390 2000" width="390" height="2000">'
        f'<g data-terminal="a.1"><circle cx="9" cy="1000" r="3"/></g>{lines}</svg>'
    )
    bottom = 1134.4 + BELOW * 11  # nearer to the 1120 that are wanted than the first line's head
    assert f'viewBox="0 945 390 {bottom - 945:g}"' in cropped(svg, ["a.1"])
