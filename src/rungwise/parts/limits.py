"""Where the trade looks again and where it changes a part: one home for every room.

What is expected, what a proof accepts, what a part is changed for and what upkeep counts as worn
out are told by these figures alone, so that no two answers disagree. Between `watch` and `change`
a part works and goes to maintenance; only beyond `change` is it a repair.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from rungwise.wording import mark, say

Grade = Literal["good", "watch", "change"]
PRACTICE: Final = mark("rule of thumb")


@dataclass(frozen=True, slots=True)
class Limit:
    """A figure with the two values that matter, and one sentence that tells both.

    watch, change: in `unit`; a value at the limit itself still counts as the better grade. Which
    way is worse follows from them: down where `change` is below `watch`. sentence: for people.
    """

    watch: float
    change: float
    unit: str
    sentence: str
    source: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "sentence", mark(self.sentence))

    @property
    def falling(self) -> bool:
        """Whether less is worse."""
        return self.change < self.watch

    def told(self, mark: float, unit: str) -> str:
        """The limit in one sentence for one part. mark: what stands on it, 1 where nothing does."""
        watch, change = (f"{each * mark:.3g} {unit}" for each in (self.watch, self.change))
        if self.falling:
            return say(
                "good down to {watch}, changed under {change}, between them to maintenance",
                watch=watch,
                change=change,
            )
        return say(
            "good up to {watch}, changed over {change}, between them to maintenance",
            watch=watch,
            change=change,
        )

    def grade(self, value: float) -> Grade:
        """Where a value stands; NaN is graded "change", since nothing speaks for it."""
        if self.falling:
            return "good" if value >= self.watch else "watch" if value >= self.change else "change"
        return "good" if value <= self.watch else "watch" if value <= self.change else "change"


CAPACITOR: Final = Limit(
    0.94, 0.90, "share of the marked µF",
    "A run capacitor is good down to 6% under its mark, goes to maintenance from there, and is "
    "changed at more than 10% under it.",
    f"±6% is marked on most run capacitors; 10% is {PRACTICE}",
)  # fmt: skip
"""Microfarads over those on the label."""

CONTACT_DROP: Final = Limit(
    0.1, 0.2, "V",
    "A closed contact under load drops under 0.1 V; up to 0.2 V it goes to maintenance, and over "
    "0.2 V it is changed.",
    PRACTICE,
)  # fmt: skip
"""Volts across one closed contact at the unit's running amps."""

WIRE_DROP: Final = Limit(
    0.1, 0.2, "V",
    "A joint under load drops under 0.1 V beyond what its wire takes; over 0.2 V it is made again.",
    PRACTICE,
)  # fmt: skip
"""Volts along a wire with its two joints, less what the copper itself takes."""

INSULATION: Final = Limit(
    20.0, 2.0, "MΩ",
    "Insulation has no upper limit, and OL is the best answer there is; under 20 MΩ watch it, "
    "under 2 MΩ stop and ask the compressor's maker.",
    f"{PRACTICE}; hermetic compressors have no published limit",
)  # fmt: skip
"""Megohms from a winding to the frame, at 500 V DC."""

NEUTRAL_TO_GROUND: Final = Limit(
    2.0, 5.0, "V",
    "Neutral to ground reads under 2 V; over 5 V a neutral is loose or shared.",
    PRACTICE,
)  # fmt: skip

LIVE_VOLT: Final = 50.0
"""Above this, AC RMS, a point is live: 29 CFR 1910.333(a)(1) and NFPA 70E 110.4, from memory."""

METAL_OHM: Final = 0.5
"""Below this a closed path joins two points like metal: wires, joints and closed contacts (common
practice, no source)."""

COIL_OHM: Final = (8.0, 20.0)
"""Cold ohms of good 24 V contactor coils, by make (common practice, no source)."""

R_TO_C_V: Final = (23.0, 29.0)
"""Volts R to C of a good 24 V control transformer (common practice, no source)."""

R_TO_C_LEAST_V: Final = 20.0
"""Below this, R to C is refused: a 24 V coil need not pull in under 85% (IEC 60947-4-1)."""

SUPPLY_SHARE: Final = (0.90, 1.10)
"""Volts running over rated volts (NEMA MG 1-12.44)."""

LOCKED_AMPS_SHARE: Final = (0.80, 1.20)
"""Amps at the first instant of a start over the plate's LRA (common practice, no source)."""

PLATE_SHARE_LOW: Final = 0.50
"""Under this share of its RLA or FLA a running motor is not doing its work (common practice)."""

AMPS_BY_OUTDOOR_AIR: Final = ((18.0, 0.50, 0.85), (27.0, 0.55, 0.92), (35.0, 0.62, 1.0),
                              (46.0, 0.70, 1.05))  # fmt: skip
"""Outdoor °C, and between which shares of its RLA a compressor then usually runs: it follows the
condensing temperature (common practice, no source). The plate is the ceiling at any weather."""


def typical_share_of_plate(outdoor_c: float | None) -> tuple[float, float]:
    """Between which shares of its RLA a compressor usually runs; the whole range if not told."""
    degrees, low, high = zip(*AMPS_BY_OUTDOOR_AIR, strict=True)
    if outdoor_c is None:
        return low[0], high[-1]
    return float(np.interp(outdoor_c, degrees, low)), float(np.interp(outdoor_c, degrees, high))
