"""Electrical figures worked out from readings: arithmetic with its source, no judgement.

Every function is pure; volts and amps are RMS, and a ratio has no unit.
"""

from __future__ import annotations

import math

from rungwise.verification.limits import CONTACT_LORENZ_V2_K2
from rungwise.wording import say

KELVIN = 273.15
WARM_C = 40.0
HALVING_K = 10.0


def sag(idle_v: float, running_v: float) -> float:
    """Share of the idle supply volts that is lost when the unit runs."""
    _above_zero(idle_v=idle_v)
    return (idle_v - running_v) / idle_v


def source_ohm(idle_v: float, running_v: float, amp: float) -> float:
    """Size of the supply's impedance, Ω, from the volts lost at a current: (V₀ - V)/I.

    Exact where the impedance has the angle of the load; else a little low.
    """
    _above_zero(amp=amp)
    return (idle_v - running_v) / amp


def joint_watts(drop_v: float, amp: float) -> float:
    """Watts turned into heat in a joint or contact, V·I; its drop is in phase with the current."""
    return drop_v * amp


def contact_spot_c(drop_v: float, around_c: float) -> float:
    """Temperature of the hottest spot of a contact with a drop, °C.

    V² = 4 L (Tm² - T0²), T in kelvin, L the Lorenz number: R. Holm, Electric Contacts, 1967
    (from memory), independent of the contact's shape.
    """
    around = around_c + KELVIN
    return math.sqrt(around**2 + drop_v**2 / (4.0 * CONTACT_LORENZ_V2_K2)) - KELVIN


def microfarads_under_load(amp: float, volt: float, hz: float) -> float:
    """C[µF] = 10⁶·I/(2πf·V), the start lead's amps and the volts on the capacitor."""
    _above_zero(volt=volt, hz=hz)
    return 1e6 * amp / (2.0 * math.pi * hz * volt)


def insulation_at_40_c(megohm: float, winding_c: float) -> float:
    """Insulation resistance as it would be at 40 °C: halved for each 10 K that it gets warmer.

    R40 = R·0.5^((40 - T)/10): the rule of IEEE 43 for older insulation, from memory.
    """
    return float(megohm * 0.5 ** ((WARM_C - winding_c) / HALVING_K))


def _above_zero(**values: float) -> None:
    for name, value in values.items():
        if not value > 0.0:
            msg = say("{name} must be above 0, not {value}", name=name, value=value)
            raise ValueError(msg)
