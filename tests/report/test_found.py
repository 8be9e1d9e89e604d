"""What was found is told as far as it is known, with what was owed before the repair."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.diagnosis.verdict_rules import Kind, Taken
from rungwise.report import Worked, telling
from rungwise.report.extras import Extras
from rungwise.services import CallDiagnosis

OWED = "ohms-contactor-T1-earth"


def told(worked: Worked, kind: Kind, *, repaired: bool, again: bool = False) -> CallDiagnosis:
    """The call's answer, as if it were of this kind and a reading were owed."""
    answer, table = worked.answer, worked.answer.belief.table
    taken = Taken(table.check("volts-coil"), "0 V", 0.0) if again else None
    verdict = replace(answer.verdict, kind=kind, first=(table.check(OWED),), again=taken)
    call = answer.call if repaired else replace(answer.call, proof=None)
    return replace(answer, verdict=verdict, call=call)


@pytest.mark.parametrize(
    ("repaired", "line", "odd"),
    [
        (False, "To read before the repair: ", "Odd, to be taken again: "),
        (True, "Not read before the repair: ", "Odd, and not taken again: "),
    ],
)
def test_what_is_owed_stands_before_the_repair_and_is_missed_after_it(
    worked: Worked, line: str, odd: str, *, repaired: bool
) -> None:
    answer = told(worked, "suspected", repaired=repaired, again=True)
    found = telling.cause_told(answer)
    assert found[0].startswith("Shown, not yet settled: condensate float switch open")
    table = answer.belief.table
    assert f"{line}{table.check(OWED).title}." in found
    assert f"{odd}{table.check('volts-coil').title}." in found


def test_a_repair_that_owes_readings_is_not_simply_told_to_be_done(worked: Worked) -> None:
    answer = told(worked, "suspected", repaired=False)
    assert answer.advice.stop
    (line,) = telling.work_told(answer, ())
    assert line.startswith("Nothing is written down as done. After these readings: Clear the drain")


def test_a_fault_that_is_found_owes_nothing(worked: Worked) -> None:
    found = telling.cause_told(worked.answer)
    assert worked.answer.verdict.kind == "found"
    assert not [each for each in found if "before the repair" in each]


def test_what_is_worth_measuring_stands_line_by_line(worked: Worked) -> None:
    """No line ends with two stops."""
    lines = [each for each in telling.not_measured(worked, Extras())
             if each.startswith("Still worth measuring: ")]  # fmt: skip
    assert len(lines) > 1
    assert not [each for each in lines if "?." in each]
