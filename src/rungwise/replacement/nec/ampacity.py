"""How many amps a copper conductor may carry: its insulation, its surroundings, its terminals."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rungwise.replacement.nec.tables import CodeSource

Column = Literal[60, 75, 90]
"""Degrees Celsius of an insulation, or of a terminal's marking (60 or 75)."""

COLUMNS: tuple[Column, ...] = (60, 75, 90)

AMPACITY_SOURCE = CodeSource("NEC Table 310.16", "2023", "two table pages that agree")
CORRECTION = CodeSource("NEC Table 310.15(B)(1)(1) and its formula", "2023", "a table page")
BUNDLING = CodeSource("NEC Table 310.15(C)(1)", "2023", "the same table page")
TERMINALS = CodeSource("NEC 110.14(C)(1)", "2023", "a code-reference page")
SMALL = CodeSource("NEC 240.4(D)", "2023", "a code-reference page")
AIR_CONDITIONING = CodeSource(
    "NEC 240.4(G), which sends these circuits to Article 440", "2023", "principle seen", "memory"
)

COPPER_A: Mapping[int, tuple[int, int, int]] = {
    14: (15, 20, 25),
    12: (20, 25, 30),
    10: (30, 35, 40),
    8: (40, 50, 55),
    6: (55, 65, 75),
    4: (70, 85, 95),
    3: (85, 100, 115),
    2: (95, 115, 130),
}
"""Amps by AWG for 60, 75 and 90 °C insulation, at most three conductors, 30 °C ambient.

Editions before 2011 have other figures for 14 AWG, 12 AWG and for 3 AWG at 90 °C.
"""

SMALL_CONDUCTOR_A: Mapping[int, int] = {14: 15, 12: 20, 10: 30}
"""Largest overcurrent device for small copper conductors, but see `AIR_CONDITIONING`."""

BASE_AMBIENT_C = 30.0
_BAND_TOPS_C = (10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60)

_BUNDLES = ((3, 1.0), (6, 0.80), (9, 0.70), (20, 0.50), (30, 0.45), (40, 0.40))
_LARGEST_BUNDLE = 0.35


@dataclass(frozen=True, slots=True)
class LaidConductor:
    """A copper conductor where it lies: size, insulation, terminals, ambient, company.

    terminal_c: 60 unless every terminal is marked 75 (110.14(C)). count: current-carrying
    conductors in the same cable or raceway.
    """

    awg: int
    insulation_c: Column = 75
    terminal_c: Column = 60
    ambient_c: float = BASE_AMBIENT_C
    count: int = 3


@dataclass(frozen=True, slots=True)
class Ampacity:
    """Amps that a conductor may carry: the lesser of both, and which of them it is."""

    corrected_a: float
    terminal_a: float

    @property
    def amp(self) -> float:
        """The ampacity, in A."""
        return min(self.corrected_a, self.terminal_a)

    @property
    def held_by(self) -> str:
        """What sets the limit."""
        return "its terminals" if self.terminal_a <= self.corrected_a else "its surroundings"


def ambient_factor(insulation_c: Column, ambient_c: float) -> float:
    """The factor of Table 310.15(B)(1)(1) for copper; 0 where the table has none.

    The table is the formula beside it, sqrt((Tc - Ta)/(Tc - 30)), taken at the top of each band
    and rounded to two decimals.
    """
    top = next((each for each in _BAND_TOPS_C if ambient_c <= each), None)
    if top is None or top >= insulation_c:
        return 0.0
    return round(math.sqrt((insulation_c - top) / (insulation_c - BASE_AMBIENT_C)), 2)


def bundling_factor(count: int) -> float:
    """The factor for `count` current-carrying conductors together."""
    return next((factor for most, factor in _BUNDLES if count <= most), _LARGEST_BUNDLE)


def ampacity(conductor: LaidConductor) -> Ampacity:
    """The ampacity of a conductor.

    The insulation's column, corrected for ambient and company, and not more than the column of
    its terminals, which is not corrected (110.14(C)). Raises KeyError for a size that the table
    does not hold.
    """
    row = dict(zip(COLUMNS, COPPER_A[conductor.awg], strict=True))
    factor = ambient_factor(conductor.insulation_c, conductor.ambient_c)
    factor *= bundling_factor(conductor.count)
    return Ampacity(row[conductor.insulation_c] * factor, float(row[conductor.terminal_c]))


def smallest_awg(amp: float, like: LaidConductor) -> int | None:
    """The smallest size of the table that carries `amp` where `like` lies, None if none."""
    for awg in COPPER_A:
        if ampacity(_sized(like, awg)).amp >= amp:
            return awg
    return None


def _sized(like: LaidConductor, awg: int) -> LaidConductor:
    return LaidConductor(awg, like.insulation_c, like.terminal_c, like.ambient_c, like.count)
