"""What the customer said, in an answer: the weights it leaves, as values and in sentences."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import groupby

from rungwise.diagnosis import (
    Call,
    ChipEffect,
    Moved,
    SuspectCard,
    chips_named,
    complaint_told,
    complaint_weights,
)
from rungwise.services.diagnosis_result import ComplaintResult
from rungwise.wording import mark, say

SPOKEN_OF = 5
"""Groups of suspects told of each chip."""


def also_said(call: Call, complaint: Collection[str]) -> Call:
    """The call with more that was said. Raises UnknownName for what is not on the list."""
    chips = chips_named([*call.complaint, *complaint])
    return replace(call, complaint=tuple(chip.id for chip in chips)) if complaint else call


def weights_before(call: Call, cards: Sequence[SuspectCard]) -> dict[str, float] | None:
    """Weights by suspect id before any reading, None for those on the cards."""
    own = dict(call.own.by_suspect) if call.own else None
    if not call.complaint:
        return own
    ratios = dict(call.own.ratios) if call.own else None
    return complaint_weights(cards, own, call.complaint, ratios)


def said_of(call: Call, cards: Sequence[SuspectCard]) -> tuple[ChipEffect, ...]:
    """What was said, and by how much each of it moved which suspects."""
    return complaint_told(cards, call.complaint, dict(call.own.ratios) if call.own else None)


def complaint_json(said: Sequence[ChipEffect]) -> list[ComplaintResult]:
    """The same as plain values."""
    return [
        {
            "id": each.id,
            "title": each.title,
            "moved": [{"group": it.group, "what": it.what, "ratio": it.ratio} for it in each.moved],
        }
        for each in said
    ]


def complaint_lines(said: Sequence[ChipEffect]) -> list[str]:
    """One sentence for each thing that was said."""
    return [
        say('The complaint "{each}" made {effect}.', each=each.title, effect=_effect(each))
        for each in said
    ]


def _effect(told: ChipEffect) -> str:
    clauses = []
    for (likelier, by), group in groupby(told.moved[:SPOKEN_OF], _strength):
        names = [each.what for each in group]
        way = "likelier" if likelier else mark("less likely")
        clauses.append(f"{_listed(names)} {way} by {by}")
    return "; ".join(clauses) or mark("no fault of this unit likelier")


def _strength(moved: Moved) -> tuple[bool, str]:
    """Whether it raises the odds, and by how much, to two figures."""
    likelier = moved.ratio >= 1.0
    return likelier, f"{moved.ratio if likelier else 1.0 / moved.ratio:.2g}"


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
