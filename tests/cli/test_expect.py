"""`expect` gives the check values that are common practice (trade.md section 5), all solved."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.cli.running import EXAMPLES, ran

COMMON_PRACTICE = [
    # check, lowest and highest typical reading: common practice, no source
    ("volts-contactor-L1-L2", 230.0, 245.0),
    ("volts-contactor-L1-earth", 115.0, 123.0),
    ("volts-contactor-L2-earth", 115.0, 123.0),
    ("volts-coil", 24.0, 28.0),
    ("ohms-coil", 9.0, 20.0),
    # One-pole contactor open: the bar's side is live, and so is T1 through heater and windings.
    ("idle-volts-contactor-T2-earth", 115.0, 125.0),
    ("idle-volts-contactor-T1-earth", 115.0, 125.0),
    ("dead-volts-contactor-L1-L2", 0.0, 0.1),
    ("dead-volts-contactor-L1-earth", 0.0, 0.1),
    ("dead-volts-contactor-L2-earth", 0.0, 0.1),
    ("dead-volts-contactor-T1-earth", 0.0, 0.1),
    ("dead-volts-contactor-T2-earth", 0.0, 0.1),
    ("dead-volts-coil", 0.0, 0.1),
    # A 70 W heater in series with windings of an ohm: all but its rated watts; off while running.
    ("watts-heater-idle", 60.0, 80.0),
    ("watts-heater-running", 0.0, 0.1),
]


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    """The JSON of a command that must succeed."""
    result = ran(capsys, "expect", *arguments, "--json")
    assert result.code == 0
    assert result.err == ""
    return result.json


def by_id(found: Any) -> dict[str, Any]:
    return {each["id"]: each for each in found["checks"]}


def test_a_healthy_unit_reads_what_is_common_practice(capsys: pytest.CaptureFixture[str]) -> None:
    checks = by_id(told(capsys, "one_pole_heater"))
    typical = {name: checks[name]["healthy"]["typical"] for name, _, _ in COMMON_PRACTICE}
    wrong = {
        name: typical[name]
        for name, low, high in COMMON_PRACTICE
        if not low <= typical[name] <= high
    }
    assert wrong == {}


def test_bands_hold_what_is_typical(capsys: pytest.CaptureFixture[str]) -> None:
    for check in told(capsys, "one_pole_heater")["checks"]:
        band = check["healthy"]
        if band["typical"] in (None, "OL") or "OL" in (band["low"], band["high"]):
            continue
        assert band["low"] <= band["typical"] <= band["high"], check["id"]


def test_a_two_pole_contactor_swapped_in_leaves_the_heater_nothing(
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = told(capsys, str(EXAMPLES / "unit-06-chapel-green.toml"))
    assert by_id(found)["watts-heater-idle"]["healthy"]["high"] < 0.1
    (short,) = found["shortfalls"]
    assert short["part"] == "heater"
    assert short["found"]["does"] == "is off"
    assert short["intended"]["watt"] == pytest.approx(70.0, rel=0.05)
    assert short["remedies"] == ["a one-pole contactor in place of the two-pole contactor"]


def test_an_arrangement_as_it_ships_falls_short_of_nothing(
    capsys: pytest.CaptureFixture[str],
) -> None:
    for name in ("one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side"):
        assert told(capsys, name, "--check", "volts-coil")["shortfalls"] == []


def test_a_suspect_is_shown_beside_the_healthy_unit(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["one_pole_heater", "--check", "ohms-coil", "--suspect"]
    found = by_id(told(capsys, *arguments, "contactor.coil_open"))["ohms-coil"]
    assert found["with"]["contactor.coil_open"]["low"] == "OL"
    # No plate tells the ohms: good coils go from about 8 to 20 Ω by make (common practice).
    assert 7.0 < found["healthy"]["low"] < found["healthy"]["high"] < 21.0
    text = ran(capsys, "expect", *arguments, "contactor.coil_open").out
    assert "Beside it, where it differs: contactor coil open." in text
    assert "contactor coil open: OL" in text


def test_checks_are_picked_by_a_part_of_their_id(capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys, "one_pole_heater", "--check", "volts-coil", "--check", "uf-")
    assert {"volts-coil", "idle-volts-coil", "uf-capacitor-HERM-C"} <= set(by_id(found))
    assert [each for each in by_id(found) if "volts-coil" not in each and "uf-" not in each] == []


def test_every_suspect_is_listed_by_its_id(capsys: pytest.CaptureFixture[str]) -> None:
    text = ran(capsys, "expect", "two_pole_plain", "--list-suspects")
    assert "contactor.welded: contactor contacts welded" in text.out
    listed = ran(capsys, "expect", "two_pole_plain", "--list-suspects", "--json").json
    assert {"id": "contactor.welded", "title": "contactor contacts welded"} in listed
    assert len(listed) >= 90


def test_the_text_tells_each_condition_together(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "expect", "one_pole_heater", "--check", "coil")
    assert result.code == 0
    for heading in (
        "THERMOSTAT CALLING FOR COOLING",
        "POWER OFF, VERIFIED",
        "THERMOSTAT OFF",
    ):
        assert heading in result.out


def test_a_unit_file_need_not_lie_where_the_command_is_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    found = told(capsys, str(EXAMPLES / "unit-02-orchard-lane.toml"), "--check", "volts-coil")
    assert found["unit"]["arrangement"] == "two_pole_plain"
