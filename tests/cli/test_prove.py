"""`rungwise prove`: exit codes and both faces of the answer."""

from __future__ import annotations

from pathlib import Path

import jsonschema
import pytest
from tests.cli.running import EXAMPLES, ran

from rungwise.diagnosis.call_file import call_schema


def test_a_proved_repair_ends_with_0(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "prove", str(EXAMPLES / "call-18-weak-capacitor.toml"), "--json")
    assert (result.code, result.err) == (0, "")
    assert result.json["verdict"]["kind"] == "proved"
    assert {each["level"] for each in result.json["findings"]} == {"good"}


def test_a_short_behind_a_new_fuse_is_refused_with_the_reason(
    capsys: pytest.CaptureFixture[str],
) -> None:
    result = ran(capsys, "prove", str(EXAMPLES / "call-07-blown-fuse.toml"))
    assert (result.code, result.err) == (1, "")
    assert "Refused: Y and C shorted together" in result.out
    assert "700 mΩ" in result.out
    assert "NOTICE: First start comes after" in result.out
    assert "power on" not in result.out


def test_low_charge_behind_a_pressure_switch_is_refused(
    capsys: pytest.CaptureFixture[str],
) -> None:
    result = ran(capsys, "prove", str(EXAMPLES / "call-04-low-pressure.toml"), "--json")
    assert result.code == 1
    assert result.json["verdict"]["reasons"][0].startswith("Low charge explains it")


def test_a_call_without_a_proof_is_bad_input(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "prove", str(EXAMPLES / "call-11-coil.toml"))
    assert result.code == 2
    assert "[proof]" in result.err


def test_the_schema_takes_a_proof_and_refuses_a_wrong_one() -> None:
    good = {"unit": "u", "proof": {"repaired": ["fan"], "readings": [{"check": "look-fan"}]}}
    jsonschema.validate(good, call_schema())
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"unit": "u", "proof": {}}, call_schema())


def test_what_is_worth_making_is_listed_while_it_is_not_proved(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "call.toml"
    unit = (EXAMPLES / "unit-02-orchard-lane.toml").as_posix()
    file.write_text(f'unit = "{unit}"\n[proof]\nrepaired = ["fan"]\n', encoding="utf-8")
    result = ran(capsys, "prove", str(file))
    assert result.code == 1
    assert "Not verified yet" in result.out
    assert "look-fan" in result.out
