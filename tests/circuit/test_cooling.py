"""The heat side in the loop: fan speeds set pressures, pressures set amps and open switches.

Outside figures of the trade (common practice, no source) and saturation by CoolProp.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STARTING, Condition
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.parts import refrigeration as heat
from rungwise.parts.element import FloatArray
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement
from rungwise.verification.refrigerant import saturation_psi as by_coolprop

WHOLE_VISIT_S = 3600.0


@pytest.fixture(scope="module")
def plan() -> Plan:
    return Plan(arrangement("one_pole_heater"))


def settled(plan: Plan, *edits: tuple[str, str, float | FloatArray]) -> Solution:
    values: dict[Key, FloatArray] = {(b, name): np.asarray(x) for b, name, x in edits}
    size = max((each.size for each in values.values()), default=1)
    return solve(plan, CALLING, values, size, earlier=solve(plan, STARTING, values, size))


def amp(solution: Solution, motor: str = "compressor") -> FloatArray:
    return np.asarray(np.abs(solution.element_amp((motor, "common"))))


def of_plate(solution: Solution) -> FloatArray:
    return np.asarray(amp(solution) / solution.plan.defaults["compressor", "rated_a"])


def condensing(solution: Solution) -> FloatArray:
    return solution.state(("compressor", "condensing_c"))


def opened(solution: Solution, switch: str) -> FloatArray:
    return solution.state((switch, "opened"))


# --- the formulas ---------------------------------------------------------------------------


@pytest.mark.parametrize("point", ["bubble", "dew"])
def test_saturation_is_that_of_coolprop(point: str) -> None:
    """R-410A by CoolProp 8 (Lemmon 2003), -40 to 66 °C: 2% of the absolute pressure."""
    for celsius in range(-40, 67, 5):
        theirs = by_coolprop("R-410A", celsius, point) + heat.ATMOSPHERE_PSI  # type: ignore[arg-type]
        ours = float(heat.saturation_psi(np.asarray(float(celsius)))) + heat.ATMOSPHERE_PSI
        assert ours == pytest.approx(theirs, rel=0.02)


def test_saturation_is_read_both_ways() -> None:
    """Pressure to temperature and back, to rounding."""
    psi = np.array([10.0, 50.0, 118.0, 420.0, 610.0])
    assert heat.saturation_psi(heat.saturation_c(psi)) == pytest.approx(psi, rel=1e-9)


def test_a_switch_for_another_refrigerant_opens_at_about_the_same_temperature(plan: Plan) -> None:
    """R-22 high side 400 psi, low side 25 psi (from memory): within 4 K of the R-410A switch's."""
    for switch, psi in (("high_pressure", 400.0), ("low_pressure", 25.0)):
        ours = float(heat.saturation_c(plan.defaults[switch, "opens_psi"]))
        assert by_coolprop("R-22", ours + 4.0, "dew") > psi > by_coolprop("R-22", ours - 4.0, "dew")


def test_the_evaporating_temperature_balances_coil_and_suction() -> None:
    """s·(24 - T) = 17·exp(k·(T - 7)) to 1e-6, from a blocked coil to a full one."""
    flow = np.array([0.05, 0.1, 0.3, 0.6, 1.0])
    found = heat.evaporating_c(flow, np.asarray(1.0))
    inside = found > heat.COIL_FLOOR_C
    passed = heat.conductance(flow) * (heat.RETURN_C - found)
    drawn = (heat.RETURN_C - heat.EVAPORATING_C) * heat.drawn_in(found)
    assert passed[inside] == pytest.approx(drawn[inside], rel=1e-6)
    assert inside.sum() >= 3


def test_at_the_usual_temperatures_every_share_is_one() -> None:
    """What a plate is fitted at is what the formulas are told over."""
    usual = np.asarray(heat.CONDENSING_C), np.asarray(heat.EVAPORATING_C)
    assert heat.load_share(*usual) == pytest.approx(1.0)
    assert heat.overload_share(*usual) == pytest.approx(1.0)
    assert heat.conductance(np.asarray(1.0)) == pytest.approx(1.0)
    freezer = heat.usual_evaporating_c(-18.0)
    assert freezer < -20.0
    assert heat.load_share(usual[0], freezer, freezer) == pytest.approx(1.0)
    assert heat.overload_share(usual[0], freezer, freezer) == pytest.approx(1.0)
    assert heat.evaporating_c(np.asarray(1.0), np.asarray(1.0)) == pytest.approx(7.0, abs=1e-6)


