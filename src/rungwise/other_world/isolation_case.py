"""One case for an isolation plan: what is described, what is true, and where the hands will be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeVar

import numpy as np

from rungwise.other_world.wired import Wired, wired
from rungwise.other_world.wiring_damage import DAMAGES, held_calling

Family = Literal["odd unit", "wrong description", "keeps running"]
Scope = Literal["cabinet", "disconnect", "indoor", "everything"]

FAMILIES: dict[Family, float] = {
    "odd unit": 0.5, "wrong description": 0.4, "keeps running": 0.1,
}  # fmt: skip
SCOPES: dict[Scope, float] = {
    "cabinet": 0.55,
    "disconnect": 0.15,
    "indoor": 0.15,
    "everything": 0.15,
}

ONLY_ODD = ("nothing", "no loads", "part missing")
"""Damages that nobody's yard differs by from a true description."""

ONLY_TOLD = ("wrong place",)
"""Damages that only a description can have: a part is where it is."""

ADDED_IN_TRUTH = (
    "jumper", "device jumpered", "second source", "inverter in parallel", "third breaker",
    "parallel transformer", "device missing", "line side crossed", "circuit from elsewhere",
    "wire on another terminal", "held calling",
)  # fmt: skip
"""Damages that a yard may have and its description not."""

TWO_AT_ONCE = 0.2


@dataclass(frozen=True)
class IsolationCase:
    """A case by its number.

    keeps_running: the plan is asked knowing that the unit runs with the thermostat off. welded:
    because its contactor is welded; otherwise something calls for it all the time.
    """

    number: int
    family: Family
    damages: tuple[str, ...]
    scope: Scope
    described: Wired
    true: Wired
    keeps_running: bool = False
    welded: bool = False


def draw_isolation_case(arrangement: str, number: int, seed: int) -> IsolationCase:
    """The case with a number, the same whenever it is drawn with this seed."""
    rng = np.random.default_rng([seed, number, sum(map(ord, arrangement))])
    family: Family = _by_weight(rng, FAMILIES)
    scope: Scope = "cabinet" if family == "keeps running" else _by_weight(rng, SCOPES)
    base = wired(arrangement)
    if family == "keeps running":
        unit, names = _damaged(base, rng, ("nothing", "series device", "wrong label", "other kind"))
        true, welded = unit.copy(), rng.random() < 0.5
        if not welded:
            held_calling(true, rng)
        return IsolationCase(number, family, names, scope, unit, true, True, welded)
    if family == "odd unit":
        odd = tuple(name for name in DAMAGES if name not in ONLY_TOLD)
        unit, names = _damaged(base, rng, odd)
        return IsolationCase(number, family, names, scope, unit, unit)
    if rng.random() < 0.5:
        unit, names = _damaged(base, rng, ADDED_IN_TRUTH)
        return IsolationCase(number, family, _said("in the yard", names), scope, base, unit)
    told = tuple(name for name in DAMAGES if name not in ONLY_ODD)
    unit, names = _damaged(base, rng, told)
    return IsolationCase(number, family, _said("in the description", names), scope, unit, base)


def _damaged(
    base: Wired, rng: np.random.Generator, names: tuple[str, ...]
) -> tuple[Wired, tuple[str, ...]]:
    unit, done = base.copy(), []
    for _ in range(2 if rng.random() < TWO_AT_ONCE else 1):
        name = names[int(rng.integers(len(names)))]
        if name in done:
            continue
        tried = unit.copy()
        try:
            DAMAGES[name](tried, rng)
        except (KeyError, IndexError, ValueError):  # the first damage took away what it needs
            continue
        if tried.loose():
            continue
        unit = tried
        done.append(name)
    return unit, tuple(done) or ("nothing",)


def _said(where: str, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{name} {where}" for name in names)


Named = TypeVar("Named", bound=str)


def _by_weight(rng: np.random.Generator, weights: Mapping[Named, float]) -> Named:
    names = list(weights)
    return names[int(rng.choice(len(names), p=np.array(list(weights.values()))))]
