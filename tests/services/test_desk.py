"""A desk answers many at once, and answers what the commands answer."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.tables import solved

from rungwise.errors import BadCallFile, BadReading, BadUnitFile, UnknownName
from rungwise.services import (
    DiagnosisService,
    answer_of,
    call_from_text,
    diagnosis_service,
    unit_from_text,
)
from rungwise.services.as_json import diagnosis_json
from rungwise.services.call_files import fitted_part, wired
from rungwise.services.input_files import UnitSource
from rungwise.services.runtime.result_cache import ResultCache

UNIT = 'arrangement = "two_pole_plain"\n'
CALL = """unit = "nowhere.toml"
[symptoms]
compressor = "silent"
[[readings]]
check = "volts-coil"
value = "0 V"
"""


@pytest.fixture(scope="module")
def built() -> Iterator[list[str]]:
    """The names of the units whose table was built, a small one for speed."""
    done: list[str] = []

    def build(unit: Any, **told: Any) -> Any:
        done.append(unit.name)
        return solved(unit, particles=2, **told)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(diagnosis_service, "build_table", build)
        yield done


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("tables")


@pytest.fixture
def at_desk(built: list[str], folder: Path) -> Iterator[DiagnosisService]:
    del built  # small tables while it lives
    held = DiagnosisService(folder)
    yield held
    held.close()


def test_a_unit_is_ready_once_its_table_is_built_and_the_next_desk_reads_it(
    at_desk: DiagnosisService, folder: Path, built: list[str]
) -> None:
    unit = unit_from_text(UNIT, "shared")
    at_desk.table(unit)
    assert at_desk.ready(unit) is None
    before = list(built)
    other = DiagnosisService(folder)
    assert other.table(unit).digest == at_desk.table(unit).digest
    assert built == before
    other.close()


def test_a_desk_says_what_the_table_says(at_desk: DiagnosisService) -> None:
    unit = unit_from_text(UNIT, "shared")
    call = call_from_text(CALL, unit)
    told = at_desk.answer(unit, call)
    straight = answer_of(call, UnitSource(unit, None), at_desk.table(unit))
    assert diagnosis_json(told) == diagnosis_json(straight)


def test_the_same_question_is_worked_once_and_a_new_reading_anew(at_desk: DiagnosisService) -> None:
    unit = unit_from_text(UNIT, "shared")
    first, again = (at_desk.answer(unit, call_from_text(CALL, unit)) for _ in range(2))
    assert first.belief is again.belief
    other = at_desk.answer(unit, call_from_text(CALL.replace("0 V", "27 V"), unit))
    assert other.belief is not first.belief
    assert other.verdict != first.verdict


def test_a_check_of_ones_own_choice_is_explained_and_a_skipped_one_not_advised(
    at_desk: DiagnosisService,
) -> None:
    unit = unit_from_text(UNIT, "shared")
    call = call_from_text(CALL, unit)
    advised = at_desk.answer(unit, call).advice.check
    assert advised is not None
    skipped = at_desk.answer(unit, call, skipped=[advised.id]).advice.check
    assert skipped is not None
    assert skipped.id != advised.id
    asked = at_desk.answer(unit, call, asked=skipped.id)
    assert asked.advice.check == advised
    assert asked.explanation.forecasts != at_desk.answer(unit, call).explanation.forecasts


def test_many_threads_get_one_answer(at_desk: DiagnosisService) -> None:
    unit = unit_from_text(UNIT, "shared")
    with ThreadPoolExecutor(4) as pool:
        told = list(pool.map(lambda _: at_desk.answer(unit, call_from_text(CALL, unit)), range(8)))
    assert len({each.verdict for each in told}) == 1


def test_tables_go_over_the_limit_and_a_forgotten_one_comes_back(
    folder: Path, built: list[str]
) -> None:
    results = ResultCache(limit_byte=1)
    held = DiagnosisService(folder, results=results)
    one = unit_from_text(UNIT, "shared")
    two = unit_from_text(UNIT + '[nameplate]\nherm_uf = "40 µF"\n', "second")
    first = held.model(one)
    held.table(two)
    assert results.usage().by_kind["fault tables"][0] == 1
    before = list(built)
    assert held.table(one).digest != held.table(two).digest
    assert built == before
    assert held.model(one) is not first
    held.close()


def test_a_text_with_a_slip_is_refused_with_its_line() -> None:
    with pytest.raises(BadUnitFile, match="line 2"):
        unit_from_text(UNIT + "hz = 400\n", "slip")
    unit = unit_from_text(UNIT, "shared")
    with pytest.raises(BadCallFile, match="line 2"):
        call_from_text('unit = "here"\ndate = "soon"\n', unit)


def test_a_reading_that_cannot_be_is_refused_where_it_stands(at_desk: DiagnosisService) -> None:
    unit = unit_from_text(UNIT, "shared")
    with pytest.raises(BadReading, match="27 A"):
        at_desk.answer(unit, call_from_text(CALL.replace("0 V", "27 A"), unit))
    with pytest.raises(UnknownName):
        at_desk.answer(unit, call_from_text(CALL.replace("volts-coil", "volts-soul"), unit))


def test_answers_of_a_unit_share_what_its_table_was_made_into(at_desk: DiagnosisService) -> None:
    """Else each answer would hold tens of megabytes of its own."""
    unit = unit_from_text(UNIT, "shared")
    one, other = (
        at_desk.answer(unit, call_from_text(CALL.replace("0 V", volts), unit))
        for volts in ("1 V", "26 V")
    )
    assert one.belief.model is other.belief.model


def test_a_unit_that_is_forgotten_takes_its_answers_along(folder: Path, built: list[str]) -> None:
    del built
    results = ResultCache(limit_byte=1)
    held = DiagnosisService(folder, results=results)
    unit = unit_from_text(UNIT, "shared")
    first = held.answer(unit, call_from_text(CALL, unit))
    held.table(unit_from_text(UNIT + '[nameplate]\nherm_uf = "40 µF"\n', "second"))
    assert "answers" not in results.usage().by_kind
    again = held.answer(unit, call_from_text(CALL, unit))
    assert again.belief is not first.belief
    assert again.verdict == first.verdict
    held.close()


def test_a_table_that_cannot_be_built_says_why_and_is_tried_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A page that waits for it must not wait for ever."""

    def fail(_unit: Any, **_told: Any) -> Any:
        raise BadUnitFile(what="It cannot be solved.")

    unit = unit_from_text(UNIT + '[nameplate]\nherm_uf = "45 µF"\n', "unsolved")
    with monkeypatch.context() as patch:
        patch.setattr(diagnosis_service, "build_table", fail)
        held = DiagnosisService(folder)
        with pytest.raises(BadUnitFile, match="cannot be solved"):
            held.table(unit)
    monkeypatch.setattr(
        diagnosis_service,
        "build_table",
        lambda unit, **told: solved(unit, particles=2, **told),
    )
    assert len(held.table(unit).suspects) > 90
    assert held.ready(unit) is None
    held.close()


def test_a_unit_changed_from_its_arrangement_is_not_answered_as_one_that_means_it(
    at_desk: DiagnosisService,
) -> None:
    """Two units of one circuit share a table, and not what they were meant to do."""
    unit = unit_from_text(UNIT, "shared")
    twin = replace(unit, arrangement="one_pole_heater")
    call = call_from_text(CALL, unit)
    assert at_desk.table(unit) is at_desk.table(twin)
    assert at_desk.answer(twin, call).belief is not at_desk.answer(unit, call).belief


def test_a_call_from_a_text_opens_no_file_of_this_machine(
    at_desk: DiagnosisService, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "secret.toml").write_text('password = "1234"\n', encoding="utf-8")
    unit = unit_from_text(UNIT, "shared")
    named = CALL.replace("[symptoms]", 'wires = "secret.toml"\n[symptoms]')
    fitted = CALL + '[fitted]\nfile = "secret.toml"\nname = "x"\n'
    with pytest.raises(BadCallFile, match="file itself") as caught:
        wired(at_desk.answer(unit, call_from_text(named, unit)))
    assert caught.value.line == 2
    with pytest.raises(BadCallFile, match="file itself"):
        fitted_part(at_desk.answer(unit, call_from_text(fitted, unit)))
