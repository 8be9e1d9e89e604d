"""Conductor and overcurrent device of an air-conditioning circuit from its loads.

Two rules stand side by side.  The code sizes a circuit for loads that are known one by one
(NEC 440); a unit with several motors carries the maker's own answer on its nameplate, MCA and
MOP, worked out by the formulas of the product standard.  Published worked examples round the
device *down* to a standard size, and so does this.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.replacement.nec.tables import SIZES_A, CodeSource, size_down, size_up

CONDUCTOR = CodeSource("NEC 440.32 and 440.33", "2023", "a trade magazine's worked examples")
DEVICE = CodeSource("NEC 440.22(A)", "2023", "a trade magazine's worked examples")
DISCONNECT = CodeSource("NEC 440.12", "2023", "a reprint of Article 440")
MARKING = CodeSource(
    "UL 1995 clause 36 (now UL 60335-2-40)", "", "a maker's guide that quotes the clause"
)

FLOOR_A = 15
"""No device need be below 15 A: NEC 440.22(A) exception (seen in part)."""

LEAST_OTHER_A = 1.0
"""Other loads below this do not count in the nameplate's formulas."""


@dataclass(frozen=True, slots=True)
class CircuitLoads:
    """What hangs on one circuit, in A.

    largest_a: the largest motor (RLA or FLA; of a compressor the greater of RLA and BCSC).
    motors_a: the sum of the other motors. others: every other load.
    """

    largest_a: float
    motors_a: float = 0.0
    others_a: tuple[float, ...] = ()

    @property
    def counted_a(self) -> float:
        """Other loads that count: those of 1 A or more."""
        return sum(amp for amp in self.others_a if amp >= LEAST_OTHER_A)

    @property
    def running_a(self) -> float:
        """Everything at once, no load left out."""
        return self.largest_a + self.motors_a + sum(self.others_a)


@dataclass(frozen=True, slots=True)
class Device:
    """An overcurrent device: the figure before rounding, the size, and why another was taken."""

    raw_a: float
    size_a: int
    raised: str = ""


def minimum_ampacity_a(loads: CircuitLoads) -> float:
    """MCA = 1.25·L1 + L2 + L4, in A (`MARKING`; NEC 440.33 for the motors)."""
    return 1.25 * loads.largest_a + loads.motors_a + loads.counted_a


def maximum_overcurrent(loads: CircuitLoads) -> Device:
    """MOP = 2.25·L1 + L2 + L4, rounded down to a standard size (`MARKING`).

    Where that size is below the MCA, the smallest size not below the MCA is taken.
    """
    raw = 2.25 * loads.largest_a + loads.motors_a + loads.counted_a
    size = size_down(raw) or 0
    least = minimum_ampacity_a(loads)
    if size >= least:
        return _device(raw, size)
    # Without a trap a unit of many small motors would trip its own breaker.
    return Device(raw, _up(max(least, FLOOR_A)), "the rounded size would be below the MCA")


def compressor_conductor_a(rla_a: float, bcsc_a: float = 0.0) -> float:
    """Ampacity for one compressor: 1.25 times the greater of RLA and BCSC (`CONDUCTOR`)."""
    return 1.25 * max(rla_a, bcsc_a)


def compressor_device(rla_a: float, bcsc_a: float = 0.0, *, will_not_start: bool = False) -> Device:
    """Device for one compressor: 1.75 times, or 2.25 where it will not start (`DEVICE`)."""
    raw = (2.25 if will_not_start else 1.75) * max(rla_a, bcsc_a)
    return _device(raw, size_down(raw) or 0)


def disconnect_a(loads: CircuitLoads) -> float:
    """Least ampere rating of the disconnect: 115% of all loads together (`DISCONNECT`)."""
    return 1.15 * loads.running_a


def _device(raw: float, size: int) -> Device:
    if size < FLOOR_A:
        return Device(raw, FLOOR_A, "no device need be below 15 A")
    return Device(raw, size)


def _up(amp: float) -> int:
    return size_up(amp) or SIZES_A[-1]
