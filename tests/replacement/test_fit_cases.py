"""Fits whose answer and reason were written before the engine was asked."""

from __future__ import annotations

import pytest
from tests.replacement.fit_cases import HELD_OUT, OPEN, Answer, answered, cases_in


@pytest.fixture(scope="module")
def answers() -> dict[str, Answer]:
    return {each.case.id: each for each in answered([*cases_in(OPEN), *cases_in(HELD_OUT)])}


def test_no_part_that_must_not_go_in_is_called_fit(answers: dict[str, Answer]) -> None:
    assert len(answers) >= 150
    assert [name for name, each in answers.items() if each.unsafe] == []


def test_every_case_has_its_answer_for_its_reason(answers: dict[str, Answer]) -> None:
    wrong = {name: each.verdict for name, each in answers.items() if not each.right}
    assert wrong == {}
