"""Whether the repair is proved: yes, not yet, or refused with the reason."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.wording import percent, sentence
from rungwise.proof.belief_after import good_probability
from rungwise.proof.checking import Checked, checked
from rungwise.proof.finding import Finding
from rungwise.proof.hiding import Hidden
from rungwise.proof.worth import Worth, checks_worth_making, looks_open

__all__ = ["ENOUGH", "Proof", "Remaining", "Standing", "proof_of", "standing"]

ENOUGH = 0.985
"""A repair is proved when a good unit is believed in by this much."""

DOUBT = 0.5
"""A repair is refused when a good unit is believed in by less than this, and readings say so."""

AGAINST_BITS = 2.0
"""The readings must have lowered the odds of a good unit by this many bits to refuse."""

WORTH_NAMING = 0.002
MOST_NAMED = 6

Standing = Literal["proved", "not yet", "refused"]


@dataclass(frozen=True, slots=True)
class Remaining:
    """What may still be wrong. why: see `Hidden`. chance: with all readings."""

    hidden: Hidden
    chance: float

    @property
    def text(self) -> str:
        """In words."""
        why = {
            "recurs": "the repair itself",
            "behind": "behind the repair",
            "beside": "beside it",
        }[self.hidden.why]
        return f"{self.hidden.suspect.title} ({why}, {percent(self.chance)})"


@dataclass(frozen=True, slots=True)
class Proof:
    """The verdict on a repair.

    good: probability that no listed electrical fault is left. reasons: why it is refused, or what
    stands in the way of a proof.
    remaining: what is not ruled out, likeliest first. checks: each reading with its verdict.
    findings: figures against limits, of electricity, refrigerant and air. worth: the checks still
    worth making. look_for: causes that no reading of the circuit can show.
    """

    standing: Standing
    good: float
    reasons: tuple[str, ...]
    remaining: tuple[Remaining, ...]
    checks: tuple[Checked, ...]
    findings: tuple[Finding, ...]
    worth: tuple[Worth, ...]
    look_for: tuple[str, ...]

    @property
    def headline(self) -> str:
        """The verdict in one sentence; it never says that the unit is safe."""
        match self.standing:
            case "proved":
                return (
                    f"Proved by these measurements: the unit does its work ({percent(self.good)})."
                )
            case "not yet":
                return f"Not proved yet ({percent(self.good)} that nothing is left)."
            case "refused":
                return f"Refused: {self.reasons[0]}"


def standing(belief: Belief, findings: Sequence[Finding] = ()) -> Standing:
    """Where the proof stands under a belief after the repair and findings beside it."""
    if any(each.level == "refuse" for each in findings) or _spoken_against(belief):
        return "refused"
    enough = good_probability(belief) >= ENOUGH and not looks_open(belief)
    return "proved" if enough else "not yet"


def proof_of(
    belief: Belief,
    hidden: Sequence[Hidden],
    findings: Sequence[Finding] = (),
    beside: Sequence[Checked] = (),
    out_of_reach: Collection[str] = (),
) -> Proof:
    """The verdict, with what speaks for it and what is left to do.

    belief: from `belief_after`, given the readings. hidden: what it was made of. beside: verdicts
    on checks that are not in the belief. out_of_reach: checks that cannot be made.
    """
    stands = standing(belief, findings)
    remaining = tuple(_remaining(belief, hidden))
    judged = (*checked(belief), *beside)
    opening = [each.suspect.id for each in hidden if each.opens]
    allowed = [card.id for card in belief.table.checks if card.id not in out_of_reach]
    odd = [_odd(each) for each in beside if not each.good]
    stands = "not yet" if odd and stands == "proved" else stands
    refused = stands == "refused"
    reasons = (*(_reasons(belief, remaining, judged, findings) if refused else ()), *odd)
    worth = checks_worth_making(belief, ENOUGH, allowed, opening) if stands == "not yet" else ()
    return Proof(
        standing=stands,
        good=good_probability(belief),
        reasons=reasons,
        remaining=remaining,
        checks=judged,
        findings=tuple(findings),
        worth=worth,
        look_for=tuple(_look_for(hidden)),
    )


def _spoken_against(belief: Belief) -> bool:
    good, before = good_probability(belief), good_probability(belief.upto(0))
    fell = _log2_odds(before) - _log2_odds(good)
    return good < DOUBT and fell >= AGAINST_BITS


def _log2_odds(probability: float) -> float:
    tiny = 1e-300
    return float(np.log2(max(probability, tiny)) - np.log2(max(1.0 - probability, tiny)))


def _remaining(belief: Belief, hidden: Sequence[Hidden]) -> Iterator[Remaining]:
    by_id = {each.suspect.id: each for each in hidden}
    ranked = [(name, p) for name, p in belief.by_suspect().items() if name in by_id]
    for name, chance in ranked[:MOST_NAMED]:
        if chance >= WORTH_NAMING:
            yield Remaining(by_id[name], chance)


def _reasons(
    belief: Belief,
    remaining: Sequence[Remaining],
    judged: Sequence[Checked],
    findings: Sequence[Finding],
) -> Iterator[str]:
    refused = [each for each in findings if each.level == "refuse"]
    yield from (each.text for each in sorted(refused, key=lambda each: each.id != "charge"))
    if not _spoken_against(belief):
        return
    odd = [_odd(each) for each in judged if not each.good]
    if belief.none_of_these > DOUBT:
        yield f"the readings fit neither a good unit nor a listed fault. {_joined(odd)}"
    elif remaining:
        again = " Take that one again before acting on it." if len(odd) == 1 else ""
        yield f"{_left_in(remaining[0])} {_joined(odd)}{again}".strip()
    else:
        yield f"the readings do not fit a good unit. {_joined(odd)}"


def _left_in(likeliest: Remaining) -> str:
    if likeliest.chance > DOUBT:
        return f"{likeliest.text} is still there."
    return f"a fault is still there, likeliest {likeliest.text}."


def _odd(each: Checked) -> str:
    front = each.title if each.asks else f"{each.title} reads"
    return f"{front} {each.text}, good is {each.band}"


def _joined(told: Sequence[str]) -> str:
    return f"{sentence('; '.join(told))}" if told else ""


def _look_for(hidden: Sequence[Hidden]) -> Iterator[str]:
    """What the trade looks for behind the likeliest of what was put right."""
    mended = [each.suspect.behind for each in hidden if each.why == "recurs"]
    yield from (text for text in mended[:1] if text)
