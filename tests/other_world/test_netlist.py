"""The other world's solver against closed forms, Kirchhoff, energy and ngspice."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import pytest

from rungwise.errors import CircuitError
from rungwise.other_world.makes import good_house
from rungwise.other_world.netlist import GROUND, Netlist, Solved
from rungwise.other_world.parts import write_house
from rungwise.other_world.place import OMEGA
from rungwise.other_world.spice_text import apart_volt, node_volts
from rungwise.other_world.visit import Visit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


def divider() -> Netlist:
    net = Netlist()
    net.volt("v", "a", GROUND, 120.0)
    net.ohm("upper", "a", "b", 30.0)
    net.ohm("lower", "b", GROUND, 10.0)
    return net


def test_a_divider_divides_by_its_ohms() -> None:
    assert divider().solve(OMEGA).volt("b") == pytest.approx(30.0)


def test_a_capacitor_passes_no_direct_current_and_an_inductor_all_of_it() -> None:
    net = Netlist()
    net.ohm("r", "a", GROUND, 5.0)
    net.farad("c", "b", "a", 1e-5)
    net.henry("l", "c", "a", 0.1)
    solved = net.solve(0.0)
    assert solved.impedance("c", GROUND) == pytest.approx(5.0)
    assert abs(solved.impedance("b", GROUND)) > 1e9


def test_an_open_secondary_has_the_mutual_inductance_times_the_current() -> None:
    """V2 = jωM·I1, the definition of M."""
    net = Netlist()
    net.volt("v", "a", GROUND, 100.0)
    net.henry("l1", "a", GROUND, 0.5)
    net.henry("l2", "b", GROUND, 0.2)
    net.couple("l1", "l2", 0.3)
    solved = net.solve(OMEGA)
    assert solved.volt("b") == pytest.approx(1j * OMEGA * 0.3 * solved.amp("l1"), rel=1e-9)


def test_a_transfer_gives_volts_for_the_amps_that_are_sensed() -> None:
    net = divider()
    net.transfer("h", "c", GROUND, "v", -7.0)
    net.ohm("load", "c", GROUND, 1.0)
    solved = net.solve(OMEGA)
    assert solved.volt("c") == pytest.approx(7.0 * 120.0 / 40.0)


def test_two_sources_against_each_other_are_refused() -> None:
    net = divider()
    net.volt("other", "a", GROUND, 119.0)
    with pytest.raises(CircuitError, match="unknowns"):
        net.solve(OMEGA)


def branch_amps(solved: Solved) -> list[tuple[str, str, complex]]:
    """Amps of every element from its first node to its second."""
    net = solved.netlist
    found = [(a, b, solved.volt(a, b) / ohm) for _, a, b, ohm in net.resistors]
    found += [(a, b, 1j * OMEGA * c * solved.volt(a, b)) for _, a, b, c in net.capacitors]
    found += [(a, b, solved.amp(name)) for name, a, b, _ in net.inductors]
    found += [(a, b, solved.amp(name)) for name, a, b, _ in net.sources]
    found += [(a, b, solved.amp(name)) for name, a, b, _, _ in net.transfers]
    return found


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_amps_into_every_point_of_a_running_house_sum_to_nothing(name: str) -> None:
    visit = Visit(good_house(arrangement(name), np.random.default_rng(3)))
    into: dict[str, complex] = defaultdict(complex)
    for a, b, amp in branch_amps(visit.calling.solved):
        into[a] += amp
        into[b] -= amp
    del into[GROUND]
    assert max(map(abs, into.values())) < 1e-6


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_what_the_elements_take_is_what_the_elements_give(name: str) -> None:
    """Tellegen's theorem: volts times amps over all elements, both legs and the rotors, is 0."""
    visit = Visit(good_house(arrangement(name), np.random.default_rng(4)))
    solved = visit.calling.solved
    power = [solved.volt(a, b) * np.conj(amp) for a, b, amp in branch_amps(solved)]
    assert abs(sum(power)) < 1e-6 * sum(map(abs, power))


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_ngspice_finds_the_same_volts_everywhere(name: str) -> None:
    """Ngspice 39 reads the same netlist, running and standing; to 0.1 mV."""
    visit = Visit(good_house(arrangement(name), np.random.default_rng(5)))
    assert len(node_volts(write_house(visit.house, visit.calling.stand), 60.0)) > 150
    assert apart_volt(visit) < 1e-4
