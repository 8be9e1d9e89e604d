from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from tests.isolation.solved import NAMES, isolation, plan, unit

from rungwise.circuit.condition import Call
from rungwise.errors import UnknownName
from rungwise.isolation.devices import isolating_devices
from rungwise.isolation.live_points import LiveMap, subsets
from rungwise.isolation.work_zone import zone_points
from rungwise.unit.element import EARTH

OUTDOOR_DEVICES = ("outdoor_breaker", "disconnect")


@cache
def live_map(name: str, call: Call = "off", *, inside_devices: bool = False) -> LiveMap:
    points = zone_points(unit(name), "outdoor", inside_devices=inside_devices)
    return LiveMap(plan(name), isolating_devices(unit(name)), points, {}, call)


def volts(name: str, *opened: str, call: Call = "off") -> dict[str, float]:
    return {point.terminal: point.volt for point in live_map(name, call).live(opened)}


def test_the_bar_of_a_one_pole_contactor_stays_live_with_the_thermostat_off() -> None:
    """120 V to earth on the bar: trade check value, common practice, no source."""
    live = volts("one_pole_heater")
    assert live["contactor.T2"] == pytest.approx(120.0, abs=1.0)
    assert live["contactor.T1"] == pytest.approx(120.0, abs=2.0), "through heater and windings"


def test_behind_an_open_two_pole_contactor_nothing_is_live() -> None:
    assert set(volts("two_pole_plain")) == {"contactor.L1", "contactor.L2"}


@pytest.mark.parametrize("name", NAMES)
def test_from_leg_to_leg_there_is_more_than_to_earth(name: str) -> None:
    """240 V between the legs, 120 V to earth: trade check value, common practice, no source."""
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
def test_a_call_brings_24_volts_from_indoors_past_the_open_disconnect(name: str) -> None:
    low = live_map(name, "cool").low(("disconnect",))
    assert {"contactor.coil1", "low_pressure.1"} <= {point.terminal for point in low}
    assert all(24.0 <= point.loaded_volt <= 28.0 for point in low)
    assert live_map(name, "cool").low(("disconnect", "service_switch")) == ()
    assert live_map(name, "off").low(("disconnect",)) == ()


@pytest.mark.parametrize("name", ["two_pole_plain", "hard_start_delay"])
def test_without_an_earthed_common_the_24_volts_stand_between_two_points(name: str) -> None:
    low = {p.terminal: p.against for p in live_map(name, "cool").low(("disconnect",))}
    assert low["contactor.coil1"] in {"contactor.coil2", "c_splice.1"}, "any point of the C wire"


def test_with_an_earthed_common_they_stand_to_earth() -> None:
    low = {p.terminal: p.against for p in live_map("one_pole_heater", "cool").low(("disconnect",))}
    assert low["contactor.coil1"] == EARTH
    assert "contactor.coil2" not in low


@pytest.mark.parametrize("name", NAMES)
def test_the_smallest_dead_sets_are_one_outdoor_device_each(name: str) -> None:
    assert set(isolation(name).found.dead_sets) == {frozenset({d}) for d in OUTDOOR_DEVICES}


@pytest.mark.parametrize("name", NAMES)
def test_every_subset_obeys_kirchhoff_and_the_power_balance(name: str) -> None:
    for call in ("off", "cool"):
        solution = live_map(name, call).solution
        assert np.max(solution.kirchhoff_residual()) < 1e-9
        assert np.max(solution.power_residual()) < 1e-9


def test_an_unknown_zone_is_refused_with_the_nearest_name() -> None:
    with pytest.raises(UnknownName, match="did you mean outdoor"):
        zone_points(unit("one_pole_heater"), "outdor")
