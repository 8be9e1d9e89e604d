"""The fitted machine does what its nameplate says.

The nameplates are invented, in proportions that are common practice (no source): compressors of
1½ to 5 tons, fan motors of 1/8 to 1/2 hp.
"""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.machine import MachineConstants, torque_nm, winding_ohm
from rungwise.circuit.machine_fit import HOT_OVER_COLD, MachineFit, fit_machine
from rungwise.unit.kinds import KINDS
from rungwise.unit.usual_numbers import numbers_of_kind

WITHIN = 0.03
OMEGA = 2 * np.pi * 60.0


def nameplate(kind: str, **differs: float) -> dict[str, float]:
    return numbers_of_kind(KINDS[kind], differs)


def compressor(rla: float, lra: float, uf: float, main: float, aux: float) -> dict[str, float]:
    return nameplate("compressor", rated_a=rla, locked_a=lra, run_uf=uf, main_ohm=main, aux_ohm=aux)


def fan(fla: float, locked: float, uf: float, main: float, aux: float) -> dict[str, float]:
    return nameplate(
        "fan_motor", rated_a=fla, locked_a=locked, run_uf=uf, main_ohm=main, aux_ohm=aux
    )


NAMEPLATES = {
    "compressor 1.5 t": compressor(7, 40, 25, 1.7, 4.0),
    "compressor 2 t": compressor(9, 48, 30, 1.3, 3.2),
    "compressor 2.5 t": compressor(13.5, 72, 35, 0.9, 2.6),
    "compressor 3 t": compressor(16, 80, 45, 0.7, 2.2),
    "compressor 4 t": compressor(22, 118, 60, 0.42, 1.5),
    "compressor 5 t": compressor(28, 146, 80, 0.33, 1.2),
    "fan 1/8 hp": fan(0.8, 1.6, 3, 38, 60),
    "fan 1/4 hp": fan(1.3, 2.6, 5, 21, 38),
    "fan 1/3 hp": fan(2.0, 4.2, 7.5, 12, 25),
    "fan 1/2 hp": fan(2.8, 6.0, 10, 8, 18),
    "fan, 8 poles": fan(1.5, 3.2, 5, 18, 30) | {"rated_rpm": 825.0, "poles": 8.0},
    "blower, 120 V": fan(5, 11, 15, 3, 6) | {"rated_volt": 120.0},
}


def fitted(plate: dict[str, float]) -> tuple[MachineFit, MachineConstants]:
    fit = fit_machine(plate, 60.0)
    c = fit.constants
    numbers = (
        HOT_OVER_COLD * plate["main_ohm"],
        c["main_leak_ohm"],
        HOT_OVER_COLD * plate["aux_ohm"],
        c["aux_leak_ohm"],
        c["magnetising_ohm"],
        c["rotor_ohm"],
        c["rotor_leak_ohm"],
        c["turns_ratio"],
        2 * OMEGA / plate["poles"],
    )
    return fit, MachineConstants(*(np.asarray(x) for x in numbers))


def line_and_torque(
    machine: MachineConstants, plate: dict[str, float], slip: float
) -> tuple[complex, float]:
    """Line amps and torque at rated volts with the rated capacitor, by a solution of our own."""
    z11, z12, z21, z22 = winding_ohm(machine, np.asarray(slip))
    series = z22 - 1j / (OMEGA * 1e-6 * plate["run_uf"])
    main, aux = np.linalg.solve(
        np.array([[z11, z12], [z21, series]]), np.full(2, plate["rated_volt"])
    )
    return complex(main + aux), float(torque_nm(machine, np.asarray(slip), main, aux))


@pytest.mark.parametrize("plate", NAMEPLATES.values(), ids=NAMEPLATES.keys())
def test_amps_and_output_are_those_of_the_nameplate(plate: dict[str, float]) -> None:
    """Rated amps, locked-rotor amps and shaft watts, or the share of them that is really drawn.

    They are solved apart from the fit's own check.
    """
    _, machine = fitted(plate)
    speed = plate["rated_rpm"] * 2 * np.pi / 60
    slip = 1 - speed * plate["poles"] / (2 * OMEGA)
    line, torque = line_and_torque(machine, plate, slip)
    locked, _ = line_and_torque(machine, plate, 1.0)
    share = plate["plate_share"]
    assert abs(line) == pytest.approx(share * plate["rated_a"], rel=WITHIN)
    assert abs(locked) == pytest.approx(share * plate["locked_a"], rel=WITHIN)
    output = plate["rated_volt"] * plate["rated_a"] * plate["power_factor"] * plate["efficiency"]
    assert torque * speed == pytest.approx(share * output, rel=WITHIN)


