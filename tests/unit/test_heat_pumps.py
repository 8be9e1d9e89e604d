"""What a heat pump can be asked for, and what its circuit then does.

Terminals by demand: thermostat tables as technicians' pages print them (common practice, no
source); O stays closed between two calls (seen on trade pages).
"""

from __future__ import annotations

from functools import cache

import pytest

from rungwise.circuit import Condition, Plan, solve
from rungwise.errors import UnknownName
from rungwise.files import Document
from rungwise.unit import Unit, unit_from

WIRE = """
[[wires]]
from = "thermostat.{0}"
to = "board.{0}"
name = "stat_{0}"
colour = "orange"
awg = 18
length_m = 10
joints = ["screw", "screw"]
carries = "{0}"
"""


@cache
def split(kind: str, wired: str) -> Unit:
    """A split system under another thermostat, with these wires beside R, Y and G."""
    text = 'arrangement = "two_pole_plain"\n'
    text += '[parts.board]\nkind = "terminal_board_stages"\n'
    text += f'[parts.thermostat]\nkind = "{kind}"\n'
    text += "".join(WIRE.format(each) for each in wired.split())
    return unit_from(Document(text, file="trial"), name="trial")


CALLS = {
    "off": ("", "O"),
    "fan": ("G", "O"),
    "cool": ("Y G", "O"),
    "cool2": ("Y Y2 G", "O"),
    "heat": ("Y G", "B"),
    "heat+aux": ("Y G W2", "B"),
    "emergency heat": ("G W2 E", "B"),
}


@pytest.mark.parametrize("valve", ["O", "B"])
@pytest.mark.parametrize("call", CALLS)
def test_a_heat_pump_thermostat_energizes_what_its_call_asks_for(valve: str, call: str) -> None:
    unit = split(f"thermostat_heat_pump_{valve.lower()}", f"C Y2 {valve} W2 E")
    always, when = CALLS[call]
    expected = {*always.split(), *([valve] if when == valve else [])}
    solution = solve(Plan(unit), Condition(call, call))
    closed = {
        end
        for end in ("Y", "Y2", "G", valve, "W2", "E")
        if abs(solution.volt("thermostat.R", f"thermostat.{end}")[0]) < 1.0
    }
    assert closed == expected


@pytest.mark.parametrize(
    ("kind", "wired", "call", "bare"),
    [
        ("thermostat_heat_pump_o", "C O W2", "cool2", "thermostat.Y2"),
        ("thermostat_heat_pump_o", "C O", "heat+aux", "thermostat.W2"),
        ("thermostat_heat_pump_o", "C O", "emergency heat", "thermostat.W2 and thermostat.E"),
        ("thermostat_heat_pump_b", "C", "heat", "thermostat.B"),
        ("thermostat_stages", "C", "heat", "thermostat.W"),
    ],
)
def test_a_demand_without_its_wire_is_refused_in_circuit_words(
    kind: str, wired: str, call: str, bare: str
) -> None:
    unit = split(kind, wired)
    assert call not in unit.demands
    with pytest.raises(UnknownName, match=f"no wire is on {bare}"):
        unit.demand(call)


def test_emergency_heat_needs_no_wire_of_its_own_where_auxiliary_heat_has_one() -> None:
    assert "emergency heat" in split("thermostat_heat_pump_o", "C O W2").demands
