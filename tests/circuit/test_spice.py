"""What the exported netlist says, and how ngspice is run on it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.circuit.side_by_side import made_dead

from rungwise import spice_run
from rungwise.circuit.condition import CALLING, STANDBY
from rungwise.circuit.meter import Leads
from rungwise.circuit.netlist import Plan
from rungwise.circuit.ngspice import run_many, run_one
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import Probe, netlists, spice_netlist
from rungwise.circuit.spice_names import names_of
from rungwise.errors import CircuitError, MissingProgram
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

GOOD = "* good\nV1 a 0 AC 1\nR1 a 0 2\n.ac lin 1 60 60\n.end\n"


@pytest.fixture(scope="module")
def standby() -> Solution:
    plan = Plan(arrangement("one_pole_heater"))
    return solve(plan, STANDBY)


@pytest.fixture(scope="module")
def calling() -> Solution:
    plan = Plan(arrangement("one_pole_heater"))
    ratio = np.array([1.0, 0.5])
    return solve(plan, CALLING, {("capacitor", "herm_uf"): 45.0 * ratio}, 2)


def usual(solution: Solution, block: str, name: str) -> str:
    """A parameter's usual value as the netlist prints numbers."""
    return f"{float(solution.plan.defaults[block, name]):.12g}"


def line(deck: str, start: str) -> str:
    (found,) = [each for each in deck.splitlines() if each.startswith(start + " ")]
    return found


def test_open_contacts_are_left_out_and_said(standby: Solution, calling: Solution) -> None:
    assert "* open: contactor.pole1\n" in spice_netlist(standby)
    assert "Rcontactor.pole1 " not in spice_netlist(standby)
    assert "* open: contactor.pole1\n" not in spice_netlist(calling)
    closed_ohm = usual(calling, "contactor", "contact1_ohm")
    assert line(spice_netlist(calling), "Rcontactor.pole1").endswith(f" contactor.t1 {closed_ohm}")


def test_parts_are_printed_as_elements(calling: Solution) -> None:
    """A series of a coil, the coupling of a transformer, a leg in opposition, a meter for amps."""
    deck = spice_netlist(calling)
    assert line(deck, "Vcontactor.coil") == "Vcontactor.coil contactor.coil1 contactor.coil.1 0"
    assert line(deck, "Rcontactor.coil").endswith(
        f" contactor.coil.1 contactor.coil.2 {usual(calling, 'contactor', 'coil_ohm')}"
    )
    assert line(deck, "Lcontactor.coil").endswith(
        f" contactor.coil.2 contactor.coil2 {usual(calling, 'contactor', 'coil_in_henry')}"
    )
    assert line(deck, "Ktransformer.windings").endswith(" 0.998")
    assert line(deck, "Vservice.leg2").endswith(" AC 120 180")
    assert line(deck, "Ccapacitor.herm").endswith(" capacitor.c 4.5e-05")


def test_every_block_with_elements_has_its_comment(calling: Solution) -> None:
    deck = spice_netlist(calling)
    blocks = [name for name, block in calling.plan.blocks.items() if block.kind.elements]
    assert blocks
    for name in blocks:
        assert f"* --- {name}: {calling.plan.blocks[name].title}" in deck


def test_the_head_names_title_unit_and_condition(calling: Solution) -> None:
    deck = spice_netlist(calling, title="no cool\nat Elm Row").splitlines()
    assert deck[0] == "* no cool at Elm Row"
    assert calling.plan.unit.digest in deck[1]
    assert "condition calling" in deck[1]
    assert deck[-3:] == [".options noopac", ".ac lin 1 60 60", ".end"]


def test_many_netlists_are_those_printed_one_by_one(calling: Solution) -> None:
    assert netlists(calling) == [spice_netlist(calling, 0), spice_netlist(calling, 1)]
    assert spice_netlist(calling, 0) != spice_netlist(calling, 1)


def test_a_unit_on_50_hz_is_analysed_at_50_hz() -> None:
    unit = replace(arrangement("two_pole_plain"), hz=50.0)
    deck = spice_netlist(solve(Plan(unit), STANDBY))
    assert ".ac lin 1 50 50" in deck
    assert run_one(deck).volts["service.l1"] == pytest.approx(120.0, rel=5e-3)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_node_and_branch_has_a_name_of_its_own(name: str) -> None:
    names = names_of(Plan(arrangement(name)))
    ports = [port for pair in names.ports.values() for port in pair]
    for made in (names.node, [*names.link.values(), *names.pair.values(), *ports]):
        assert len(set(made)) == len(made)


