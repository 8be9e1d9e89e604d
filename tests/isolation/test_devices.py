from __future__ import annotations

import pytest
from tests.isolation.solved import NAMES, isolation, unit

from rungwise.isolation.devices import isolating_devices
from rungwise.unit.unit_file import arrangement


@pytest.mark.parametrize("name", NAMES)
def test_each_pole_runs_from_its_line_to_its_load_terminal(name: str) -> None:
    for device in isolating_devices(unit(name)):
        for pole in device.poles:
            assert pole.line == f"{device.name}.line{pole.number}"
            assert pole.load == f"{device.name}.load{pole.number}"


def test_a_device_fails_whole_and_in_each_pole() -> None:
    by_name = {device.name: device for device in isolating_devices(unit("one_pole_heater"))}
    failures = by_name["disconnect"].failures()
    assert [failure.poles for failure in failures] == [(1, 2), (1,), (2,)]
    assert [failure.whole for failure in failures] == [True, False, False]
    assert failures[0].edits == {("disconnect", "stuck1"): 1.0, ("disconnect", "stuck2"): 1.0}


def test_a_one_pole_device_fails_in_one_way() -> None:
    by_name = {device.name: device for device in isolating_devices(unit("one_pole_heater"))}
    assert len(by_name["service_switch"].failures()) == 1


@pytest.mark.parametrize("name", NAMES)
def test_supply_paths_run_from_the_panel_to_the_load(name: str) -> None:
    paths = [[device.name for device in path] for path in isolation(name).found.paths]
    assert sorted(paths) == [
        ["indoor_breaker", "service_switch"],
        ["outdoor_breaker", "disconnect"],
    ]


@pytest.mark.parametrize("name", NAMES)
def test_the_outdoor_devices_do_not_feed_the_indoor_unit(name: str) -> None:
    paths = [[device.name for device in path] for path in isolation(name, "indoor").found.paths]
    assert paths == [["indoor_breaker", "service_switch"]]


def test_every_isolating_kind_can_be_held_open() -> None:
    """Opening is asked of the circuit through this handle."""
    made = arrangement("one_pole_heater")
    for device in isolating_devices(made):
        assert made.kind_of(device.name).parameter("held_open").hidden
