"""50 Hz supplies: a residual-current breaker solved, and the rules of the place told.

Trips from half of 30 mA to the whole of it: IEC 61008-1. American gauges in mm²: ASTM B258;
standard sizes: IEC 60228; colors: IEC 60445.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from rungwise.circuit import CALLING, STANDBY, Condition, Plan, solve
from rungwise.circuit.states_of_loads import loads_of
from rungwise.faults import SuspectSet
from rungwise.isolation import isolate
from rungwise.replacement import rules_of_the_place
from rungwise.replacement.place_rules import next_size_mm2
from rungwise.unit import arrangement

NAME = "split_230_50hz"


@cache
def plan() -> Plan:
    return Plan(arrangement(NAME))


def trips(condition: Condition, part: str, ohm: float) -> bool:
    leak = {(part, "insulation_ohm"): np.asarray(ohm)}
    return bool(solve(plan(), condition, leak).state(("outdoor_breaker", "tripped"))[0])


def test_a_healthy_unit_holds_a_residual_current_breaker_in() -> None:
    for condition in (CALLING, STANDBY):
        assert not trips(condition, "compressor", 3e8)
    assert {e.part: e.does.words for e in loads_of(solve(plan(), CALLING))}["compressor"] == "runs"


@pytest.mark.parametrize(("milliamp", "opens"), [(10.0, False), (15.0, False), (30.0, True)])
def test_it_holds_half_of_30_milliamps_and_trips_at_the_whole(
    milliamp: float, *, opens: bool
) -> None:
    """A leak of so many milliamps at 230 V, at the heater's line end."""
    assert trips(STANDBY, "heater", 230.0 / (milliamp / 1000.0)) == opens


def test_a_leaking_heater_trips_it_at_rest_and_a_compressor_on_a_call_only() -> None:
    """Behind one pole the compressor's windings hang on the neutral while it stands."""
    assert (trips(STANDBY, "heater", 5e3), trips(STANDBY, "compressor", 5e3)) == (True, False)
    assert trips(CALLING, "compressor", 5e3)


def test_one_that_no_longer_trips_is_a_suspect_and_its_test_button_shows_it() -> None:
    deaf = {
        ("outdoor_breaker", "deaf"): np.asarray(1.0),
        ("heater", "insulation_ohm"): np.asarray(5e3),
    }
    assert not solve(plan(), STANDBY, deaf).state(("outdoor_breaker", "tripped"))[0]
    titles = [each.title for each in SuspectSet(arrangement(NAME)).suspects]
    assert any("no longer trips on its test button" in each for each in titles)


def test_it_is_opened_and_proved_as_a_breaker_is() -> None:
    made = isolate(arrangement(NAME), scope="everything")
    assert made.refusals == ()
    assert "outdoor_breaker" in {each.device for each in made.devices}


@pytest.mark.parametrize(("awg", "size"), [(14, 2.5), (12, 4.0), (10, 6.0), (8, 10.0), (18, 1.0)])
def test_a_gauge_is_told_by_the_next_size_that_is_as_large(awg: int, size: float) -> None:
    """2.08, 3.31, 5.26, 8.37 and 0.82 mm²."""
    assert next_size_mm2(awg) == size


def test_rules_of_the_place_are_told_of_50_hertz_and_of_nothing_else() -> None:
    assert rules_of_the_place(arrangement("one_pole_heater")) == ()
    told = " ".join(rules_of_the_place(arrangement(NAME)))
    assert "30 mA" in told
    assert "mm²" in told
    assert "Protective conductor" in told
    assert "Against that" not in told
    bare = " ".join(rules_of_the_place(arrangement("rooftop_400_50hz")))
    assert "no device for it stands in this drawing" in bare


def test_a_neutral_of_another_color_is_named() -> None:
    unit = arrangement(NAME)
    wires = tuple(
        replace(w, colour="white") if w.name == "indoor_neutral" else w for w in unit.wires
    )
    told = rules_of_the_place(replace(unit, wires=wires))
    assert any(each.startswith("Against that: the white wire") for each in told)
