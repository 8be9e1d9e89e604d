"""Compiled loops kept as files: what is loaded is what was made."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from rungwise.circuit import CALLING, Plan, loops, machine_code, network, solve
from rungwise.errors import CircuitError
from rungwise.unit import arrangement

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


def test_a_loop_refuses_numbers_of_another_sort_or_size() -> None:
    numbers, phasors, speed = np.ones((12, 3)), np.ones((6, 3), complex), np.zeros(3)
    loops.torques_nm(numbers, phasors, speed)
    for wrong in (
        (numbers.astype(np.float32), phasors, speed),
        (numbers, phasors.real.copy(), speed),
        (numbers, phasors, np.zeros(3, int)),
        (numbers, phasors, np.zeros((3, 1))),
        (numbers, phasors, np.zeros(4)),
        (numbers[:-1], phasors, speed),
        (numbers, phasors[:, :2], speed),
    ):
        with pytest.raises(CircuitError, match="torques_nm takes"):
            loops.torques_nm(*wrong)


def test_numbers_that_do_not_lie_in_a_row_are_laid_so() -> None:
    numbers, phasors = np.linspace(1, 2, 36).reshape(12, 3), np.full((6, 3), 1 + 1j)
    speed = np.array([0.0, 0.5, 0.9])
    turned = loops.torques_nm(numbers[:, ::-1], np.asfortranarray(phasors), speed[::-1])
    np.testing.assert_array_equal(turned[::-1], loops.torques_nm(numbers, phasors, speed))


Given = Sequence[np.ndarray]


@pytest.fixture(scope="module")
def given() -> dict[str, Given]:
    """What the loops are given in one circuit's solution and in a meter's reading of it."""
    seen: dict[str, Given] = {}
    plan = Plan(arrangement("one_pole_heater"))
    whole = loops._called  # what every loop goes through

    def called(name: str, arrays: Given, scratch: Given = ()) -> int:
        seen[name] = list(arrays)
        return whole(name, arrays, scratch)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(loops, "_called", called)
        batch = solve(plan, CALLING).batch
        still = network.Still.standing(network.Standing.of(plan, batch.values, 1), batch)
        network.seen_ohm(plan, still, [(0, 1)])
    return seen


def _spoilt(array: np.ndarray, taken: loops._Taken, shared: set[str]) -> Given:
    """One array in every way that its loop could not bear."""
    made = [np.zeros(array.shape, sort) for sort in (np.int32, np.float32)] + [array[..., None]]
    for axis, (name, _) in enumerate(taken.sizes):
        if not name or name in shared:
            longer = [length + (at == axis) for at, length in enumerate(array.shape)]
            made.append(np.zeros(longer, array.dtype))
    if taken.filled and array.size > 1:
        made.append(np.repeat(array, 2, axis=-1)[..., ::2])
    if taken.below and array.size:
        made += [array - array.max() - 2, array + 10**6]
        made += [array[..., ::-1] - 1] if taken.none == "last none" else []
    if taken.end:
        made += [array + 1, array[::-1]]
    if taken.end in ("links", "couples"):  # every start as if the first step had all
        made.append(np.where(np.arange(array.size) > 0, array[-1], 0))
    return made


@pytest.mark.parametrize("name", ["solve_round", "see_ports", "rest_speeds"])
def test_no_array_of_a_loop_may_be_another(given: dict[str, Given], name: str) -> None:
    arrays, rows = given[name], loops._taken(name)
    loops._guarded(name, arrays)
    named = [word for taken in rows for word in (*(word for word, _ in taken.sizes), taken.end)]
    shared = {word for word in named if named.count(word) > 1}
    for at, taken in enumerate(rows):
        for wrong in _spoilt(arrays[at], taken, shared):
            with pytest.raises(CircuitError, match=f"{name} takes"):
                loops._guarded(name, [*arrays[:at], wrong, *arrays[at + 1 :]])
