"""Voltage unbalance of a three-phase supply, and what it costs a motor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from rungwise.replacement.nec.tables import CodeSource

DEFINITION = CodeSource("NEMA MG 1-14.36 and 20.24", "", "an engineers' forum that quotes it")
DERATING = CodeSource("NEMA MG 1 figure 14-1", "", "a reading of the curve, ±0.02")

NOT_ABOVE = 0.05
"""A motor should not run on more than this."""

FACTOR: Mapping[float, float] = {
    0.0: 1.00, 0.005: 1.00, 0.015: 0.97, 0.020: 0.95, 0.025: 0.93, 0.030: 0.89, 0.035: 0.85,
    0.040: 0.82, 0.045: 0.78, 0.050: 0.76,
}  # fmt: skip


def unbalance(line_volts: Sequence[float]) -> float:
    """Largest deviation from the mean of the line-to-line volts, over the mean (`DEFINITION`).

    Not the difference of highest and lowest: that gives another, wrong figure.
    Raises ValueError unless three volts above zero are given.
    """
    if len(line_volts) != 3 or min(line_volts) <= 0:
        msg = "three line-to-line volts are needed"
        raise ValueError(msg)
    mean = sum(line_volts) / 3
    return max(abs(volt - mean) for volt in line_volts) / mean


def derating(share: float) -> float | None:
    """Share of its rated power that a motor may give; None above the 5% that it may run on."""
    if share > NOT_ABOVE:
        return None
    return float(np.interp(share, list(FACTOR), list(FACTOR.values())))
