"""The units of the other world's calls: the arrangements that ship, and their smaller and larger
sisters by the nameplate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from rungwise.files import Document
from rungwise.other_world import CaseClass, draw_class
from rungwise.unit import FIRST_ARRANGEMENTS, Unit, arrangement, unit_from

PLATES = {
    "": "",
    "two tons": """
volt = "208/230 V"
rla_a = "10.9 A"
lra_a = "56 A"
fan_fla_a = "0.9 A"
herm_uf = "35 µF"
fan_uf = "4 µF"
""",
    "four tons": """
volt = "208/230 V"
rla_a = "19.9 A"
lra_a = "109 A"
fan_fla_a = "1.7 A"
herm_uf = "60 µF"
fan_uf = "7.5 µF"
""",
}
"""Nameplates by what they are called; the first is the one that ships, of about three tons.

Made up in the manner of plates of that size (common practice, no source).
"""


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a call's number and the seed make of it, and the source of the rest of its luck."""

    arrangement: str
    plate: str
    kind: CaseClass
    rng: np.random.Generator


def drawn(
    call: int,
    seed: int,
    *,
    plates: bool = False,
    arrangements: Sequence[str] = FIRST_ARRANGEMENTS,
) -> Drawn:
    """A call by its number. plates: whether units of every plate are met, or the shipped ones.

    arrangements: what is met, one as often as another.
    """
    rng = np.random.default_rng([seed, call, 2])
    name = arrangements[int(rng.integers(len(arrangements)))]
    kind = draw_class(rng)
    # Its own luck, so that a call is the same call whether or not plates are drawn.
    sort = int(np.random.default_rng([seed, call, 3]).integers(len(PLATES)))
    return Drawn(name, list(PLATES)[sort] if plates else "", kind, rng)


@cache
def unit_of(name: str, plate: str) -> Unit:
    """An arrangement under one of the nameplates."""
    if not plate:
        return arrangement(name)
    text = f'arrangement = "{name}"\n[nameplate]\n{PLATES[plate]}'
    document = Document(text, file=f"the plate of {plate}")
    return unit_from(document, name=f"{name}, {plate}")
