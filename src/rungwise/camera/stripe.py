"""Whether a wire that was touched has a stripe: what lies across it, from side to side."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from rungwise.camera.light import Array, lab_of

REACH = 0.05
"""How far to either side is looked, of the photo's longer side."""

APART = 20.0
"""L*a*b* distance from which two colors beside each other are two."""

THINNEST_PX = 3
"""Less is the shine on a ridge, or an edge out of focus."""

WIDEST = 2.5
"""A stripe's flank, or the stripe, is no more than so many times as wide as what was touched;
a wall behind a wire goes on."""


class Band(NamedTuple):
    """A stretch of one color across a wire, px from the touch. open: it goes on out of sight."""

    start: int
    end: int
    light: Array
    open: bool = False

    @property
    def wide(self) -> int:
        """Its width."""
        return self.end - self.start


def stripe_beside(light: Array, at: tuple[float, float]) -> Array | None:
    """The second color of the wire at a place, as linear light; None for a wire of one color."""
    bands = _bands(_across(light, at))
    here = next((n for n, each in enumerate(bands) if each.start <= 0 < each.end), None)
    if here is None:
        return None
    touched = bands[here]
    left = bands[here - 1] if here > 0 else None
    right = bands[here + 1] if here + 1 < len(bands) else None
    if (
        left
        and right
        and _alike(left, right)
        and _narrow(left, touched)
        and _narrow(right, touched)
    ):
        return (left.light + right.light) / 2.0  # the stripe itself was touched
    for beside, beyond in ((left, here - 2), (right, here + 2)):
        if beside and _narrow(beside, touched) and 0 <= beyond < len(bands):
            far = bands[beyond]
            if _alike(far, touched) and _narrow(far, touched):
                return beside.light  # the touch is beside the stripe
    return None


def _alike(one: Band, other: Band) -> bool:
    return bool(np.linalg.norm(lab_of(one.light) - lab_of(other.light)) < APART)


def _narrow(band: Band, touched: Band) -> bool:
    return not band.open and band.wide <= WIDEST * touched.wide


def _across(light: Array, at: tuple[float, float]) -> tuple[Array, int]:
    """The light on a line across the wire, each point a mean along the wire; and the touch's."""
    high, wide = light.shape[:2]
    x, y, reach = at[0] * (wide - 1), at[1] * (high - 1), round(REACH * max(high, wide))
    turn = _direction(light, x, y, reach)
    steps, along = np.arange(-reach, reach + 1), np.arange(-6, 7)
    columns = x + steps[:, None] * math.cos(turn) - along[None] * math.sin(turn)
    rows = y + steps[:, None] * math.sin(turn) + along[None] * math.cos(turn)
    inside = light[
        np.clip(rows.round().astype(int), 0, high - 1),
        np.clip(columns.round().astype(int), 0, wide - 1),
    ]
    return np.median(inside, axis=1), reach


def _direction(light: Array, x: float, y: float, reach: int) -> float:
    """The direction across the wire: that in which the light changes most (structure tensor)."""
    high, wide = light.shape[:2]
    top, left = max(0, int(y) - reach), max(0, int(x) - reach)
    grey = np.cbrt(
        light[top : min(high, int(y) + reach), left : min(wide, int(x) + reach)].mean(axis=2)
    )
    down, right = np.gradient(grey)
    return 0.5 * math.atan2(2.0 * float((down * right).sum()), float((right**2 - down**2).sum()))


def _bands(across: tuple[Array, int]) -> list[Band]:
    """The line cut where its color changes; what is too thin goes to neither side."""
    line, touch = across
    lab = lab_of(line)
    jumps = np.linalg.norm(lab[2:] - lab[:-2], axis=1)
    cuts = [
        n + 1
        for n in range(1, len(jumps) - 1)
        if jumps[n] > APART / 2 and jumps[n] >= jumps[n - 1] and jumps[n] > jumps[n + 1]
    ]
    ends = [0, *cuts, len(line)]
    bands: list[Band] = []
    for start, end in pairwise(ends):
        if end - start < THINNEST_PX:
            continue
        inner = slice(start + (end - start) // 4, end - (end - start) // 4)
        outer = start == 0 or end == len(line)
        band = Band(start - touch, end - touch, np.median(line[inner], axis=0), outer)
        if bands and _alike(bands[-1], band):
            last = bands.pop()
            band = Band(last.start, band.end, (last.light + band.light) / 2.0, last.open or outer)
        bands.append(band)
    return bands
