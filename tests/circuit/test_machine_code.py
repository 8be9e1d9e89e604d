"""Compiled loops kept as files: what is loaded is what was made."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from rungwise.circuit import machine_code

SOLVE = """
import sys
from rungwise.circuit import CALLING, Plan, solve
from rungwise.unit import arrangement
print(abs(solve(Plan(arrangement("one_pole_heater")), CALLING).volts).sum() > 0, *sys.modules)
"""


def test_a_circuit_is_solved_without_loading_the_compiler_or_scipy() -> None:
    machine_code.entry("solve_round")  # so that it is kept
    around = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    told = subprocess.run(
        [sys.executable, "-c", SOLVE], capture_output=True, text=True, check=True, env=around
    )
    solved, *loaded = told.stdout.split()
    assert solved == "True"
    assert not {"numba", "scipy"} & set(loaded)


AT_ONCE = """
import gc, threading
from rungwise.circuit import CALLING, Plan, solve
from rungwise.unit import arrangement
plan, gate, solved = Plan(arrangement("one_pole_heater")), threading.Barrier(8), []
def work():
    gate.wait()
    for _ in range(20):
        volts = abs(solve(plan, CALLING).volts).sum()
        gc.collect(0)
    solved.append(volts)
threads = [threading.Thread(target=work) for _ in range(8)]
for each in threads:
    each.start()
for each in threads:
    each.join()
print(len(solved), len(set(solved)))
"""


def test_threads_that_need_the_code_at_once_run_the_same() -> None:
    """Pages are solved in threads of one server: none takes another's code away."""
    around = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    told = subprocess.run(
        [sys.executable, "-c", AT_ONCE], capture_output=True, text=True, check=True, env=around
    )
    assert told.stdout.split() == ["8", "1"]


def test_half_a_file_of_code_is_no_code(tmp_path: Path) -> None:
    path = tmp_path / "kept.code"
    assert machine_code._write(path, b"whole code")  # what a full disk leaves
    assert machine_code._read(path) == b"whole code"  # the same
    path.write_bytes(path.read_bytes()[:-1])
    assert machine_code._read(path) is None  # the same


def test_a_folder_that_cannot_be_written_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "a file").write_text("")
    assert not machine_code._write(tmp_path / "a file" / "kept.code", b"code")  # as above


def test_a_loop_that_nobody_compiles_is_no_entry() -> None:
    with pytest.raises(KeyError):
        machine_code.entry("no such loop")
