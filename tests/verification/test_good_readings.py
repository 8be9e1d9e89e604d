"""A good reading never withholds a proof, and a proof says what it did not see.

Good is what a technician calls good; where a figure of the trade has no source it says so.
"""

from __future__ import annotations

import math

import pytest
from tests.verification.proof_trial import ProofTrial

from rungwise.verification.cooling_proof import AirReadings, ChargeReadings, Conditions
from rungwise.verification.repair_proof import prove
from rungwise.verification.told import Told
from rungwise.verification.verdict import Proof

LOOKS = {"look-compressor": "running", "look-fan": "turning", "look-blower": "turning",
         "look-idle": "stops"}  # fmt: skip
SEEN: dict[str, float | str] = {
    **LOOKS,
    "volts-contactor-L1-L2": 236.0,
    "amps-comp_c": 12.4,
    "amps-fan_c": 1.1,
    "loaduf-capacitor-HERM": 44.6,
    "loaduf-capacitor-FAN": 4.9,
    "drop-contactor-L1-T1": 0.02,
    "idle-amps-heater_line": 0.29,
}
"""Everything that a proof of this unit has to see of its circuit, as on an ordinary good unit."""

AIR = AirReadings(return_dry_c=24.0, return_wet_c=17.0, supply_dry_c=13.5)
MILD = Conditions(outdoor_c=26.0, run_minutes=15.0)


def proof(trial: ProofTrial, changes: dict[str, float | str] | None = None, *,
          air: AirReadings | None = AIR, conditions: Conditions = MILD) -> Proof:  # fmt: skip
    """The proof of a changed capacitor with everything seen, but for the changes."""
    taken = {**SEEN, **(changes or {})}
    told = Told(("capacitor",), taken=tuple(taken.items()), air=air, conditions=conditions)
    return prove(trial.suspects, trial.model, told, trial.good)


def left_out(name: str) -> dict[str, float | str]:
    return {key: value for key, value in SEEN.items() if key != name}


def test_a_good_unit_of_which_everything_was_seen_is_proved(trial: ProofTrial) -> None:
    found = proof(trial)
    assert found.standing == "proved", found.reasons
    assert not any(each.withholds for each in found.unseen)


# Amps: RLA and FLA are ceilings. Contact: 5 mΩ at 12 A is 60 mV, under 0.1 V. Megohms have no top.
# Coils of 24 V run from 8 to 20 Ω by make. R to C: 23 to 29 V. Inrush is about the plate's LRA.
# All common practice, no source. L1 to L2 on a plate of 208/230 V: 197 to 253 V (ANSI C84.1 and
# AHRI 110, from memory).
GOOD_READINGS: tuple[tuple[str, float], ...] = (
    ("amps-comp_c", 0.70 * 16.0),
    ("amps-comp_c", 0.95 * 16.0),
    ("amps-fan_c", 0.80 * 1.3),
    ("amps-fan_c", 1.0 * 1.3),
    ("drop-contactor-L1-T1", 0.06),
    ("insulation-compressor", 500.0),
    ("insulation-compressor", math.inf),
    ("insulation-fan", math.inf),
    ("volts-transformer-R-C", 24.2),
    ("volts-board-R-C", 28.5),
    ("ohms-coil", 9.5),
    ("ohms-coil", 11.0),
    ("ohms-coil", 19.0),
    ("volts-contactor-L1-L2", 207.0),
    ("volts-contactor-L1-L2", 250.0),
    ("start-amps-comp_c", 78.0),
    ("loaduf-capacitor-HERM", 42.5),
    ("loaduf-capacitor-FAN", 5.25),
    ("volts-neutral-earth", 1.6),
    ("volts-coil", 22.5),
)


@pytest.mark.parametrize(("check", "value"), GOOD_READINGS)
def test_a_good_reading_never_withholds_the_proof(
    trial: ProofTrial, check: str, value: float
) -> None:
    found = proof(trial, {check: value})
    assert found.standing == "proved", (found.reasons, found.good)
    (told,) = (each for each in found.checks if each.id == check)
    assert (told.good, told.level) == (True, "good")