@pytest.mark.parametrize("plate", NAMEPLATES.values(), ids=NAMEPLATES.keys())
def test_the_fit_tells_what_it_reached(plate: dict[str, float]) -> None:
    """The check is of the very machine that is returned, power factor and breakdown included."""
    fit, machine = fitted(plate)
    slip = 1 - plate["rated_rpm"] * plate["poles"] / 7200
    line, torque = line_and_torque(machine, plate, slip)
    share, locked = plate["plate_share"], line_and_torque(machine, plate, 1.0)[0]
    assert share * fit.check.rated_a == pytest.approx(abs(line))
    assert share * fit.check.locked_a == pytest.approx(abs(locked))
    assert fit.check.power_factor == pytest.approx(line.real / abs(line))
    torques = [line_and_torque(machine, plate, s)[1] for s in np.linspace(0.02, 1.0, 99)]
    assert fit.check.breakdown_ratio == pytest.approx(max(torques) / torque)
    assert fit.constants["rated_torque_nm"] == pytest.approx(torque)
    assert fit.constants["start_torque_nm"] == pytest.approx(torques[-1])


@pytest.mark.parametrize("plate", NAMEPLATES.values(), ids=NAMEPLATES.keys())
def test_the_machine_is_one_that_could_be_built(plate: dict[str, float]) -> None:
    """Positive constants, pull-out above the rated load, a capacitor within its 440 V and 10 %."""
    fit, _ = fitted(plate)
    assert min(fit.constants.values()) > 0
    assert fit.check.breakdown_ratio > 1.2
    assert plate["rated_volt"] < fit.check.capacitor_volt < 1.1 * 440 or plate["rated_volt"] == 120


@pytest.mark.parametrize(
    ("rla", "lra", "main", "aux"),
    [(7, 40, 1.7, 4.0), (9, 48, 1.3, 3.2), (13.5, 72, 0.9, 2.6), (22, 118, 0.42, 1.5),
     (28, 146, 0.33, 1.2)],
    ids=["1.5 t", "2 t", "2.5 t", "4 t", "5 t"],
)  # fmt: skip
def test_untold_winding_ohms_follow_the_size(
    rla: float, lra: float, main: float, aux: float
) -> None:
    """Within the untold spread of what such compressors have (common practice, no source)."""
    usual = nameplate("compressor", rated_a=rla, locked_a=lra)
    for name, known in (("main_ohm", main), ("aux_ohm", aux)):
        spread = KINDS["compressor"].parameter(name).untold
        assert abs(np.log(usual[name] / known)) < spread


def test_a_two_ton_compressor_of_1_2_and_3_3_ohms_is_within_the_spread() -> None:
    """Issue 10: windings of 1.2, 3.3 and 4.5 Ω on a unit of 54 locked amps are good."""
    usual = nameplate("compressor", rated_a=10.2, locked_a=54.0)
    spread = KINDS["compressor"].parameter("main_ohm").untold
    assert abs(np.log(usual["main_ohm"] / 1.2)) < spread
    assert abs(np.log(usual["aux_ohm"] / 3.3)) < spread


def test_what_the_file_tells_of_a_motor_is_kept() -> None:
    """Told ohms and locked amps stand; a motor of other volts has its ohms by them."""
    told = nameplate("compressor", locked_a=40.0, main_ohm=1.9)
    assert told["main_ohm"] == 1.9
    assert told["aux_ohm"] == pytest.approx(2 * nameplate("compressor")["aux_ohm"])
    assert nameplate("fan_motor", rated_a=2.6)["locked_a"] == pytest.approx(5.2)


def test_no_reading_of_insulation_is_too_high() -> None:
    """Good windings read from some 20 MΩ to beyond the meter (common practice, no source)."""
    insulation = KINDS["compressor"].parameter("insulation_ohm")
    assert insulation.default * np.exp(-insulation.tolerance) < 2.5e7
    assert insulation.default * np.exp(insulation.tolerance) > 1e9
    assert not insulation.learned
