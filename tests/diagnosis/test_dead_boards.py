"""What a part with a relay inside reads while the unit is made dead: it has let go."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit import Plan
from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.readers import OhmReader
from rungwise.unit import arrangement


@pytest.mark.parametrize(
    ("name", "check", "at_least"),
    [
        # A monitor without its legs, a delay board without R: their contacts are open.
        ("rooftop_208", "ohms-phase_monitor-com-no", 1e6),
        ("time_delay_board", "ohms-y_splice-C", 500.0),
        # Nothing of the kind stands in the way to a plain unit's coil of 8 to 20 Ω.
        ("two_pole_plain", "ohms-y_splice-C", 8.0),
    ],
)
def test_a_relay_that_power_holds_is_open_without_it(
    name: str, check: str, at_least: float
) -> None:
    unit = arrangement(name)
    bench = Bench(Plan(unit), {}, 1, np.zeros(1))
    found = {each.card.id: each for each in checks_of(unit)}[check]
    assert isinstance(found.reader, OhmReader)
    ohm = float(np.ravel(found.reader(bench)[0])[0])
    assert ohm >= at_least
    if name == "two_pole_plain":
        assert ohm < 25.0