def test_all_readings_at_the_good_end_of_their_bands_together_are_still_good(
    trial: ProofTrial,
) -> None:
    """On a 208 V site on a mild day, with another maker's coil and an old, sound contact."""
    found = proof(trial, {
        "volts-contactor-L1-L2": 204.0, "amps-comp_c": 10.6, "amps-fan_c": 0.98,
        "volts-transformer-R-C": 23.9, "volts-coil": 22.3, "ohms-coil": 18.4,
        "drop-contactor-L1-T1": 0.085, "insulation-compressor": math.inf,
        "loaduf-capacitor-HERM": 42.9,
    })  # fmt: skip
    assert found.standing == "proved", (found.reasons, found.good)


# Between 6 and 10% under the mark, between 0.1 and 0.2 V: to maintenance, no repair.
@pytest.mark.parametrize(
    ("check", "value"), [("loaduf-capacitor-HERM", 41.2), ("drop-contactor-L1-T1", 0.15)]
)
def test_what_goes_to_maintenance_is_told_and_does_not_withhold(
    trial: ProofTrial, check: str, value: float
) -> None:
    found = proof(trial, {check: value})
    assert found.standing == "proved", found.reasons
    (told,) = (each for each in found.checks if each.id == check)
    assert (told.good, told.level) == (True, "caution")
    assert "to maintenance" in told.line()


@pytest.mark.parametrize(
    ("check", "value"),
    [
        ("loaduf-capacitor-HERM", 22.0),
        ("loaduf-capacitor-FAN", 1.3),
        ("drop-contactor-L1-T1", 0.4),
        ("amps-comp_c", 19.5),
        ("insulation-compressor", 0.4),
        ("volts-contactor-L1-L2", 190.0),
        ("volts-coil", 19.0),
        ("idle-amps-heater_line", 0.0),
    ],
)
def test_a_reading_out_of_its_band_is_asked_for_again_and_twice_out_is_refused(
    trial: ProofTrial, check: str, value: float
) -> None:
    """Half the microfarads, a contact at 0.4 V, more than the plate; a good second reading ends it.

    The repaired capacitor's own reading among them: no belief outweighs it.
    """
    once = proof(trial, {check: value})
    assert once.standing == "not yet", once.headline
    assert any("take it again" in each for each in once.reasons)
    assert once.worth
    (told,) = (each for each in once.checks if each.id == check)
    assert not told.good
    twice = again(trial, {check: value}, check, value)
    assert twice.standing == "refused"
    good = SEEN.get(check)
    if good is not None:
        assert again(trial, {check: value}, check, good).standing == "proved"


def again(
    trial: ProofTrial, changes: dict[str, float | str], check: str, value: float | str
) -> Proof:
    """The proof of `proof` with one check read once more, last."""
    taken = (*{**SEEN, **changes}.items(), (check, value))
    return prove(
        trial.suspects, trial.model, Told(("capacitor",), taken=taken, air=AIR, conditions=MILD)
    )


def test_a_unit_that_runs_on_with_the_thermostat_off_is_refused_at_once(trial: ProofTrial) -> None:
    found = proof(trial, {"look-idle": "keeps running"})
    assert found.standing == "refused"
    assert "keeps running" in found.headline


@pytest.mark.parametrize("name", sorted(set(SEEN) - set(LOOKS)))
def test_a_proof_waits_for_each_thing_that_it_has_to_see(trial: ProofTrial, name: str) -> None:
    told = Told(("capacitor",), taken=tuple(left_out(name).items()), air=AIR, conditions=MILD)
    found = prove(trial.suspects, trial.model, told, trial.good)
    assert found.standing == "not yet"
    (unseen,) = (each for each in found.unseen if each.withholds)
    assert name in unseen.sight.checks
    assert unseen.sight.name in found.reasons[0]
    assert {each.check.id for each in found.worth} & set(unseen.sight.checks)


