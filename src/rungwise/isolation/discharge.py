"""A charged capacitor emptying through a resistor: closed forms.

v(t) = V0·exp(−t/RC), E = ½CV0², p(t) = V0²/R·exp(−2t/RC) (textbook).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

TOUCH_VOLT = 50.0
"""Volts to which a capacitor must fall within a minute where NEC 460.6(A) holds.

It does not strictly hold for a capacitor that is part of a listed unit (460.1), but it is a useful
measure: published-checks section 1.4."""

EMPTY_VOLT = 5.0
"""Volts below which a bled capacitor counts as empty (common practice, no source)."""

SHORT_OVERLOAD = 5.0
"""Times its rated watts that a wire-wound resistor bears for 5 s (usual data-sheet test, from
memory)."""

SHORT_OVERLOAD_S = 5.0


def stored_joule(capacitance_uf: float, volt: float) -> float:
    """Energy in J of a capacitor charged to `volt`: ½CV²."""
    return 0.5e-6 * capacitance_uf * volt**2


def decay_s(
    resistance_ohm: float, capacitance_uf: float, from_volt: float, to_volt: float
) -> float:
    """Seconds until the volts have fallen: RC·ln(V0/V), 0 if they are there already."""
    if from_volt <= to_volt:
        return 0.0
    return resistance_ohm * 1e-6 * capacitance_uf * math.log(from_volt / to_volt)


@dataclass(frozen=True, slots=True)
class BleedResistor:
    """The resistor that a technician carries: about 20 kΩ, 5 W (common practice, no source)."""

    resistance_ohm: float = 20e3
    rated_w: float = 5.0


RESISTORS = (BleedResistor(), BleedResistor(rated_w=10.0), BleedResistor(rated_w=25.0))
"""What is tried in turn; the stronger ones only where the usual one would be overloaded."""


@dataclass(frozen=True, slots=True)
class Bleed:
    """A capacitor emptied through a bleed resistor.

    `first_w` is V0²/R at first touch; `over_rating_s` how long it stays above the resistor's
    rated watts, RC/2·ln(P0/P); `resistor_j` the heat it takes in, all that was stored.
    """

    resistor: BleedResistor
    to_touch_s: float
    to_empty_s: float
    first_w: float
    over_rating_s: float
    resistor_j: float
    resistor_bears_it: bool


def bleed(capacitance_uf: float, peak_v: float, resistor: BleedResistor) -> Bleed:
    """How a capacitor charged to `peak_v` empties through `resistor`, nothing else helping."""
    ohm = resistor.resistance_ohm
    first_w = peak_v**2 / ohm
    rated_v = math.sqrt(resistor.rated_w * ohm)
    over_rating_s = decay_s(ohm, capacitance_uf, peak_v, rated_v)
    within = first_w <= SHORT_OVERLOAD * resistor.rated_w and over_rating_s <= SHORT_OVERLOAD_S
    return Bleed(
        resistor,
        decay_s(ohm, capacitance_uf, peak_v, TOUCH_VOLT),
        decay_s(ohm, capacitance_uf, peak_v, EMPTY_VOLT),
        first_w,
        over_rating_s,
        stored_joule(capacitance_uf, peak_v),
        within,
    )
