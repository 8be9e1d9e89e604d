from __future__ import annotations

import pytest
from tests.isolation.solved import NAMES, unit

from rungwise.isolation.devices import isolating_devices
from rungwise.unit.unit_file import arrangement


@pytest.mark.parametrize("name", NAMES)
def test_each_pole_runs_from_its_line_to_its_load_terminal(name: str) -> None:
    for device in isolating_devices(unit(name)):
        for pole in device.poles:
            assert pole.line == f"{device.name}.line{pole.number}"
            assert pole.load == f"{device.name}.load{pole.number}"


def test_every_isolating_kind_can_be_held_open() -> None:
    """Opening is asked of the circuit through this handle."""
    made = arrangement("one_pole_heater")
    for device in isolating_devices(made):
        assert made.kind_of(device.name).parameter("held_open").hidden
