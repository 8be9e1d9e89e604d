"""From a motor's nameplate to the constants of its machine model.

What the nameplate and a meter give (volts, rated and locked-rotor amps, winding ohms, run
capacitor, speed, efficiency) leaves the reactances unknown.  They are fitted so that the model
draws the rated amps (or the share of them that such motors really draw) and delivers the rated
power at the rated speed, and the locked-rotor amps at standstill; two mild preferences
(magnetising over leakage, a near-circular field at full load) and a lean in the turns settle what
the nameplate leaves open.  `FitCheck` then compares the model with everything the nameplate
said.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.least_squares import least_squares
from rungwise.circuit.machine import MachineConstants, torque_nm, winding_ohm
from rungwise.parts import FloatArray

HOT_OVER_COLD = 1.15
"""Winding resistance warm over cold, about 40 K of copper (IEC 60028 coefficient)."""

LEAST_TURNS_RATIO = 0.7
"""No lean below this, where a capacitor is far too large for its plate (our own bound)."""

NAMEPLATE = (
    "rated_volt",
    "rated_a",
    "locked_a",
    "run_uf",
    "main_ohm",
    "aux_ohm",
    "rated_rpm",
    "poles",
    "efficiency",
    "power_factor",
    "plate_share",
    "turns_lean",
    "magnetising_lean",
)


@dataclass(frozen=True, slots=True)
class FitCheck:
    """What the fitted machine does at its nameplate: amps, watts and torques.

    Amps and watts are over the nameplate's `plate_share`, to be held against the plate itself.
    """

    rated_a: float
    locked_a: float
    output_w: float
    power_factor: float
    breakdown_ratio: float
    capacitor_volt: float


@dataclass(frozen=True, slots=True)
class MachineFit:
    """Fitted constants by parameter name, and the check of the fit."""

    constants: Mapping[str, float]
    check: FitCheck


def fit_machine(nameplate: Mapping[str, float], hz: float) -> MachineFit:
    """Fit the machine to `nameplate` (keys in `NAMEPLATE`; V, A, µF, Ω, rpm) at `hz`.

    The plate's amps are taken times `plate_share`: what it says may be a ceiling.
    """
    return _fit(tuple(float(nameplate[name]) for name in NAMEPLATE), hz)


@lru_cache(maxsize=256)
def _fit(values: tuple[float, ...], hz: float) -> MachineFit:
    plate = dict(zip(NAMEPLATE, values, strict=True))
    for name in ("rated_a", "locked_a"):
        plate[name] *= plate["plate_share"]
    scale = plate["rated_volt"] / plate["locked_a"]
    plate["turns_lean"] = min(plate["turns_lean"], _balanced_turns(plate, hz))
    lean = plate["magnetising_lean"]
    # Such plates have a second answer, of hardly any magnetising current and a field that turns
    # more backward than forward: no motor.  The search begins on the side of the built ones.
    # In logarithms, so that a reactance cannot turn negative and a step is a share of it.
    start = np.log([0.45 * scale, 0.25 * lean * scale, 0.25 * scale, plate["turns_lean"]])
    # The steps of a least-squares search that wander to absurd machines meet these walls.
    walls = np.log([30, 30, 30, 3])
    found = least_squares(lambda x: _misfit(x, plate, hz), start, start - walls, start + walls)
    machine = _machine(found, plate, hz)
    check = _check(machine, plate, hz)
    sync = 4 * np.pi * hz / plate["poles"]
    rated_slip = 1 - plate["rated_rpm"] * 2 * np.pi / 60 / sync
    rated_torque = float(_run(machine, plate, hz, np.asarray(rated_slip))[2])
    start_torque = float(_run(machine, plate, hz, np.asarray(1.0))[2])
    constants = {
        "main_leak_ohm": float(machine.main_leak_ohm),
        "magnetising_ohm": float(machine.magnetising_ohm),
        "rotor_ohm": float(machine.rotor_ohm),
        "rotor_leak_ohm": float(machine.rotor_leak_ohm),
        "turns_ratio": float(machine.turns_ratio),
        "aux_leak_ohm": float(machine.aux_leak_ohm),
        "rated_torque_nm": rated_torque,
        "start_torque_nm": start_torque,
    }
    return MachineFit(constants, check)


def _balanced_turns(plate: Mapping[str, float], hz: float) -> float:
    """The turns ratio a at which the plate's capacitor makes the field round at the plate's load.

    With two windings in quadrature and a round field the auxiliary one has a times the volts and
    1/a of the amps of the main one, a quarter period ahead.  Kirchhoff then asks of the capacitor
    V√(1 + a²) volts, and of the line I = V(1 + a²)/Xc amps.
    """
    reactance = 1e6 / (2 * np.pi * hz * plate["run_uf"])
    squared = plate["rated_a"] * reactance / plate["rated_volt"] - 1
    return float(np.sqrt(max(squared, LEAST_TURNS_RATIO**2)))


def _machine(x: FloatArray, plate: Mapping[str, float], hz: float) -> MachineConstants:
    leak, magnetising, rotor, ratio = np.exp(x)
    return MachineConstants(
        np.asarray(HOT_OVER_COLD * plate["main_ohm"]),
        leak,
        np.asarray(HOT_OVER_COLD * plate["aux_ohm"]),
        ratio**2 * leak,
        magnetising,
        rotor,
        leak,
        ratio,
        4 * np.pi * hz / plate["poles"],
    )


def _run(
    machine: MachineConstants, plate: Mapping[str, float], hz: float, slip: FloatArray
) -> tuple[ComplexArray, FloatArray, FloatArray, FloatArray]:
    """Line amps (complex), input watts, torque and field unbalance at rated volts and `slip`."""
    z11, z12, z21, z22 = winding_ohm(machine, slip)
    z22 = z22 - 1j * 1e6 / (2 * np.pi * hz * plate["run_uf"])
    volt, det = plate["rated_volt"], z11 * z22 - z12 * z21
    main, aux = volt * (z22 - z12) / det, volt * (z11 - z21) / det
    line = np.asarray(main + aux)
    unbalance = np.abs(main + 1j * machine.turns_ratio * aux) / np.abs(
        main - 1j * machine.turns_ratio * aux
    )
    torque = torque_nm(machine, slip, np.asarray(main), np.asarray(aux))
    return line, np.asarray(volt * line.real), torque, np.asarray(unbalance)


def _misfit(x: FloatArray, plate: Mapping[str, float], hz: float) -> FloatArray:
    machine = _machine(x, plate, hz)
    sync = 4 * np.pi * hz / plate["poles"]
    speed = plate["rated_rpm"] * 2 * np.pi / 60
    line, _, torque, unbalance = _run(machine, plate, hz, np.asarray(1 - speed / sync))
    locked = np.abs(_run(machine, plate, hz, np.asarray(1.0))[0])
    output = _output_w(plate)
    leak, magnetising, _, ratio = np.exp(x)
    # What the plate says weighs ten times and more what is only usual: where both can be had, the
    # plate is met to a thousandth, and the preferences choose among the machines that meet it.
    return np.array(
        [
            10 * np.log(np.abs(line) / plate["rated_a"]),
            10 * np.log(locked / plate["locked_a"]),
            10 * (torque * speed / output - 1),
            0.1 * np.log(magnetising / leak / plate["magnetising_lean"]),
            0.15 * unbalance,
            2.0 * np.log(ratio / plate["turns_lean"]),
        ]
    )


def _output_w(plate: Mapping[str, float]) -> float:
    return plate["rated_volt"] * plate["rated_a"] * plate["power_factor"] * plate["efficiency"]


def _check(machine: MachineConstants, plate: Mapping[str, float], hz: float) -> FitCheck:
    sync = 4 * np.pi * hz / plate["poles"]
    speed = plate["rated_rpm"] * 2 * np.pi / 60
    line, watts, torque, _ = _run(machine, plate, hz, np.asarray(1 - speed / sync))
    slips = np.linspace(0.02, 1.0, 99)
    torques = _run(machine, plate, hz, slips)[2]
    z11, z12, z21, z22 = winding_ohm(machine, np.asarray(1 - speed / sync))
    reactance = 1e6 / (2 * np.pi * hz * plate["run_uf"])
    z22 = z22 - 1j * reactance
    aux = plate["rated_volt"] * (z11 - z21) / (z11 * z22 - z12 * z21)
    share = plate["plate_share"]
    return FitCheck(
        float(np.abs(line)) / share,
        float(np.abs(_run(machine, plate, hz, np.asarray(1.0))[0])) / share,
        float(torque * speed) / share,
        float(watts / (plate["rated_volt"] * np.abs(line))),
        float(torques.max() / torque),
        float(np.abs(aux) * reactance),
    )
