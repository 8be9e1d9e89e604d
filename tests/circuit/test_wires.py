"""The copper of wires against the published table.

Source: ASTM B258-02 diameters and IEC 60028 copper (1/58 Ω·mm²/m) at 20 °C, as tabulated in the
project's reference collection, section 2 (computed there); tolerance 0.1%.
"""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.condition import STANDBY
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.parts.wire import awg_area_mm2, copper_ohm
from rungwise.unit.unit_file import arrangement

WITHIN = 1e-3

# gauge, mm², Ω per 1000 ft, Ω per km
TABLE = (
    (22, 0.3255, 16.143, 52.963),
    (20, 0.5176, 10.153, 33.309),
    (18, 0.8230, 6.385, 20.948),
    (16, 1.3087, 4.016, 13.174),
    (14, 2.0809, 2.525, 8.286),
    (12, 3.3088, 1.588, 5.211),
    (10, 5.2612, 0.9989, 3.277),
    (8, 8.3656, 0.6282, 2.061),
    (6, 13.302, 0.3951, 1.296),
    (4, 21.151, 0.2485, 0.815),
    (2, 33.631, 0.1563, 0.513),
)
FOOT_M = 0.3048


@pytest.mark.parametrize(("awg", "area_mm2", "ohm_per_kft", "ohm_per_km"), TABLE)
def test_copper_of_each_gauge(
    awg: float, area_mm2: float, ohm_per_kft: float, ohm_per_km: float
) -> None:
    gauge = np.asarray(float(awg))
    assert float(awg_area_mm2(gauge)) == pytest.approx(area_mm2, rel=WITHIN)
    per_km = copper_ohm({"awg": gauge, "length_m": np.asarray(1000.0)})
    assert float(per_km) == pytest.approx(ohm_per_km, rel=WITHIN)
    per_kft = copper_ohm({"awg": gauge, "length_m": np.asarray(1000 * FOOT_M)})
    assert float(per_kft) == pytest.approx(ohm_per_kft, rel=WITHIN)


def test_sizes_from_one_up_count_downwards() -> None:
    """4/0 is gauge -3 and 0.4600 in across (ASTM B258-02)."""
    area = float(awg_area_mm2(np.asarray(-3.0)))
    assert area == pytest.approx(np.pi / 4 * (0.46 * 25.4) ** 2, rel=WITHIN)


def test_a_wire_in_a_unit_is_its_copper_and_its_two_joints() -> None:
    """Drop over amps of the outdoor run, 18 m of 10 AWG with two joints of 2 mΩ."""
    plan = Plan(arrangement("one_pole_heater"))
    solved = solve(plan, STANDBY)
    drop = solved.volt("outdoor_breaker.load1", "disconnect.line1")[0]
    expected = 18 * 3.277e-3 + 2 * 0.002
    assert abs(drop / solved.element_amp(("run_l1", "path"))[0]) == pytest.approx(
        expected, rel=WITHIN
    )
