"""Solutions are put back into their network, and mended where they do not balance."""

from __future__ import annotations

import numpy as np
import pytest
from tests.circuit.side_by_side import suspect_set, typical_values

from rungwise.circuit import mending
from rungwise.circuit.assemble import Assembly
from rungwise.circuit.condition import CALLING
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.factors import Factors
from rungwise.circuit.mending import dense_volts, imbalance_amp
from rungwise.circuit.network import Network
from rungwise.circuit.operating_point import solve
from rungwise.circuit.residual import proved
from rungwise.circuit.solution import Solution
from rungwise.errors import CircuitError


@pytest.fixture(scope="module")
def solved() -> Solution:
    suspects = suspect_set("one_pole_heater")
    return solve(suspects.plan, CALLING, typical_values(suspects), len(suspects))


HEALTHY = [not suspect.edits for suspect in suspect_set("one_pole_heater")].index(True)
"""The variant whose every node is tied down, so that a dense solver knows it well."""


def worst(solution: Solution, volts: ComplexArray) -> float:
    return float(np.abs(imbalance_amp(Assembly.of(solution.batch, "ac"), volts)).max())


def mended_volts(solution: Solution, volts: ComplexArray) -> ComplexArray:
    """What comes of volts that may be off."""
    amps = np.abs(imbalance_amp(Assembly.of(solution.batch, "ac"), volts)).max(axis=0)
    return proved(solution.batch, volts, amps)


def test_volts_that_balance_are_left_alone(solved: Solution) -> None:
    assert np.array_equal(mended_volts(solved, solved.volts), solved.volts)


def test_each_solution_says_by_how_much_it_does_not_balance(solved: Solution) -> None:
    """What the compiled round finds is what the network put together anew finds."""
    batch = solved.batch
    found = Network(batch).solve(batch, np.arange(batch.size))
    amps = np.abs(imbalance_amp(Assembly.of(batch, "ac"), found.volts)).max(axis=0)
    assert found.worst_amp == pytest.approx(amps, rel=0.5, abs=1e-12)
    assert np.median(amps) > 0.0


def test_volts_that_are_off_are_refined(solved: Solution) -> None:
    """A millivolt wrong at two nodes of one variant comes right, and no other variant moves."""
    off = solved.volts.copy()
    off[[3, 20], 7] += 1e-3
    assert worst(solved, off) > 1e-3
    mended = mended_volts(solved, off)
    assert worst(solved, mended) < 1e-9
    assert mended[:, 7] == pytest.approx(solved.volts[:, 7], rel=1e-9, abs=1e-9)
    others = np.arange(solved.batch.size) != 7
    assert np.array_equal(mended[:, others], solved.volts[:, others])


def test_a_variant_that_elimination_loses_is_solved_densely(
    solved: Solution, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With factors that mislead, the dense solver still finds the volts."""
    off = solved.volts.copy()
    off[:-1, HEALTHY] *= 1.1

    def misled(self: Factors, _: dict[int, ComplexArray]) -> list[ComplexArray]:
        return [np.asarray(0j)] * self.order.size

    monkeypatch.setattr(Factors, "solve", misled)
    mended = mended_volts(solved, off)
    assert worst(solved, mended) < 1e-6
    assert mended[:, HEALTHY] == pytest.approx(solved.volts[:, HEALTHY], abs=1e-6)


def test_a_network_that_no_solver_balances_is_refused(
    solved: Solution, monkeypatch: pytest.MonkeyPatch
) -> None:
    off = solved.volts.copy()
    off[:-1, 7] *= 1.1
    monkeypatch.setattr(mending, "_refined", lambda _, volts: volts)
    monkeypatch.setattr(mending, "dense_volts", lambda _, __: off[:, :1] * 1.2)
    with pytest.raises(CircuitError, match="do not balance"):
        mended_volts(solved, off)


def test_the_dense_solver_agrees(solved: Solution) -> None:
    """Another algorithm on the same network."""
    dense = dense_volts(Assembly.of(solved.batch, "ac"), solved.batch.size)
    assert dense[:, HEALTHY] == pytest.approx(solved.volts[:, HEALTHY], abs=1e-6)
