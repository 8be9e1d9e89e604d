"""The touchstone: every arrangement, every heater wiring, one pole or two.

Verdicts are the trade's: a heater across the open pole needs the solid bar, any other does not.
Heater watts are solved again by ngspice from the exported netlist; tolerance 0.1%, from issue 3.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from tests.replacement.touchstone import WIRINGS, contactor, wired

from rungwise.circuit.condition import CALLING, COLD_STANDBY, STANDBY
from rungwise.circuit.netlist import Plan
from rungwise.circuit.ngspice import SpiceResult, run_many
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import spice_netlist
from rungwise.circuit.spice_names import names_of
from rungwise.replacement import Fit, Reason, Verdict, Weight, fit
from rungwise.replacement.seating import seat
from rungwise.unit.unit import Wire
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS

SHARE = 1e-3
FLOOR_W = 1e-3
CONDITIONS = {
    "thermostat off": STANDBY,
    "thermostat off, freezing outdoors": COLD_STANDBY,
    "on a call": CALLING,
}
ROWS = [*product(FIRST_ARRANGEMENTS, WIRINGS, (1, 2))]
HEATED = [row for row in ROWS if row[1] != "none"]
RATED_W = 70.0


@cache
def fits(name: str, wiring: str) -> dict[int, Fit]:
    one, two = fit(wired(name, wiring), [contactor(1), contactor(2)])
    return {1: one, 2: two}


@cache
def solved() -> dict[tuple[str, str, int, str], Solution]:
    found = {}
    for name, wiring, poles in HEATED:
        plan = Plan(seat(wired(name, wiring), contactor(poles)).unit)
        for told, condition in CONDITIONS.items():
            found[name, wiring, poles, told] = solve(plan, condition)
    return found


@cache
def spice() -> dict[tuple[str, str, int, str], SpiceResult]:
    """All the netlists in one run of ngspice."""
    found = run_many([spice_netlist(solution) for solution in solved().values()])
    return dict(zip(solved(), found, strict=True))


def heater_watt(row: tuple[str, str, int], told: str) -> float:
    """What the fit says the heater gets with the candidate in place."""
    return fits(*row[:2])[row[2]].loads[told, "heater"][1]


def weighing(found: Fit, weight: Weight) -> dict[str, Reason]:
    return {reason.rule: reason for reason in found.told(weight)}


@pytest.mark.parametrize(("name", "wiring", "poles"), ROWS)
def test_only_a_heater_across_the_pole_asks_for_one_pole(
    name: str, wiring: str, poles: int
) -> None:
    starved = wiring == "across the pole" and poles == 2
    found = fits(name, wiring)[poles]
    assert found.verdict is (Verdict.NOT if starved else Verdict.SERVES)
    assert set(weighing(found, Weight.BARS)) == ({"behaviour.heater"} if starved else set())


@pytest.mark.parametrize("told", CONDITIONS)
@pytest.mark.parametrize(("name", "wiring", "poles"), HEATED)
def test_the_heater_gets_the_watts_that_ngspice_finds(
    name: str, wiring: str, poles: int, told: str
) -> None:
    key = (name, wiring, poles, told)
    plan, result = solved()[key].plan, spice()[key]
    names = names_of(plan)
    one, two = (result.volts[names.node[plan.index[f"heater.{n}"]]] for n in (1, 2))
    watt = ((one - two) * np.conj(result.amps[names.link["heater", "element"]])).real
    assert heater_watt((name, wiring, poles), told) == pytest.approx(watt, rel=SHARE, abs=FLOOR_W)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_the_heater_across_the_pole_works_through_the_windings_and_the_bar(name: str) -> None:
    """Nearly its rated watts through the windings, nothing on a call or with two poles."""
    across = "across the pole"
    assert heater_watt((name, across, 1), "thermostat off") == pytest.approx(RATED_W, rel=0.01)
    assert heater_watt((name, across, 1), "on a call") < 0.01
    assert heater_watt((name, across, 2), "thermostat off") < 0.01
    reason = weighing(fits(name, across)[2], Weight.BARS)["behaviour.heater"]
    assert "With the thermostat off" in reason.text
    assert re.search("gets 0 W instead of (69|70) W", reason.text)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_heater_moved_to_the_line_is_told_as_a_change_of_design(name: str) -> None:
    *_, change = fits(name, "across the pole")[2].changes
    assert change.heater_w == pytest.approx(RATED_W, rel=0.01)
    assert "behind a thermostat of its own" in change.text
    assert "local codes" in change.text
    assert fits(name, "line side")[2].changes == ()


def test_a_wire_from_l2_to_t2_is_the_old_bar_and_is_labeled() -> None:
    """The watts with the wire are those of ngspice, on a unit wired here; T2 is then live."""
    first, _ = fits("one_pole_heater", "across the pole")[2].changes
    unit = seat(wired("one_pole_heater", "across the pole"), contactor(2)).unit
    bar = Wire("bar", "contactor.L2", "contactor.T2", "red", 10, 0.1, ("plate", "plate"), "power")
    plan = Plan(replace(unit, wires=(*unit.wires, bar)))
    (result,) = run_many([spice_netlist(solve(plan, COLD_STANDBY))])
    names = names_of(plan)
    one, two = (result.volts[names.node[plan.index[f"heater.{n}"]]] for n in (1, 2))
    watt = ((one - two) * np.conj(result.amps[names.link["heater", "element"]])).real
    assert first.heater_w == pytest.approx(watt, rel=SHARE)
    assert abs(result.volts[names.node[plan.index["contactor.T2"]]]) > 100
    for word in ("right part is a one-pole", "10 AWG", "T2 AND COMPRESSOR ARE LIVE"):
        assert word in first.text


def test_a_heater_across_the_bar_never_heats_and_is_not_passed_in_silence() -> None:
    """L2 and T2 are one point through the bar: no contactor ever feeds it."""
    unit = wired("one_pole_heater", "across the pole")
    ends = {"contactor.L1": "contactor.L2", "contactor.T1": "contactor.T2"}
    moved = (replace(w, start=ends[w.start]) if w.carries == "heater" else w for w in unit.wires)
    (found,) = fit(replace(unit, wires=tuple(moved)), [contactor(1)])
    assert found.verdict is Verdict.CHANGES
    assert "never heats" in weighing(found, Weight.CHANGE)["contactor.dead_heater"].text


@pytest.mark.parametrize("wiring", ["none", "line side"])
@pytest.mark.parametrize("name", ["one_pole_heater", "hard_start_delay", "heater_line_side"])
def test_two_poles_are_welcome_where_nothing_needs_the_bar(name: str, wiring: str) -> None:
    told = weighing(fits(name, wiring)[2], Weight.NOTE)
    assert "contactor.two_poles" in told
    assert "T2" in told["live.fewer"].text


@pytest.mark.parametrize("wiring", ["none", "line side"])
def test_one_pole_in_place_of_two_keeps_a_leg_on_t2_and_says_so(wiring: str) -> None:
    """The loads do the same, and yet a point stays live that was dead."""
    told = weighing(fits("two_pole_plain", wiring)[1], Weight.CAUTION)["live.more"]
    assert "contactor.T2" in told.text
    assert told.has == pytest.approx(120.0, rel=0.01)


def test_a_heater_that_its_contactor_starves_shows_what_the_unit_was_made_with() -> None:
    """Two poles with a heater across one of them: the circuit itself asks for one pole."""
    found = fits("two_pole_plain", "across the pole")
    assert "one-pole contactor" in weighing(found[1], Weight.NOTE)["unit.meant"].text
    assert found[1].loads["thermostat off", "heater"][0] == pytest.approx(RATED_W, rel=0.01)


def test_the_table_in_the_documentation_is_the_program_s() -> None:
    """Verdicts in words, watts to a tenth."""
    text = (Path(__file__).parent.parent.parent / "docs" / "replacement.md").read_text("utf-8")
    rows = [line.strip("| ").split("|") for line in text.splitlines() if line.startswith("| ")]
    printed = {
        (row[0].strip(), row[1].strip()): [cell.strip() for cell in row[2:]]
        for row in rows
        if row[0].strip() in FIRST_ARRANGEMENTS
    }
    freezing = ("thermostat off, freezing outdoors", "heater")
    told = {}
    for name, wiring in product(FIRST_ARRANGEMENTS, WIRINGS):
        cells = []
        for found in fits(name, wiring).values():
            watt = found.loads.get(freezing)
            cells += [found.verdict.value, f"{abs(watt[1]):.1f}" if watt else ""]
        told[name, wiring] = cells
    assert {key: [*cells, ""][:4] for key, cells in printed.items()} == told
