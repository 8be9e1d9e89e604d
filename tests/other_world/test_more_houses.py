"""Houses beyond the first four arrangements, and what happens in them as a technician knows it."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.other_world import known
from rungwise.other_world.house import House
from rungwise.other_world.makes import good_house
from rungwise.other_world.strangers import strangers
from rungwise.other_world.visit import Visit
from rungwise.other_world.ways import known_faults
from rungwise.unit.unit_file import ARRANGEMENTS, FIRST_ARRANGEMENTS, arrangement

NEW = tuple(
    name for name in ARRANGEMENTS if name not in FIRST_ARRANGEMENTS and known(arrangement(name))
)


def house_of(name: str, seed: int = 4) -> House:
    house = good_house(arrangement(name), np.random.default_rng([seed, 5]))
    assert not Visit(house).symptoms
    house.found_tripped = house.found_pressed = True
    return house


def test_it_knows_most_of_the_arrangements_that_ship() -> None:
    assert len(NEW) >= 24


@pytest.mark.parametrize("name", NEW)
def test_a_good_house_of_each_does_what_it_is_asked_for(name: str) -> None:
    house_of(name)


@pytest.mark.parametrize("name", NEW[::8])
def test_faults_of_both_lists_leave_a_house_that_has_a_solution(name: str) -> None:
    """Every fiftieth of them."""
    for at in range(7, len([*known_faults(house_of(name)), *strangers(house_of(name))]), 50):
        house = house_of(name)
        fault = [*known_faults(house), *strangers(house)][at]
        fault.change(house, np.random.default_rng(at))
        volts = [abs(Visit(house).called.solved.volt(f"contactor.L{leg}")) for leg in (1, 2)]
        assert np.isfinite(volts).all(), fault.name


def test_a_lost_leg_of_three_opens_the_phase_monitor_and_nothing_starts() -> None:
    house = house_of("rooftop_208")
    house.supply.lost.add(3)
    visit = Visit(house)
    assert not visit.calling.turns("compressor")
    assert visit.calling.stand.state("phase_monitor", "in") == 0


def test_a_supply_in_the_other_order_is_refused_by_the_phase_monitor() -> None:
    house = house_of("rooftop_208")
    house.supply.turned = True
    assert "compressor dead" in Visit(house).symptoms


def test_two_legs_swapped_at_the_compressor_turn_it_backward_at_low_amps() -> None:
    house = house_of("rooftop_208")
    right = Visit(house).calling.wire_amp("comp_t1")
    house.wires["comp_t1"].end, house.wires["comp_t2"].end = "compressor.T2", "compressor.T1"
    visit = Visit(house)
    assert "turns backward" in visit.symptoms
    assert 0 < visit.calling.wire_amp("comp_t1") < 0.8 * right


def test_a_trip_that_closes_again_stays_locked_out_until_the_call_ends() -> None:
    house = house_of("rooftop_208")
    house.values["fan"]["seized"] = 1.0
    visit = Visit(house)
    assert visit.calling.stand.state("lockout", "in") or visit.calling.stand.state(
        "compressor", "tripped"
    )


def test_a_motor_with_electronics_draws_more_amps_on_fewer_volts() -> None:
    """As constant power does, where ohms would draw fewer."""
    high, low = house_of("air_handler_taps"), house_of("air_handler_taps")
    low.supply.leg_volt *= 0.9
    amps = [Visit(house).calling.wire_amp("blower_line") for house in (high, low)]
    assert amps[1] / amps[0] == pytest.approx(1.0 / 0.9, rel=0.02)


def test_a_sequencer_that_makes_no_contact_leaves_half_the_heat_and_no_blower() -> None:
    house = house_of("air_handler_heat_10kw")
    house.season = "heat"
    house.values["sequencer_1"]["contact_dead"] = 1.0
    visit = Visit(house)
    assert "blower dead" in visit.symptoms
    assert visit.heating.stand.state("limit_2", "open") == 1  # heat without air


def test_a_welded_sequencer_heats_and_blows_while_nobody_asks() -> None:
    house = house_of("air_handler_heat_10kw")
    house.season = "cool"
    house.values["sequencer_1"]["welded"] = 1.0
    assert Visit(house).symptoms >= {"blower keeps running", "heats while it cools"}


def test_an_open_valve_coil_heats_in_summer() -> None:
    house = house_of("heat_pump_o_timed")
    house.season = "cool"
    house.weather.outdoor_f = 85.0
    house.values["reversing_valve"]["coil_open"] = 1.0
    assert "air of the wrong season" in Visit(house).symptoms


def test_a_delay_board_locks_after_trips_of_a_pressure_switch() -> None:
    house = house_of("time_delay_board")
    house.values["delay_board"]["locks"] = 1.0
    house.values["low_pressure"]["opens_psig"] = 200.0
    visit = Visit(house)
    assert visit.calling.stand.state("delay_board", "locked") == 1
    assert not visit.calling.turns("compressor")
