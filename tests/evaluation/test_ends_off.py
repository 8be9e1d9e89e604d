"""A lead taken off hangs free with all that belongs to it; what stays on stays connected."""

from __future__ import annotations

import numpy as np
from tests.evaluation.benches import all_suspects

from rungwise.circuit.batch import Batch
from rungwise.circuit.condition import Condition
from rungwise.circuit.meter import Leads
from rungwise.circuit.netlist import Plan
from rungwise.evaluation.ngspice_source import ends_at, free_end, with_ends_off
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement

UNIT = arrangement("two_pole_plain")
HIGH = 1e8


def ohms(unit: Unit, a: str, b: str, **values: float) -> float:
    """Ohms between two nodes of the dead unit."""
    plan = Plan(unit)
    dead = Condition("dead", "off", {"outdoor_breaker": 0, "indoor_breaker": 0})
    held = {
        (block, name): np.asarray(value)
        for key, value in values.items()
        for block, name in [key.split("__")]
    }
    return float(Leads(Batch.under(plan, dead, 1, held), "dc").impedance_ohm(a, b).real[0])


def test_ends_at_a_terminal_are_all_its_wires() -> None:
    found = ends_at(UNIT, ["contactor.T1"])
    assert found == {(w.name, end) for w, end in UNIT.wires_at("contactor.T1")}
    assert len(found) > 1


def test_a_swapped_wire_is_on_the_terminal_where_it_was_put() -> None:
    unit = all_suspects("two_pole_plain").plan.unit
    assert ("comp_s@capacitor.FAN", "start") in ends_at(unit, ["capacitor.FAN"])


def test_with_one_end_off_a_wire_still_reads_through_and_the_terminal_is_free_of_it() -> None:
    apart = with_ends_off(UNIT, frozenset({("comp_s", "start")}))
    wire = UNIT.wire_by_name["comp_s"]
    assert ohms(apart, free_end("comp_s", "start"), wire.end) < 0.1
    assert ohms(apart, free_end("comp_s", "start"), wire.start) > HIGH


def test_the_terminal_keeps_its_other_wires() -> None:
    apart = with_ends_off(UNIT, frozenset({("cap_c", "start")}))
    assert ohms(apart, "contactor.T1", "compressor.R") < 0.1


def test_a_rub_through_goes_with_its_wire() -> None:
    both = frozenset({("y_field", "start"), ("y_field", "end")})
    rubbed = {"y_field__rubbed": 1.0, "y_field__rub_ohm": 0.5}
    apart = with_ends_off(UNIT, both)
    assert ohms(apart, free_end("y_field", "end"), "@earth", **rubbed) < 0.6
    assert ohms(UNIT, "y_splice.1", "@earth", **rubbed) < 0.6
    # Through the coil, C and its bond there is still a way to earth from the splice.
    assert ohms(apart, "y_splice.1", "@earth", **rubbed) > 5.0


def test_conductors_that_touch_go_with_their_wires() -> None:
    ends = frozenset((w, end) for w in ("y_field", "c_field") for end in ("start", "end"))
    touching = {"y_field+c_field__shorted": 1.0, "y_field+c_field__short_ohm": 0.5}
    apart = with_ends_off(UNIT, ends)
    assert ohms(apart, free_end("y_field", "end"), free_end("c_field", "end"), **touching) < 0.6
    assert ohms(apart, "y_splice.1", "c_splice.1", **touching) > 5.0


def test_no_end_off_is_the_same_circuit() -> None:
    assert with_ends_off(UNIT, frozenset()) == UNIT
