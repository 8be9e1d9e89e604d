"""The leads that the diagram marks are those of the check itself."""

from __future__ import annotations

import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement
from rungwise.web.cropping import cropped
from rungwise.web.leads import EARTH_METAL, leads_of


@pytest.mark.parametrize("name", ARRANGEMENTS)
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
    assert 'viewBox="0 880 390 340" width="390" height="340"' in near
    assert cropped(svg, ["nowhere.1"]) == svg
    assert cropped(svg, []) == svg