def test_a_proof_waits_for_the_air_split_unless_it_is_too_cold_to_run(trial: ProofTrial) -> None:
    warm = proof(trial, air=None)
    assert warm.standing == "not yet"
    assert "air split" in warm.reasons[0]
    cold = proof(trial, air=None, conditions=Conditions(outdoor_c=8.0, run_minutes=15.0))
    assert (cold.standing, cold.whole) == ("proved", False)
    assert "does its work" not in cold.headline
    assert "air split or charge with the outdoor air (too cold outdoors to run it)" in cold.headline


def test_the_charge_stands_for_the_air_split(trial: ProofTrial) -> None:
    """R-410A behind its valve on a day of 35 °C: 124 and 352 psi, lines at 54 and 97 °F."""
    charge = ChargeReadings("R-410A", "expansion valve", 124.0, 12.2, 352.0, 36.1)
    hot = Conditions(outdoor_c=35.0, run_minutes=15.0)
    told = Told(("capacitor",), taken=tuple(SEEN.items()), charge=charge, conditions=hot)
    found = prove(trial.suspects, trial.model, told, trial.good)
    assert found.whole, found.headline
    half = Told(("capacitor",), taken=tuple(SEEN.items()), conditions=hot,
                charge=ChargeReadings("R-410A", "expansion valve", 124.0, 12.2))  # fmt: skip
    assert prove(trial.suspects, trial.model, half).standing == "not yet"


def test_a_proof_says_what_it_did_not_see(trial: ProofTrial) -> None:
    found = proof(trial)
    names = {each.sight.name for each in found.unseen}
    assert {
        "refrigerant charge",
        "insulation of the compressor by megohms",
        "a look at the joints outdoors",
    } < names
    assert found.whole
    assert all(each in found.headline for each in names)


def test_a_repair_is_not_proved_without_its_own_reading(trial: ProofTrial) -> None:
    """The float switch is neither looked at nor measured, though all else is good."""
    told = Told(("float_switch",), taken=tuple(SEEN.items()), air=AIR, conditions=MILD)
    found = prove(trial.suspects, trial.model, told, trial.good)
    assert found.standing == "not yet"
    assert "own reading of the condensate float switch, which was repaired" in found.reasons[0]
    with_own = (*SEEN.items(), ("volts-float_switch-1-2", 0.01))
    told = Told(("float_switch",), taken=with_own, air=AIR, conditions=MILD)
    assert prove(trial.suspects, trial.model, told, trial.good).standing == "proved"


def test_what_could_not_be_reached_limits_the_sentence(trial: ProofTrial) -> None:
    told = Told(("capacitor",), taken=tuple(left_out("drop-contactor-L1-T1").items()), air=AIR,
                conditions=MILD, out_of_reach=frozenset({"drop-contactor-L1-T1"}))  # fmt: skip
    found = prove(trial.suspects, trial.model, told, trial.good)
    assert (found.standing, found.whole) == ("proved", False)
    assert "does its work" not in found.headline
    assert "drop across contact 1 of the one-pole contactor (could not be" in found.headline


def test_an_unusual_reading_is_asked_for_again_and_twice_the_same_refuses(
    trial: ProofTrial,
) -> None:
    """Seconds to the start go by the solved sequence; no limit of the trade is theirs."""
    once = proof(trial, {"seconds-to-start": 240.0})
    assert once.standing == "not yet"
    assert any("take it again" in each for each in once.reasons)
    taken = (*SEEN.items(), ("seconds-to-start", 240.0), ("seconds-to-start", 238.0))
    twice = prove(
        trial.suspects, trial.model, Told(("capacitor",), taken=taken, air=AIR, conditions=MILD)
    )
    assert twice.standing == "refused"


def test_amps_are_told_with_what_is_usual_in_the_weather(trial: ProofTrial) -> None:
    """The same 15 A are ordinary on a hot day and more than usual on a mild one."""
    texts = [
        next(each.band for each in proof(trial, conditions=Conditions(outdoor_c=c)).checks
             if each.id == "amps-comp_c")
        for c in (20.0, 40.0)
    ]  # fmt: skip
    assert "at 68 °F" in texts[0]
    assert "at 104 °F" in texts[1]
    assert texts[0] != texts[1]
