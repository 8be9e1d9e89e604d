"""Light, sRGB and the space in which colors lie as far apart as they look."""

from __future__ import annotations

from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]


def linear_of(encoded: Array) -> Array:
    """Light from sRGB: IEC 61966-2-1."""
    light: Array = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    return light


def encoded_of(linear: Array) -> Array:
    """SRGB from light: IEC 61966-2-1."""
    encoded: Array = np.where(
        linear <= 0.0031308,
        12.92 * linear,
        1.055 * np.power(np.maximum(linear, 0.0), 1 / 2.4) - 0.055,
    )
    return encoded


_TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750],
     [0.0193339, 0.1191920, 0.9503041]]
)  # fmt: skip
_WHITE = np.array([0.95047, 1.0, 1.08883])
"""D65, 2 degrees."""


def lab_of(linear: Array) -> Array:
    """CIE 1976 L*a*b* of linear sRGB light: CIE 15, white point D65."""
    xyz = np.maximum(linear, 0.0) @ _TO_XYZ.T / _WHITE
    root = np.where(xyz > 216 / 24389, np.cbrt(xyz), (24389 / 27 * xyz + 16) / 116)
    x, y, z = root[..., 0], root[..., 1], root[..., 2]
    lab: Array = np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)
    return lab
