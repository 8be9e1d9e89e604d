"""What a wrong wire does, in words and figures, and which misplacements do nothing."""

from __future__ import annotations

import re

import numpy as np
import pytest
from tests.rewiring.cabinet import HARMLESS, WIRINGS, compared, does, unit, yardstick

from rungwise.circuit.condition import CALLING
from rungwise.circuit.event_sequence import sequence
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.parts import KINDS
from rungwise.parts.rule import Rule
from rungwise.rewiring.comparison import limit_amp
from rungwise.rewiring.consequence import RANKS, consequences
from rungwise.rewiring.observed import prospective_values
from rungwise.rewiring.wirings import rewired


@pytest.mark.parametrize("name", WIRINGS)
def test_only_the_harmless_ones_are_alike(name: str) -> None:
    at = list(WIRINGS).index(name)
    assert bool(compared().alike[at]) is (name in HARMLESS)
    assert (consequences(compared(), yardstick().situations, at) == ()) is (name in HARMLESS)


@pytest.mark.parametrize(
    ("name", "part", "said", "where"),
    [
        ("HERM and FAN", "compressor", "hums and does not come to speed at", "first seconds"),
        ("start wire off", "compressor", "its overload opens after about", "first seconds"),
        ("leg on the coil", "contactor", "coil gets 120 V, made for 24 V", "first seconds"),
        ("leg past the pole", "compressor", "runs where it should not", "thermostat off"),
        ("leg past the pole", "heater", "gets 0 W instead of 70 W", "thermostat off"),
        ("both legs on one lug", "outdoor_breaker", "trips at once, on", "first seconds"),
        ("leg on the heater", "heater_line", "carries", "on a call"),
        ("fan on HERM", "fan", "W instead of", "first seconds"),
        (
            "safety bridged", "compressor", "goes on running with the high-pressure switch open",
            "high-pressure switch open",
        ),
    ],
)  # fmt: skip
def test_a_wrong_wire_is_named_by_what_it_does(name: str, part: str, said: str, where: str) -> None:
    found = does(name)[part]
    assert said in found.text
    assert where in yardstick().situations[found.situations[0]].clause


def test_the_seconds_to_the_trip_are_those_of_the_timed_call() -> None:
    """The story of the call, told event by event, has the overload open at the same time."""
    told = does("HERM and FAN")["compressor"].text
    seconds = re.search(r"after about ([0-9.]+) s", told)
    assert seconds is not None
    plan = Plan(rewired(unit(), WIRINGS["HERM and FAN"]))
    opens = next(
        moment
        for moment in sequence(plan, CALLING, horizon_s=60.0).of("compressor")
        if "overload opens" in moment.what
    )
    assert float(seconds[1]) == pytest.approx(opens.time_s, rel=0.05, abs=0.3)


def test_what_shows_only_with_a_leg_lost_comes_last() -> None:
    at = list(WIRINGS).index("leg past the pole")
    found = consequences(compared(), yardstick().situations, at)
    lost = [all(yardstick().situations[place].lost for place in each.situations) for each in found]
    assert True in lost
    assert lost == sorted(lost)
    assert {each.rank for each in found} <= set(range(len(RANKS)))


def test_nothing_opens_with_prospective_values() -> None:
    """Every breaker, fuse and overload stays closed, also where legs meet."""
    plan = Plan(rewired(unit(), WIRINGS["both legs on one lug"]))
    held = solve(plan, CALLING, prospective_values(plan))
    opening = [(block, rule.state) for block, rule in plan.rules if _opens(rule)]
    assert opening
    assert [key for key in opening if held.state(key)[0]] == []
    amps = np.abs(held.element_amp(("outdoor_breaker", "pole1")))
    assert amps[0] > 10 * float(plan.defaults[("outdoor_breaker", "rating_a")])


def test_every_kind_that_opens_has_a_rating_to_raise() -> None:
    for kind in KINDS.values():
        for rule in kind.rules:
            if _opens(rule):
                assert kind.parameter(rule.rating).unit in {"A", ""}, kind.name


def _opens(rule: Rule) -> bool:
    return rule.watches == "amps"


@pytest.mark.parametrize(
    ("awg", "amp"), [(18, 7), (16, 10), (14, 15), (12, 20), (10, 30), (8, 40), (6, 55), (4, 70)]
)
def test_a_wire_bears_the_small_conductor_limit_of_its_gauge(awg: float, amp: float) -> None:
    """NEC 240.4(D) for 14 to 10 AWG and 310.16 (2023), 60 °C, for 8 to 4; 18 and 16 from memory."""
    assert limit_amp(awg) == amp
    assert limit_amp(awg + 0.5) < amp or awg == 18


def test_gauges_off_the_table_take_the_nearest_that_is_thinner() -> None:
    assert limit_amp(2) == limit_amp(-2) == 70.0
    assert limit_amp(13) == limit_amp(14)
    assert limit_amp(22) < limit_amp(18)
