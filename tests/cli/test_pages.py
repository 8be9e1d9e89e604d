"""What is printed reads well in a narrow terminal and in a pipe, and is JSON where asked."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from rich.console import Console
from tests.cli.running import EXAMPLES, ran

from rungwise.cli.page import Page
from rungwise.parts import SIGNALS, Caution, Signal

DEMO = str(EXAMPLES / "call-01-suspected-contactor.toml")
OPEN_CALL = """unit = "one_pole_heater"
title = "No cooling"
suspected = "contactor"
[symptoms]
compressor = "silent"
fan = "not turning"
plunger = "no"
[[readings]]
check = "volts-coil"
value = "can't reach"
"""


@pytest.fixture
def open_call(tmp_path: Path) -> str:
    """A call with symptoms only, and one check that could not be made."""
    file = tmp_path / "call.toml"
    file.write_text(OPEN_CALL, encoding="utf-8")
    return str(file)


@pytest.mark.parametrize("width", [40, 60, 80])
def test_no_line_is_wider_than_the_terminal(
    width: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    for arguments in (["work", DEMO], ["expect", "two_pole_plain", "--check", "coil"]):
        lines = ran(capsys, *arguments).out.splitlines()
        assert len(lines) > 10
        # An id is never broken, so that it can be copied.
        assert [line for line in lines if len(line) > width and " " in line.strip()] == []


def test_a_pipe_gets_no_colour_codes_and_no_blanks_at_the_end_of_a_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = ran(capsys, "work", DEMO).out
    assert "\x1b" not in out
    assert [line for line in out.splitlines() if line != line.rstrip()] == []


def test_a_terminal_sees_the_signal_words_set_off() -> None:
    console = Console(
        file=io.StringIO(), force_terminal=True, color_system="truecolor", width=60, no_color=False
    )
    Page(console).caution(Caution("DANGER", "live parts."))
    printed = console.file.getvalue()  # type: ignore[attr-defined]  # it is the StringIO above
    assert "\x1b[" in printed.partition("DANGER")[0]
    assert "DANGER:" in printed


@pytest.mark.parametrize("word", SIGNALS)
def test_a_caution_wraps_below_its_own_start(word: Signal) -> None:
    console = Console(file=io.StringIO(), width=40)
    Page(console).warn(word, "keep out " * 12, indent=2)
    lines = console.file.getvalue().splitlines()  # type: ignore[attr-defined]  # as above
    assert lines[0].startswith(f"  {word}: keep out")
    assert len(lines) > 2
    assert all(line.startswith(("  keep", "  out")) for line in lines[1:])
    assert max(map(len, lines)) <= 40


def test_a_number_keeps_its_unit_on_its_line() -> None:
    console = Console(file=io.StringIO(), width=20)
    Page(console).say("aaaaaaaa bbbbbbbb 26 V and 97% of 12 µF")
    printed = console.file.getvalue()  # type: ignore[attr-defined]  # as above
    assert "26 V" in printed
    assert "97%" in printed
    assert "12 µF" in printed
    assert "\u00a0" not in printed


def test_work_tells_all_parts_of_the_answer(capsys: pytest.CaptureFixture[str]) -> None:
    out = " ".join(ran(capsys, "work", DEMO).out.split())
    for told in (
        "( CAUSE )",
        "( NEXT CHECK )",
        "( WHAT THE READINGS SAID )",
        "( LOCK OUT )",
        "To do: ",
        "Root cause: ",
        "A guess would have replaced: one-pole contactor",
        "licensed practice where required",
        "Somebody suspects: one-pole contactor",
    ):
        assert told in out
    assert "safe" not in out.casefold()


def test_an_open_call_ends_with_1_and_names_the_next_check(
    open_call: str, capsys: pytest.CaptureFixture[str]
) -> None:
    result = ran(capsys, "diagnose", open_call)
    assert result.code == 1
    for told in (
        "Still narrowing it down.",
        "What it will read:",
        "Why this one:",
        "Next best:",
        "instrument",
    ):
        assert told in result.out
    assert "The one-pole contactor, which somebody suspects, stands at" in result.out


def test_a_check_out_of_reach_is_not_asked_for_again(
    open_call: str, capsys: pytest.CaptureFixture[str]
) -> None:
    told = ran(capsys, "diagnose", open_call, "--json").json
    assert told["not_taken"] == ["volts-coil"]
    assert "volts-coil" not in [each["check"] for each in told["next"]["candidates"]]
    assert "volts-coil" not in [each["check"] for each in told["readings"]]


def test_json_and_text_tell_the_same_next_check(
    open_call: str, capsys: pytest.CaptureFixture[str]
) -> None:
    result = ran(capsys, "diagnose", open_call, "--json")
    assert result.code == 1
    check = result.json["next"]["check"]
    assert f'check = "{check["id"]}"' in ran(capsys, "diagnose", open_call).out
    forecasts = result.json["next"]["forecasts"]
    assert len(forecasts) > 1
    assert all(0 < each["probability"] <= 1 and each["reads"]["text"] for each in forecasts)


def test_isolate_tells_the_steps_of_a_scope(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "isolate", "one_pole_heater", "--hands", "indoor")
    assert result.code == 0
    assert "Lockout: indoor unit" in result.out
    assert "Prove the meter" in result.out
    told = ran(capsys, "isolate", "one_pole_heater", "--json").json
    assert told["reached"] is True
    assert (told["scope"], told["steps"][0]["kind"]) == ("cabinet", "stop")


def test_isolate_takes_a_call_and_opens_the_breaker_of_a_unit_that_runs_on(
    capsys: pytest.CaptureFixture[str],
) -> None:
    for arguments in (
        [str(EXAMPLES / "call-15-never-stops.toml")],
        ["one_pole_heater", "--runs-on"],
    ):
        result = ran(capsys, "isolate", *arguments)
        assert result.code == 0
        out = " ".join(result.out.split())
        assert "Do not pull the disconnect under load: the breaker first." in out
        assert out.index("outdoor breaker OFF") < out.index(
            "Keep the head with you" if "pull-out" in out else "Open the"
        )


@pytest.mark.parametrize(
    ("wires", "code", "says"),
    [
        ('without = ["whip_l1", "whip_l2"]', 2, "feeds nothing"),
        (
            (
                '[[wires]]\nname = "j"\nfrom = "service.L1"\nto = "contactor.L1"\nawg = 10\n'
                'colour = "black"\nlength_m = 1\njoints = ["screw", "screw"]\ncarries = "power"'
            ),
            1,
            "With every device of this drawing open",
        ),
    ],
)
def test_a_drawing_that_carries_no_plan_is_refused_with_what_to_add(
    wires: str, code: int, says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "u.toml"
    file.write_text(f'arrangement = "one_pole_heater"\ntitle = "t"\n{wires}\n')
    result = ran(capsys, "isolate", str(file))
    assert result.code == code
    out = " ".join(result.out.split())
    assert "No plan is made from this drawing" in out
    assert says in out
    assert "Do this: add" in out
    assert ran(capsys, "isolate", str(file), "--json").json["steps"] == []


@pytest.mark.parametrize("condition", ["calling", "starting", "standby"])
def test_spice_prints_the_netlist_of_the_solution(
    condition: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "out.cir"
    arguments = ["spice", "two_pole_plain", "--suspect", "contactor.pole1_open"]
    arguments += ["--condition", condition]
    printed = ran(capsys, *arguments)
    written = ran(capsys, *arguments, "-o", str(file))
    assert (printed.code, written.code, written.out) == (0, 0, "")
    assert file.read_text(encoding="utf-8") == printed.out
    assert printed.out.startswith(
        "* split system, two-pole contactor, no heater: contactor contact"
    )
    assert f"condition {condition}" in printed.out
    assert printed.out.endswith(".end\n")


def test_a_fault_changes_the_netlist(capsys: pytest.CaptureFixture[str]) -> None:
    healthy = ran(capsys, "spice", "two_pole_plain").out
    faulty = ran(capsys, "spice", "two_pole_plain", "--suspect", "contactor.coil_open").out
    assert "* open: contactor.coil" not in healthy
    assert "* open: contactor.coil" in faulty


@pytest.mark.parametrize("which", ["unit", "call", "shop"])
def test_schema_is_json_with_a_title(which: str, capsys: pytest.CaptureFixture[str]) -> None:
    plain, asked = ran(capsys, "schema", which), ran(capsys, "schema", which, "--json")
    assert plain == asked
    assert json.loads(plain.out)["title"] == f"Rungwise {which}"
