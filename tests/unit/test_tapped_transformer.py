"""A control transformer with two primary taps: volts of right and wrong taps, ohms, and the check.

Secondary volts of a wrong tap are the ratio of the volts: a 240 V tap on 208 gives 20.80 of 24 V,
a 208 V tap on 240 gives 27.69 (arithmetic; makers give 240 V taps 216 to 253 V).
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from rungwise.circuit import CALLING, STANDBY, Condition, Leads, Plan, solve
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.diagnosis.checks import checks_of
from rungwise.faults import SuspectSet
from rungwise.parts import KINDS
from rungwise.unit import arrangement, numbers_of_kind

WRONG = {("transformer", "other_tap"): np.asarray(1.0)}


@cache
def plan(name: str) -> Plan:
    return Plan(arrangement(name))


def rest(name: str, *, wrong: bool) -> Solution:
    return solve(plan(name), STANDBY, WRONG if wrong else {})


def secondary(solution: Solution) -> float:
    return float(np.abs(solution.volt("transformer.R", "transformer.C"))[0])


@pytest.mark.parametrize(
    ("name", "printed"),
    [("rooftop_208", 20.80 / 24.0), ("rooftop_high_leg", 27.69 / 24.0), ("rooftop_460", 2.0)],
)
def test_a_wrong_tap_gives_the_ratio_of_the_volts(name: str, printed: float) -> None:
    right, wrong = (secondary(rest(name, wrong=each)) for each in (False, True))
    assert wrong / right == pytest.approx(printed, rel=0.02)


@pytest.mark.parametrize(
    ("name", "volts"), [("rooftop_208", 240.0), ("rooftop_high_leg", 208.0), ("rooftop_460", 240.0)]
)
def test_the_capped_lead_is_live_at_the_volts_of_its_own_tap(name: str, volts: float) -> None:
    solution = rest(name, wrong=False)
    found = float(np.abs(solution.volt("transformer.tap", "transformer.pri1"))[0])
    assert found == pytest.approx(volts, rel=0.01)


def test_two_windings_for_one_read_the_ohms_of_the_one() -> None:
    unit = arrangement("rooftop_208")
    apart = {(w.name, "lifted_start"): np.asarray(1.0) for w in unit.wires}
    batch = solve(plan("rooftop_208"), Condition("off", "off"), apart).batch
    ohm = Leads(batch, "dc").impedance_ohm("transformer.pri1", "transformer.pri2")
    one = unit.part("transformer")
    told = numbers_of_kind(KINDS[one.kind], one.values)["primary_ohm"]
    assert float(ohm.real[0]) == pytest.approx(told, rel=0.01)


def test_on_low_208_volts_a_240_volt_tap_leaves_a_coil_at_the_edge_of_its_pull() -> None:
    """At 187 V, the least that such a unit is marked for, with the monitor held in: 85% of 24 V is
    what a contactor must pull at, and half a volt is all that is left: the fault of a hot day.
    """
    low = {
        ("service", "leg_volt"): np.asarray(187.0 / np.sqrt(3.0)),
        ("phase_monitor", "welded"): np.asarray(1.0),
    }
    coil = ("contactor.coil1", "contactor.coil2")
    right, wrong = (
        float(np.abs(solve(plan("rooftop_208"), CALLING, given).volt(*coil))[0])
        for given in (low, low | WRONG)
    )
    assert wrong - 0.85 * 24.0 < 0.5
    assert right - 0.85 * 24.0 > 3.0


def test_the_wrong_tap_is_a_suspect_and_a_look_asks_for_it() -> None:
    unit = arrangement("rooftop_208")
    titles = [each.title for each in SuspectSet(unit).suspects]
    assert any("other primary tap" in each for each in titles)
    cards = {each.card.id: each.card for each in checks_of(unit)}
    assert "volts-transformer-primary" in cards or "volts-transformer-R-C" in cards
    assert any("on the tap that is marked" in each.title for each in cards.values())


@pytest.mark.parametrize("wrong", [False, True])
def test_ngspice_finds_the_same_volts(wrong: bool) -> None:  # noqa: FBT001
    solution = solve(plan("rooftop_208"), CALLING, WRONG if wrong else {})
    (found,) = run_many(list(netlists(solution)))
    for node, volts in zip(names_of(plan("rooftop_208")).node, solution.volts[:-1], strict=True):
        assert np.allclose(volts, found.volts[node], rtol=1e-3, atol=1e-3), node
