"""The two-winding induction machine by revolving-field theory.

An unsymmetrical machine with a main and an auxiliary winding in space quadrature, ``a`` the
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

import numpy as np

from rungwise.circuit.elimination import ComplexArray
from rungwise.unit.element import FloatArray


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

    def take(
        self, index: FloatArray | np.ndarray[tuple[int], np.dtype[np.intp]]
    ) -> MachineConstants:
        """The constants of the variants in ``index``."""
        fields = (np.asarray(getattr(self, name)) for name in self.__slots__)
        picked = (f[index] if f.ndim else f for f in fields)
        return MachineConstants(*picked)


def field_ohm(machine: MachineConstants, slip: FloatArray) -> ComplexArray:
    """Forward-field impedance in Ω at ``slip``; the backward one is at ``2 - slip``."""
    m = machine
    top = m.rotor_ohm + 1j * slip * m.rotor_leak_ohm
    bottom = m.rotor_ohm + 1j * slip * (m.rotor_leak_ohm + m.magnetising_ohm)
    return np.asarray(0.5j * m.magnetising_ohm * top / bottom)


Fields = tuple[ComplexArray, ComplexArray]
"""Forward- and backward-field impedance at one slip."""


def fields_ohm(machine: MachineConstants, slip: FloatArray) -> Fields:
    """Forward- and backward-field impedance in Ω at ``slip``."""
    return field_ohm(machine, slip), field_ohm(machine, 2.0 - slip)


def winding_ohm(
    machine: MachineConstants, slip: FloatArray, fields: Fields | None = None
) -> tuple[ComplexArray, ComplexArray, ComplexArray, ComplexArray]:
    """The impedance matrix (Z11, Z12, Z21, Z22) in Ω seen at the two windings.

    ``fields`` are those of the same slip, where the caller has them already.
    """
    m = machine
    forward, backward = fields or fields_ohm(m, slip)
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
    fields: Fields | None = None,
) -> FloatArray:
    """Electromagnetic torque in N·m for the two winding currents at ``slip``."""
    forward, backward = fields or fields_ohm(machine, slip)
    turned = 1j * machine.turns_ratio * aux_amp
    power = _square(main_amp - turned) * forward.real - _square(main_amp + turned) * backward.real
    return np.asarray(power / machine.sync_rad_per_s)


def _square(phasor: ComplexArray) -> FloatArray:
    return np.asarray(phasor.real**2 + phasor.imag**2)
