"""A unit can be asked what its controls list, and has the legs that its supply lists."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from rungwise.circuit.condition import CALLING, STANDBY, Condition
from rungwise.circuit.event_sequence import Change, sequence
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.situations import situations_of
from rungwise.errors import UnknownName
from rungwise.parts import KINDS
from rungwise.parts.facets import Control, Demand, Supply
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


def plan() -> Plan:
    return Plan(arrangement("two_pole_plain"))


@pytest.mark.parametrize("horizon", ["start", "settled"])
def test_a_demand_that_the_unit_lacks_is_refused_with_those_it_has(horizon: str) -> None:
    asked = Condition("calling", "second stage", horizon=horizon)  # type: ignore[arg-type]
    with pytest.raises(UnknownName, match="cannot be asked") as refused:
        solve(plan(), asked)
    assert (refused.value.value, refused.value.allowed) == ("second stage", "off, fan, cool")


def test_a_change_to_an_unknown_demand_is_refused() -> None:
    with pytest.raises(UnknownName, match="heat"):
        sequence(plan(), CALLING, horizon_s=5.0, changes=[Change(1.0, demand="heat")])


def test_a_defrost_is_refused_where_nothing_defrosts() -> None:
    with pytest.raises(UnknownName, match="defrost"):
        solve(plan(), replace(CALLING, defrosts=True))


def test_a_demand_is_data_of_its_control(monkeypatch: pytest.MonkeyPatch) -> None:
    """One more demand in the kind's list, and the unit can be asked for it."""
    kind = KINDS["thermostat"]
    control = kind.facet(Control)
    assert control is not None
    more = {**control.demands, "dry": Demand(("Y",), "is set to dry the air")}
    others = tuple(each for each in kind.facets if each is not control)
    told = replace(control, demands=MappingProxyType(more))
    monkeypatch.setitem(KINDS, "thermostat", replace(kind, facets=(told, *others)))
    solution = solve(plan(), Condition("drying", "dry", horizon="start"))
    assert solution.state(("contactor", "attracted"))[0] == 1.0
    assert solution.state(("blower", "slip"))[0] == 1.0


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_leg_of_the_supply_is_lost_in_turn(name: str) -> None:
    unit = arrangement(name)
    lost = [key for each in situations_of(unit) for key in each.values]
    legs = [(part.name, leg.lost) for part, supply in unit.having(Supply) for leg in supply.legs]
    assert sorted(lost) == sorted(2 * legs)


def test_a_leg_and_a_demand_name_what_their_kind_has() -> None:
    for kind in KINDS.values():
        supply, control = kind.facet(Supply), kind.facet(Control)
        names = {each.name for each in kind.parameters}
        for leg in supply.legs if supply else ():
            assert {leg.volt, leg.lost} <= names
            assert leg.terminal in kind.terminals
        for demand in control.demands.values() if control else ():
            assert set(demand.energizes) <= set(kind.terminals)
            for terminal in demand.energizes:
                assert control is not None
                assert control.states[terminal] in {s.name for s in kind.states}


def test_off_energizes_nothing() -> None:
    solution = solve(plan(), STANDBY)
    assert solution.state(("thermostat", "calls_cool"))[0] == 0.0
    assert solution.state(("thermostat", "calls_fan"))[0] == 0.0
