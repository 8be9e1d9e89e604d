"""What comes first in a repair: gauges where a pressure asks, lock out unless known otherwise."""

from __future__ import annotations

import pytest
from tests.web.mill_street import UNIT_TOML

from rungwise.faults import first_work
from rungwise.services import unit_from_text

UNIT = unit_from_text(UNIT_TOML)


@pytest.mark.parametrize(
    ("repair", "first"),
    [
        ("low_pressure:find_cause", "gauges"),
        ("compressor:gauge", "gauges"),
        ("float_switch:find_cause", "lock out"),
        ("contactor:replace", "lock out"),
        ("y_field+c_field:separate", "lock out"),
        ("disconnect:close", "test"),
        ("service:call_utility", "report"),
        ("capacitor:replace+low_pressure:find_cause", "lock out"),
        ("contactor:of_a_sort_to_come", "lock out"),
        ("", "lock out"),
    ],
)
def test_the_first_work_of_a_repair(repair: str, first: str) -> None:
    assert first_work(UNIT, repair) == first
