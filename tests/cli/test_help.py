"""Help comes at once, and every command shows an example that works."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from typing import Any

import pytest
import typer
from tests.cli.running import ROOT, ran

from rungwise import __version__
from rungwise.cli import app

COMMANDS = ("work", "diagnose", "isolate", "fit", "plate", "expect", "spice", "schema")


def command(name: str) -> Any:
    return getattr(typer.main.get_command(app), "commands")[name]  # noqa: B009  # not in its type


def test_help_lists_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys, "--help")
    assert result.code == 0
    assert [name for name in COMMANDS if f"\n  {name} " not in result.out] == []
    assert "Exit codes" in result.out


def test_no_command_shows_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    result = ran(capsys)
    assert "Usage: rungwise" in result.out + result.err


def test_the_version_is_the_package_s(capsys: pytest.CaptureFixture[str]) -> None:
    assert ran(capsys, "--version").out == f"rungwise {__version__}\n"


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_explains_itself_with_an_example(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    result = ran(capsys, name, "--help")
    assert result.code == 0
    assert f"Example: rungwise {name} " in result.out


@pytest.mark.parametrize("name", COMMANDS)
def test_every_example_works(
    name: str, tmp_path: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    monkeypatch.chdir(tmp_path)  # so that a file that an example writes lands there
    example = str(command(name).help).partition("Example: rungwise ")[2]
    arguments = shlex.split(" ".join(example.split()).partition(">")[0])
    assert arguments[0] == name
    assert ran(capsys, *arguments).code == 0


def test_help_loads_nothing_heavy() -> None:
    told = "import sys; from rungwise.cli.program import run; run(['--help'])"
    told += "; print('LOADED', *sorted(sys.modules))"
    run = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    loaded = {name.partition(".")[0] for name in run.stdout.partition("LOADED")[2].split()}
    assert "typer" in loaded
    assert loaded & {"numpy", "scipy", "pydantic", "tomlkit"} == set()


def test_the_program_starts_as_a_module_too() -> None:
    arguments = [sys.executable, "-m", "rungwise", "schema", "call"]
    run = subprocess.run(arguments, capture_output=True, text=True, check=True)
    assert run.stdout.startswith("{")


def test_a_terminal_without_greek_still_gets_its_answer() -> None:
    arguments = [
        sys.executable,
        "-m",
        "rungwise",
        "expect",
        "two_pole_plain",
        "--check",
        "ohms-coil",
    ]
    run = subprocess.run(
        arguments, capture_output=True, text=True, check=True, env={"PYTHONIOENCODING": "ascii"}
    )
    assert re.search(r"\(ohms-coil\)\s+[\d.]+ to [\d.]+ \?", run.stdout)
    assert run.stderr == ""
