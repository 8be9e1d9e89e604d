"""What cannot be used is refused with its place and a next step, exit code 2, no traceback."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import ran

UNIT = 'arrangement = "one_pole_heater"\n'
CALL = 'unit = "one_pole_heater"\n'

BAD_UNITS = {
    "an unknown part": (
        UNIT + "[parts.contacter]\ncoil_ohm = 14\n",
        ["line 2", "parts.contacter", "did you mean contactor?"],
    ),
    "a wire to a missing terminal": (
        UNIT + '[[wires]]\nname = "comp_r"\nfrom = "contactor.T3"\n',
        ["line 4", "wires[1].from", "contactor.T3", "contactor.T1"],
    ),
    "24 instead of 240": (
        UNIT + "[nameplate]\nvolt = 24\n",
        ["line 3", "nameplate.volt", "200 to 600 V", "did you mean 240 V?"],
    ),
    "µF typed as F": (
        UNIT + '[nameplate]\nherm_uf = "45 F"\n',
        ["line 3", "nameplate.herm_uf", "45 F", "did you mean 45 µF?"],
    ),
    "an empty file": ("", ["is empty", "unit.toml"]),
    "broken TOML": ('arrangement = "one_pole_heater\n', ["not TOML", "line 1"]),
}

BAD_CALLS = {
    "a reading with a wrong unit": (
        CALL + '[[readings]]\ncheck = "volts-coil"\nvalue = "26 A"\n',
        ["line 4", "readings[1].value", "26 A", "a current", "in volts"],
    ),
    "µF typed as F": (
        CALL + '[[readings]]\ncheck = "uf-capacitor-HERM-C"\nvalue = "45 F"\n',
        ["line 4", "45 F", "did you mean 45 µF?"],
    ),
    "volts below nothing": (
        CALL + '[[readings]]\ncheck = "volts-coil"\nvalue = -26\n',
        ["line 4", "too low", "0 to 1 kV"],
    ),
    "a reading for an unknown check": (
        CALL + '[[readings]]\ncheck = "volts-koil"\nvalue = "26 V"\n',
        ["line 3", "volts-koil", "did you mean volts-coil"],
    ),
    "an unknown symptom": (
        CALL + '[symptoms]\ncompresor = "silent"\n',
        ["line 3", "symptoms.compresor", "did you mean compressor"],
    ),
    "a symptom that is no answer": (
        CALL + '[symptoms]\ncompressor = "quiet"\n',
        ["line 3", "quiet", '"runs, then trips"'],
    ),
    "a number for a look": (
        CALL + '[[readings]]\ncheck = "look-plunger"\nvalue = 1\n',
        ["line 4", '"chattering"'],
    ),
    "a reading without a value": (
        CALL + '[[readings]]\ncheck = "volts-coil"\n',
        ["line 2", "readings[1]", "value"],
    ),
    "a list for a value": (
        CALL + '[[readings]]\ncheck = "volts-coil"\nvalue = [26]\n',
        ["line 4", "readings[1].value"],
    ),
    "a suspected part that is not there": (
        CALL + 'suspected = "contacter"\n',
        ["line 2", "suspected", "did you mean contactor?"],
    ),
    "a unit file that is not there": ('unit = "mill.toml"\n', ["line 1", "key unit", "mill.toml"]),
    "no unit": ('title = "No cooling"\n', ["has no unit"]),
    "a date that is none": (CALL + 'date = "last week"\n', ["line 2", "date", "2025-07-14"]),
    "a key that means nothing": (CALL + 'custommer = "A. Pell"\n', ["line 2", "customer"]),
    "an empty file": ("", ["is empty", "call.toml"]),
    "only comments": ("# later\n", ["only comments"]),
    "broken TOML": ("unit = \n", ["not TOML", "line 1"]),
    "a unit file": (UNIT, ["unit file", "call file"]),
}


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The message of a command that must refuse."""
    told = ran(capsys, *arguments)
    assert told.code == 2
    assert told.out == ""
    assert "Traceback" not in told.err
    assert told.err.startswith("rungwise: ")
    return told.err


