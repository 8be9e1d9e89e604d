"""The two-winding induction machine by revolving-field theory.

An unsymmetrical machine with a main and an auxiliary winding in space quadrature, `a` the
effective turns ratio auxiliary over main, all rotor quantities seen from the main winding:

    Zf(s) = ½·jXm·(R2 + j·s·X2)/(R2 + j·s·(X2 + Xm)),   Zb(s) = Zf(2 - s)
    Z11 = R1 + jX1 + Zf + Zb            Z12 = -j·a·(Zf - Zb)
    Z22 = Ra + jXa + a²·(Zf + Zb)       Z21 = +j·a·(Zf - Zb)
    T   = (|Im - j·a·Ia|²·Re Zf - |Im + j·a·Ia|²·Re Zb) / ω_sync

Source: the double-revolving-field treatment of A. E. Fitzgerald, *Electric Machinery*, 6th ed.,
ch. 9 (from memory), re-derived here; the tests hold it to that book's examples 9.2 and 9.5.
Positive torque turns the way in which the auxiliary current leads the main one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np

from rungwise.circuit.elimination import ComplexArray
from rungwise.parts import AS_WOUND, FloatArray, Frame

Matrix = tuple[ComplexArray, ComplexArray, ComplexArray, ComplexArray]
"""Row by row, of two windings or of the two ports that they are seen from."""

Real = TypeVar("Real", float, FloatArray)


@dataclass(frozen=True, slots=True)
class MachineConstants:
    """Constants of the machine in Ω (reactances at the line frequency); arrays or scalars."""

    main_ohm: FloatArray
    main_leak_ohm: FloatArray
    aux_ohm: FloatArray
    aux_leak_ohm: FloatArray
    magnetising_ohm: FloatArray
    rotor_ohm: FloatArray
    rotor_leak_ohm: FloatArray
    turns_ratio: FloatArray
    sync_rad_per_s: float | FloatArray


def field_ohm(machine: MachineConstants, slip: FloatArray) -> ComplexArray:
    """Forward-field impedance in Ω at `slip`; the backward one is at `2 - slip`."""
    m = machine
    share, turned, reactive = field_parts(m.magnetising_ohm, m.rotor_ohm, m.rotor_leak_ohm, slip)
    return np.asarray(share * turned + 1j * (share * reactive))


def field_parts(
    magnetising_ohm: Real, rotor_ohm: Real, rotor_leak_ohm: Real, slip: Real
) -> tuple[Real, Real, Real]:
    """A share, and what it makes of the field's resistance and of its reactance.

    Of numbers in compiled loops, of arrays elsewhere.
    """
    # Finite at every slip: the rotor's ohms squared stand in the denominator, so slip 0 (no torque,
    # pure magnetizing) needs no case of its own.
    whole = rotor_leak_ohm + magnetising_ohm
    # The quotient of Zf written out: real arithmetic takes a third of a complex division's time.
    square, turned = rotor_ohm**2, slip * rotor_ohm * magnetising_ohm
    share = 0.5 * magnetising_ohm / (square + (slip * whole) ** 2)
    return share, turned, square + slip**2 * rotor_leak_ohm * whole


Fields = tuple[ComplexArray, ComplexArray]
"""Forward- and backward-field impedance at one slip."""


def fields_ohm(machine: MachineConstants, slip: FloatArray) -> Fields:
    """Forward- and backward-field impedance in Ω at `slip`."""
    return field_ohm(machine, slip), field_ohm(machine, 2.0 - slip)


def winding_ohm(
    machine: MachineConstants, slip: FloatArray
) -> tuple[ComplexArray, ComplexArray, ComplexArray, ComplexArray]:
    """The impedance matrix (Z11, Z12, Z21, Z22) in Ω seen at the two windings."""
    m = machine
    forward, backward = fields_ohm(m, slip)
    both = forward + backward
    cross = 1j * m.turns_ratio * (forward - backward)
    z11 = m.main_ohm + 1j * m.main_leak_ohm + both
    z22 = m.aux_ohm + 1j * m.aux_leak_ohm + m.turns_ratio**2 * both
    return np.asarray(z11), np.asarray(-cross), np.asarray(cross), np.asarray(z22)


def torque_nm(
    machine: MachineConstants,
    slip: FloatArray,
    main_amp: ComplexArray,
    aux_amp: ComplexArray,
) -> FloatArray:
    """Electromagnetic torque in N·m for the two winding currents at `slip`."""
    power = air_gap_watt(fields_ohm(machine, slip), machine.turns_ratio, main_amp, aux_amp)
    return np.asarray(power / machine.sync_rad_per_s)


def air_gap_watt(
    fields: Fields, turns_ratio: FloatArray, main_amp: ComplexArray, aux_amp: ComplexArray
) -> FloatArray:
    """Watts across the air gap, forward less backward, for the two winding currents.

    |Im - j·a·Ia|² and |Im + j·a·Ia|² share their squares and differ in twice their product.
    """
    forward, backward = fields[0].real, fields[1].real
    return np.asarray(field_watt(forward, backward, turns_ratio, main_amp, aux_amp))


def field_watt(
    forward_ohm: Any, backward_ohm: Any, turns_ratio: Any, main_amp: Any, aux_amp: Any
) -> Any:
    """As `air_gap_watt`, of the fields' resistances; of numbers in compiled loops."""
    squares = main_amp.real**2 + main_amp.imag**2
    squares = squares + turns_ratio**2 * (aux_amp.real**2 + aux_amp.imag**2)
    product = 2.0 * turns_ratio * (main_amp.imag * aux_amp.real - main_amp.real * aux_amp.imag)
    return squares * (forward_ohm - backward_ohm) - product * (forward_ohm + backward_ohm)


