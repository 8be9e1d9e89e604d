"""Houses beyond the first four arrangements, and what happens in them as a technician knows it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rungwise.other_world import known
from rungwise.other_world.gas import how_far_it_lights
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


def test_it_knows_every_arrangement_that_ships() -> None:
    assert len(NEW) == len(ARRANGEMENTS) - len(FIRST_ARRANGEMENTS)


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


def _to_ground(house: House) -> list[float]:
    solved = Visit(house).standby.solved
    return [abs(solved.volt(f"contactor.L{leg}")) for leg in (1, 2, 3)]


def test_a_grounded_corner_reads_nothing_and_the_other_legs_all_their_volts() -> None:
    one, corner, other = _to_ground(house_of("rooftop_corner"))
    assert corner < 2.0
    assert one == pytest.approx(240.0, rel=0.08)
    assert other == pytest.approx(240.0, rel=0.08)


def test_the_high_leg_of_an_open_delta_stands_root_three_times_as_high() -> None:
    one, high, other = _to_ground(house_of("rooftop_open_delta"))
    assert high == pytest.approx(0.5 * math.sqrt(3) * (one + other), rel=0.04)


def test_one_circuit_without_its_charge_leaves_the_other_one_running() -> None:
    house = house_of("rooftop_two_compressors")
    house.weather.charges["second"] = 0.05
    called = Visit(house).calling
    assert called.turns("compressor")
    assert not called.turns("compressor_2")


@pytest.mark.parametrize("flag", ["alarms", "unplugged"])
def test_a_leak_guard_stops_the_unit_and_runs_the_blower(flag: str) -> None:
    house = house_of("air_handler_leak_guard")
    house.values["leak_sensor"][flag] = 1.0
    assert Visit(house).symptoms >= {"compressor dead", "blower keeps running"}


def test_a_shorted_damper_takes_the_fuse_of_the_zones_and_leaves_the_equipment_its_24_volts() -> (
    None
):
    house = house_of("air_handler_zone_panel")
    house.values["damper"]["shorted"] = 0.5
    called = Visit(house).calling
    assert called.stand.state("zone_fuse", "blown") == 1
    assert abs(called.solved.volt("board.R", "board.C")) > 20.0


def test_a_plug_without_its_rectifier_keeps_the_low_stage_at_fewer_amps() -> None:
    house = house_of("two_stage")
    high = Visit(house).calling.wire_amp("comp_c")
    house.values["stage_plug"]["open"] = 1.0
    visit = Visit(house)
    assert "cools little" in visit.symptoms
    assert 1.15 < high / visit.calling.wire_amp("comp_c") < 1.6


def _lit(flag: str) -> tuple[int, float]:
    """How far a furnace comes, and the volts on its gas valve, with a fault of its burner."""
    house = house_of("gas_furnace")
    house.season = "heat"
    if flag:
        house.values["burner"][flag] = 1.0
    settled = Visit(house).heating
    far = how_far_it_lights(house, settled.stand, settled.solved, "board")
    return far, abs(settled.solved.volt("burner.MV", "burner.C"))


@pytest.mark.parametrize(
    ("flag", "far"), [("", 4), ("rod_dirty", 3), ("no_gas", 2), ("igniter_open", 1)]
)
def test_a_furnace_comes_as_far_as_its_fault_lets_it_and_tries_with_gas(
    flag: str, far: int
) -> None:
    found, volt = _lit(flag)
    assert found == far
    assert volt > 20.0


def test_a_valve_that_stays_open_leaves_a_walk_in_running_with_a_cold_box() -> None:
    house = house_of("walk_in_cooler")
    assert not Visit(house).standby.turns("compressor")
    house.values["solenoid"]["stuck_open"] = 1.0
    assert "keeps running" in Visit(house).symptoms


def test_an_open_valve_coil_stops_the_unit_of_a_freezer_by_its_own_control() -> None:
    house = house_of("walk_in_freezer")
    house.values["solenoid"]["coil_open"] = 1.0
    called = Visit(house).calling
    assert not called.turns("compressor")
    assert called.turns("box_fan")
    assert abs(called.solved.volt("pressure_control.1", "pressure_control.2")) > 200.0


def test_what_leaks_to_metal_trips_the_residual_breaker_of_230_volts() -> None:
    house = house_of("split_230_50hz")
    house.values["heater"]["insulation_ohm"] = 3000.0
    assert Visit(house).standby.stand.state("outdoor_breaker", "tripped") == 1


def test_the_overload_relay_stops_a_blower_that_lost_a_line() -> None:
    house = house_of("rooftop_400_50hz")
    house.values["blower_contactor"]["pole2_dead"] = 1.0
    called = Visit(house).calling
    assert called.stand.state("overload", "tripped") == 1


def test_a_box_is_pumped_down_only_by_a_unit_that_runs() -> None:
    """The valve is shut at rest: what has come in stays, where no compressor ever turned."""
    for blocked, still_in in ((0.0, 0.0), (1.0, 1.0)):
        house = house_of("walk_in_cooler")
        house.values["contactor"]["blocked"] = blocked
        rest = Visit(house).standby
        assert rest.stand.state("pressure_control", "in") == still_in
