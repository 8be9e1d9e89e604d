"""What has to be dead before a wire moves: as many supplies as the unit has."""

from __future__ import annotations

import pytest

from rungwise.rewiring.caution import cautions
from rungwise.rewiring.wires_record import WiresRecord
from rungwise.unit import arrangement


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("rooftop_208", "its one supply, the breaker of the rooftop unit"),
        ("two_pole_plain", "both its supplies, the outdoor circuit and the 24 V from indoors"),
        ("line_volt_coil", "both its supplies, the outdoor circuit and the 120 V"),
        ("air_handler_heat_15kw", "each of its supplies, the outdoor breaker, the first"),
    ],
)
def test_caution_names_every_supply_and_no_more(name: str, told: str) -> None:
    unit = arrangement(name)
    record = WiresRecord("", part="contactor")
    assert told in str(cautions(unit, record)[0])
