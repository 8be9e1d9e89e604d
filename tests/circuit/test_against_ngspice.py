"""Every suspect of an arrangement, solved here and by ngspice from the exported netlist.

Tolerance, from issue 2: 0.1% or 1 mV for volts.  For amps 0.1% or 1 µA, a ten-thousandth of the
last digit of a clamp meter and what 1 mV drives through 1 kΩ.  ngspice gets the elements, not our
admittances; the largest deviation measured is two thousandths of the tolerance.  A motor's winding
impedances at its slip are the same numbers on both sides: test_published_machine guards those.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache

import numpy as np
import pytest
from tests.circuit.side_by_side import made_dead, suspect_set, typical_values
from tests.wide import some

from rungwise.circuit.assemble import Assembly, branch_admittance, pair_admittance
from rungwise.circuit.condition import CALLING, STANDBY, STARTING
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.factors import Factors
from rungwise.circuit.meter import LOW_Z_VOLTS, VOLTS, Instrument, Leads, loaded_volts
from rungwise.circuit.ngspice import SpiceResult, run_many
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import Probe, netlists, spice_netlist
from rungwise.circuit.spice_names import names_of
from rungwise.faults import SuspectSet
from rungwise.parts.element import EARTH
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS

ASKED = some(FIRST_ARRANGEMENTS, "hard_start_delay")
CONDITIONS = (STANDBY, STARTING, CALLING)
SHARE, FLOOR_VOLT, FLOOR_AMP = 1e-3, 1e-3, 1e-6

OHMMETER_AMP = 1e-3
OHMMETER_ENDS = (
    ("contactor.coil1", "contactor.coil2"),
    ("compressor.C", "compressor.S"),
    ("contactor.L1", "contactor.T1"),
    ("transformer.pri1", EARTH),
)


def run_each(decks: Sequence[str]) -> list[SpiceResult]:
    """The result of every deck; equal decks are run once."""
    plain = ["\n".join(line for line in deck.split("\n") if line[:1] != "*") for deck in decks]
    unique = dict(zip(plain, decks, strict=True))
    found = dict(zip(unique, run_many(list(unique.values())), strict=True))
    return [found[each] for each in plain]


@cache
def solutions(name: str) -> tuple[Solution, ...]:
    suspects = suspect_set(name)
    values = typical_values(suspects)
    return tuple(solve(suspects.plan, each, values, len(suspects)) for each in CONDITIONS)


@cache
def spice_results(name: str) -> list[list[SpiceResult]]:
    """What ngspice finds, by condition and suspect; all in one process."""
    size = len(suspect_set(name))
    found = run_each([deck for each in solutions(name) for deck in netlists(each)])
    return [found[at * size :][:size] for at in range(len(CONDITIONS))]


def amps_by_name(solution: Solution) -> Iterator[tuple[str, ComplexArray]]:
    """The solver's branch amps under the netlist's names."""
    names = names_of(solution.plan)
    for link in solution.plan.links:
        yield names.link[link.key], solution.link_amp(link)
    for pair in solution.plan.pairs:
        yield from zip(names.ports[pair.key], solution.pair_amp(pair), strict=True)


def direct_amps_by_name(
    solution: Solution, volts: ComplexArray
) -> Iterator[tuple[str, ComplexArray]]:
    """The same for the direct current of an ohmmeter at `volts` [nodes + 1, variants]."""
    plan, batch, names = solution.plan, solution.batch, names_of(solution.plan)
    for link in plan.links:
        siemens = branch_admittance(batch, link, "dc")
        across = volts[link.a] - volts[link.b]
        yield names.link[link.key], (0.0 if siemens is None else siemens) * across
    for pair in plan.pairs:
        y11, y12, y21, y22 = pair_admittance(batch, pair, "dc")
        one, two = (volts[p] - volts[q] for p, q in (pair.first, pair.second))
        first, second = names.ports[pair.key]
        yield first, np.asarray(y11 * one + y12 * two)
        yield second, np.asarray(y21 * one + y22 * two)


def volt_faults(
    suspects: SuspectSet, volts: ComplexArray, found: Sequence[SpiceResult]
) -> list[str]:
    """The nodes and suspects whose volts differ by more than the tolerance."""
    names = names_of(suspects.plan).node
    theirs = np.array([[each.volts[name] for name in names] for each in found]).T
    return faults(suspects, zip(names, volts[:-1], theirs, strict=True), FLOOR_VOLT)


def amp_faults(
    suspects: SuspectSet,
    amps: Iterable[tuple[str, ComplexArray]],
    found: Sequence[SpiceResult],
) -> list[str]:
    """The branches and suspects whose amps differ by more than the tolerance."""
    # A branch that is open for a suspect is not in its netlist, and must carry nothing here.
    pairs = (
        (name, ours, np.array([each.amps.get(name, 0.0) for each in found])) for name, ours in amps
    )
    return faults(suspects, pairs, FLOOR_AMP)


def faults(
    suspects: SuspectSet,
    compared: Iterable[tuple[str, ComplexArray, ComplexArray]],
    floor: float,
) -> list[str]:
    wrong = []
    for name, ours, theirs in compared:
        off = np.abs(ours - theirs) > np.maximum(SHARE * np.abs(theirs), floor)
        wrong += [
            f"{name} with {suspects.suspects[k].id}: {np.broadcast_to(ours, off.shape)[k]:.6g}, "
            f"ngspice {theirs[k]:.6g}"
            for k in np.flatnonzero(off)
        ]
    return wrong


@pytest.mark.parametrize("at", range(len(CONDITIONS)), ids=[each.name for each in CONDITIONS])
@pytest.mark.parametrize("name", ASKED)
def test_every_suspect_solves_as_in_ngspice(name: str, at: int) -> None:
    """Node volts and branch amps, chattering suspects in the state they are left in."""
    suspects, solution, found = suspect_set(name), solutions(name)[at], spice_results(name)[at]
    assert volt_faults(suspects, solution.volts, found) == []
    assert amp_faults(suspects, amps_by_name(solution), found) == []


@pytest.mark.parametrize("name", ASKED)
def test_every_suspect_shows_an_ohmmeter_the_same_as_in_ngspice(name: str) -> None:
    """The dead unit with 1 mA of direct current between two points, which differ by suspect."""
    suspects = suspect_set(name)
    plan, size = suspects.plan, len(suspects)
    dead = solve(plan, made_dead(suspects.unit), typical_values(suspects), size)
    ends = [OHMMETER_ENDS[k % len(OHMMETER_ENDS)] for k in range(size)]
    driven: dict[int, ComplexArray] = {}
    for k, two in enumerate(ends):
        for node, sign in zip(two, (1, -1), strict=True):
            if node != EARTH:
                column = driven.setdefault(plan.index[node], np.zeros(size, complex))
                column[k] = sign * OHMMETER_AMP
    volts = np.zeros((len(plan.nodes) + 1, size), complex)
    factors = Factors(plan.order, Assembly.of(dead.batch, "dc").entries, plan.nodes)
    for at, volt in enumerate(factors.solve(driven)):
        volts[at] = volt
    found = run_each(
        [
            spice_netlist(dead, k, probe=Probe(*ends[k], amp=OHMMETER_AMP), mode="dc")
            for k in range(size)
        ]
    )
    assert volt_faults(suspects, volts, found) == []
    assert amp_faults(suspects, direct_amps_by_name(dead, volts), found) == []


@pytest.mark.parametrize("instrument", [VOLTS, LOW_Z_VOLTS], ids=["10 MΩ", "low impedance"])
def test_a_voltmeter_loads_a_floating_wire_as_in_ngspice(instrument: Instrument) -> None:
    """Thevenin's two numbers against a netlist with the meter's resistance in it."""
    # T1 hangs on the heater and the motors, or on what the fault leaves of them.
    name, ends = "one_pole_heater", ("contactor.T1", EARTH)
    solution, chosen = solutions(name)[0], range(0, len(suspect_set(name)), 10)
    seen = Leads(solution.batch, "ac").impedance_ohm(*ends)
    ours = loaded_volts(solution.volt(*ends), seen, instrument.burden_ohm)[chosen]
    probe = Probe(*ends, ohm=instrument.burden_ohm)
    found = run_each([spice_netlist(solution, k, probe=probe) for k in chosen])
    theirs = np.array([abs(each.volts["contactor.t1"]) for each in found])
    assert ours == pytest.approx(theirs, rel=SHARE, abs=FLOOR_VOLT)
    assert ours.max() > 0.1


def test_the_comparison_notices_a_wrong_part() -> None:
    """A comparison that could not fail would prove nothing."""
    name = "one_pole_heater"
    suspects, solution, found = suspect_set(name), solutions(name)[2], spice_results(name)[2]
    ids = [suspect.id for suspect in suspects]
    shifted = [*found[1:], found[0]]
    wrong = volt_faults(suspects, solution.volts, shifted)
    assert any("capacitor.herm_weak" in each for each in wrong)
    assert len(wrong) > len(ids)
    assert amp_faults(suspects, amps_by_name(solution), shifted) != []
