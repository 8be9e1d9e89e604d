"""How well readings fit what is believed, and which of them cannot be right together."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import chdtrc, ndtr

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.reading_model import Reading
from rungwise.faults import HEALTHY

if TYPE_CHECKING:
    from rungwise.diagnosis.belief import Belief

NEVER = 1e-4
"""A number further out than this on every particle is one that nothing gives (4 deviations)."""

CHOICE_NEVER = 0.02
"""The same for a look, whose slips of the eye the model has already."""

ODD_LOOK = 0.1
"""What is seen on fewer good units than this is odd on one."""

TOGETHER_NEVER = 1e-4
ALONE_FITS = 0.01

TIE_DIGITS = 6
"""Pairs of readings that differ by less, by rounding alone, clash equally."""


def fits(belief: Belief) -> FloatArray:
    """Chance of each reading being as far off as it is or further, float [readings].

    Under what all readings leave believed, each judged given the others. Small: odd, though it may
    be right; that it was not foreseen does not make a reading odd.
    """
    found = np.zeros(len(belief.readings))
    weight, _ = belief.particle_weight()
    weight = weight / weight.sum()
    joint = belief.model.joint(belief.readings)
    numbers = iter(()) if joint is None else iter(joint.tails.T)
    for place, reading in enumerate(belief.readings):
        number = belief.model.is_number(reading)
        tail = next(numbers) if number else _tail_alone(belief, reading)
        found[place] = float(weight @ tail)
    return found


def impossible(belief: Belief, place: int) -> bool:
    """Whether no hypothesis at all gives a reading, whatever else was read."""
    reading = belief.readings[place]
    never = NEVER if belief.model.is_number(reading) else CHOICE_NEVER
    return bool(_tail_alone(belief, reading).max() < never)


def never_on_good(belief: Belief, reading: Reading) -> bool:
    """Whether a good unit hardly gives a reading, whatever else was read."""
    table = belief.table
    if HEALTHY not in table.by_suspect.names:
        return False
    good = table.suspect_of == table.suspect_index(HEALTHY)
    if table.checks[reading.check].form == "choice":
        chance = table.choice_probability[reading.check][good, int(reading.value)]
        return bool(chance.mean() < ODD_LOOK)
    return bool(_tail_alone(belief, reading)[good].max() < NEVER)


def clashes(belief: Belief) -> tuple[tuple[int, int], ...]:
    """Pairs of readings (their places) that no hypothesis gives together, though each alone.

    The worst pair first; of pairs as bad as each other to so many digits, the one read first.
    """
    alone = [_tail_alone(belief, reading) for reading in belief.readings]
    found = []
    for one, other in combinations(range(len(alone)), 2):
        if min(alone[one].max(), alone[other].max()) < ALONE_FITS:
            continue
        together = float(_tail_together(belief, one, other, alone).max())
        if together < TOGETHER_NEVER:
            found.append((float(f"{together:.{TIE_DIGITS}e}"), (one, other)))
    return tuple(pair for _, pair in sorted(found))


def misfit(belief: Belief) -> float:
    """Chance that the numbers lie together as far from the belief as they do, or further.

    The squared distance of the readings is chi-square under each hypothesis; 1 without a number.
    """
    joint = belief.model.joint(belief.readings)
    if joint is None:
        return 1.0
    weight, _ = belief.particle_weight()
    distance = (joint.pull * joint.off).sum(axis=1)
    tail = chdtrc(np.maximum(joint.made.sum(axis=1), 1), distance)
    return float(weight @ tail / weight.sum())


def _tail_alone(belief: Belief, reading: Reading) -> FloatArray:
    """Chance of a reading as unlikely as this one on each particle, by itself; float [N]."""
    model, at = belief.model, reading.check
    card = model.table.checks[at]
    if card.form == "choice":
        chance = model.table.choice_probability[at].astype(np.float64)  # as a phone has it
        own = chance[:, [int(reading.value)]]
        # Choices of equal chance differ by rounding; each is as unlikely as the other.
        return np.asarray(np.where(chance <= own + 1e-12, chance, 0.0).sum(axis=1))
    if not np.isfinite(reading.value):
        return np.exp(model.log_alone(reading))
    off = (model.scale.of_reading(at, reading.value) - model.z[:, at]) / model.spread(
        np.array([at])
    )[:, 0]
    return np.where(np.isnan(off), 1.0, 2.0 * ndtr(-np.abs(off)))


def _tail_together(belief: Belief, one: int, other: int, alone: list[FloatArray]) -> FloatArray:
    """Chance of two readings together as far off as they are, on each particle; float [N]."""
    pair = (belief.readings[one], belief.readings[other])
    if all(belief.model.is_number(each) for each in pair):
        joint = belief.model.joint(pair)
        assert joint is not None  # noqa: S101  # both are numbers
        distance = (joint.pull * joint.off).sum(axis=1)
        tail = chdtrc(np.maximum(joint.made.sum(axis=1), 1), distance)
        return np.where(np.isposinf(joint.middle).any(axis=1), 0.0, tail)
    return np.minimum(alone[one], alone[other])
