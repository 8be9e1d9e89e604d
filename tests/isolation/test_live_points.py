from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from tests.circuit.balance import kirchhoff_residual, power_residual
from tests.isolation.solved import NAMES, plan, unit

from rungwise.circuit.condition import Call
from rungwise.isolation.devices import isolating_devices
from rungwise.isolation.live_points import LiveMap, subsets

OUTDOOR_DEVICES = ("outdoor_breaker", "disconnect")


@cache
def live_map(name: str, call: Call = "off", *, inside_devices: bool = False) -> LiveMap:
    points = [
        f"{part.name}.{end}"
        for part in unit(name).parts
        for end in unit(name).kind_of(part.name).terminals
        if part.place == "outdoor" or (inside_devices and part.name == "disconnect")
    ]
    return LiveMap(plan(name), isolating_devices(unit(name)), points, {}, call)


def volts(name: str, *opened: str, call: Call = "off") -> dict[str, float]:
    return {point.terminal: point.volt for point in live_map(name, call).live(opened)}


def test_the_bar_of_a_one_pole_contactor_stays_live_with_the_thermostat_off() -> None:
    """120 V to ground on the bar: trade check value, common practice, no source."""
    live = volts("one_pole_heater")
    assert live["contactor.T2"] == pytest.approx(120.0, abs=1.0)
    assert live["contactor.T1"] == pytest.approx(120.0, abs=2.0), "through heater and windings"


def test_behind_an_open_two_pole_contactor_nothing_is_live() -> None:
    assert set(volts("two_pole_plain")) == {"contactor.L1", "contactor.L2"}


@pytest.mark.parametrize("name", NAMES)
def test_from_leg_to_leg_there_is_more_than_to_earth(name: str) -> None:
    """240 V between the legs, 120 V to ground: trade check value, common practice, no source."""
    most = live_map(name).most_between(("contactor.L1", "contactor.L2"), ())
    assert most is not None
    assert most.volt == pytest.approx(240.0, abs=2.0)
    assert most.volt > 1.9 * volts(name)["contactor.L1"]


@pytest.mark.parametrize("name", NAMES)
def test_no_two_points_are_farther_apart_than_those_that_are_told(name: str) -> None:
    mapped, live = live_map(name, "cool"), tuple(volts(name, call="cool"))
    most = mapped.most_between(live, ())
    assert most is not None
    pairs = [abs(mapped.solution.volt(one, other)[0]) for one in live for other in live]
    assert most.volt == pytest.approx(max(pairs))
    assert abs(mapped.solution.volt(most.terminal, most.against)[0]) == pytest.approx(most.volt)


def test_one_point_alone_has_no_volts_between() -> None:
    assert live_map(NAMES[0]).most_between(("contactor.L1",), ()) is None


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("device", OUTDOOR_DEVICES)
@pytest.mark.parametrize("call", ["off", "cool"])
def test_either_outdoor_device_alone_leaves_nothing_live(
    name: str, device: str, call: Call
) -> None:
    assert volts(name, device, call=call) == {}


@pytest.mark.parametrize("name", NAMES)
def test_opening_one_more_device_never_makes_a_point_live(name: str) -> None:
    devices = isolating_devices(unit(name))
    mapped = live_map(name, inside_devices=True)
    live = {opened: {p.terminal for p in mapped.live(opened)} for opened in subsets(devices)}
    assert len(live) == 2 ** len(devices)
    for opened, points in live.items():
        for device in devices:
            assert live[opened | {device.name}] <= points


@pytest.mark.parametrize("name", NAMES)
def test_inside_the_disconnect_its_line_side_outlives_it(name: str) -> None:
    mapped = live_map(name, inside_devices=True)
    left = {point.terminal for point in mapped.live(("disconnect",))}
    assert left == {"disconnect.line1", "disconnect.line2"}
    assert mapped.live(OUTDOOR_DEVICES) == ()


@pytest.mark.parametrize("name", NAMES)
def test_every_subset_obeys_kirchhoff_and_the_power_balance(name: str) -> None:
    for call in ("off", "cool"):
        solution = live_map(name, call).solution
        assert np.max(kirchhoff_residual(solution)) < 1e-9
        assert np.max(power_residual(solution)) < 1e-9