def test_a_temperature_on_its_way_passes_half_of_it_in_ln_2_time_constants() -> None:
    """First order; never where it comes to rest before, at once where it stands beyond."""
    zero = np.asarray(0.0)
    half = heat.seconds_to(np.asarray(5.0), zero, np.asarray(10.0), 240.0)
    assert half == pytest.approx(240.0 * np.log(2.0))
    assert np.isinf(heat.seconds_to(np.asarray(11.0), zero, np.asarray(10.0), 240.0))
    assert heat.seconds_to(np.asarray(-1.0), zero, np.asarray(10.0), 240.0) == 0.0


def test_a_hotter_shell_opens_its_overload_at_fewer_amps() -> None:
    """And a cooler one at no more than the plate's."""
    condensing = np.array([30.0, heat.CONDENSING_C, 60.0, 75.0])
    share = heat.overload_share(condensing, np.asarray(heat.EVAPORATING_C))
    assert share[:2] == pytest.approx([1.0, 1.0])
    assert (np.diff(share[1:]) < -0.1).all()


# --- a good unit ----------------------------------------------------------------------------


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_good_unit_condenses_11_to_17_k_over_the_air_and_runs_on(name: str) -> None:
    """Clean and with its full air, at 90 °F; evaporating at 36 to 48 °F (common practice)."""
    good = settled(Plan(arrangement(name)))
    usual = good.plan.defaults
    assert 11.0 < condensing(good)[0] - usual["compressor", "outdoor_c"] < 17.0
    assert 2.0 < good.state(("compressor", "evaporating_c"))[0] < 9.0
    assert 0.55 < of_plate(good)[0] < 0.9
    for switch in ("high_pressure", "low_pressure"):
        assert opened(good, switch)[0] == 0.0


def test_amps_follow_the_weather(plan: Plan) -> None:
    """From a mild morning of 70 °F to 115 °F: 55 to 100% of RLA, rising, and no switch opens."""
    weather = np.array([21.0, 27.0, 32.0, 38.0, 46.0])
    found = settled(plan, ("compressor", "outdoor_c", weather), ("compressor", "run_s", 1e4))
    assert (np.diff(amp(found)) > 0).all()
    assert 0.5 < of_plate(found)[0] < 0.7
    assert 0.85 < of_plate(found)[-1] < 1.05
    assert not opened(found, "high_pressure").any()


def test_the_weather_of_the_condition_moves_that_of_the_unit(plan: Plan) -> None:
    """A condition told 5 K warmer than usual is the same as air 5 K warmer at the coil."""
    hot = Condition("hot", "cool", ambient_c=32.0)
    told = solve(plan, hot)
    meant = solve(plan, CALLING, {("compressor", "outdoor_c"): np.asarray(37.0)})
    assert amp(told)[0] == pytest.approx(amp(meant)[0], rel=1e-6)


def test_in_the_first_seconds_nothing_has_warmed(plan: Plan) -> None:
    """A dead fan changes no amps of the compressor within three seconds of the start."""
    stands = {("fan", "seized"): np.array([0.0, 1.0])}
    first = amp(solve(plan, STARTING, stands, 2))
    assert first[1] == pytest.approx(first[0], rel=0.01)


# --- what a fan, a capacitor, a coil do to it -------------------------------------------------


def test_a_fan_that_stands_opens_the_high_pressure_switch(plan: Plan) -> None:
    """Within one to two minutes; looked at before, the compressor runs hard (no source)."""
    at = np.array([20.0, 180.0])
    found = settled(plan, ("fan", "seized", 1.0), ("compressor", "run_s", at))
    assert opened(found, "high_pressure").tolist() == [0.0, 1.0]
    assert of_plate(found)[0] > 1.25 * of_plate(settled(plan))[0]
    assert amp(found)[1] < 1.0
    # The high-pressure switch stands in the 24 V, so that the contactor lets the fan go as well.
    assert found.state(("contactor", "attracted")).tolist() == [1.0, 0.0]


@pytest.mark.parametrize(
    "fault",
    [("capacitor", "fan_open"), ("fan", "s_open"), ("fan", "c_open"), ("fan", "overload_held")],
    ids=".".join,
)
def test_whatever_stops_the_fan_does_the_same_without_a_list(
    plan: Plan, fault: tuple[str, str]
) -> None:
    found = settled(plan, (*fault, 1.0), ("compressor", "run_s", 600.0))
    assert opened(found, "high_pressure")[0] == 1.0


