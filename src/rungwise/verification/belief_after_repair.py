"""What is believed of a unit after its repair: that all is well, or what still hides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rungwise.diagnosis import Belief, FaultTable, Grouping, ReadingModel
from rungwise.faults import HEALTHY
from rungwise.verification.masked_faults import Hidden

GOOD_REPAIR = "unit:look_elsewhere"
"""The key of the one suspect that stands for a circuit without a fault."""


def belief_after(
    table: FaultTable | ReadingModel,
    hidden: Sequence[Hidden],
    factors: Mapping[str, float] | None = None,
) -> Belief:
    """Belief after the repair and before the first check.

    factors: by suspect id, how much likelier the state of refrigerant and air makes it (see
    `cross`). A pair is left out: after the repair it is one of its halves.
    """
    model = table if isinstance(table, ReadingModel) else ReadingModel(table)
    chance = {each.suspect.id: each.chance for each in hidden}
    weights = {card.id: chance.get(card.id, 0.0) for card in model.table.suspects}
    weights[HEALTHY] = 1.0 - sum(chance.values())
    for name, factor in (factors or {}).items():
        if name in weights:
            weights[name] *= factor
    return Belief.start(model, weights)


def good_probability(belief: Belief) -> float:
    """Probability that no listed electrical fault is left."""
    return belief.by_suspect()[HEALTHY]


def good_or_not(table: FaultTable) -> Grouping:
    """All is well in one group, everything that may hide in the other."""
    names = ["good" if card.id == HEALTHY else "hidden" for card in table.suspects]
    return Grouping.by(names)
