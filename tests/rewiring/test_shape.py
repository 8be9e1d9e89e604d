"""Shapes: why two wirings are the same circuit."""

from __future__ import annotations

import pytest
from tests.rewiring.cabinet import WIRINGS, unit, yardstick

from rungwise.rewiring.shape import END_FOR_END, Shape, why_alike
from rungwise.rewiring.wirings import Wiring, rewired
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


def why(wiring: Wiring, name: str = "one_pole_heater") -> str:
    meant = arrangement(name)
    return why_alike(Shape(meant), Shape(rewired(meant, wiring)))


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_unit_has_its_own_shape(name: str) -> None:
    assert "same points" in why({}, name)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("coil leads", "coil of the one-pole contactor works either way round"),
        ("heater turned", "crankcase heater works either way round"),
        ("fan on the bar", "the same points are joined"),
        ("end for end", END_FOR_END),
        ("HERM and FAN", ""),
        ("leg past the pole", ""),
        ("safety bridged", ""),
    ],
)
def test_the_reason_fits(name: str, said: str) -> None:
    found = why(WIRINGS[name])
    assert said in found
    assert bool(found) is bool(said)


def test_safeties_may_lie_in_any_order() -> None:
    swapped = {
        "y_hp": ("y_splice.1", "low_pressure.1"),
        "y_lp": ("low_pressure.2", "high_pressure.1"),
        "y_coil": ("high_pressure.2", "contactor.coil1"),
    }
    assert "in series" in why(swapped)
    without_one = {**swapped, "y_lp": ("low_pressure.2", "high_pressure.2")}
    assert why(without_one) == ""


def test_legs_may_change_places() -> None:
    legs = {
        "whip_l1": ("disconnect.load1", "contactor.L2"),
        "whip_l2": ("disconnect.load2", "contactor.L1"),
    }
    assert "two legs" in why(legs)


def test_a_pole_may_be_turned_alone_and_with_it_a_heater_that_lies_across_it() -> None:
    turned = {
        "whip_l1": ("disconnect.load1", "contactor.T1"),
        "comp_r": ("contactor.L1", "compressor.R"),
        "cap_c": ("contactor.L1", "capacitor.C"),
    }
    assert why(turned, "two_pole_plain") == END_FOR_END
    assert why(turned) == END_FOR_END
    assert yardstick().compare([turned], surge_in=()).alike.all()
    without_one = {name: ends for name, ends in turned.items() if name != "cap_c"}
    assert why(without_one) == ""
    assert Shape(unit()).same_point("contactor.L2", "compressor.C")
    assert not Shape(unit()).same_point("contactor.L1", "contactor.T1")
