"""The proof, tried by failing each device in a solved circuit, of which the plan knows nothing."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from tests.isolation.solved import ALL, plan, work

from rungwise.circuit.condition import STANDBY
from rungwise.circuit.meter import LOW_Z_VOLTS, Leads, loaded_volts
from rungwise.circuit.operating_point import solve
from rungwise.isolation import Reading, Step
from rungwise.isolation.variants import Edits, batch_values
from rungwise.parts.element import FloatArray


def failures(name: str, scope: str) -> dict[tuple[str, tuple[int, ...]], Edits]:
    """Each device that the plan relies on, failed whole and in each pole."""
    found: dict[tuple[str, tuple[int, ...]], Edits] = {}
    for device in work(name, scope).devices:
        poles = tuple(range(1, device.poles + 1))
        for failed in {poles, *((pole,) for pole in poles)}:
            edits = {(device.device, f"stuck{pole}"): 1.0 for pole in failed}
            found[(device.device, failed)] = edits
    return found


def shown(name: str, opened: frozenset[str], reading: Reading, edits: list[Edits]) -> FloatArray:
    """What a low-impedance meter reads with these devices opened, in each variant."""
    made = plan(name)
    condition = STANDBY.opened(*opened)
    solution = solve(made, condition, batch_values(made, {}, edits), len(edits))
    pair = (reading.red, reading.black)
    seen_ohm = Leads(solution.batch, "ac").impedance_ohm(*pair)
    return np.asarray(loaded_volts(solution.volt(*pair), seen_ohm, LOW_Z_VOLTS.burden_ohm))


def measured(name: str, scope: str) -> list[tuple[Step, frozenset[str]]]:
    opened: set[str] = set()
    found = []
    for step in work(name, scope).steps:
        opened |= {step.device} if step.kind == "open" else set()
        if step.kind == "measure":
            found.append((step, frozenset(opened)))
    return found


@cache
def table(name: str, scope: str) -> dict[tuple[str, tuple[int, ...]], float]:
    """The most volts that a reading to ground shows for each failure; under () when none failed."""
    cases = failures(name, scope)
    most = dict.fromkeys([("", ()), *cases], 0.0)
    for step, opened in measured(name, scope):
        own = [key for key in cases if key[0] in opened]
        proving = [reading for reading in step.readings if reading.shows]
        for reading in proving:
            volts = shown(name, opened, reading, [{}, *(cases[key] for key in own)])
            for key, volt in zip([("", ()), *own], volts, strict=True):
                most[key] = max(most[key], float(volt))
    return most


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_each_device_failed_whole_or_in_one_pole_makes_a_reading_live(
    name: str, scope: str
) -> None:
    for (device, poles), volt in table(name, scope).items():
        if device:
            assert volt > 50.0, (device, poles)


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_every_reading_is_dead_when_all_devices_isolate(name: str, scope: str) -> None:
    assert table(name, scope)[("", ())] < 5.0
