"""One thing that may be wrong with a house, and the changes that such things are made of."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from rungwise.other_world.draws import log_between
from rungwise.other_world.house import House

Change = Callable[[House, np.random.Generator], None]

Way = tuple[str, float, Callable[[str], Change], str, Mapping[str, float]]
"""Name, weight, change by the part's name, what a good answer may do there, marks by thing.

What it may do: "" anything, ":act" just that, ":~act" anything but that.
"""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that may be wrong with a house.

    change: what it does to the house. right: what a good answer names: a block (part or wire),
    "block:act", or "block:~act" for anything done there but that. faulty: blocks that have really
    something. marks: what a look may show, by (thing, part), with its chance. causes: looks that
    show what stands behind, where no meter does.
    """

    name: str
    weight: float
    change: Change
    right: frozenset[str]
    faulty: frozenset[str]
    marks: Mapping[tuple[str, str], float] = field(default_factory=dict)
    causes: frozenset[str] = frozenset()


def set_to(part: str, name: str, low: float, high: float) -> Change:
    """A value of a part, drawn between two ends."""

    def change(house: House, rng: np.random.Generator) -> None:
        house.values[part][name] = log_between(rng, low, high)

    return change


def scaled(part: str, name: str, low: float, high: float) -> Change:
    """A value of a part, times a factor between two ends."""

    def change(house: House, rng: np.random.Generator) -> None:
        house.values[part][name] *= log_between(rng, low, high)

    return change


def flagged(part: str, name: str) -> Change:
    """A flag of a part."""
    return set_to(part, name, 1.0, 1.0)


def earthed(part: str) -> Change:
    """A winding that touches the shell."""

    def change(house: House, rng: np.random.Generator) -> None:
        own = house.values[part]
        own["insulation_ohm"] = log_between(rng, 0.5, 4e4)
        own["earthed_at"] = float(rng.integers(3))

    return change


def flag_way(name: str, weight: float, flag: str, act: str = "", **marks: float) -> Way:
    """A way in which a flag of the part is set."""
    return name, weight, lambda part: flagged(part, flag), act, marks
