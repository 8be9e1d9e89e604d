from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.isolation.solved import unit

from rungwise.circuit.condition import STANDBY, Condition
from rungwise.circuit.plan import Plan
from rungwise.circuit.settle import solve
from rungwise.isolation.probes import Pair, Probes
from rungwise.unit.element import EARTH
from rungwise.unit.unit import Part, Unit, Wire

BARE = STANDBY.opened("outdoor_breaker")


def wired_in(made: Unit, pair: Pair) -> Unit:
    """The unit with a real 3 kΩ resistor between the two points (a heater of 19.2 W at 240 V)."""
    meter = Part(
        "meter", "crankcase_heater", "outdoor", values={"watt": 19.2, "insulation_ohm": 1e12}
    )
    far = "earth_bar.E" if pair[1] == EARTH else pair[1]
    bar = Part("earth_bar", "earth_lug", "outdoor")
    leads = [
        Wire(f"lead{n}", end, f"meter.{n}", "red", 14.0, 0.01, ("screw", "screw"), "power")
        for n, end in ((1, pair[0]), (2, far))
    ]
    return replace(made, parts=(*made.parts, meter, bar), wires=(*made.wires, *leads))


@pytest.mark.parametrize(
    ("name", "condition", "pair"),
    [
        ("one_pole_heater", STANDBY, ("contactor.T1", EARTH)),
        ("one_pole_heater", STANDBY, ("contactor.L1", "contactor.T1")),
        ("heater_line_side", STANDBY, ("heater.1", EARTH)),
        ("one_pole_heater", STANDBY, ("fan.S", "capacitor.HERM")),
        ("two_pole_plain", STANDBY, ("contactor.T1", EARTH)),
        ("two_pole_plain", STANDBY, ("board.R", "board.C")),
        ("one_pole_heater", STANDBY, ("transformer.pri1", "transformer.pri2")),
    ],
)
def test_the_reading_is_that_of_a_real_resistor_between_the_leads(
    name: str, condition: Condition, pair: Pair
) -> None:
    """The leads' own stray capacitance, some 10 pF, is all that may differ."""
    read = Probes(solve(Plan(unit(name)), condition)).reading(pair)[0]
    real = solve(Plan(wired_in(unit(name), pair)), condition)
    assert read == pytest.approx(abs(real.volt(*pair)[0]), rel=1e-4, abs=2e-3)


def test_a_ghost_vanishes_under_the_meter_and_a_live_leg_does_not() -> None:
    """A heater wire fed through its resistance is no ghost; a floating winding is."""
    probes = Probes(solve(Plan(unit("two_pole_plain")), STANDBY))
    assert probes.reading(("contactor.T1", EARTH))[0] < 0.1
    assert probes.reading(("contactor.L1", EARTH))[0] == pytest.approx(
        probes.open_volts(("contactor.L1", EARTH))[0], rel=1e-3
    )


def test_turning_the_leads_round_changes_nothing() -> None:
    probes = Probes(solve(Plan(unit("one_pole_heater")), STANDBY))
    for pair in [("contactor.L1", "contactor.T1"), ("capacitor.C", "fan.S")]:
        assert probes.reading(pair) == pytest.approx(probes.reading(pair[::-1]))
    assert probes.readings([]).shape == (0, 1)


def test_a_point_against_itself_reads_nothing() -> None:
    probes = Probes(solve(Plan(unit("one_pole_heater")), BARE))
    assert np.max(probes.reading(("contactor.L1", "contactor.L1"))) == 0.0
