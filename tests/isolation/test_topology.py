"""What can reach a terminal: held against a graph library and against the solved circuit."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from tests.isolation.solved import NAMES, joined, plan, unit, with_parts

from rungwise.circuit.netlist import Plan
from rungwise.isolation.live_points import LiveMap, subsets
from rungwise.isolation.reach import Reach
from rungwise.isolation.topology import Topology
from rungwise.unit import arrangement
from rungwise.unit.unit import Part


@cache
def topology(name: str) -> Topology:
    return Topology(plan(name))


@pytest.mark.parametrize("name", NAMES)
def test_pieces_of_metal_are_the_components_of_a_graph_library(name: str) -> None:
    """scipy.sparse.csgraph.connected_components on the same wires and bars."""
    graph = topology(name)
    ends = graph.unit.terminals()
    at = {end: n for n, end in enumerate(ends)}
    edges = np.array([(at[a], at[b]) for a, b in graph.metal if a in at and b in at])
    size = len(ends)
    matrix = coo_matrix((np.ones(len(edges)), (edges[:, 0], edges[:, 1])), shape=(size, size))
    _, label = connected_components(matrix, directed=False)
    pieces = graph.pieces()
    for one in ends:
        same = {other for other in ends if label[at[other]] == label[at[one]]}
        assert same == {other for other in ends if pieces[other] == pieces[one]}


@pytest.mark.parametrize("call", ["off", "cool"])
@pytest.mark.parametrize("name", NAMES)
def test_no_terminal_that_the_solved_circuit_shows_live_is_out_of_reach(
    name: str, call: str
) -> None:
    """For every set of opened devices, with the demand off and on."""
    graph = topology(name)
    reach = Reach(graph)
    live = LiveMap(graph.plan, graph.devices, graph.unit.terminals(), {}, call)
    for opened in subsets(graph.devices):
        solved = {point.terminal for point in live.live(opened)}
        assert solved <= reach.with_open(opened).line


@settings(max_examples=8)
@given(st.data())
def test_nor_is_any_in_a_unit_with_a_wire_that_does_not_belong_there(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(NAMES))
    ends = [end for end in unit(name).terminals() if not end.startswith("service")]
    pair = data.draw(st.tuples(st.sampled_from(ends), st.sampled_from(ends)))
    assert_within_reach(Topology(Plan(joined(unit(name), pair))))


@pytest.mark.parametrize("name", NAMES)
def test_nor_are_24_volts_that_a_start_winding_lifts_over_50(name: str) -> None:
    """The line side of the transformer on HERM takes what the capacitor raises it to."""
    pair = ("indoor_breaker.load1", "capacitor.HERM")
    assert_within_reach(Topology(Plan(joined(unit(name), pair))))


def assert_within_reach(graph: Topology) -> None:
    """With the demand on, for every set of opened devices, where ground is not hot itself."""
    reach = Reach(graph)
    live = LiveMap(graph.plan, graph.devices, graph.unit.terminals(), {}, "cool")
    for opened in subsets(graph.devices):
        solved = {point.terminal for point in live.live(opened)}
        grounded = solved & graph.ground  # a hot wire on ground is refused before any plan
        assert solved - grounded <= reach.with_open(opened).line or not grounded.isdisjoint(solved)


def test_a_transformer_outdoors_feeds_the_line_side_back_through_y_and_c() -> None:
    """240 V again out of 24 V: 184 to 255 V, by ngspice on the same unit."""
    made = joined(
        with_parts(
            unit("one_pole_heater"),
            [Part("second", "transformer", "outdoor", values={"primary_volt": 240.0})],
        ),
        ("contactor.L1", "second.pri1"),
        ("contactor.L2", "second.pri2"),
        ("second.R", "y_splice.1"),
        ("second.C", "c_splice.1"),
    )
    reach = Reach(Topology(Plan(made)))
    behind = reach.with_open(frozenset({"disconnect"})).line
    assert {"contactor.L1", "contactor.T2", "capacitor.HERM"} <= behind
    assert "contactor.L1" not in reach.with_open(frozenset({"disconnect", "service_switch"})).line


@pytest.mark.parametrize("name", NAMES)
def test_the_24_volts_are_low_and_pass_the_open_disconnect(name: str) -> None:
    left = Reach(topology(name)).with_open(frozenset({"disconnect"}))
    assert {"contactor.coil1", "y_splice.1"} <= left.control
    assert not left.line & {"contactor.coil1", "contactor.L1"}


@pytest.mark.parametrize("name", NAMES)
def test_the_thermostat_ends_the_demand_unless_r_and_y_are_joined(name: str) -> None:
    assert not topology(name).held_in()
    assert Topology(Plan(joined(unit(name), ("board.R", "board.Y")))).held_in()


def test_a_contact_of_a_contactor_that_the_thermostat_pulls_in_holds_nothing_in() -> None:
    """The fans of a unit with two compressors are called by auxiliary contacts, fed from R."""
    made = arrangement("rooftop_two_compressors")
    assert not Topology(Plan(made)).held_in()
    assert Topology(Plan(joined(made, ("board.R", "board.Y")))).held_in()
    assert Topology(Plan(joined(made, ("board.R", "fan_contactor.coil1")))).held_in()
