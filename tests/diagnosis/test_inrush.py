"""Inrush is what a peak-hold clamp shows of the first swing, on a good motor too.

Outside reason (trade practice, no source): a good single-phase motor shows about its locked-rotor
amps, ±20%, for well under a second; residential compressors stalled in a laboratory drew some
seven times their rated amps (PNNL-17796, abstract).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from tests.circuit.balance import kirchhoff_residual, power_residual

from rungwise.circuit.meter import INRUSH_CLAMP
from rungwise.circuit.netlist import Key, Plan
from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.readers import AmpReader, VoltReader
from rungwise.parts.element import FloatArray
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


def bench(name: str, *faults: tuple[str, str], drawn: Mapping[Key, FloatArray] = {}) -> Bench:
    """A good specimen and one for each fault handle, and whatever else is drawn."""
    size = 1 + len(faults)
    values = {key: np.broadcast_to(number, (size,)) for key, number in drawn.items()}
    for at, key in enumerate(faults, start=1):
        values[key] = np.where(np.arange(size) == at, 1.0, 0.0)
    return Bench(Plan(arrangement(name)), values, size, np.zeros(size))


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_good_compressor_shows_its_locked_amps_and_then_runs(name: str) -> None:
    """The plate's LRA within 20%, though it runs below RLA two seconds later."""
    specimen = bench(name)
    plate = specimen.plan.defaults
    inrush, sd = AmpReader("inrush", "comp_c")(specimen)
    held, _ = AmpReader("starting", "comp_c")(specimen)
    assert inrush[0] == pytest.approx(plate["compressor", "locked_a"], rel=0.2)
    assert held[0] < plate["compressor", "rated_a"]
    # Where in the cycle it starts is luck: the peak is good to no better than some 10%.
    assert 0.05 < sd[0] / inrush[0] < 0.1


def test_78_amps_of_80_locked_amps_is_no_fault() -> None:
    """Issue 10: 78 A of inrush typed as such; a seized and a good compressor both show it."""
    specimen = bench("one_pole_heater", ("compressor", "seized"))
    inrush, sd = AmpReader("inrush", "comp_c")(specimen)
    assert (np.abs(inrush - 78.0) < 2 * sd).all()
    held, _ = AmpReader("starting", "comp_c")(specimen)
    assert held[0] < 16.0
    assert held[1] > 60.0


def test_an_open_lead_has_no_inrush() -> None:
    """Open at C nothing flows; open at S the run winding still takes locked amps."""
    specimen = bench("one_pole_heater", ("compressor", "c_open"), ("compressor", "s_open"))
    inrush, _ = AmpReader("inrush", "comp_c")(specimen)
    assert inrush[1] < 0.01
    assert inrush[2] > 60.0


def test_a_start_kit_is_in_during_the_first_swing() -> None:
    """The start capacitor's amps flow then, and no longer once the rotor is at speed."""
    specimen = bench("hard_start_delay")
    first, _ = AmpReader("inrush", "kit_1")(specimen)
    later, _ = AmpReader("starting", "kit_1")(specimen)
    assert first[0] > 5.0
    assert later[0] < 0.1


def test_the_lowest_volts_held_while_it_starts_are_those_of_the_first_swing() -> None:
    """A good motor sags the supply as a seized one does, but for an instant only."""
    specimen = bench("one_pole_heater", ("compressor", "seized"))
    ends = ("contactor.L1", "contactor.L2")
    first, then = (VoltReader(each, *ends)(specimen)[0] for each in ("inrush", "starting"))
    assert first[0] == pytest.approx(first[1], rel=1e-3)
    assert then[1] == pytest.approx(first[1], rel=0.01)
    assert then[0] > first[0] + 3.0


def test_a_coil_that_chatters_lets_the_clamp_see_a_start() -> None:
    """The contactor is in for an instant each time, and that is what peak hold keeps."""
    weak = {
        ("service", "source_ohm"): np.asarray(0.8),
        ("y_coil", "fault_ohm"): np.asarray(10.0),
        ("contactor", "drop_out_ratio"): np.asarray(0.72),
    }
    specimen = bench("one_pole_heater", drawn=weak)
    assert specimen.starting.chatter["contactor", "attracted"][0]
    assert AmpReader("inrush", "comp_c")(specimen)[0][0] > 40.0
    assert AmpReader("starting", "comp_c")(specimen)[0][0] < 1.0


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_inrush_is_a_solution_like_any_other(name: str) -> None:
    """Amps balance at every node, and power over the whole circuit, to 1e-9."""
    solved = bench(name, ("fan", "seized")).inrush
    assert kirchhoff_residual(solved).max() < 1e-9
    assert power_residual(solved).max() < 1e-9


@pytest.mark.parametrize(
    ("rla", "lra", "uf"),
    [(7.0, 40.0, 25.0), (10.2, 54.0, 35.0), (13.5, 72.0, 35.0), (17.9, 96.0, 45.0),
     (21.2, 104.0, 60.0), (28.0, 146.0, 80.0)],
    ids=["1.5 t", "2 t", "2.5 t", "3.5 t", "4 t", "5 t"],
)  # fmt: skip
def test_plates_of_every_size_start_and_run_below_their_rla(
    rla: float, lra: float, uf: float
) -> None:
    """From 197 to 253 V, nothing told but the plate: inrush within 20% of LRA, 55 to 95% of RLA.

    197 and 253 V: the range of a 208/230 V plate, AHRI 110 (from memory).
    """
    base = arrangement("one_pole_heater")
    told = {
        "compressor": {"rated_a": rla, "locked_a": lra, "run_uf": uf},
        "capacitor": {"herm_uf": uf},
    }
    parts = tuple(
        replace(part, values={**part.values, **told.get(part.name, {})}) for part in base.parts
    )
    volts = np.array([197.0, 208.0, 240.0, 253.0])
    supply = {("service", "leg_volt"): 0.5 * volts}
    specimen = Bench(Plan(replace(base, parts=parts)), supply, volts.size, np.zeros(volts.size))
    assert (specimen.calling.state(("compressor", "slip")) < 0.1).all()
    inrush, _ = AmpReader("inrush", "comp_c")(specimen)
    assert inrush == pytest.approx(lra * volts / 230.0, rel=0.2)
    running, _ = AmpReader("calling", "comp_c")(specimen)
    assert running.min() > 0.55 * rla
    assert running.max() < 0.95 * rla


def test_a_peak_hold_without_current_still_shows_some_tenths() -> None:
    """Makers give it some digits of a tenth of an ampere (common practice, no source)."""
    specimen = bench("one_pole_heater", ("fan", "c_open"))
    inrush, sd = AmpReader("inrush", "fan_c", INRUSH_CLAMP)(specimen)
    held, held_sd = AmpReader("starting", "fan_c")(specimen)
    assert inrush[1] < 0.01
    assert sd[1] > 5 * held_sd[1]
    assert held[1] < 0.01
