"""A call that names the part fitted: the fit is told with the call, and loses nothing of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import EXAMPLES, Ran, ran

from rungwise.diagnosis.call_file import read_call
from rungwise.errors import BadCallFile
from rungwise.services.call_files import candidate_of
from rungwise.unit.unit_file import read_unit

UNIT = "unit-05-quarry-court.toml"
CALL = (EXAMPLES / "call-11-coil.toml").read_text(encoding="utf-8")
TWO_POLE = f'\n[fitted]\nfile = "{EXAMPLES}/candidate-two-pole.toml"\nname = "two-pole 30 A"\n'
ONE_POLE = TWO_POLE.replace("candidate-two-pole", "van-stock").replace("two-pole 30", "one-pole 40")
FUSE = '\n[fitted]\nname = "fuse"\nfor = "lv_fuse"\nkind = "lv_fuse"\nrating_a = "3 A"\n'


@pytest.fixture
def work(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> object:
    """Work the example call with more text at its end; its unit stays where its table is."""
    assert UNIT in CALL
    text = CALL.replace(UNIT, str(EXAMPLES / UNIT))

    def run(more: str, *options: str) -> Ran:
        call = tmp_path / "call.toml"
        call.write_text(text + more, encoding="utf-8")
        return ran(capsys, "work", str(call), *options)

    return run


def test_a_part_that_does_not_serve_makes_the_answer_negative(work: object) -> None:
    assert callable(work)
    result = work(TWO_POLE, "--json")
    assert result.code == 1
    assert result.json["verdict"]["answer"]["repair"] == "contactor:replace"
    assert result.json["fitted"]["served"] is False
    assert result.json["fitted"]["beside"] is None
    assert work(ONE_POLE).code == 0


def test_a_part_for_another_place_is_noticed(work: object) -> None:
    assert callable(work)
    result = work(FUSE)
    assert result.code == 0
    assert "NOTICE: the readings speak for contactor" in " ".join(result.out.split())


def test_a_slip_about_the_part_costs_nothing_of_the_call(work: object) -> None:
    """The cause and the dead unit stand on the page; the refusal names its key."""
    assert callable(work)
    result = work(FUSE.replace("lv_fuse", "lv_fuze", 1))
    assert result.code == 2
    assert "CAUSE" in result.out
    assert "LOCK OUT" in result.out
    assert "fitted.for" in result.err


@pytest.mark.parametrize(
    ("fitted", "key"),
    [
        (FUSE.replace("3 A", "3 V"), "fitted.rating_a"),
        (FUSE.replace('name = "fuse"', 'name = "fuse"\nfile = "stock.toml"'), "fitted.for"),
        (TWO_POLE.replace("two-pole 30 A", "two-pole"), "fitted.name"),
    ],
)
def test_a_part_that_cannot_be_used_is_refused_with_its_place(
    fitted: str, key: str, tmp_path: Path
) -> None:
    call = tmp_path / "call.toml"
    call.write_text(f'unit = "{EXAMPLES / UNIT}"\n{fitted}', encoding="utf-8")
    table = read_call(call).fitted
    assert table is not None
    with pytest.raises(BadCallFile) as caught:
        candidate_of(table, read_unit(EXAMPLES / UNIT))
    assert caught.value.key == key
    assert caught.value.next_step
