"""`rungwise draw`: the picture that the room draws, and refusals that help."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import ran

from rungwise.circuit.condition import STANDBY
from rungwise.drawing import ladder, marks_of
from rungwise.unit.unit_file import arrangement


def test_it_prints_the_ladder(capsys: pytest.CaptureFixture[str]) -> None:
    done = ran(capsys, "draw", "two_pole_plain")
    assert done.code == 0
    assert done.out == ladder(arrangement("two_pole_plain")).svg + "\n"


def test_json_tells_size_labels_crossings_and_state(capsys: pytest.CaptureFixture[str]) -> None:
    told = ran(capsys, "draw", "one_pole_heater", "--condition", "standby", "--json").json
    unit = arrangement("one_pole_heater")
    marks = marks_of(unit, STANDBY)
    picture = ladder(unit, marks)
    assert (told["width"], told["height"]) == (picture.width, picture.height)
    assert [each["text"] for each in told["labels"]] == [box.text for box in picture.labels]
    assert told["crossings"] == picture.crossings
    assert told["leftover"] == sorted(marks.leftover)
    assert told["svg"] == picture.svg


def test_a_fault_and_an_open_device_change_what_is_live(
    capsys: pytest.CaptureFixture[str],
) -> None:
    asked = ("draw", "two_pole_plain", "--condition", "calling", "--json")
    plain = ran(capsys, *asked).json
    opened = ran(capsys, *asked, "--open", "disconnect").json
    fault = ran(capsys, *asked, "--suspect", "lv_fuse.blown").json
    assert "contactor.L1" in set(plain["energised"]) - set(opened["energised"])
    assert "contactor.coil1" in set(plain["energised"]) - set(fault["energised"])
    assert ", changed" in fault["svg"]


def test_a_panel_goes_into_a_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "room.svg"
    done = ran(capsys, "draw", "two_pole_plain", "--picture", "panel-room", "-o", str(file))
    assert (done.code, done.out) == (0, "")
    assert file.read_text("utf-8").startswith("<svg ")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--condition", "standby", "--open", "disconect"), "disconnect"),
        (("--open", "disconnect"), "--condition"),
        (("-o", "/nowhere/at/all.svg"), "name another file"),
    ],
)
def test_a_refusal_says_what_to_do(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], told: str
) -> None:
    done = ran(capsys, "draw", "two_pole_plain", *arguments)
    assert done.code == 2
    assert told in done.err
