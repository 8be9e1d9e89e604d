"""What may hide behind a repair: read from the circuit, weighed by Bayes' rule."""

from __future__ import annotations

import pytest
from tests.verification.proof_trial import ProofTrial

from rungwise.diagnosis import DEAD
from rungwise.errors import UnknownName
from rungwise.verification.masked_faults import (
    MOST_BEHIND,
    NOT_TAKEN,
    hidden_behind,
    openers,
    repairs_named,
)
from rungwise.verification.sights import at_the_start
from rungwise.verification.verdict import standing
from rungwise.verification.worth import (
    OFF,
    checks_worth_making,
    needed_checks,
    next_proof_check,
)


def behind(trial: ProofTrial, repaired: str) -> dict[str, float]:
    return {e.suspect.id: e.chance for e in trial.hidden(repaired) if e.why == "behind"}


def test_behind_a_blown_fuse_are_the_shorts_that_blow_it(trial: ProofTrial) -> None:
    found = behind(trial, "lv_fuse")
    assert next(iter(found)) == "y_field+c_field.shorted"
    assert {"y_field.rubbed", "r_board.rubbed", "contactor.coil_shorted"} <= set(found)
    assert not {"capacitor.herm_weak", "thermostat.not_calling"} & set(found)


def test_behind_an_open_overload_are_the_weak_capacitor_and_the_dead_fan(
    trial: ProofTrial,
) -> None:
    found = behind(trial, "compressor:let_cool")
    assert {"capacitor.herm_weak", "capacitor.herm_open"} <= set(list(found)[:4])
    assert "fan.seized" in found


def test_the_other_half_of_a_pair_is_looked_for_either_way(trial: ProofTrial) -> None:
    assert "contactor.pole1_pitted" in behind(trial, "whip_l1")
    assert "whip_l1.high_resistance" in behind(trial, "contactor")


def test_what_was_put_right_too_no_longer_hides_behind(trial: ProofTrial) -> None:
    done = repairs_named(trial.suspects, ["compressor:let_cool", "capacitor"])
    found = {e.suspect.id: e.why for e in hidden_behind(trial.suspects, done)}
    assert found["capacitor.herm_weak"] == "recurs"


def test_chances_leave_room_for_a_good_unit(trial: ProofTrial) -> None:
    for repaired in ("lv_fuse", "compressor:let_cool", "capacitor", "y_hp"):
        hidden = trial.hidden(repaired)
        assert 0.0 < sum(each.chance for each in hidden) < 0.75
        assert sum(behind(trial, repaired).values()) <= MOST_BEHIND + 1e-12
        recurring = [each.chance for each in hidden if each.why == "recurs"]
        assert sum(recurring) == pytest.approx(NOT_TAKEN)


def test_known_faults_narrow_down_what_may_recur(trial: ProofTrial) -> None:
    done = repairs_named(trial.suspects, ["capacitor"])
    hidden = hidden_behind(trial.suspects, done, ["capacitor.fan_open"])
    (recurs,) = (each for each in hidden if each.why == "recurs")
    assert recurs.suspect.id == "capacitor.fan_open"
    assert recurs.chance == pytest.approx(NOT_TAKEN)


def test_nothing_opens_what_has_no_rule(trial: ProofTrial) -> None:
    assert openers(trial.suspects, ["capacitor"]) == {}


def test_an_unknown_repair_is_refused_with_close_names(trial: ProofTrial) -> None:
    with pytest.raises(UnknownName, match="capacitor"):
        repairs_named(trial.suspects, ["capacitator"])


def test_worth_making_are_dead_checks_the_start_looks_and_what_a_proof_has_to_see(
    trial: ProofTrial,
) -> None:
    course = trial.course("capacitor")
    worth = checks_worth_making(course)
    ids = [each.check.id for each in worth]
    powered = next(at for at, each in enumerate(worth) if each.check.condition not in OFF)
    starts = [at for at, each in enumerate(worth) if at_the_start(each.check)]
    assert starts == [*range(powered, powered + 4)]
    for shown_by in (
        {"loaduf-capacitor-HERM", "uf-capacitor-HERM-C"},
        {"loaduf-capacitor-FAN", "uf-capacitor-FAN-C"},
        {"amps-comp_c"},
        {"amps-fan_c"},
        {"volts-contactor-L1-L2", "volts-contactor-T1-T2"},
        {"drop-contactor-L1-T1"},
        {"idle-amps-heater_line"},
    ):
        assert shown_by & set(ids), f"nobody is asked for {shown_by}"
    assert worth[-1].good_after > course.good
    assert len(set(ids)) == len(ids)


def test_ground_behind_the_contactor_is_asked_for_before_power(trial: ProofTrial) -> None:
    """Also where it raises the belief in a good unit too little to be on the list."""
    course, asked = trial.course("capacitor"), list[str]()
    best = next_proof_check(course)
    while best is not None and best.check.condition in OFF:
        asked.append(best.check.id)
        course = course.with_out_of_reach([best.check.id])
        best = next_proof_check(course)
    assert "ohms-contactor-T1-earth" in asked
    assert best is not None
    assert at_the_start(best.check)


def test_nothing_is_proved_before_anything_is_measured(trial: ProofTrial) -> None:
    for repaired in ("lv_fuse", "capacitor"):
        assert standing(trial.course(repaired)) == "not yet"


def test_a_circuit_that_may_open_the_new_fuse_is_measured_dead_before_power(
    trial: ProofTrial,
) -> None:
    course = trial.course("lv_fuse")
    assert "y_field+c_field.shorted" in course.opening
    worth = checks_worth_making(course)
    assert worth[0].check.id.startswith("ohms-")
    powered = next(at for at, each in enumerate(worth) if at_the_start(each.check))
    assert powered > 0
    assert all(each.check.condition == DEAD for each in worth[:powered])
    assert not trial.course("capacitor").opening


def test_the_joint_beside_a_burnt_contact_is_read_before_the_proof(trial: ProofTrial) -> None:
    """A loose joint is a usual cause of a burnt contact (common practice, no source).

    Where somebody looked at the joints and tugged at them, that comes first.
    """
    looks = [f"look-joints-{place}" for place in ("outdoor", "disconnect")]
    course = trial.course("contactor").with_out_of_reach(looks)
    assert set(course.behind["comp_r.high_resistance"].checks) == {"drop-comp_r", "wire-comp_r"}
    asked = {each.check.id for each in checks_worth_making(course)}
    assert asked & {"drop-comp_r", "wire-comp_r"}
    assert asked & {"drop-whip_l1", "wire-whip_l1"}


def test_a_reading_in_doubt_is_taken_by_another_check_of_the_same_thing(
    trial: ProofTrial,
) -> None:
    """4.3 of 5 µF from the small amps of a start lead; the unit dead, a meter reads 4.9."""
    course = trial.course("capacitor")
    cards = {card.id: card for card in course.belief.table.checks}
    doubt = course.after(cards["loaduf-capacitor-FAN"], 4.3)
    assert [each.id for each in doubt.doubtful] == ["loaduf-capacitor-FAN"]
    assert "uf-capacitor-FAN-C" in needed_checks(doubt)
    assert "loaduf-capacitor-FAN" not in needed_checks(doubt)
    settled = doubt.after(cards["uf-capacitor-FAN-C"], 4.9)
    assert settled.doubtful == ()
