"""The elimination against numpy's dense solver, exact fractions, and the laws of networks."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.circuit.hand_made import OMEGA_60, HandBranch, HandNetwork

from rungwise.circuit.elimination import ComplexArray, EliminationOrder
from rungwise.circuit.factors import Factors
from rungwise.errors import FloatingNode

EARTH = -1
MILD_OHM = st.floats(-2.0, 2.0).map(lambda power: 10.0**power)
WILD_SIEMENS = st.integers(-13, 4).map(lambda power: 10.0**power)


@st.composite
def networks(draw: st.DrawFn, largest: int = 12) -> HandNetwork:
    """A tree of passive branches tied to earth, a few more across it, and a source or two."""
    size = draw(st.integers(1, largest))
    ends = [(k, draw(st.integers(-1, k - 1))) for k in range(size)]
    ends += draw(
        st.lists(st.tuples(st.integers(0, size - 1), st.integers(-1, size - 1)), max_size=size)
    )
    branches = []
    for a, b in ends:
        if a == b:
            continue
        # Resistance beside reactance, so that no resonance makes the answer itself uncertain.
        reactance = draw(MILD_OHM) * draw(st.sampled_from([1.0, -1.0]))
        ohm = draw(MILD_OHM) + 0.5 * abs(reactance)
        volt = draw(st.sampled_from([0.0, 24.0, 120.0, -120.0]))
        branches.append(HandBranch(a, b, 1 / (ohm + 1j * reactance), volt))
    return HandNetwork(size, branches)


@given(networks())
def test_it_agrees_with_a_dense_solver(network: HandNetwork) -> None:
    amps = np.zeros(network.size, complex)
    for node, amp in network.injected.items():
        amps[node] = amp
    dense = np.linalg.solve(network.matrix(), amps)
    assert network.volts()[:-1] == pytest.approx(dense, rel=1e-9, abs=1e-9)


@given(networks(), st.data())
def test_a_network_of_passive_branches_is_reciprocal(
    network: HandNetwork, data: st.DataObject
) -> None:
    """Volts at one port for amps into another are the same the other way round."""
    node = st.integers(-1, network.size - 1)
    ports = [data.draw(st.tuples(node, node)) for _ in range(2)]
    factors = network.factors()
    there = factors.port_volts(ports, 0)[1]
    back = factors.port_volts(ports, 1)[0]
    assert complex(there) == pytest.approx(complex(back), rel=1e-9, abs=1e-12)


@given(networks(), st.data())
def test_a_port_sees_what_the_whole_solution_shows(
    network: HandNetwork, data: st.DataObject
) -> None:
    """The way up the elimination tree leaves out no node that matters."""
    node = st.integers(-1, network.size - 1)
    ports = [data.draw(st.tuples(node, node)) for _ in range(3)]
    factors = network.factors()
    driven: dict[int, ComplexArray] = {}
    for at, amp in zip(ports[0], (1, -1), strict=True):
        if at != EARTH:
            driven[at] = driven.get(at, np.asarray(0j)) + amp
    volts = [*(complex(volt) for volt in factors.solve(driven)), 0j]
    expected = [volts[p] - volts[q] for p, q in ports]
    assert factors.port_volts(ports, 0) == pytest.approx(expected, rel=1e-12, abs=1e-12)


def exact_volts(matrix: list[list[Fraction]], amps: list[Fraction]) -> list[Fraction]:
    """Gauss-Jordan elimination in fractions."""
    rows = [[*row, amp] for row, amp in zip(matrix, amps, strict=True)]
    for k in range(len(rows)):
        pivot = next(i for i in range(k, len(rows)) if rows[i][k])
        rows[k], rows[pivot] = rows[pivot], rows[k]
        rows[k] = [number / rows[k][k] for number in rows[k]]
        for i in range(len(rows)):
            if i != k:
                rows[i] = [x - rows[i][k] * y for x, y in zip(rows[i], rows[k], strict=True)]
    return [row[-1] for row in rows]


@st.composite
def wild_conductances(draw: st.DrawFn) -> list[tuple[int, int, float]]:
    """Conductances from 0.1 pS to 10 kS in any order: picofarads behind milliohms."""
    size = draw(st.integers(2, 7))
    ends = [(k, draw(st.integers(-1, k - 1))) for k in range(size)]
    ends += [(a, a + 1) for a in range(size - 1) if draw(st.booleans())]
    return [(a, b, draw(WILD_SIEMENS)) for a, b in ends]


@given(wild_conductances())
def test_no_digits_are_lost_however_far_the_conductances_lie_apart(
    branches: list[tuple[int, int, float]],
) -> None:
    """Every node within 1e-12 of the exact answer, relative to itself (no subtraction is made)."""
    size = 1 + max(a for a, _, _ in branches)
    network = HandNetwork(size, [HandBranch(a, b, siemens) for a, b, siemens in branches])
    matrix = [[Fraction(0)] * size for _ in range(size)]
    for a, b, siemens in branches:
        for i, j in ((a, b), (b, a)):
            if i != EARTH:
                matrix[i][i] += Fraction(siemens)
                if j != EARTH:
                    matrix[i][j] -= Fraction(siemens)
    amps = [Fraction(0)] * size
    amps[-1] = Fraction(1, 1000)
    exact = [float(volt) for volt in exact_volts(matrix, amps)]
    solved = network.factors().solve({size - 1: np.asarray(1e-3 + 0j)})
    assert np.array(solved) == pytest.approx(exact, rel=1e-12, abs=0.0)


def floating_wire(joints: int, gap: complex, stray: complex) -> HandNetwork:
    """120 V behind an open gap, then joints of a milliohm, each end with a stray."""
    branches = [HandBranch(0, EARTH, gap, 120.0)]
    branches += [HandBranch(k, k + 1, 1e3) for k in range(joints)]
    branches += [HandBranch(k, EARTH, stray) for k in range(joints + 1)]
    return HandNetwork(joints + 1, branches)


def test_a_wire_that_floats_on_picofarads_keeps_its_ghost_volts() -> None:
    """The capacitive divider 2 pF over 2 pF + n·15 pF."""
    network = floating_wire(20, 1j * OMEGA_60 * 2e-12, 1j * OMEGA_60 * 15e-12)
    expected = 120.0 * 2.0 / (2.0 + 21 * 15.0)
    assert np.abs(network.volts()[:-1]) == pytest.approx(np.full(21, expected), rel=1e-12)


def test_a_wire_that_floats_on_its_insulation_keeps_its_volts() -> None:
    """The divider of 50 GΩ over n times 5 GΩ, which a dense solver gets only roughly."""
    network = floating_wire(20, 1 / 50e9, 1 / 5e9)
    expected = 120.0 / (1 + 21 * 10)
    assert network.volts()[:-1] == pytest.approx(np.full(21, expected), rel=1e-10)
    amps = np.array([network.injected.get(k, 0j) for k in range(21)], complex)
    dense = np.linalg.solve(network.matrix(), amps)
    assert np.abs(dense - expected).max() > 1e-6 * expected


def test_a_node_that_nothing_ties_down_is_named() -> None:
    order = EliminationOrder(3, [(0, 1), (1, 2)])
    entries: list[ComplexArray | None]
    entries = [None] * len(order.slots)
    for i, j in ((0, 1), (1, 0), (0, EARTH)):
        entries[order.slots[i, j]] = np.asarray(1 + 0j)
    with pytest.raises(FloatingNode, match=r"relay\.coil2") as raised:
        Factors(order, entries, ["board.R", "relay.coil1", "relay.coil2"])
    assert raised.value.node == "relay.coil2"


def test_variants_in_one_batch_do_not_touch_each_other() -> None:
    """A batch gives each variant what it gets alone."""
    ohms = np.array([0.01, 1.0, 1e6])
    order = EliminationOrder(2, [(0, 1)])
    batch: list[ComplexArray | None]
    batch = [None] * len(order.slots)
    for pair, siemens in (((0, 1), 1 / ohms), ((1, 0), 1 / ohms), ((0, EARTH), np.asarray(2.0)),
                          ((1, EARTH), np.asarray(0.5))):  # fmt: skip
        batch[order.slots[pair]] = np.asarray(siemens, complex)
    together = Factors(order, batch, ["a", "b"]).solve({0: np.asarray(3 + 0j)})
    for k, ohm in enumerate(ohms):
        branches = [HandBranch(0, 1, 1 / ohm), HandBranch(0, EARTH, 2.0), HandBranch(1, EARTH, 0.5)]
        alone = HandNetwork(2, branches).factors().solve({0: np.asarray(3 + 0j)})
        assert [volt[k] for volt in together] == pytest.approx([complex(v) for v in alone])
