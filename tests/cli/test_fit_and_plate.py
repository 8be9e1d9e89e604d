"""`fit` and `plate` in the terminal: answers, exit codes, refusals."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import EXAMPLES, ran

MILL = str(EXAMPLES / "unit-01-mill-street.toml")
ORCHARD = str(EXAMPLES / "unit-02-orchard-lane.toml")
TWO_POLE = str(EXAMPLES / "candidate-two-pole.toml")
STOCK = str(EXAMPLES / "van-stock.toml")


def test_one_part_that_serves_one_unit_and_not_another(
    capsys: pytest.CaptureFixture[str],
) -> None:
    here, there = ran(capsys, "fit", ORCHARD, TWO_POLE), ran(capsys, "fit", MILL, TWO_POLE)
    assert (here.code, there.code) == (0, 1)
    assert "fits (two-pole contactor" in " ".join(here.out.split())
    told = " ".join(there.out.split())
    assert "heater gets 0 W instead of 70 W" in told
    assert "Possible change" in told


def test_the_van_is_ranked_for_one_part(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "fit", MILL, STOCK, "--for", "contactor", "--json")
    assert result.code == 0
    (part,) = result.json["parts"]
    verdicts = [each["verdict"] for each in part["candidates"]]
    order = ["fits", "fits with changes", "will not work"]
    assert verdicts == sorted(verdicts, key=order.index)
    assert set(verdicts) == set(order)
    # The usual 30 A before the cheaper 20 A.
    assert [each["name"] for each in part["candidates"]][:2] == ["one-pole 30 A", "one-pole 20 A"]
    heater = [
        each
        for each in part["candidates"][-1]["loads"]
        if (each["situation"], each["part"]) == ("thermostat off", "heater")
    ]
    assert heater[0]["meant"] == pytest.approx(70, rel=0.02)


def test_what_does_not_serve_anywhere_is_exit_code_1(capsys: pytest.CaptureFixture[str]) -> None:
    """Orchard Lane has no crankcase heater, so nothing of the van serves there for one."""
    result = ran(capsys, "fit", ORCHARD, STOCK, "--for", "heater")
    assert result.code == 1
    assert "Not for this unit" in result.out


def test_a_warning_stands_where_a_point_stays_live(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "fit", ORCHARD, STOCK, "--for", "contactor")
    assert "WARNING: With the thermostat off contactor.T1" in " ".join(result.out.split())


def test_all_that_was_compared_is_told_when_asked(capsys: pytest.CaptureFixture[str]) -> None:
    plain = ran(capsys, "fit", MILL, STOCK, "--for", "lv_fuse")
    every = ran(capsys, "fit", MILL, STOCK, "--for", "lv_fuse", "--all")
    assert " ok: " not in plain.out
    assert " ok: " in every.out


def test_a_part_that_no_candidate_is_for(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "fit", MILL, STOCK, "--for", "contacter")
    assert result.code == 2
    assert "did you mean contactor" in result.err


def test_a_bad_candidate_is_refused_with_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "stock.toml"
    text = '[[candidates]]\nname = "fuse"\nfor = "lv_fuse"\nkind = "lv_fuse"\nrating_a = "3 V"\n'
    file.write_text(text, encoding="utf-8")
    result = ran(capsys, "fit", MILL, str(file), "--json")
    assert result.code == 2
    assert result.json["error"]["kind"] == "BadCandidateFile"
    assert (result.json["error"]["line"], result.json["error"]["key"]) == (
        5,
        "candidates[1].rating_a",
    )
    assert file.read_text(encoding="utf-8") == text


def test_the_plate_gives_sizes_and_findings(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "plate", MILL, "--json")
    assert result.code == 0
    assert result.json["mca_a"] == pytest.approx(21.3)
    assert result.json["device"]["size_a"] == 35
    assert {each["level"] for each in result.json["findings"]} <= {"fine", "doubt"}
    assert "35 A, from 37.3 A" in ran(capsys, "plate", MILL).out


def test_what_is_wrong_on_the_plate_is_exit_code_1(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "plate", MILL, "--line-volts", "460, 500, 420 V")
    assert result.code == 1
    assert "no motor should run on more than 5%" in " ".join(result.out.split())


@pytest.mark.parametrize(
    "wrong",
    [
        ("--insulation", "80"),
        ("--terminals", "90"),
        ("--ambient", "200"),
        ("--conductors", "0"),
        ("--line-volts", "460,467"),
        ("--line-volts", "460,467,4"),
        ("--line-volts", "460,467,x"),
    ],
)
def test_what_cannot_be_is_refused(
    wrong: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    result = ran(capsys, "plate", MILL, *wrong)
    assert result.code == 2
    assert "allowed:" in result.err


def test_a_plate_of_two_voltages_is_taken_as_it_is_printed(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """208/230 V, as on nearly every US single-phase plate (from memory), is right on 240 V."""
    file = tmp_path / "unit.toml"
    told = Path(MILL).read_text(encoding="utf-8").replace('volt = "230 V"', 'volt = "208/230 V"')
    assert "208/230" in told
    file.write_text(told, encoding="utf-8")
    result = ran(capsys, "plate", str(file), "--json")
    assert (result.code, result.err) == (0, "")
    assert not any(each["rule"] == "plate.volts" for each in result.json["findings"])
