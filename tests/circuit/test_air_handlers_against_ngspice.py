"""Air handlers as another program solves them: every node within 0.1% or 1 mV of ngspice."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STANDBY, call_for_heat
from rungwise.circuit.netlist import Plan
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.operating_point import solve
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.unit.unit_file import arrangement

NAMES = (
    "air_handler_heat_10kw", "air_handler_heat_15kw", "air_handler_taps", "air_handler_airflow",
    "air_handler_leak_guard", "air_handler_zone_panel", "gas_furnace",
)  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_ngspice_finds_the_same_volts_on_every_call(name: str) -> None:
    plan = Plan(arrangement(name))
    heat = call_for_heat(plan.unit.demands)
    solved = [solve(plan, each) for each in (CALLING, STANDBY, *(() if heat is None else (heat,)))]
    found = run_many([net for each in solved for net in netlists(each)])
    for ours, theirs in zip(solved, found, strict=True):
        for node, volts in zip(names_of(plan).node, ours.volts[:-1], strict=True):
            assert np.allclose(volts, theirs.volts[node], rtol=1e-3, atol=1e-3), node