def seen_from_ports(siemens: Matrix, frame: Frame) -> Matrix:
    """The admittance of two windings as their two ports see it: Fᵀ·Y·F."""
    if frame == AS_WOUND:
        return siemens
    return _between(siemens, frame)


def seen_from_windings(siemens: Matrix, frame: Frame) -> Matrix:
    """The admittance at two ports as the two windings behind them see it."""
    if frame == AS_WOUND:
        return siemens
    return _between(siemens, _inverse(frame))


def ohms_from_ports(ohms: Matrix, frame: Frame) -> Matrix:
    """The impedance of two windings as their two ports see it: F⁻¹·Z·F⁻ᵀ."""
    if frame == AS_WOUND:
        return ohms
    (a, b), (c, d) = _inverse(frame)
    return _between(ohms, ((a, c), (b, d)))


def winding_amps(
    amps: tuple[ComplexArray, ComplexArray], frame: Frame
) -> tuple[ComplexArray, ComplexArray]:
    """Amps of the two windings from those into their two ports."""
    if frame == AS_WOUND:
        return amps
    (a, b), (c, d) = _inverse(frame)
    return np.asarray(a * amps[0] + c * amps[1]), np.asarray(b * amps[0] + d * amps[1])


def _between(matrix: Matrix, frame: Frame) -> Matrix:
    (a, b), (c, d) = frame
    y11, y12, y21, y22 = matrix
    main, aux = (y11 * a + y12 * c, y11 * b + y12 * d), (y21 * a + y22 * c, y21 * b + y22 * d)
    return (
        np.asarray(a * main[0] + c * aux[0]),
        np.asarray(a * main[1] + c * aux[1]),
        np.asarray(b * main[0] + d * aux[0]),
        np.asarray(b * main[1] + d * aux[1]),
    )


def _inverse(frame: Frame) -> Frame:
    (a, b), (c, d) = frame
    determinant = a * d - b * c
    return (d / determinant, -b / determinant), (-c / determinant, a / determinant)
