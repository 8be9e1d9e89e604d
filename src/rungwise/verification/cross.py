"""Electrical suspects and the state of the refrigerant inform one another.

Weights are common practice, no source: how many times likelier a state of the charge makes a
suspect than it was, and the other way round.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rungwise.verification.cooling import RIVALS, ChargeState
from rungwise.verification.finding import Finding
from rungwise.verification.masked_faults import Hidden

__all__ = ["FACTORS", "charge_factors", "charge_odds", "explained_by_charge"]

FACTORS: Mapping[ChargeState, Mapping[str, float]] = {
    "low charge": {
        "low_pressure.open": 8.0,  # the suction pressure falls under the switch's setting
        "compressor.overload_open": 3.0,  # too little cold gas comes back to cool the windings
        "high_pressure.open": 0.3,
    },
    "restriction": {
        "low_pressure.open": 6.0,
        "compressor.overload_open": 2.5,
        "high_pressure.open": 1.5,
    },
    "low air flow": {
        "low_pressure.open": 3.0,  # an iced coil
        "blower.seized": 2.0,
        "blower_capacitor.run_weak": 4.0,
        "blower_capacitor.run_open": 2.0,
    },
    RIVALS: {
        "low_pressure.open": 1.5,
        "blower.seized": 1.5,
        "blower_capacitor.run_weak": 2.0,
        "compressor.not_pumping": 3.0,
    },
    "overcharge": {
        "high_pressure.open": 6.0,
        "compressor.overload_open": 2.0,
        "low_pressure.open": 0.3,
    },
    "as it should be": {
        "low_pressure.open": 0.3,
        "high_pressure.open": 0.5,
        "compressor.overload_open": 0.7,
    },
    "unknown": {},
}
"""Likelihood of the state with the suspect, over that without it (common practice, no source)."""

START: Mapping[ChargeState, float] = {
    "as it should be": 0.7, "low charge": 0.15, "overcharge": 0.06, "restriction": 0.03,
    "low air flow": 0.06,
}  # fmt: skip
"""How charges are found on calls, before anything is known (common practice, no source)."""


def charge_factors(state: ChargeState) -> dict[str, float]:
    """By suspect id, how many times likelier the state makes it; 1 where nothing is said."""
    return dict(FACTORS[state])


def charge_odds(suspects: Sequence[str]) -> dict[ChargeState, float]:
    """Probability of each state of the charge, given suspects that were found, by Bayes' rule.

    An open low-pressure switch makes low charge likely before a gauge is on.
    """
    weight = dict(START)
    for name in suspects:
        weight = {state: it * FACTORS[state].get(name, 1.0) for state, it in weight.items()}
    total = sum(weight.values())
    return {state: it / total for state, it in weight.items()}


def explained_by_charge(state: ChargeState, hidden: Sequence[Hidden]) -> tuple[Finding, ...]:
    """That the charge explains what was put right: the cause is then still there."""
    return tuple(_explained(state, [each for each in hidden if each.why == "recurs"]))


def _explained(state: ChargeState, mended: Sequence[Hidden]) -> Iterator[Finding]:
    source = "rule of thumb"
    for each in mended:
        factor = FACTORS[state].get(each.suspect.id, 1.0)
        if state != "as it should be" and factor >= 2.0:
            text = f"{state} explains it ({each.suspect.title}) and is still there; it will recur."
            yield Finding("charge", None, "", "refuse", text[:1].upper() + text[1:], source)
    if state == "unknown":
        yield from _not_measured([each.suspect.id for each in mended])


def _not_measured(mended: Sequence[str]) -> Iterator[Finding]:
    """Where a charge out of order is likely behind what was put right, and no gauge was on."""
    odds = charge_odds(mended)
    normal = odds.pop("as it should be")
    likely = max(odds, key=lambda state: odds[state])
    asked = {"low_pressure.open", "high_pressure.open"} & set(mended)
    if asked and normal < 0.5:
        text = (
            f"Behind {', '.join(sorted(asked))} the charge is not as it should be in "
            f"{100 * (1 - normal):.0f} % of calls, most often {likely}: measure it."
        )
        yield Finding("charge", None, "", "caution", text, "rule of thumb")
