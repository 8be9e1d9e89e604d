"""One limit for a capacitor and one for a contact, wherever an answer tells of them."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.report.conftest import UNIT

from rungwise.diagnosis import CheckCard, Verdict
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.shown import Confirmation
from rungwise.maintenance.measure import measure_named
from rungwise.parts.limits import CAPACITOR, CONTACT_DROP
from rungwise.services import unit_from_text
from rungwise.services.stated_limits import by_stated_limit, limits_told
from rungwise.verification.trade_limits import trade_bands

HERM, DROP = "uf-capacitor-HERM-C", "drop-contactor-L1-T1"
SENTENCES = {
    HERM: "good down to 42.3 µF, changed under 40.5 µF, between them to maintenance",
    DROP: "good up to 0.1 V, changed over 0.2 V, between them to maintenance",
}
"""Of a section marked 45 µF: 6% under the mark is the usual marking, 10% common practice; 0.1 and
0.2 V over a contact likewise (common practice, no source)."""


@pytest.fixture(scope="module")
def cards() -> dict[str, CheckCard]:
    return {check.card.id: check.card for check in checks_of(unit_from_text(UNIT))}


@pytest.mark.parametrize("check", SENTENCES)
def test_expect_and_upkeep_tell_one_limit_in_one_sentence(check: str) -> None:
    told = limits_told(unit_from_text(UNIT))
    assert told[check] == SENTENCES[check]
    measure = measure_named("capacitance" if check == HERM else "contact_drop")
    assert measure.limit_told(45.0) == SENTENCES[check]


@pytest.mark.parametrize(
    ("check", "value"), [(HERM, 42.4), (HERM, 41.0), (HERM, 40.4), (DROP, 0.09), (DROP, 0.15),
                         (DROP, 0.21)],
)  # fmt: skip
def test_the_proof_and_upkeep_grade_a_reading_alike(check: str, value: float) -> None:
    """Good is good in both, watch is told and lets the proof stand, change never passes."""
    level = trade_bands(unit_from_text(UNIT), timed=False)[check].level(value)
    measure = measure_named("capacitance" if check == HERM else "contact_drop")
    grades = {"good": "good", "watch": "caution"}
    grade = measure.grade(value, 45.0)
    assert level == grades.get(grade, level)
    assert (grade == "change") == (level in ("again", "refuse"))


@pytest.mark.parametrize("check", SENTENCES)
def test_a_repair_begins_with_the_same_limit(check: str, cards: dict[str, CheckCard]) -> None:
    """Whatever the model's spread made of go and stop; a leak over the mark is still gone for."""
    unit = unit_from_text(UNIT)
    solved = Confirmation(cards[check], ((-math.inf, 39.0), (60.0, 90.0)), ((42.0, 48.0),), "x")
    plain = Verdict("suspected", 0.9, None, (), (), (), None, confirm=solved)
    confirm = by_stated_limit(plain, unit).confirm
    assert confirm is not None
    if check == HERM:
        assert confirm.go == ((-math.inf, 45.0 * CAPACITOR.change), (60.0, 90.0))
        assert confirm.stop[0][0] == pytest.approx(45.0 * CAPACITOR.watch)
    else:
        assert confirm.go == ((CONTACT_DROP.change, math.inf),)
        assert confirm.stop == ((-math.inf, CONTACT_DROP.watch),)
    other = replace(plain, confirm=replace(solved, check=cards["ohms-coil"]))
    assert by_stated_limit(other, unit) is other
