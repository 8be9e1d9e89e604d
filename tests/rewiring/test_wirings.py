"""Many wirings in one plan: each does there what it does when its wires are really moved."""

from __future__ import annotations

import numpy as np
import pytest
from tests.rewiring.cabinet import WIRINGS, compared, unit, yardstick

from rungwise.circuit.netlist import Plan
from rungwise.circuit.states_of_loads import load_states
from rungwise.rewiring.wirings import Wirings, oriented, rewired, same_ends


@pytest.mark.parametrize("name", list(WIRINGS)[::3])
def test_a_wiring_does_the_same_alone_and_among_others(name: str) -> None:
    together, at = compared().seen.load_states, list(WIRINGS).index(name)
    alone = load_states(Plan(rewired(unit(), WIRINGS[name])), yardstick().situations)
    assert np.array_equal(together.code[:, :, at], alone.code[:, :, 0])
    assert np.array_equal(together.harmed[:, :, at], alone.harmed[:, :, 0])
    # Ghosts move: a wire that is moved takes its own picofarads along.
    assert together.amount[:, :, at] == pytest.approx(alone.amount[:, :, 0], rel=1e-4, abs=0.01)


def test_an_unchanged_wiring_is_alike() -> None:
    assert yardstick().compare([{}], surge_in=()).alike.tolist() == [True]
    same = {"comp_r": ("compressor.R", "contactor.T1")}  # the other way round
    wirings = Wirings(unit(), [same])
    assert wirings.values == {}
    assert len(wirings.plan.blocks) == len(Plan(unit()).blocks)


def test_a_wire_on_itself_is_a_wire_that_is_off() -> None:
    shorted = rewired(unit(), {"comp_s": ("compressor.S", "compressor.S")})
    assert "comp_s" not in shorted.wire_by_name
    cable = rewired(unit(), {"y_field": None})
    assert [each.name for each in cable.cables] == ["thermostat cable"]


def test_the_two_ends_of_a_wire_have_no_order() -> None:
    assert same_ends(("a.1", "b.1"), ("b.1", "a.1"))
    assert not same_ends(("a.1", "b.1"), None)
    assert same_ends(None, None)
    assert oriented(("b.1", "c.1"), ("a.1", "b.1")) == ("c.1", "b.1")
    assert oriented(("a.1", "c.1"), ("a.1", "b.1")) == ("a.1", "c.1")
