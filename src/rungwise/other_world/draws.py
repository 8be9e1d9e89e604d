"""How the numbers of a good house are drawn: tables of numbers by name, each by its own spread."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

Values = dict[str, float]
Draw = Callable[[np.random.Generator], Values]
Spread = Callable[[np.random.Generator], float]


def log_between(rng: np.random.Generator, low: float, high: float) -> float:
    """A number between two ends, each factor as likely as any other."""
    return float(np.exp(rng.uniform(math.log(low), math.log(high))))


def between(rng: np.random.Generator, low: float, high: float) -> float:
    """A number between two ends, each as likely as any other."""
    return float(rng.uniform(low, high))


def evenly(low: float, high: float) -> Spread:
    """As `between`."""
    return lambda rng: between(rng, low, high)


def by_factor(low: float, high: float) -> Spread:
    """As `log_between`."""
    return lambda rng: log_between(rng, low, high)


def near(usual: float, sd: float, low: float, high: float) -> Spread:
    """About the usual number, no further off than two ends."""
    return lambda rng: float(np.clip(rng.normal(usual, sd), low, high))


def drawn(*before: Draw, **numbers: Spread | float) -> Draw:
    """A table's numbers in their order, behind those of other tables; a number alone is fixed."""

    def draw(rng: np.random.Generator) -> Values:
        found = {name: each for table in before for name, each in table(rng).items()}
        for name, number in numbers.items():
            found[name] = number if isinstance(number, float) else number(rng)
        return found

    return draw
