"""Volts lost on the way to the unit, by the code's tables of conductor resistance."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rungwise.replacement.nec.tables import CodeSource

TABLE_8 = CodeSource("NEC Chapter 9 Table 8", "2023", "two copies of the table")
TABLE_9 = CodeSource("NEC Chapter 9 Table 9", "2023", "three copies that agree")
ADVISORY = CodeSource(
    "NEC 210.19(A), informational note: advisory, not a rule", "2023", "a trade magazine"
)

BRANCH_SHARE = 0.03
"""What the note advises for a branch circuit; 5% with its feeder."""

OHM_PER_KFT_SOLID: Mapping[int, float] = {
    18: 7.77, 16: 4.89, 14: 3.07, 12: 1.93, 10: 1.21, 8: 0.764,
}  # fmt: skip
"""DC ohms per 1000 ft at 75 °C, uncoated copper, solid; larger sizes are stranded:"""

OHM_PER_KFT_STRANDED: Mapping[int, float] = {6: 0.491, 4: 0.308, 3: 0.245, 2: 0.194}

OHM_AND_X_PER_KFT_PVC: Mapping[int, tuple[float, float]] = {
    14: (3.1, 0.058), 12: (2.0, 0.054), 10: (1.2, 0.050), 8: (0.78, 0.052),
    6: (0.49, 0.051), 4: (0.31, 0.048), 3: (0.25, 0.047), 2: (0.19, 0.045),
}  # fmt: skip
"""AC ohms to neutral and reactance per 1000 ft in PVC conduit, 75 °C, 60 Hz (`TABLE_9`)."""

TABLE_TEMPERATURE_C = 75.0
PER_KELVIN = 0.00323
"""Change of resistance per kelvin from 75 °C: the note under Table 8, for copper."""

METRE_PER_KFT = 304.8


def ohm_per_kft(awg: int, temperature_c: float = TABLE_TEMPERATURE_C) -> float:
    """R2 = R1·(1 + 0.00323·(T2 - 75)), ohms per 1000 ft (`TABLE_8`).

    Raises KeyError for a size that the table does not hold.
    """
    ohm = {**OHM_PER_KFT_SOLID, **OHM_PER_KFT_STRANDED}[awg]
    return ohm * (1 + PER_KELVIN * (temperature_c - TABLE_TEMPERATURE_C))


def effective_ohm_per_kft(awg: int, power_factor: float) -> float:
    """Z = R·cos φ + X·sin φ, ohms to neutral per 1000 ft in PVC conduit (`TABLE_9`)."""
    ohm, reactance = OHM_AND_X_PER_KFT_PVC[awg]
    return ohm * power_factor + reactance * math.sqrt(1 - power_factor**2)


def drop_v(awg: int, one_way_m: float, amp: float, temperature_c: float = 75.0) -> float:
    """Volts lost there and back: 2·length·R·I, by Table 8."""
    return 2 * one_way_m / METRE_PER_KFT * ohm_per_kft(awg, temperature_c) * amp
