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
    assert told.index("DANGER: First lock out") < told.index("THE MOVES")
    assert "never more than 1 end is loose" in told
    assert "From ring to plate: cut off the ring, strip, gather every strand" in told
    assert (
        "to outdoor fan motor C is on one-pole contactor L2 and belongs on one-pole contactor T2"
        in told
    )
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
    assert (
        "wrong: the red wire from one-pole contactor T1 to compressor R is on one-pole contactor T2"
        in told
    )
    assert "the compressor hums" in told
    assert "is off and belongs between one-pole contactor T1 and crankcase heater 2" in told
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


CROWDED = {
    "two thick wires on one plate": (
        '[[as_left]]\nwire = "whip_l1"\nto = "contactor.L2"\n',
        "contactor.L2", ["outdoor breaker trips", "works loose and burns"],
    ),
    "two push-ons on one tab": (
        '[[as_left]]\nwire = "comp_r"\nto = "compressor.C"\n',
        "compressor.C", ["compressor", "One wire to a place"],
    ),
    "a plate end where only tabs are": (
        '[[as_left]]\nwire = "comp_s"\nends = ["plate", "push-on"]\n',
        "capacitor.HERM", ["not every wire is held", "tab, tab, tab"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CROWDED)
def test_wires_that_no_place_holds_are_told_by_what_comes_of_them(
    name: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text, terminal, said = CROWDED[name]
    file = tmp_path / "wires.toml"
    file.write_text(text, encoding="utf-8")
    result = ran(capsys, "rewire", "one_pole_heater", str(file))
    assert (result.code, result.err) == (1, "")
    for each in said:
        assert each in words(result)
    answer = ran(capsys, "rewire", "one_pole_heater", str(file), "--json").json
    assert [each["terminal"] for each in answer["crowded"]] == [terminal]
    assert not answer["passes"]


def test_torque_is_recorded_as_marked_or_asked_for(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "wires.toml"
    file.write_text(
        'part = "contactor"\n[[as_left]]\nwire = "whip_l1"\ntorque_in_lb = 22\n'
        '[[as_left]]\nwire = "whip_l2"\n', encoding="utf-8",
    )  # fmt: skip
    told = words(ran(capsys, "rewire", "one_pole_heater", str(file)))
    assert (
        "Tightened as marked on the part: the black wire from pull-out disconnect load 1 to "
        "one-pole contactor L1 22 in-lb." in told
    )
    assert "No torque is written for the red wire from pull-out disconnect load 2" in told
    answer = ran(capsys, "rewire", "one_pole_heater", str(file), "--json").json
    assert answer["torques"] == [
        {"wire": "whip_l1", "in_lb": 22.0, "source": "marked"},
        {"wire": "whip_l2", "in_lb": None, "source": None},
    ]


def test_what_to_see_to_before_the_cover_goes_on_stands_after_the_moves(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = words(ran(capsys, "rewire", MILL, example(1)))
    for each in ("ground wire", "strain relief", "drip loop", "label in the door", "photos"):
        assert told.index(each) > told.index("THE MOVES")
    assert "squeeze" not in told


def test_an_end_that_reads_to_nothing_is_an_answer(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The Y wire is broken: it is named, and the rest is placed; nothing is powered up."""
    text = Path(example(4)).read_text(encoding="utf-8")
    file = tmp_path / "broken.toml"
    one = 'from = "w2"\nto = "low_pressure.2"\nvalue = '
    assert one + '"0.0 Ω"' in text
    file.write_text(text.replace(one + '"0.0 Ω"', one + '"OL"'), encoding="utf-8")
    result = ran(capsys, "recover", ORCHARD, str(file))
    assert (result.code, result.err) == (1, "")
    assert "w2 reads to nothing: broken?" in result.out
    assert "y_coil, from low_pressure.2 to contactor.coil1" in words(result)
    answer = ran(capsys, "recover", ORCHARD, str(file), "--json").json
    assert not answer["found"]
    assert [each["name"] for each in answer["broken"]] == ["w2"]
    assert "w2" not in answer["placed"]
    assert answer["next"] is None


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


def test_a_terminal_found_crowded_is_told_and_does_not_fail_the_work(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "wires.toml"
    file.write_text('[[as_found]]\nwire = "fan_c"\nends = ["plate", "splice"]\n', encoding="utf-8")
    told = ran(capsys, "rewire", "one_pole_heater", str(file), "--json").json
    assert told["crowded_as_found"] == []
    two = '[[as_found]]\nwire = "comp_s"\nends = ["plate", "push-on"]\n'
    file.write_text(two, encoding="utf-8")
    result = ran(capsys, "rewire", "one_pole_heater", str(file))
    assert result.code == 0
    assert "no room on dual run capacitor HERM" in words(result)
