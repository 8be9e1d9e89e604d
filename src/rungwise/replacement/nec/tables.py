"""Short tables of the code: standard sizes and code letters, and where a table comes from."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CodeSource:
    """Clause and edition of a rule or table, where it was seen, and how sure that is.

    sure: "seen" in a public copy or secondary source, or "memory": to be confirmed in the code.
    """

    clause: str
    edition: str
    seen_in: str
    sure: str = "seen"

    @property
    def text(self) -> str:
        """In one phrase: "NEC 440.32, 2023"; what comes from memory says so."""
        told = f"{self.clause}, {self.edition}" if self.edition else self.clause
        return told if self.sure == "seen" else f"{told}; check your own copy"


SIZES_SOURCE = CodeSource("NEC 240.6(A)", "2023", "two code-reference pages")

SIZES_A = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
    350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
)  # fmt: skip
"""Fuses and breakers; 55, 65, 75 and 85 are not among them."""

FUSES_ONLY_A = (1, 3, 6, 10, 601)

_CLOSE = 1e-9  # so that 1.75 × 40 is 70, whatever the last bit says


def size_down(amp: float) -> int | None:
    """The largest standard size not above `amp`; None below the smallest."""
    at = bisect_right(SIZES_A, amp + _CLOSE)
    return SIZES_A[at - 1] if at else None


def size_up(amp: float) -> int | None:
    """The smallest standard size not below `amp`; None above the largest."""
    at = bisect_left(SIZES_A, amp - _CLOSE)
    return SIZES_A[at] if at < len(SIZES_A) else None


def is_standard(amp: float, *, fuse: bool = False) -> bool:
    """Whether a breaker (or a fuse) of this rating is a standard size."""
    return amp in SIZES_A or (fuse and amp in FUSES_ONLY_A)


LETTER_SOURCE = CodeSource("NEC Table 430.7(B)", "2023", "two engineering tables")

KVA_PER_HP: Mapping[str, tuple[float, float]] = {
    "A": (0, 3.14), "B": (3.15, 3.54), "C": (3.55, 3.99), "D": (4.0, 4.49), "E": (4.5, 4.99),
    "F": (5.0, 5.59), "G": (5.6, 6.29), "H": (6.3, 7.09), "J": (7.1, 7.99), "K": (8.0, 8.99),
    "L": (9.0, 9.99), "M": (10.0, 11.19), "N": (11.2, 12.49), "P": (12.5, 13.99),
    "R": (14.0, 15.99), "S": (16.0, 17.99), "T": (18.0, 19.99), "U": (20.0, 22.39),
    "V": (22.4, float("inf")),
}  # fmt: skip
"""Least and most kVA per horsepower of each letter; I, O and Q are not used."""


def letter(kva_per_hp: float) -> str:
    """The code letter of a motor; between two rows of the table the lower letter."""
    return next(each for each in reversed(list(KVA_PER_HP)) if kva_per_hp >= KVA_PER_HP[each][0])


def locked_amp(code: str, hp: float, volt: float) -> tuple[float, float]:
    """Least and most locked-rotor amps of a single-phase motor: 1000·kVA/hp·hp/V."""
    low, high = KVA_PER_HP[code]
    return 1000 * low * hp / volt, 1000 * high * hp / volt
