"""A zone panel ahead of an air handler: its calls, its fuse, its own outlet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from tests.unit.test_air_handlers import ZONES, plan, solved, volt, when

from rungwise.circuit.condition import CALLING
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.states_of_loads import loads_of
from rungwise.isolation import isolate
from rungwise.unit.unit_file import arrangement


def test_a_zones_call_runs_the_equipment_after_its_damper_has_driven_30_to_90_seconds() -> None:
    assert 30.0 <= when(ZONES, "calling", "zone panel asks for cooling") <= 90.0
    assert 60.0 <= when(ZONES, "calling", "zone panel no longer asks for the blower") <= 180.0
    assert volt(solved(ZONES, "calling"), "damper.1", "damper.2") > 24.0


def test_volts_between_the_panels_c_and_the_equipments_r_mean_nothing() -> None:
    """Two transformers: at rest neither 24 V nor none stands between them, by phase and leg."""
    rest = solved(ZONES, "standby")
    assert 24.0 < volt(rest, "zone_panel.24V", "zone_panel.24C") < 28.0
    assert not 20.0 < volt(rest, "zone_panel.24C", "board.R") < 30.0


def test_joining_req_and_yeq_starts_the_unit_where_the_panel_is_at_fault() -> None:
    unit = arrangement(ZONES)
    wire = unit.wire_by_name["y_equipment"]
    jumper = replace(wire, name="jumper", start="zone_panel.Req", end="zone_panel.Yeq")
    dead = {("zone_panel", "y_open"): np.asarray(1.0)}
    found = [
        {e.part: e.does.words for e in loads_of(solve(Plan(each), CALLING, dead))}["compressor"]
        for each in (unit, replace(unit, wires=(*unit.wires, jumper)))
    ]
    assert found == ["is off", "runs"]


def test_a_shorted_damper_blows_the_panels_fuse_and_leaves_the_equipments_24_volts() -> None:
    short = solve(plan(ZONES), CALLING, {("damper", "shorted"): np.asarray(1.0)})
    assert short.state(("zone_fuse", "blown"))[0] == 1.0
    assert volt(short, "board.R", "board.C") > 24.0
    assert volt(short, "zone_panel.ZR", "zone_panel.24C") < 1.0


def test_the_panels_own_outlet_is_a_third_source_that_isolation_opens() -> None:
    made = isolate(arrangement(ZONES), scope="indoor")
    assert made.keeps_running is False
    assert "outlet_breaker" in {each.device for each in made.devices}
