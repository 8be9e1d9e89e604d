"""From a three-phase motor's nameplate to the constants of its machine.

The machine is the T circuit of one leg: R1 + jX + jXm ‖ (R2/s + jX), positive sequence at slip s,
negative at 2 - s.  R1 is told or usual; X, Xm and R2 are fitted so that it draws the rated amps and
gives the rated watts at the rated speed, and the locked-rotor amps standing.  Between the two of
them that a plate leaves open, a usual magnetising over leakage reactance leans.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.least_squares import least_squares
from rungwise.circuit.machine import MachineConstants, field_ohm
from rungwise.circuit.machine_fit import HOT_OVER_COLD, FitCheck, MachineFit, fit_machine
from rungwise.parts import FloatArray, Motor

THREE_PHASE_PLATE = (
    "rated_volt",
    "rated_a",
    "locked_a",
    "main_ohm",
    "rated_rpm",
    "poles",
    "efficiency",
    "power_factor",
    "plate_share",
    "magnetising_lean",
)


def fit_three_phase(nameplate: Mapping[str, float], hz: float) -> MachineFit:
    """Fit the machine to `nameplate` (keys in `THREE_PHASE_PLATE`; V leg to leg, A, Ω, rpm)."""
    return _fit(tuple(float(nameplate[name]) for name in THREE_PHASE_PLATE), hz)


@lru_cache(maxsize=256)
def _fit(values: tuple[float, ...], hz: float) -> MachineFit:
    plate = dict(zip(THREE_PHASE_PLATE, values, strict=True))
    for name in ("rated_a", "locked_a"):
        plate[name] *= plate["plate_share"]
    scale = plate["rated_volt"] / np.sqrt(3) / plate["locked_a"]
    start = np.log([0.4 * scale, 0.4 * plate["magnetising_lean"] * scale, 0.3 * scale])
    walls = np.log(30)
    found = least_squares(lambda x: _misfit(x, plate, hz), start, start - walls, start + walls)
    machine = _machine(found, plate, hz)
    rated, still = np.asarray(_rated_slip(plate, hz)), np.asarray(1.0)
    constants = {
        "aux_ohm": plate["main_ohm"],
        "main_leak_ohm": float(machine.main_leak_ohm),
        "aux_leak_ohm": float(machine.main_leak_ohm),
        "magnetising_ohm": float(machine.magnetising_ohm),
        "rotor_ohm": float(machine.rotor_ohm),
        "rotor_leak_ohm": float(machine.rotor_leak_ohm),
        "turns_ratio": 1.0,
        "rated_torque_nm": float(three_phase_torque_nm(machine, plate["rated_volt"], rated)),
        "start_torque_nm": float(three_phase_torque_nm(machine, plate["rated_volt"], still)),
    }
    return MachineFit(constants, _check(machine, plate, rated))


def _rated_slip(plate: Mapping[str, float], hz: float) -> float:
    return 1.0 - plate["rated_rpm"] * plate["poles"] / (120.0 * hz)


def _machine(x: FloatArray, plate: Mapping[str, float], hz: float) -> MachineConstants:
    leak, magnetising, rotor = np.exp(x)
    ohm = np.asarray(HOT_OVER_COLD * plate["main_ohm"])
    sync = 4 * np.pi * hz / plate["poles"]
    return MachineConstants(ohm, leak, ohm, leak, magnetising, rotor, leak, np.asarray(1.0), sync)


def _leg_ohm(machine: MachineConstants, slip: FloatArray) -> ComplexArray:
    # The forward field of two windings is half of what a leg of three sees.
    own = machine.main_ohm + 1j * machine.main_leak_ohm
    return np.asarray(own + 2.0 * field_ohm(machine, slip))


def leg_amp(machine: MachineConstants, volt: float, slip: FloatArray) -> ComplexArray:
    """Amps of a leg on balanced volts, `volt` leg to leg, against its own volts to the star."""
    return np.asarray(volt / np.sqrt(3) / _leg_ohm(machine, slip))


def three_phase_torque_nm(machine: MachineConstants, volt: float, slip: FloatArray) -> FloatArray:
    """Torque in N·m on balanced volts: 3·I²·Re(Zgap)/ω_sync."""
    gap = 2.0 * field_ohm(machine, slip).real
    watt = 3.0 * np.abs(leg_amp(machine, volt, slip)) ** 2 * gap
    return np.asarray(watt / machine.sync_rad_per_s)


def _misfit(x: FloatArray, plate: Mapping[str, float], hz: float) -> FloatArray:
    machine, slip = _machine(x, plate, hz), np.asarray(_rated_slip(plate, hz))
    running, locked = (
        float(np.abs(leg_amp(machine, plate["rated_volt"], each))) for each in (slip, np.asarray(1))
    )
    torque = float(three_phase_torque_nm(machine, plate["rated_volt"], slip))
    leak, magnetising, _ = np.exp(x)
    return np.array(
        [
            10 * np.log(running / plate["rated_a"]),
            10 * np.log(locked / plate["locked_a"]),
            10 * (torque * _rated_rad_per_s(plate) / _output_w(plate) - 1),
            0.1 * np.log(magnetising / leak / plate["magnetising_lean"]),
        ]
    )


def _rated_rad_per_s(plate: Mapping[str, float]) -> float:
    return plate["rated_rpm"] * 2 * np.pi / 60


def _output_w(plate: Mapping[str, float]) -> float:
    apparent = np.sqrt(3) * plate["rated_volt"] * plate["rated_a"]
    return float(apparent * plate["power_factor"] * plate["efficiency"])


def _check(machine: MachineConstants, plate: Mapping[str, float], slip: FloatArray) -> FitCheck:
    volt, share = plate["rated_volt"], plate["plate_share"]
    line = leg_amp(machine, volt, slip)
    torque = float(three_phase_torque_nm(machine, volt, slip))
    slips = np.linspace(0.01, 1.0, 100)
    return FitCheck(
        float(np.abs(line)) / share,
        float(np.abs(leg_amp(machine, volt, np.asarray(1.0)))) / share,
        torque * _rated_rad_per_s(plate) / share,
        float(np.cos(np.angle(line))),
        float(three_phase_torque_nm(machine, volt, slips).max() / torque),
        0.0,
    )


def fit_motor(motor: Motor, nameplate: Mapping[str, float], hz: float) -> MachineFit:
    """The machine of a motor of one phase or of three, from all its numbers."""
    fit = fit_machine if motor.phases == 1 else fit_three_phase
    return fit(nameplate, hz)
