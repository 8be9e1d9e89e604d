"""What meters read: burdens, ghosts, parallel paths, ranges."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.batch import Batch
from rungwise.circuit.condition import CALLING, Condition
from rungwise.circuit.meter import (
    LOW_Z_VOLTS,
    MICROFARADS,
    OHMS,
    VOLTS,
    Leads,
    combined_sd,
    loaded_volts,
)
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.unit.unit_file import arrangement

OFF = Condition("off", "off", {"outdoor_breaker": 0, "disconnect": 0, "indoor_breaker": 0})


@pytest.fixture(scope="module")
def plan() -> Plan:
    return Plan(arrangement("one_pole_heater"))


@pytest.mark.parametrize(
    ("farad_per_m", "length_m", "live_volt", "burden_ohm", "published"),
    [
        (50e-12, 15, 120, 10e6, 59.08),
        (50e-12, 15, 120, 1e6, 29.53),
        (50e-12, 15, 120, 3e3, 0.102),
        (50e-12, 15, 240, 10e6, 118.17),
        (100e-12, 30, 240, 10e6, 119.88),
        (100e-12, 30, 240, 1e6, 109.75),
        (100e-12, 30, 240, 3e3, 0.814),
        (100e-12, 30, 24, 10e6, 11.99),
        (100e-12, 30, 24, 3e3, 0.081),
    ],
)
def test_ghost_volts_divide_between_cable_and_meter(
    farad_per_m: float, length_m: float, live_volt: float, burden_ohm: float, published: float
) -> None:
    """A floating wire coupled equally to a live wire and to earth, 60 Hz.

    Source: published-checks section 9, divider check (computed there from V = V0·Z/(Z+1/jωC)),
    tolerance one unit of its last digit.
    """
    farad = farad_per_m * length_m
    seen = 1 / (1j * 2 * np.pi * 60 * 2 * farad)
    reading = loaded_volts(np.asarray(live_volt / 2 + 0j), np.asarray(seen), burden_ohm)
    assert float(reading) == pytest.approx(published, rel=2e-4, abs=6e-4)


def test_a_broken_y_wire_shows_its_ghost_only_on_a_high_impedance_meter(plan: Plan) -> None:
    """Beside C in the cable; the ghost goes when a low-impedance meter loads it."""
    broken = {
        ("y_field", "path_open"): np.asarray(1.0),
        ("contactor", "coil_open"): np.asarray(1.0),
    }
    solution = solve(plan, CALLING, broken)
    a, b = "y_splice.1", "c_splice.1"
    seen = Leads(solution.batch, "ac").impedance_ohm(a, b)
    high = loaded_volts(solution.volt(a, b), seen, VOLTS.burden_ohm)[0]
    low = loaded_volts(solution.volt(a, b), seen, LOW_Z_VOLTS.burden_ohm)[0]
    assert low < 0.01 * high


def test_ohms_see_the_parallel_path_that_was_left_connected(plan: Plan) -> None:
    """T1 to T2 with nothing off: compressor and fan run windings in parallel."""
    leads = Leads(Batch.under(plan, OFF, 1, {}), "dc")
    seen = leads.impedance_ohm("contactor.T1", "contactor.T2")[0].real
    compressor, fan = (float(plan.defaults[(m, "main_ohm")]) for m in ("compressor", "fan"))
    assert seen == pytest.approx(compressor * fan / (compressor + fan), rel=0.05)


def test_winding_ohms_add_up_through_the_common_lead(plan: Plan) -> None:
    """R-S equals C-R plus C-S less twice the common lead (published-checks 7.1)."""
    lifted = {(wire.name, "lifted_start"): np.asarray(1.0) for wire in plan.unit.wires}
    leads = Leads(Batch.under(plan, OFF, 1, lifted), "dc")
    ohm = {
        pair: leads.impedance_ohm(f"compressor.{pair[0]}", f"compressor.{pair[1]}")[0].real
        for pair in ("CR", "CS", "RS")
    }
    assert ohm["RS"] == pytest.approx(ohm["CR"] + ohm["CS"] - 2 * 0.01, rel=1e-6)


def test_an_open_overload_opens_common_and_leaves_run_to_start(plan: Plan) -> None:
    """The reading that saves a hot compressor: open C, R-S intact."""
    lifted = {(wire.name, "lifted_start"): np.asarray(1.0) for wire in plan.unit.wires}
    hot = {**lifted, ("compressor", "overload_held"): np.asarray(1.0)}
    leads = Leads(Batch.under(plan, OFF, 1, hot), "dc")
    common = OHMS.shown(leads.impedance_ohm("compressor.C", "compressor.R").real)
    through = OHMS.shown(leads.impedance_ohm("compressor.R", "compressor.S").real)
    assert np.isinf(common[0])
    assert through[0] == pytest.approx(0.7 + 2.2)


@pytest.mark.parametrize(
    ("handle", "shown"), [(None, 45.0), ("herm_open", 0.0), ("herm_shorted", np.inf)]
)
def test_microfarads_of_a_section_by_itself(plan: Plan, handle: str | None, shown: float) -> None:
    lifted = {(wire.name, "lifted_start"): np.asarray(1.0) for wire in plan.unit.wires}
    fault = {} if handle is None else {("capacitor", handle): np.asarray(1.0)}
    leads = Leads(Batch.under(plan, OFF, 1, {**lifted, **fault}), "ac")
    reading = leads.microfarads("capacitor.HERM", "capacitor.C")[0]
    assert reading == pytest.approx(shown, rel=1e-3, abs=1e-3)


def test_over_range_is_ol() -> None:
    assert np.isinf(OHMS.shown(np.asarray([5e7]))[0])
    assert OHMS.shown(np.asarray([5e6]))[0] == 5e6


def test_meter_error_is_percent_of_reading_plus_floor_at_two_deviations() -> None:
    """0.7% + 2 counts of 0.1 V at 120.0 V is 118.96 to 121.04 V (published-checks 9, seen)."""
    instrument = MICROFARADS
    reading = np.asarray([45.0, np.inf])
    expected = 0.5 * (instrument.share * 45.0 + instrument.floor)
    np.testing.assert_allclose(instrument.sd(reading), [expected, 0.5 * instrument.floor])
    assert pytest.approx(121.04 - 120.0) == 0.007 * 120.0 + 0.2


def test_relative_errors_of_factors_add_in_quadrature() -> None:
    combined = combined_sd(
        [(np.asarray(4.0), np.asarray(0.12)), (np.asarray(200.0), np.asarray(8.0))]
    )
    assert float(combined) == pytest.approx(0.05)
