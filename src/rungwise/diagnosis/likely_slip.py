"""Which reading is likely a slip of the hand, and what it would be without it.

Such a reading is taken again at once, while the meter is still there: that costs a minute, and
nothing that is believed until then rests on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.hand_slips import OFF_BY, Mistake
from rungwise.diagnosis.reading_model import Reading
from rungwise.diagnosis.wording import reading_text
from rungwise.faults import HEALTHY
from rungwise.parts import Caution, end_mark, part_of, terminal_of
from rungwise.unit import Unit
from rungwise.wording import say

PLAIN_SD = 0.15
"""What good units read within so much, on the scale, nothing else reads by chance with its point or
its unit elsewhere."""

PLAIN_OFF = 2.0
"""By so many deviations such a reading may lie off."""

NO_GOOD = 6.0
"""By so many deviations what was read lies off all that a good unit reads."""

WORTH_ANOTHER_LOOK = 0.2
"""Probability from which a slip that says what was meant is asked about."""

LIKELIER = 0.9
"""Probability from which a slip that may be anything is."""


@dataclass(frozen=True, slots=True)
class LikelySlip:
    """A reading to take again.

    place: among the belief's readings. probability: that it is this slip. factor: by which it
    would be right; mistake: what was taken for something else; neither where it may have been
    anything.
    """

    place: int
    probability: float
    factor: float | None = None
    mistake: Mistake | None = None


def likely_slip(belief: Belief) -> LikelySlip | None:
    """The likeliest slip among readings not yet taken again; None where none is likely."""
    found = [each for each in _slips(belief) if belief.readings[each.place].times < 2]
    telling = [each for each in found if each.probability >= _enough(each)]
    likeliest = max(telling, key=lambda each: round(each.probability, DIGITS), default=None)
    return likeliest or next(_plain(belief), None)


DIGITS = 9
"""Slips that are as likely as each other to so many digits: the reading taken first."""


def _enough(slip: LikelySlip) -> float:
    named = slip.factor is not None or slip.mistake is not None
    return WORTH_ANOTHER_LOOK if named else LIKELIER


def _slips(belief: Belief) -> Iterator[LikelySlip]:
    weight, _ = belief.particle_weight()
    ways = belief.model.labelings(belief.readings)
    read = {each.check for each in belief.readings}
    logs = np.array([np.log(each.share) + belief.model.log_as(each.readings) for each in ways])
    whole = np.logaddexp.reduce(logs, axis=0)
    share = np.exp(logs - np.where(np.isfinite(whole), whole, 0.0))  # none of a particle ruled out
    for way, part in zip(ways[1:], share[1:], strict=True):
        assert way.mistake is not None  # noqa: S101  # only the first is as told
        moved = [at for at, each in enumerate(belief.readings) if way.mistake.moves(each.check)]
        once = [at for at in moved if belief.readings[at].times < 2]
        if once and read.issuperset(way.mistake.first):
            yield LikelySlip(once[-1], float(weight @ part), mistake=way.mistake)
    yield from _of_numbers(belief, weight * share[0])


def _of_numbers(belief: Belief, weight: FloatArray) -> Iterator[LikelySlip]:
    """Slips of single numbers. weight: of each particle with the readings as told, float [N]."""
    model, joint = belief.model, belief.model.joint(belief.readings)
    if joint is None:
        return
    odds = joint.log_slip_odds
    others = np.stack([_log_sum_without(odds, at) for at in range(odds.shape[1])], axis=1)
    slipped = weight[:, None] * expit(odds - others)  # float [N, d]
    numbers = [at for at, each in enumerate(belief.readings) if model.is_number(each)]
    for column, place in enumerate(numbers):
        whole = float(slipped[:, column].sum())
        if whole < WORTH_ANOTHER_LOOK:
            continue
        ways = model.slip_shares(belief.readings[place])
        named = [float(slipped[:, column] @ each) for each in ways]
        most = max(range(len(named)), key=lambda way: round(named[way], DIGITS))
        if named[most] >= 0.5 * whole:
            yield LikelySlip(place, named[most], OFF_BY[most][0])
        else:
            yield LikelySlip(place, whole)


def _plain(belief: Belief) -> Iterator[LikelySlip]:
    """Readings that in another unit of the meter would be just what a good unit reads.

    Whatever is believed: 49.2 nF on a section of 50 µF is read again before it is changed. Only
    of what is read on a part by itself: 27 mV are what a dead wire picks up where 27 V would be.
    """
    model, table = belief.model, belief.table
    if HEALTHY not in table.by_suspect.names:
        return
    good = np.flatnonzero(table.suspect_of == table.suspect_index(HEALTHY))
    for place, reading in enumerate(belief.readings):
        apart = table.checks[reading.check].setting == "apart"
        if not apart or reading.times > 1 or not model.is_number(reading):
            continue
        middle = model.z[good, reading.check].astype(np.float64)
        sd = model.spread(np.array([reading.check]))[good, 0]
        if not bool((np.isfinite(middle) & (sd <= PLAIN_SD)).all()):
            continue
        if (_off(belief, reading, 1.0, middle) / sd).min() < NO_GOOD:
            continue
        for factor, _ in OFF_BY:
            off = _off(belief, reading, factor, middle) / sd
            if not 0.1 <= factor <= 10.0 and off.min() <= PLAIN_OFF:
                yield LikelySlip(place, 0.0, factor)


def _off(belief: Belief, reading: Reading, factor: float, middle: FloatArray) -> FloatArray:
    z = belief.model.scale.of_reading(reading.check, factor * reading.value)
    return np.asarray(np.abs(z - middle))


def _log_sum_without(odds: FloatArray, at: int) -> npt.NDArray[np.float64]:
    """Log odds against a reading being the one slip: of none, or of another; float [N]."""
    rest = np.delete(odds, at, axis=1)
    return np.asarray(np.logaddexp(0.0, np.logaddexp.reduce(rest, axis=1, initial=-np.inf)))


def slip_remarks(unit: Unit, belief: Belief) -> Iterator[Caution]:
    """What the likeliest slip would be without it, before it is taken again."""
    slip = likely_slip(belief)
    if slip is None:
        return
    reading = belief.readings[slip.place]
    card = belief.table.checks[reading.check]
    told = {"check": card.title, "read": reading_text(card, reading.value)}
    if slip.mistake is not None and slip.mistake.ends:
        ends = slip.mistake.ends
        one, other = (end_mark(terminal_of(end)) for end in ends)
        part = unit.part(part_of(ends[0])).title
        text = say(
            "{check}: {read}. {one} and {other} of the {part} may be taken for each other: the "
            "other way around it fits a unit like this. See which is which and read it again.",
            one=one, other=other, part=part, **told,
        )  # fmt: skip
    elif slip.mistake is not None:
        text = say(
            "{check}: {read}. A shell that is cold outside may be hot inside, its overload still "
            "open: wait longer, or run water over it, and read it again.", **told,
        )  # fmt: skip
    elif slip.factor is not None:
        text = say(
            "{check}: {read} would be {meant} with the point elsewhere or in another unit of the "
            "meter, and that fits a unit like this. Look at the point and at the unit on the "
            "display, and read it again.",
            meant=reading_text(card, slip.factor * reading.value), **told,
        )  # fmt: skip
    else:
        text = say(
            "{check}: {read} hardly fits anything that may be wrong here. Look at where the leads "
            "are and how the meter is set, and read it again.", **told,
        )  # fmt: skip
    yield Caution("NOTICE", text)
