"""How well wire colors are read from photos, on drawn wires in many lights.

    .venv/bin/python tools/wire_color_study.py [PHOTOS] [SEED]

PHOTOS: 40 by default, with five wires each. SEED: 1 by default. Each wire is read without and with
a touch on something white. A wire's own color differs from the list's by its maker and its age;
the light has a temperature between a bulb's and a shadow's, falls off to one side, and shines on
the wire's ridge. Every fifth wire has a stripe.
"""

from __future__ import annotations

import io
import random
import sys
from collections import Counter

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from rungwise.camera.wire_color import COLORS, ColorGuess, color_at

WIDE, HIGH, WIRES = 900, 600, 5
LIGHTS = {"a bulb": (1.25, 1.0, 0.62), "late sun": (1.14, 1.0, 0.78), "noon": (1.0, 1.0, 1.0),
          "open shade": (0.9, 1.0, 1.14), "a phone's lamp": (1.03, 1.0, 0.95)}  # fmt: skip
STRIPES = ("yellow/black", "brown/white", "green/yellow", "black/white", "yellow/red")
ENDS = ("right, sure", "right, unsure", "wrong, sure", "wrong, unsure")


def main(photos: int, seed: int) -> None:
    """Read every wire of so many photos, and print what came of it."""
    ends: dict[str, Counter[str]] = {}
    for number in range(photos):
        r = random.Random(f"{seed} {number}")  # noqa: S311  # pictures, not secrets
        names = [
            r.choice(STRIPES) if r.random() < 0.2 else r.choice(list(COLORS)) for _ in range(WIRES)
        ]
        photo, touches, white = draw(names, r)
        for name, at in zip(names, touches, strict=True):
            sort = "stripe" if "/" in name else "one color"
            for hint, place in (("", None), (", white touched", white)):
                end = _end(name, color_at(photo, at, place))
                ends.setdefault(sort + hint, Counter())[end] += 1
                if end == "wrong, sure":
                    print(f"photo {number}: {name} read as {color_at(photo, at, place).name}{hint}")
    print(f"\n| wires | {' | '.join(ENDS)} |\n|---|{'---|' * len(ENDS)}")
    for sort, row in sorted(ends.items()):
        print(f"| {sort} ({sum(row.values())}) | {' | '.join(str(row[end]) for end in ENDS)} |")


def _end(name: str, guess: ColorGuess) -> str:
    right = "right" if set(guess.name.split("/")) == set(name.split("/")) else "wrong"
    return f"{right}, {guess.sureness}"


def draw(
    names: list[str], r: random.Random
) -> tuple[bytes, list[tuple[float, float]], tuple[float, float]]:
    """Wires side by side over a cabinet's wall, with a white label; where each is to be touched."""
    picture = Image.new("RGB", (WIDE, HIGH), tuple(r.randint(90, 190) for _ in range(3)))
    pen, touches = ImageDraw.Draw(picture), []
    pen.rectangle((20, 20, 140, 90), fill=(232, 232, 228))
    for number, name in enumerate(names):
        x, thick = 200 + number * 140 + r.randint(-20, 20), r.randint(16, 30)
        first, *second = [_aged(COLORS[each], r) for each in name.split("/")]
        lean = r.randint(-60, 60)
        pen.line((x - lean, 0, x + lean, HIGH), fill=first, width=thick)
        for stripe in second:
            pen.line((x - lean + thick * 0.05, 0, x + lean + thick * 0.05, HIGH), fill=stripe,
                     width=max(4, int(thick * 0.3)))  # fmt: skip
        shine = tuple(min(255, each + 70) for each in first)
        pen.line((x - lean - thick * 0.3, 0, x + lean - thick * 0.3, HIGH), fill=shine, width=2)
        touches.append(((x + r.uniform(-0.12, 0.12) * thick) / (WIDE - 1), 0.5))
    return _lit(picture, r), touches, (80 / WIDE, 55 / HIGH)


def _aged(rgb: tuple[int, int, int], r: random.Random) -> tuple[int, ...]:
    """The insulation of another maker, or with years of dust: a little off, and greyer."""
    faded = r.uniform(0.0, 0.15)
    return tuple(
        int(min(255, max(0, each * (1 - faded) + 120 * faded + r.gauss(0, 7)))) for each in rgb
    )


def _lit(picture: Image.Image, r: random.Random) -> bytes:
    linear = (np.asarray(picture, dtype=np.float64) / 255.0) ** 2.2
    light = np.array(r.choice(list(LIGHTS.values()))) * r.uniform(0.35, 1.05)
    fall = 1.0 + r.uniform(-0.3, 0.3) * np.linspace(-1, 1, WIDE)
    lit = np.clip(linear * light * fall[None, :, None], 0, 1) ** (1 / 2.2)
    noise = np.random.default_rng(r.randrange(2**32)).normal(0, r.uniform(0.005, 0.03), lit.shape)
    photo = Image.fromarray((255 * np.clip(lit + noise, 0, 1)).astype(np.uint8))
    written = io.BytesIO()
    photo.filter(ImageFilter.GaussianBlur(r.choice((0.0, 0.8, 1.4)))).save(
        written, "JPEG", quality=r.randint(60, 92)
    )
    return written.getvalue()


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else 40, int(sys.argv[2]) if sys.argv[2:] else 1)
