"""A wire's color under a touch: named, or called unsure; `tools/wire_color_study.py` counts it."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image, ImageDraw

from rungwise.camera import color_at
from rungwise.camera.light import lab_of, linear_of
from rungwise.camera.wire_color import COLORS
from rungwise.errors import BadInput


def wire(rgb: tuple[int, int, int], stripe: tuple[int, int, int] | None = None) -> bytes:
    """A wire across a grey wall, with a stripe along it or none, and a white label."""
    picture = Image.new("RGB", (400, 300), (130, 130, 130))
    pen = ImageDraw.Draw(picture)
    pen.line((200, 0, 200, 300), fill=rgb, width=26)
    if stripe:
        pen.line((201, 0, 201, 300), fill=stripe, width=8)
    pen.rectangle((20, 20, 90, 80), fill=(230, 230, 228))
    written = io.BytesIO()
    picture.save(written, "PNG")
    return written.getvalue()


MIDDLE, WHITE = (0.5, 0.5), (0.14, 0.17)


@pytest.mark.parametrize("name", sorted(COLORS))
def test_each_color_is_named_in_plain_light(name: str) -> None:
    read = color_at(wire(COLORS[name]), MIDDLE, WHITE)
    assert read.name == name


@pytest.mark.parametrize("name", ["red", "blue", "yellow", "green"])
@pytest.mark.parametrize("light", [(1.0, 0.85, 0.6), (0.55, 0.55, 0.55), (0.85, 0.95, 1.0)])
def test_a_bulb_a_shadow_and_dusk_do_not_change_the_name(
    name: str, light: tuple[float, float, float]
) -> None:
    points = np.asarray(Image.open(io.BytesIO(wire(COLORS[name]))), dtype=np.float64)
    written = io.BytesIO()
    Image.fromarray((points * light).astype(np.uint8)).save(written, "PNG")
    read = color_at(written.getvalue(), MIDDLE, WHITE)
    assert read.name == name or read.sureness == "unsure"


def test_a_stripe_is_read_and_never_called_sure() -> None:
    read = color_at(wire(COLORS["yellow"], COLORS["black"]), MIDDLE)
    assert set(read.name.split("/")) == {"yellow", "black"}
    assert read.sureness == "unsure"


def test_what_lies_between_two_colors_is_called_unsure() -> None:
    both = (np.array(COLORS["orange"]) + np.array(COLORS["red"])) // 2
    assert color_at(wire(tuple(both.tolist())), MIDDLE).sureness == "unsure"


@pytest.mark.parametrize("at", [(1.2, 0.5), (-0.1, 0.5)])
def test_a_touch_outside_the_photo_is_refused(at: tuple[float, float]) -> None:
    with pytest.raises(BadInput, match="outside"):
        color_at(wire(COLORS["red"]), at)


@pytest.mark.parametrize(
    ("rgb", "lab"),
    [((255, 255, 255), (100.0, 0.0, 0.0)), ((255, 0, 0), (53.24, 80.09, 67.20)),
     ((0, 0, 255), (32.30, 79.19, -107.86)), ((128, 128, 128), (53.59, 0.0, 0.0))],
)  # fmt: skip
def test_the_space_is_cie_lab(rgb: tuple[int, int, int], lab: tuple[float, float, float]) -> None:
    """Published L*a*b* of the sRGB primaries (D65, 2 degrees), from memory; 0.05 of tolerance."""
    told = lab_of(linear_of(np.array(rgb, dtype=np.float64) / 255.0))
    assert told == pytest.approx(lab, abs=0.05)
