"""Where a winding touches the shell decides what opens: the breaker, or its own overload."""

from __future__ import annotations

import numpy as np
from tests.circuit.balance import kirchhoff_residual

from rungwise.circuit import CALLING, STARTING, Plan
from rungwise.circuit.operating_point import solve
from rungwise.unit.unit_file import arrangement

HARD_OHM, SOFT_OHM = 0.6, 3.0
"""120 V to ground: 200 A, which a breaker of 30 A opens on at once, and 40 A, which it carries for
a while."""


def test_a_winding_to_ground_at_the_run_lead_trips_the_breaker_at_the_start_lead_its_overload() -> (
    None
):
    """The run lead is fed past the overload; to the start lead all amps go through it."""
    plan = Plan(arrangement("one_pole_heater"))
    values = {
        ("compressor", "insulation_ohm"): np.array([HARD_OHM, HARD_OHM, SOFT_OHM]),
        ("compressor", "leaks_at_s"): np.array([0.0, 1.0, 1.0]),
    }
    first = solve(plan, STARTING, values, 3)
    last = solve(plan, CALLING, values, 3, earlier=first)
    assert last.state(("outdoor_breaker", "tripped")).tolist() == [1.0, 0.0, 0.0]
    assert last.state(("compressor", "tripped")).tolist() == [0.0, 1.0, 1.0]
    assert kirchhoff_residual(last).max() < 1e-6
