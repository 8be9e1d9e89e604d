"""Readings that do not fit, and whether an answer rests on one of them.

Odd is not impossible: a reading is called impossible only where no hypothesis gives it at all, two
readings that cannot both be right are named as a pair, and of a reading that is merely odd nothing
is said. But no answer may stand on an odd reading alone.
"""

from __future__ import annotations

import math

import numpy as np

from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.healthy_proof import healthy_repair
from rungwise.diagnosis.likely_slip import likely_slip
from rungwise.diagnosis.shown import (
    DEAR_MINUTES,
    bears_weight,
    most_likely_suspect,
    reads_directly,
    shows,
)
from rungwise.faults import HEALTHY

ODD = 0.01
"""Tail probability of a reading, the others given, under which it is flagged."""

DENIES_NATS = math.log(20.0)
"""A reading on the part denies a fault that makes it so much less likely than a good part does."""

LIKELY_ANYWAY = 0.5
"""Probability from which a part that a meter was on stood accused without the look that shows its
fault: then one look is enough, for that it is a slip as well is a matter of one in a hundred."""

OVERLOOKED = 0.03
"""A look that the answer's own suspects give with less than this chance is left out by it."""

MOST_TRIED = 3
"""Flagged readings that are left out in turn, the oddest first."""


def impossible(belief: Belief) -> tuple[int, ...]:
    """Places of the readings that no hypothesis gives, in the order taken."""
    return tuple(at for at in range(len(belief.readings)) if belief.impossible(at))


def flagged(belief: Belief) -> tuple[int, ...]:
    """Places of the readings that are odd or impossible, the oddest first.

    Of two that clash at least one is odd under whatever is believed.
    """
    fits = np.array(belief.fits())
    fits[np.array(impossible(belief), dtype=np.intp)] = 0.0
    return tuple(int(at) for at in np.argsort(fits, kind="stable") if fits[at] < ODD)


def leans_on(belief: Belief, repair: str, enough: float) -> int | None:
    """Place of a reading that the answer cannot stand on as it is; None if there is none.

    One on the accused part itself that reads as on a good one: an answer against it takes it for a
    slip. A single look by which alone a dear part is accused, or that the answer leaves out; a
    single reading on a shell said to be cold by which alone it is. A likely slip or a flagged one
    without which `repair` would not be sure, or any beside which a dear part is accused. A reading
    that was taken twice alike is not asked for a third time.
    """
    weak = (find(belief, repair) for find in (_denied, _by_eye_alone, _by_one_wait, _overlooked))
    first = next((at for at in weak if at is not None), None)
    if first is None:
        first = _slipped(belief, repair, enough)
    if first is not None:
        return first
    doubtful = [at for at in flagged(belief) if belief.readings[at].times < 2][:MOST_TRIED]
    dear = most_likely_suspect(belief, repair).wrong_minutes >= DEAR_MINUTES
    return next(
        (at for at in doubtful if dear or _probability_without(belief, at, repair) < enough), None
    )


def _slipped(belief: Belief, repair: str, enough: float) -> int | None:
    """Place of a likely slip without which the repair would not be sure."""
    slip = likely_slip(belief)
    if slip is None or _probability_without(belief, slip.place, repair) >= enough:
        return None
    return slip.place


def _denied(belief: Belief, repair: str) -> int | None:
    """Place of a reading taken once on the accused part itself that shows a good one."""
    places = (at for at in range(len(belief.readings)) if belief.readings[at].times < 2)
    return next((at for at in places if _denies(belief, at, repair)), None)


def _denies(belief: Belief, place: int, repair: str) -> bool:
    """Whether a meter on the accused part shows a good one."""
    table, suspect = belief.table, most_likely_suspect(belief, repair)
    card = table.checks[belief.readings[place].check]
    if suspect.is_effect or card.form != "number" or not reads_directly(card, suspect):
        return False
    if healthy_repair(table) is None or suspect.id == HEALTHY or not bears_weight(belief, place):
        return False
    return belief.log_ratio(suspect.id, place) <= -DENIES_NATS


def _by_eye_alone(belief: Belief, repair: str) -> int | None:
    """Place of the one look that accuses a dear part which no meter on it accuses as well."""
    table, suspect = belief.table, most_likely_suspect(belief, repair)
    if suspect.is_effect or suspect.wrong_minutes < DEAR_MINUTES:
        return None
    showing = [at for at in range(len(belief.readings)) if shows(belief, at, suspect)]
    cards = [table.checks[belief.readings[at].check] for at in showing]
    seen_twice = any(belief.readings[at].times > 1 for at in showing)
    if not showing or seen_twice or any(card.form == "number" for card in cards):
        return None
    # What a meter on its leads made likely before anybody looked is not accused by that look alone.
    taken = (table.checks[reading.check] for reading in belief.readings)
    read = any(card.form == "number" and suspect.part in card.touches for card in taken)
    likely = read and _probability_without(belief, showing[0], repair) >= LIKELY_ANYWAY
    return None if likely else showing[0]


def _by_one_wait(belief: Belief, repair: str) -> int | None:
    """Place of the one reading on a cold shell by which alone a dear part is accused.

    What is taken for cold outside may be hot inside, and its overload open still.
    """
    table, suspect = belief.table, most_likely_suspect(belief, repair)
    if suspect.is_effect or suspect.wrong_minutes < DEAR_MINUTES:
        return None
    showing = [at for at in range(len(belief.readings)) if shows(belief, at, suspect)]
    if len(showing) != 1 or belief.readings[showing[0]].times > 1:
        return None
    waited = table.checks[belief.readings[showing[0]].check].setting == "cooled"
    return showing[0] if waited else None


def _overlooked(belief: Belief, repair: str) -> int | None:
    """Place of a look, taken once, that the answer takes for a slip of the eye.

    A blower that was seen to stand is no matter of a pressure switch: one looks at it again.
    """
    table = belief.table
    mine = table.by_repair.of_suspect[table.suspect_of] == table.by_repair.index(repair)
    weight, _ = belief.particle_weight()
    weight = weight * mine
    for place, reading in enumerate(belief.readings):
        if table.checks[reading.check].form != "choice" or reading.times > 1:
            continue
        chance = table.choice_probability[reading.check][:, int(reading.value)]
        if float(weight @ chance) < OVERLOOKED * float(weight.sum()):
            return place
    return None


def _probability_without(belief: Belief, place: int, repair: str) -> float:
    table = belief.table
    group = table.by_repair.of_suspect[table.suspect_of]
    return float(belief.weight_without(place)[group == table.by_repair.index(repair)].sum())
