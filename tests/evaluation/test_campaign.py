"""Simulated calls worked to a verdict: a small sample of the study in docs/study.md."""

from __future__ import annotations

import pytest

from rungwise.errors import BadInput, UnknownName
from rungwise.evaluation import Study, run_study
from rungwise.evaluation.worked_call import MOST_CHECKS, Outcome
from rungwise.faults import SuspectSet
from rungwise.unit.unit_file import arrangement

SEED = 5  # chosen before the first run, and kept
UNITS = ("one_pole_heater", "hard_start_delay")  # two tables to build, not four


@pytest.fixture(scope="module")
def sample() -> Study:
    return run_study(100, SEED, policies=["rungwise"], arrangements=UNITS)


def test_the_culprit_comes_first_and_no_good_contactor_is_condemned(sample: Study) -> None:
    """100 calls, readings from ngspice, of which some hold a fault that nobody would notice.

    Half an ohm in a blower's lead stops nothing: that nothing is wrong now is as good an answer,
    and it may be given only of a fault that comes in all degrees.
    """
    (found,) = sample.tallies()
    assert found.culprit_first.of == 100
    hidden = [each for each in sample.outcomes if each.verdict == "nothing_wrong_now"]
    assert len(hidden) <= 20
    assert [each.truth for each in hidden if not _in_degrees(each)] == []
    noticed = [each for each in sample.outcomes if each not in hidden]
    first = sum(each.culprit_first for each in noticed)
    assert first >= 0.9 * len(noticed), sample.missed("rungwise")
    assert found.contactor_condemned.count == 0


def _in_degrees(call: Outcome) -> bool:
    return SuspectSet(arrangement(call.arrangement)).suspect(call.truth).ranged


def test_calls_are_of_many_kinds_and_on_every_arrangement(sample: Study) -> None:
    assert {each.arrangement for each in sample.outcomes} == set(UNITS)
    assert len({each.truth for each in sample.outcomes}) > 20


def test_a_call_makes_a_free_symptom_and_a_check_once_more_at_most(
    sample: Study,
) -> None:
    """What a verdict leans on and looks odd is taken a second time."""
    for each in sample.outcomes:
        made = [step.check for step in each.steps]
        assert len(made) == each.checks <= MOST_CHECKS
        assert all(made.count(check) <= 2 for check in made)
        told = {"look-fan", "look-compressor", "look-blower", "look-contactor-quiet", "look-idle"}
        assert all(made.count(symptom) <= 1 for symptom in told)


def test_what_is_found_does_not_depend_on_the_processes_or_the_other_policies() -> None:
    few = {"source": "engine", "arrangements": ["one_pole_heater"]}
    alone = run_study(2, 9, policies=["rungwise"], **few)  # type: ignore[arg-type]
    both = ["most-likely-first", "rungwise"]
    shared = run_study(2, 9, policies=both, processes=2, **few)  # type: ignore[arg-type]
    assert shared.of("rungwise") == alone.outcomes
    assert len(shared.of("most-likely-first")) == 2


def test_progress_is_told_to_the_end() -> None:
    told: list[float] = []
    run_study(
        2,
        9,
        source="engine",
        policies=["rungwise"],
        arrangements=["one_pole_heater"],
        progress=told.append,
    )
    assert told == [0.5, 1.0]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"calls": 0}, "at least one call"),
        ({"processes": 0}, "at least one process"),
        ({"policies": ["guessing"]}, "no policy 'guessing'"),
        ({"policies": []}, "at least one policy"),
    ],
)
def test_what_cannot_be_studied_is_refused(asked: dict[str, object], said: str) -> None:
    with pytest.raises(BadInput, match=said):
        run_study(**({"calls": 1, "source": "engine"} | asked))  # type: ignore[arg-type]


def test_an_unknown_arrangement_is_refused() -> None:
    with pytest.raises(UnknownName):
        run_study(1, source="engine", arrangements=["three_pole"])
