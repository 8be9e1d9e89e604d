from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from rungwise.isolation.discharge import BleedResistor, bleed, decay_s, stored_joule


@pytest.mark.parametrize(
    ("uf", "rms", "peak_v", "joule", "to_50_v_s"),
    [
        (5, 440, 622.25, 0.968, (0.189, 0.252)),
        (45, 370, 523.26, 6.161, (1.585, 2.113)),
        (45, 440, 622.25, 8.712, (1.702, 2.269)),
        (80, 440, 622.25, 15.488, (3.026, 4.034)),
        (270, 330, 466.69, 29.403, (9.046, 12.062)),
    ],
)
def test_the_discharge_table_of_the_reference_holds(
    uf: float, rms: float, peak_v: float, joule: float, to_50_v_s: tuple[float, float]
) -> None:
    """Discharge arithmetic of published-checks section 6 (computed there), to its last digit."""
    peak = math.sqrt(2.0) * rms
    assert peak == pytest.approx(peak_v, abs=0.006)
    assert stored_joule(uf, peak) == pytest.approx(joule, abs=6e-4)
    for ohm, seconds in zip((15e3, 20e3), to_50_v_s, strict=True):
        assert bleed(uf, peak, BleedResistor(ohm)).to_touch_s == pytest.approx(seconds, abs=6e-4)


@pytest.mark.parametrize(
    ("uf", "rms", "ohm"),
    [(5, 440, 4.76e6), (45, 370, 568e3), (45, 440, 529e3), (80, 440, 297e3), (270, 330, 99.5e3)],
)
def test_the_resistance_that_reaches_50_volts_in_a_minute_is_the_reference_s(
    uf: float, rms: float, ohm: float
) -> None:
    """NEC 460.6(A): 50 V within a minute; resistances of published-checks section 6, 3 digits."""
    assert decay_s(ohm, uf, math.sqrt(2.0) * rms, 50.0) == pytest.approx(60.0, rel=2e-3)


@given(
    uf=st.floats(1.0, 400.0),
    peak_v=st.floats(60.0, 800.0),
    resistance_ohm=st.floats(5e3, 100e3),
    rated_w=st.floats(1.0, 25.0),
)
def test_the_closed_forms_agree_with_a_numerical_integration(
    uf: float, peak_v: float, resistance_ohm: float, rated_w: float
) -> None:
    """dv/dt = −v/RC and dE/dt = v²/R, integrated by an 8th-order Runge-Kutta method."""
    made = bleed(uf, peak_v, BleedResistor(resistance_ohm, rated_w))
    rc_s = resistance_ohm * 1e-6 * uf

    def rates(_: float, y: np.ndarray) -> list[float]:
        return [-y[0] / rc_s, y[0] ** 2 / resistance_ohm]

    run = solve_ivp(
        rates, (0.0, 14.0 * rc_s), [peak_v, 0.0], "DOP853", dense_output=True, rtol=1e-9, atol=1e-9
    )
    assert run.sol is not None
    assert run.sol(made.to_touch_s)[0] == pytest.approx(50.0, rel=1e-6)
    assert run.sol(made.to_empty_s)[0] == pytest.approx(5.0, rel=1e-6)
    assert run.y[1, -1] == pytest.approx(made.resistor_j, rel=1e-6)
    if made.over_rating_s > 0.0:
        watts = run.sol(made.over_rating_s)[0] ** 2 / resistance_ohm
        assert watts == pytest.approx(rated_w, rel=1e-6)
    else:
        assert made.first_w <= rated_w


def test_what_is_already_low_takes_no_time() -> None:
    assert decay_s(20e3, 45.0, 40.0, 50.0) == 0.0


def test_the_usual_resistor_bears_a_run_capacitor_but_not_a_big_start_capacitor() -> None:
    """5 times its watts for 5 s: usual overload test of a wire-wound resistor, from memory."""
    assert bleed(45.0, 567.0, BleedResistor()).resistor_bears_it
    assert not bleed(234.0, 715.0, BleedResistor()).resistor_bears_it
    assert bleed(234.0, 715.0, BleedResistor(rated_w=10.0)).resistor_bears_it
