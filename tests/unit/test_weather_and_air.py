"""What air and weather do to switches: limits of electric heat, thermostats out in the cold."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.condition import HEATING
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.faults import SuspectSet
from rungwise.unit.unit_file import arrangement


def test_heat_without_its_blower_opens_every_limit_and_no_heat_is_left() -> None:
    """A limit is there for that; what stops the blower is the cause, the limits its effect."""
    blowerless = {("fan_board", "nc_open"): np.array([0.0, 1.0])}
    found = solve(Plan(arrangement("air_handler_heat_10kw")), HEATING, blowerless, 2)
    for element in ("element_1", "element_2"):
        amps = np.abs(found.element_amp((element, "element")))
        assert amps[0] == pytest.approx(20.8, rel=0.08)
        assert amps[1] < 0.01
    across = np.abs(found.volt("limit_2.1", "limit_2.2"))
    assert across[0] < 2.0
    assert across[1] > 200.0


def test_a_defrost_thermostat_may_be_open_or_closed_on_a_call_for_heat() -> None:
    """Between 32 and 57 °F it is either, and no verdict: common practice."""
    suspects = SuspectSet(arrangement("heat_pump_o_timed"))
    parameter = next(
        p for p in suspects.unit.kind_of("defrost_thermostat").parameters if p.name == "day_share"
    )
    sd_k = 0.5 * parameter.spread(told=False) * 275.0
    closes_c = float(suspects.plan.defaults["defrost_thermostat", "close_below_c"])
    assert abs(HEATING.ambient_c - closes_c) < sd_k
    assert abs(-10.0 - closes_c) > 1.5 * sd_k  # held in ice or in the cold it closes all the same


@pytest.mark.parametrize("name", ["air_handler_heat_10kw", "gas_furnace"])
def test_a_clogged_filter_opens_the_limit_though_the_blower_turns(name: str) -> None:
    """A dirty filter is what trips limits most of all (common practice, no source)."""
    held_up = {("compressor", "indoor_blocked"): np.array([0.05, 0.3, 0.9])}
    found = solve(Plan(arrangement(name)), HEATING, held_up, 3)
    limits = [part.name for part in arrangement(name).parts if part.kind == "heat_limit"]
    assert limits
    for limit in limits:
        assert found.state((limit, "opened")).tolist() == [0.0, 0.0, 1.0]
