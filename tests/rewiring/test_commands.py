"""`rungwise rewire` and `rungwise recover`, as a terminal runs them."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import EXAMPLES, Ran, ran

MILL, ORCHARD = (str(EXAMPLES / f"unit-0{n}.toml") for n in ("1-mill-street", "2-orchard-lane"))


def example(number: int) -> str:
    return str(next(EXAMPLES.glob(f"wires-0{number}-*.toml")))


def words(result: Ran) -> str:
    return " ".join(result.out.split())


def test_the_moves_are_listed_with_one_end_loose(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "rewire", MILL, example(1))
    assert (result.code, result.err) == (0, "")
    told = words(result)
    assert told.index("DANGER: First make the unit dead") < told.index("THE MOVES")
    assert "never more than 1 end is loose" in told
    assert "From ring to plate: cut off the ring, strip, gather every strand" in told
    assert "fan_c is on contactor.L2 and belongs on contactor.T2" in told
    answer = ran(capsys, "rewire", MILL, example(1), "--json").json
    assert answer["passes"]
    assert answer["moves"]["most_loose"] == 1
    assert [s["wire"] for s in answer["moves"]["steps"]][-1] == "fan_c"
    assert answer["as_left"] is None
    assert answer["cautions"][0]["signal"] == "DANGER"


def test_wrong_wires_are_told_by_what_they_do(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "rewire", MILL, example(2))
    assert (result.code, result.err) == (1, "")
    told = words(result)
    assert "wrong: comp_r is on contactor.T2" in told
    assert "the compressor hums" in told
    assert "wrong: heater_load is off and belongs between contactor.T1 and heater.2" in told
    assert "the crankcase heater gets 0 W instead of 70 W" in told
    assert "coil of the one-pole contactor works either way round" in told
    answer = ran(capsys, "rewire", MILL, example(2), "--json").json
    status = {tuple(sorted(g["wires"])): g["status"] for g in answer["as_left"]["groups"]}
    assert status == {
        ("comp_c", "comp_r"): "wrong",
        ("heater_load",): "wrong",
        ("c_coil", "y_coil"): "harmless",
    }


def test_lost_wires_are_refused_power_until_they_are_known(
    capsys: pytest.CaptureFixture[str],
) -> None:
    result = ran(capsys, "recover", ORCHARD, example(3))
    assert (result.code, result.err) == (1, "")
    told = words(result)
    assert "WARNING: Do not power up." in told
    assert "NEXT CHECK" in told
    assert "rule nothing out" in told
    answer = ran(capsys, "recover", ORCHARD, example(3), "--json").json
    assert not answer["found"]
    assert answer["placed"] is None
    assert answer["remaining"] > 1
    assert answer["mistake"]["does"]
    assert sum(each["share"] for each in answer["next"]["outcomes"]) == pytest.approx(1.0)


def test_found_wires_are_told_where_they_go(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "recover", ORCHARD, example(4))
    assert (result.code, result.err) == (0, "")
    assert "WHERE EACH GOES" in result.out
    answer = ran(capsys, "recover", ORCHARD, example(4), "--json").json
    assert answer["found"]
    assert answer["next"] is None
    assert sorted(answer["placed"].values()).count("contactor.T2") == 2
    assert set(answer["placed"]) == set(answer["may_belong"])


def test_readings_against_each_other_ask_for_one_again(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = Path(example(4)).read_text(encoding="utf-8")
    strange = '\n[[readings]]\nfrom = "w1"\nto = "capacitor.HERM"\nvalue = "0.1 Ω"\n'
    file = tmp_path / "strange.toml"
    file.write_text(text + strange, encoding="utf-8")
    result = ran(capsys, "recover", ORCHARD, str(file))
    assert result.code == 1
    told = words(result)
    assert "No way to put these wires fits all readings." in told
    assert "w1 to capacitor.HERM, 0.1 Ω" in told


@pytest.mark.parametrize("command", ["rewire", "recover"])
def test_a_bad_file_is_bad_input(
    command: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "wires.toml"
    file.write_text('off = ["contacter"]\n', encoding="utf-8")
    result = ran(capsys, command, "one_pole_heater", str(file), "--json")
    assert result.code == 2
    assert result.json["error"]["kind"] == "BadWiresFile"
    assert result.json["error"]["next_step"] == "did you mean contactor?"
