"""Electrical suspects and the state of the refrigerant inform one another.

Weights are common practice, no source: how many times likelier a state of the charge makes a
suspect than it was, and the other way round.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from rungwise.parts import PRACTICE
from rungwise.unit import Unit
from rungwise.verification.cooling_proof import RIVALS, ChargeState
from rungwise.verification.finding import Finding
from rungwise.verification.masked_faults import Hidden
from rungwise.wording import capital, joined, say

Role = Literal["low", "high", "compressor", "blower", "section"]
LOW: Role = "low"
HIGH: Role = "high"
COMPRESSOR: Role = "compressor"
BLOWER: Role = "blower"
SECTION: Role = "section"
"""A pressure switch, a motor, or the section of a capacitor that serves the blower."""

FACTORS: Mapping[ChargeState, Mapping[tuple[Role, str], float]] = {
    "low charge": {
        (LOW, "open"): 8.0,  # the suction pressure falls under the switch's setting
        (COMPRESSOR, "overload_open"): 3.0,  # too little cold gas comes back to cool the windings
        (HIGH, "open"): 0.3,
    },
    "restriction": {
        (LOW, "open"): 6.0,
        (COMPRESSOR, "overload_open"): 2.5,
        (HIGH, "open"): 1.5,
    },
    "low air flow": {
        (LOW, "open"): 3.0,  # an iced coil
        (BLOWER, "seized"): 2.0,
        (SECTION, "weak"): 4.0,
        (SECTION, "open"): 2.0,
    },
    RIVALS: {
        (LOW, "open"): 1.5,
        (BLOWER, "seized"): 1.5,
        (SECTION, "weak"): 2.0,
        (COMPRESSOR, "not_pumping"): 3.0,
    },
    "overcharge": {
        (HIGH, "open"): 6.0,
        (COMPRESSOR, "overload_open"): 2.0,
        (LOW, "open"): 0.3,
    },
    "as it should be": {
        (LOW, "open"): 0.3,
        (HIGH, "open"): 0.5,
        (COMPRESSOR, "overload_open"): 0.7,
    },
    "unknown": {},
}
"""Likelihood of the state with the suspect, over that without it (common practice, no source)."""

START: Mapping[ChargeState, float] = {
    "as it should be": 0.7, "low charge": 0.15, "overcharge": 0.06, "restriction": 0.03,
    "low air flow": 0.06,
}  # fmt: skip
"""How charges are found on calls, before anything is known (common practice, no source)."""


def charge_factors(unit: Unit, state: ChargeState) -> dict[str, float]:
    """By suspect id, how many times likelier the state makes it; 1 where nothing is said."""
    told = FACTORS[state].items()
    return {name: factor for way, factor in told for name in _suspects(unit, *way)}


def _suspects(unit: Unit, role: Role, way: str) -> Iterator[str]:
    """Ids of what fails in this way in this role."""
    roles = unit.roles
    if role == SECTION:
        served = (each for motor in roles.indoor_blowers for each in roles.sections_serving(motor))
        for each in served:
            mode = each.section.weak_mode if way == "weak" else each.section.open_mode
            yield f"{each.capacitor}.{mode}"
        return
    parts = {
        LOW: roles.opening_on("low pressure"),
        HIGH: roles.opening_on("high pressure"),
        COMPRESSOR: roles.compressors,
        BLOWER: roles.indoor_blowers,
    }[role]
    yield from (f"{part}.{way}" for part in parts)


def charge_odds(unit: Unit, suspects: Sequence[str]) -> dict[ChargeState, float]:
    """Probability of each state of the charge, given suspects that were found, by Bayes' rule.

    An open low-pressure switch makes low charge likely before a gauge is on.
    """
    weight = dict(START)
    for name in suspects:
        weight = {
            state: it * charge_factors(unit, state).get(name, 1.0) for state, it in weight.items()
        }
    total = sum(weight.values())
    return {state: it / total for state, it in weight.items()}


def explained_by_charge(
    unit: Unit, state: ChargeState, hidden: Sequence[Hidden]
) -> tuple[Finding, ...]:
    """That the charge explains what was put right: the cause is then still there."""
    return tuple(_explained(unit, state, [each for each in hidden if each.why == "recurs"]))


def _explained(unit: Unit, state: ChargeState, mended: Sequence[Hidden]) -> Iterator[Finding]:
    source = PRACTICE
    for each in mended:
        factor = charge_factors(unit, state).get(each.suspect.id, 1.0)
        if state != "as it should be" and factor >= 2.0:
            text = say(
                "{state} explains it ({title}) and is still there; it will recur.",
                state=state,
                title=each.suspect.title,
            )
            yield Finding("charge", None, "", "refuse", capital(text), source)
    if state == "unknown":
        yield from _not_measured(unit, {each.suspect.id: each.suspect.title for each in mended})


def _not_measured(unit: Unit, mended: Mapping[str, str]) -> Iterator[Finding]:
    """Where a charge out of order is likely behind what was put right, and no gauge was on.

    mended: suspects by id, with their titles.
    """
    odds = charge_odds(unit, list(mended))
    normal = odds.pop("as it should be")
    likely = max(odds, key=lambda state: odds[state])
    asked = {*_suspects(unit, LOW, "open"), *_suspects(unit, HIGH, "open")} & set(mended)
    if asked and normal < 0.5:
        text = say(
            "Behind {join} the charge is not as it should be in {normal}% of calls, most "
            "often {likely}: measure it.",
            join=joined(", ", [mended[each] for each in sorted(asked)]),
            normal=f"{100 * (1 - normal):.0f}",
            likely=likely,
        )
        yield Finding("charge", None, "", "caution", text, PRACTICE)