@pytest.mark.parametrize(("text", "says"), BAD_UNITS.values(), ids=BAD_UNITS)
@pytest.mark.parametrize("command", ["expect", "isolate", "spice"])
def test_a_unit_file_is_refused(
    command: str, text: str, says: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "unit.toml"
    file.write_text(text, encoding="utf-8")
    message = refused(capsys, command, str(file))
    assert [each for each in (*says, str(file)) if each not in message] == []


@pytest.mark.parametrize("command", ["expect", "spice"])
def test_a_call_file_is_no_unit(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`isolate` takes either; the others say what to name instead."""
    file = tmp_path / "call.toml"
    file.write_text(CALL, encoding="utf-8")
    assert "This is a call file" in refused(capsys, command, str(file))


@pytest.mark.parametrize(("text", "says"), BAD_CALLS.values(), ids=BAD_CALLS)
def test_a_call_file_is_refused(
    text: str, says: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "call.toml"
    file.write_text(text, encoding="utf-8")
    message = refused(capsys, "diagnose", str(file))
    assert [each for each in (*says, str(file)) if each not in message] == []


@pytest.mark.parametrize("command", ["work", "diagnose", "isolate", "expect", "spice"])
def test_what_is_no_readable_text_is_refused(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    big, latin = tmp_path / "big.toml", tmp_path / "latin.toml"
    big.write_bytes(b"# nothing\n" * 1_000_000)
    latin.write_bytes("title = 'Bü'\n".encode("latin-1"))
    assert "too large" in refused(capsys, command, str(big))
    assert "UTF-8" in refused(capsys, command, str(latin))
    assert "folder" in refused(capsys, command, str(tmp_path))
    assert "no such file" in refused(capsys, command, str(tmp_path / "gone.toml"))


def test_a_broken_unit_behind_a_call_is_refused_with_its_own_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "unit.toml").write_text(UNIT + "[nameplate]\nvolt = 24\n", encoding="utf-8")
    call = tmp_path / "call.toml"
    call.write_text('unit = "unit.toml"\n', encoding="utf-8")
    message = refused(capsys, "work", str(call))
    assert "unit.toml, line 3, key nameplate.volt" in message


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["expect", "one_pole"], "one_pole_heater"),
        (["expect", "one_pole_heater", "--check", "koil"], "koil"),
        (["expect", "one_pole_heater", "--suspect", "contactor.coil"], "contactor.coil_open"),
        (["spice", "one_pole_heater", "--suspect", "contactor.coil"], "contactor.coil_open"),
        (["isolate", "one_pole_heater", "--hands", "indor"], "did you mean indoor?"),
    ],
)
def test_a_wrong_name_is_answered_with_a_near_one(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert says in refused(capsys, *arguments)


def test_a_file_that_cannot_be_written_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = str(tmp_path / "no folder" / "out.cir")
    assert "cannot be written" in refused(capsys, "spice", "one_pole_heater", "-o", where)


def test_json_tells_of_a_refusal_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "unit.toml"
    file.write_text(UNIT + "[nameplate]\nvolt = 24\n", encoding="utf-8")
    told = ran(capsys, "expect", str(file), "--json")
    assert told.code == 2
    error = told.json["error"]
    assert (error["kind"], error["line"], error["key"]) == ("BadUnitFile", 3, "nameplate.volt")
    assert error["next_step"] == "did you mean 240 V?"


@pytest.mark.parametrize(
    "arguments",
    [
        ["work"],
        ["schema", "van"],
        ["expect", "--what"],
        ["spice", "one_pole_heater", "--condition", "x"],
        ["gone"],
    ],
)
def test_a_wrong_command_line_ends_with_code_2(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    told = ran(capsys, *arguments)
    assert told.code == 2
    assert "Traceback" not in told.err


ESCAPES = r"A\u001b[2J\u001b]0;x\u0007B\u202ec"


def test_a_terminal_obeys_nothing_that_stands_in_a_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "unit.toml").write_text(f'{UNIT}title = "{ESCAPES}"\n', "utf-8")
    told = ran(capsys, "plate", str(tmp_path / "unit.toml"))
    assert told.out.startswith("A\ufffd[2J\ufffd]0;x\ufffdB\ufffdc\n")
    (tmp_path / "unit.toml").write_text(f'arrangement = "{ESCAPES}"\n', "utf-8")
    refused = ran(capsys, "plate", str(tmp_path / "unit.toml"))
    assert refused.code == 2
    assert not set(refused.err) & set("\x1b\x07\u202e")
