"""Electrical suspects and the state of the refrigerant inform one another (common practice)."""

from __future__ import annotations

import pytest
from tests.verification.proof_trial import ProofTrial

from rungwise.verification.belief_after_repair import belief_after
from rungwise.verification.cooling_proof import ChargeReadings, Conditions
from rungwise.verification.cross import FACTORS, charge_factors, charge_odds, explained_by_charge
from rungwise.verification.repair_proof import prove
from rungwise.verification.told import Told

LOOKS = (
    ("look-compressor", "running"), ("look-fan", "turning"), ("look-blower", "turning"),
    ("look-idle", "stops"),
)  # fmt: skip
SHORT_OF_CHARGE = ChargeReadings("R-410A", "expansion valve", 85.0, 20.0, 300.0, 34.0)
WARM = Conditions(outdoor_c=33.0, run_minutes=15.0)


def test_low_charge_makes_an_open_low_pressure_switch_and_a_hot_overload_likelier(
    trial: ProofTrial,
) -> None:
    hidden = trial.hidden("capacitor")
    plain = belief_after(trial.model, hidden).by_suspect()
    told = belief_after(
        trial.model, hidden, charge_factors(trial.suspects.unit, "low charge")
    ).by_suspect()
    for name in ("low_pressure.open", "compressor.overload_open"):
        assert told[name] > 2.0 * plain[name]
    assert told["high_pressure.open"] < plain["high_pressure.open"]


def test_an_open_low_pressure_switch_makes_low_charge_likely_before_a_gauge_is_on(
    trial: ProofTrial,
) -> None:
    unit = trial.suspects.unit
    before, after = charge_odds(unit, []), charge_odds(unit, ["low_pressure.open"])
    assert sum(after.values()) == pytest.approx(1.0)
    # Bayes by hand: 0.15·8 of 0.7·0.3 + 0.15·8 + 0.06·0.3 + 0.03·6 + 0.06·3.
    assert after["low charge"] == pytest.approx(1.2 / (0.21 + 1.2 + 0.018 + 0.18 + 0.18))
    assert after["low charge"] > 4.0 * before["low charge"]


def test_a_charge_that_explains_what_was_put_right_refuses_the_proof(trial: ProofTrial) -> None:
    told = Told(("low_pressure",), taken=LOOKS, charge=SHORT_OF_CHARGE, conditions=WARM)
    proof = prove(trial.suspects, trial.model, told, trial.good)
    assert proof.standing == "refused"
    assert "low charge explains it" in proof.headline.casefold()


def test_an_unmeasured_charge_behind_a_pressure_switch_is_asked_for(trial: ProofTrial) -> None:
    (asked,) = explained_by_charge(trial.suspects.unit, "unknown", trial.hidden("low_pressure"))
    assert asked.level == "caution"
    assert "measure it" in asked.text
    assert explained_by_charge(trial.suspects.unit, "unknown", trial.hidden("capacitor")) == ()


def test_every_factor_is_a_plain_ratio() -> None:
    assert all(0.1 <= each <= 10.0 for row in FACTORS.values() for each in row.values())
