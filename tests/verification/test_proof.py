"""A proof that should fail fails, and one that should not does not: on simulated specimens.

The specimens are drawn outside the fault table (`study.truth`), each reading has its meter's error
and display (`study.technician`).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.verification.proof_trial import Ended, ProofTrial

from rungwise.faults.suspect_set import HEALTHY
from rungwise.verification.checking import Checked
from rungwise.verification.finding import Finding
from rungwise.verification.repair_proof import prove
from rungwise.verification.told import Told
from rungwise.verification.verdict import proof_of, standing

SEEDS = 5


def ends(trial: ProofTrial, repaired: str, left_in: str) -> list[Ended]:
    suspect = trial.suspects.suspect(left_in)
    seeds = (np.random.default_rng([5, number]) for number in range(SEEDS))
    return [trial.prove(repaired, suspect, rng) for rng in seeds]


@pytest.mark.parametrize(
    ("repaired", "left_in"),
    [
        ("compressor:let_cool", "capacitor.herm_weak"),
        ("lv_fuse", "y_field+c_field.shorted"),
        ("lv_fuse", "y_hp.rubbed"),
    ],
)
def test_a_second_fault_left_in_is_refused(trial: ProofTrial, repaired: str, left_in: str) -> None:
    found = ends(trial, repaired, left_in)
    assert all(each.standing != "proved" for each in found)
    assert sum(each.standing == "refused" for each in found) >= SEEDS - 1


def test_a_good_unit_is_proved(trial: ProofTrial) -> None:
    """But for slips of the eye and specimens that take more than their plate: two of five."""
    found = ends(trial, "lv_fuse", HEALTHY)
    assert sum(each.standing == "proved" for each in found) >= SEEDS - 2


def test_the_refusal_names_the_reading_beyond_its_limit(trial: ProofTrial) -> None:
    """29 of 45 µF: changed at more than 10% under the mark (common practice, no source)."""
    told = Told(
        repaired=("compressor:let_cool",),
        taken=(
            ("look-compressor", "running"), ("look-fan", "turning"), ("look-blower", "turning"),
            ("look-idle", "stops"), ("uf-capacitor-HERM-C", 29.0), ("uf-capacitor-HERM-C", 28.9),
        ),
    )  # fmt: skip
    proof = prove(trial.suspects, trial.model, told, trial.good)
    assert proof.standing == "refused"
    assert "run capacitor, compressor section weak (behind the repair" in proof.headline
    assert "reads 28.9 µF, good is 42.3 to 47.7 µF" in proof.headline
    assert proof.remaining[0].hidden.suspect.id == "capacitor.herm_weak"
    assert "weak capacitor" in proof.look_for[0]
    assert [each.good for each in proof.checks] == [True, True, True, True, False]


def test_a_refusal_does_not_name_one_of_many_shorts_for_certain(trial: ProofTrial) -> None:
    """Several shorts of the yellow wire read alike; the reason says which is likeliest."""
    proof = prove(
        trial.suspects, trial.model, Told(("lv_fuse",), taken=(("ohms-y_splice-C", 0.6),))
    )
    assert proof.standing == "refused"
    assert proof.remaining[0].chance < 0.5
    assert "a fault is still there, likeliest" in proof.headline
    assert "reads 600 mΩ, good is" in proof.headline


def test_a_reading_is_told_with_its_band_and_a_look_without() -> None:
    amps = Checked("a", "amps of the fan", "1.3 A", "1.2 to 1.5 A", good=True)
    assert amps.line() == "amps of the fan: 1.3 A, as it should be (1.2 to 1.5 A)"
    look = Checked("b", "does the fan turn?", "turning", "turning", good=True)
    assert look.line() == "does the fan turn? turning, as it should be"
    still = replace(look, text="still", good=False)
    assert still.line() == "does the fan turn? still, NOT as it should be; good is turning"


def test_not_proved_yet_says_what_remains_and_what_to_measure(trial: ProofTrial) -> None:
    told = Told(("compressor:let_cool",), taken=(("look-compressor", "running"),))
    proof = prove(trial.suspects, trial.model, told, trial.good)
    assert proof.standing == "not yet"
    assert proof.remaining
    assert proof.worth
    assert "safe" not in proof.headline.casefold()


def test_a_refused_figure_refuses_the_proof_of_a_good_circuit(trial: ProofTrial) -> None:
    course = trial.course("capacitor")
    worn = Finding("supply", 200.0, "V", "refuse", "Supply 200 V.", "test")
    assert standing(course, [worn]) == "refused"
    assert proof_of(course, trial.hidden("capacitor"), [worn]).reasons == ("Supply 200 V.",)
