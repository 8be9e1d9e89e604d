"""Standard ampere ratings of fuses and breakers."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from rungwise.replacement.nec.code_table import CodeSource

__all__ = ["FUSES_ONLY_A", "SIZES_A", "SOURCE", "is_standard", "size_down", "size_up"]

SOURCE = CodeSource("NEC 240.6(A)", "2023", "two code-reference pages")

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
