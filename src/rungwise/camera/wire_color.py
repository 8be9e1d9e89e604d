"""A wire's color where somebody touched it in a photo.

Insulation has a dozen colors, and a photo has them in any light. So each color is tried in every
light that the photo may have been taken in, from dim to bright and from a bulb's to a shadow's,
and what is left between the colors decides how sure the name is. A white thing that was touched
tells the light, and leaves fewer of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from rungwise.camera.light import Array, encoded_of, lab_of, linear_of
from rungwise.camera.pictures import points_of
from rungwise.camera.read_field import Sureness
from rungwise.camera.stripe import stripe_beside
from rungwise.errors import BadInput
from rungwise.wording import mark

COLORS = {
    "black": (36, 34, 36), "white": (226, 223, 216), "gray": (128, 130, 131),
    "red": (180, 30, 38), "orange": (228, 108, 30), "yellow": (236, 202, 42),
    "green": (30, 126, 66), "blue": (32, 78, 164), "purple": (112, 60, 142),
    "brown": (100, 63, 40), "pink": (226, 142, 158),
}  # fmt: skip
"""Insulation as sRGB in daylight, fully lit (common practice, no source)."""

LONGEST_PX = 1600
TOUCH = 0.004
"""Radius of a touch, of the photo's longer side: a wire is some three times as wide."""

EXPOSURES = tuple(np.geomspace(0.22, 1.5, 15))
USUAL_EXPOSURE, EXPOSURE_SPREAD = 0.7, 0.55
CASTS = tuple(np.linspace(-0.6, 0.6, 13))
"""Log of red over blue that the light has too much, half of it in either."""

CAST_SPREAD, CAST_SPREAD_WITH_WHITE = 0.2, 0.05
LAB_SPREAD = (7.0, 8.0, 8.0)
"""How far the same insulation differs between makers, ages and dirt: L*, a*, b*."""

SURE_SHARE = 0.85
GREY_WORLD = 0.5
"""How much of the photo's own cast is taken for the light's: a photo of blue wires is blue too."""


@dataclass(frozen=True)
class ColorGuess:
    """A wire's color. share: 0 to 1, of the belief. others: what it may be too, likeliest first.

    rgb: what the photo has there, 0 to 255. why: what makes it unsure.
    """

    name: str
    share: float
    others: tuple[str, ...]
    rgb: tuple[int, int, int]
    why: str = ""

    @property
    def sureness(self) -> Sureness:
        """Whether anything speaks against it."""
        return "unsure" if self.why else "sure"


def color_at(
    content: bytes, at: tuple[float, float], white: tuple[float, float] | None = None
) -> ColorGuess:
    """The color of the wire at a place of a photo, as shares of its width and height.

    white: a place that is white in truth. Raises BadInput for a place outside the photo, or a
    white place that is none; BadRecord for what is no photo.
    """
    points, _ = points_of(content, LONGEST_PX)
    light = linear_of(points.astype(np.float64) / 255.0)
    patch = _patch(light, at)
    if white is None:
        gain, spread, exposure = _gain_of(light), CAST_SPREAD, (USUAL_EXPOSURE, EXPOSURE_SPREAD)
    else:
        gain, spread, exposure = (
            _gain_of_white(_patch(light, white)),
            CAST_SPREAD_WITH_WHITE,
            (0.9, 0.3),
        )
    guess = _guess(
        _shares(np.median(patch * gain, axis=0), spread, exposure), np.median(patch, axis=0)
    )
    beside = stripe_beside(light, at)
    if beside is None:
        return guess
    second = _guess(_shares(beside * gain, spread, exposure), beside).name
    if second == guess.name:
        return guess
    return ColorGuess(f"{guess.name}/{second}", guess.share, guess.others, guess.rgb,
                      mark("a stripe: look which color is the wider one"))  # fmt: skip


def _patch(light: Array, at: tuple[float, float]) -> Array:
    """The points under a touch, without the brightest and the darkest of them."""
    high, wide = light.shape[:2]
    if not all(0.0 <= each <= 1.0 for each in at):
        raise BadInput(what="This place is outside the photo.", value=str(at), allowed="0 to 1")
    x, y, reach = at[0] * (wide - 1), at[1] * (high - 1), max(3.0, TOUCH * max(high, wide))
    rows, columns = np.ogrid[:high, :wide]
    under = light[(columns - x) ** 2 + (rows - y) ** 2 <= reach**2]
    bright = under.sum(axis=1)
    low, top = np.quantile(bright, (0.1, 0.85))
    kept: Array = under[(bright >= low) & (bright <= top)]
    return kept if len(kept) else under


def _gain_of(light: Array) -> Array:
    """What takes half of the photo's own cast out of it (shades of grey, p = 6)."""
    mean = np.power(np.mean(np.power(light.reshape(-1, 3), 6.0), axis=0), 1.0 / 6.0) + 1e-6
    gain: Array = np.power(mean.mean() / mean, GREY_WORLD)
    return gain


def _gain_of_white(white: Array) -> Array:
    """What makes a touched place as white as white insulation. Raises BadInput for a dark one."""
    mean = np.median(white, axis=0)
    if mean.max() < 0.05 or mean.min() < 0.2 * mean.max():
        raise BadInput(
            what="The place touched for white is not white.", value=f"{mean.round(2)}",
            next_step="touch something white in the same light, or leave white out",
        )  # fmt: skip
    gain: Array = 0.8 / mean
    return gain


def _shares(linear: Array, cast_spread: float, exposure: tuple[float, float]) -> dict[str, float]:
    """The belief in each color, over every exposure and cast that the light may have."""
    names, references, exposures, casts = _tried()
    usual, spread = exposure
    prior = -0.5 * ((np.log(exposures / usual) / spread) ** 2 + (casts / cast_spread) ** 2)
    apart = (lab_of(linear[None])[0] - references) / LAB_SPREAD
    weight = np.exp(prior[None] - 0.5 * (apart**2).sum(axis=-1)).sum(axis=1) + 1e-12
    return dict(zip(names, (weight / weight.sum()).tolist(), strict=True))


@cache
def _tried() -> tuple[tuple[str, ...], Array, Array, Array]:
    """Each color in each light, as L*a*b*; and the exposure and the cast of each light."""
    lights = np.array(list(_lights()))
    base = linear_of(np.array(list(COLORS.values()), dtype=np.float64) / 255.0)
    lit = base[:, None, :] * lights[None, :, 2:]
    return tuple(COLORS), lab_of(np.clip(lit, 0.0, 1.0)), lights[:, 0], lights[:, 1]


def _lights() -> Iterator[tuple[float, ...]]:
    for exposure in EXPOSURES:
        for cast in CASTS:
            yield (exposure, cast, exposure * math.exp(cast / 2), exposure,
                   exposure * math.exp(-cast / 2))  # fmt: skip


def _guess(shares: dict[str, float], linear: Array) -> ColorGuess:
    ranked = sorted(shares, key=lambda each: -shares[each])
    best = ranked[0]
    others = tuple(each for each in ranked[1:4] if shares[each] > 0.05)
    rgb = tuple(int(each) for each in np.clip(255 * encoded_of(linear), 0, 255).round())
    why = "" if shares[best] >= SURE_SHARE else f"it may be {' or '.join(others)}"
    return ColorGuess(best, shares[best], others, (rgb[0], rgb[1], rgb[2]), why)