def test_without_its_switch_the_compressor_trips_on_its_overload(plan: Plan) -> None:
    """Unless it is little loaded; a hot shell opens the overload at fewer amps than a cool one."""
    load = plan.defaults["compressor", "load_ratio"] * np.array([1.0, 1.35])
    found = settled(
        plan,
        ("fan", "seized", 1.0),
        ("compressor", "load_ratio", load),
        ("high_pressure", "opens_psi", 699.0),
        ("compressor", "run_s", 20.0),
    )
    assert found.state(("compressor", "tripped")).tolist() == [0.0, 1.0]
    cool = settled(plan, ("compressor", "load_ratio", load))
    assert not cool.state(("compressor", "tripped")).any()


def test_dirt_on_the_coil_raises_amps_and_then_opens_the_switch(plan: Plan) -> None:
    """Half the air held up: some more amps; three quarters: it trips within minutes."""
    dirt = np.array([0.0, 0.3, 0.5, 0.8])
    found = settled(plan, ("compressor", "fouling", dirt), ("compressor", "run_s", WHOLE_VISIT_S))
    assert (np.diff(amp(found)[:3]) > 0).all()
    assert opened(found, "high_pressure").tolist() == [0.0, 0.0, 0.0, 1.0]


def test_dirt_trips_on_a_hot_afternoon_first(plan: Plan) -> None:
    """The same coil runs at 75 °F and trips at 105 °F."""
    found = settled(
        plan,
        ("compressor", "fouling", 0.65),
        ("compressor", "outdoor_c", np.array([24.0, 40.5])),
        ("compressor", "run_s", WHOLE_VISIT_S),
    )
    assert opened(found, "high_pressure").tolist() == [0.0, 1.0]


def test_low_charge_starves_the_coil_and_then_opens_the_switch(plan: Plan) -> None:
    """Less refrigerant: colder coil, fewer amps, and the low-pressure switch in the end."""
    charge = np.array([1.0, 0.7, 0.5, 0.3])
    found = settled(plan, ("compressor", "charge", charge), ("compressor", "run_s", WHOLE_VISIT_S))
    assert (np.diff(amp(found)[:3]) < 0).all()
    assert (np.diff(found.state(("compressor", "evaporating_c"))[:3]) < 0).all()
    assert opened(found, "low_pressure").tolist() == [0.0, 0.0, 0.0, 1.0]


def test_too_much_charge_raises_the_head(plan: Plan) -> None:
    charge = np.array([1.0, 1.2, 1.4])
    found = settled(plan, ("compressor", "charge", charge), ("compressor", "run_s", 1e4))
    assert (np.diff(condensing(found)) > 0).all()
    assert (np.diff(amp(found)) > 0).all()


def test_without_indoor_air_the_low_pressure_switch_opens(plan: Plan) -> None:
    """A blower that stands and a filter that lets nothing through do the same."""
    still = settled(plan, ("blower", "c_open", 1.0), ("compressor", "run_s", 600.0))
    clogged = settled(plan, ("compressor", "indoor_blocked", 0.95), ("compressor", "run_s", 600.0))
    for found in (still, clogged):
        assert opened(found, "low_pressure")[0] == 1.0


def test_a_wheel_loose_on_its_shaft_turns_and_moves_no_air(plan: Plan) -> None:
    found = settled(plan, ("fan", "air_share", 0.1), ("compressor", "run_s", 600.0))
    assert opened(found, "high_pressure")[0] == 1.0
    first = solve(plan, STARTING, {("fan", "air_share"): np.asarray(0.1)})
    assert first.state(("fan", "slip"))[0] < 0.15


def test_an_open_pressure_switch_is_closed_again_when_the_unit_is_dead(plan: Plan) -> None:
    """The pressures have met by the time a lock hangs on the disconnect."""
    tripped = settled(plan, ("fan", "seized", 1.0), ("compressor", "run_s", 600.0))
    assert opened(tripped, "high_pressure")[0] == 1.0
    dead = solve(plan, Condition("dead", "off").opened("disconnect", "outdoor_breaker"))
    assert opened(dead, "high_pressure")[0] == 0.0


def test_a_unit_without_a_compressor_has_no_heat_side() -> None:
    """Its fans turn, and nothing condenses."""
    whole = arrangement("two_pole_plain")
    kept = {part.name for part in whole.parts} - {"compressor"}
    wires = tuple(
        wire
        for wire in whole.wires
        if {wire.start.partition(".")[0], wire.end.partition(".")[0]} <= kept
    )
    parts = tuple(part for part in whole.parts if part.name in kept)
    rest = Plan(replace(whole, parts=parts, wires=wires, cables=()))
    assert not rest.coolings
    assert solve(rest, CALLING).state(("fan", "slip"))[0] < 0.15