def renamed(unit: Unit, old: str, new: str) -> Unit:
    """The unit with one part under another name."""
    parts = tuple(replace(p, name=new) if p.name == old else p for p in unit.parts)

    def moved(end: str) -> str:
        part, _, terminal = end.partition(".")
        return f"{new}.{terminal}" if part == old else end

    wires = tuple(replace(w, start=moved(w.start), end=moved(w.end)) for w in unit.wires)
    return replace(unit, parts=parts, wires=wires)


def test_names_that_spice_cannot_tell_apart_are_told_apart() -> None:
    """SPICE knows no capitals, and `Fan (old)` would not be read as one word."""
    unit = renamed(arrangement("two_pole_plain"), "fan", "Blower")
    unit = renamed(unit, "contactor", "Schütz (old) #1")
    plan = Plan(unit)
    solved, names = solve(plan, CALLING), names_of(plan)
    assert names.at(plan.index["blower.C"]) != names.at(plan.index["Blower.C"])
    found = run_one(spice_netlist(solved))
    for name in ("blower.x", "Blower.x", "Schütz (old) #1.T1"):
        volts = found.volts[names.at(plan.index[name])]
        assert volts == pytest.approx(complex(solved.volt(name, "@earth")[0]), rel=1e-6)


def test_an_ohmmeter_in_ngspice_reads_what_the_solver_reads(calling: Solution) -> None:
    """The coil on the dead unit: its own 14 Ω beside whatever else is left connected."""
    plan = calling.plan
    dead = solve(plan, made_dead(plan.unit))
    deck = spice_netlist(
        dead, probe=Probe("contactor.coil1", "contactor.coil2", amp=1e-3), mode="dc"
    )
    found = run_one(deck).volts
    shown = (found["contactor.coil1"] - found["contactor.coil2"]) / 1e-3
    ours = Leads(dead.batch, "dc").impedance_ohm("contactor.coil1", "contactor.coil2")[0]
    assert shown == pytest.approx(ours, rel=1e-6)
    assert 9 < shown.real < 20


def test_a_meter_with_its_own_source_silences_the_supply(standby: Solution) -> None:
    """An alternating current through the dead network, as a capacitance meter drives it."""
    ends = ("capacitor.HERM", "capacitor.C")
    deck = spice_netlist(standby, probe=Probe(*ends, amp=1.0))
    assert " AC 120" not in deck
    found = run_one(deck).volts
    seen = found["capacitor.herm"] - found["capacitor.c"]
    assert seen == pytest.approx(Leads(standby.batch, "ac").impedance_ohm(*ends)[0], rel=1e-6)


def test_many_netlists_keep_their_order() -> None:
    decks = [GOOD.replace("R1 a 0 2", f"R1 a 0 {ohm}") for ohm in (1, 2, 4, 8)]
    assert [abs(each.amps["1"]) for each in run_many(decks)] == [1.0, 0.5, 0.25, 0.125]


def test_amps_are_into_the_first_node_of_a_source() -> None:
    assert run_one(GOOD).amps["1"] == -0.5


def test_nothing_to_run_gives_nothing() -> None:
    assert run_many([]) == []


@pytest.mark.parametrize(
    "bad",
    [
        GOOD.replace("R1 a 0 2", "V2 a 0 AC 2"),
        GOOD.replace("R1 a 0 2", "R1 a 0 2\nF1 0 a Vnone 1"),
        GOOD.replace("R1 a 0 2", "R1 a 0 2\nR2 b c 1"),
        GOOD.replace(".ac lin 1 60 60\n", ""),
    ],
    ids=["sources at odds", "no such source", "floating", "no analysis"],
)
def test_a_netlist_that_does_not_run_is_refused(bad: str) -> None:
    """One bad netlist among good ones is an error, never a result out of place."""
    with pytest.raises(CircuitError, match="does not solve netlist 2"):
        run_many([GOOD, bad, GOOD])


def test_without_ngspice_the_error_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spice_run, "PROGRAM", "no-such-program-anywhere")
    with pytest.raises(MissingProgram, match="apt-get install ngspice"):
        run_one(GOOD)
