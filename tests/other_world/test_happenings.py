"""What faults bring about in the other world, each as a technician knows it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from rungwise.other_world.asks import Look
from rungwise.other_world.house import Bridge, House
from rungwise.other_world.looks import Eyes
from rungwise.other_world.makes import good_house
from rungwise.other_world.visit import Visit
from rungwise.unit.unit_file import arrangement

Spoil = Callable[[House], None]


def house_of(name: str = "one_pole_heater", seed: int = 1) -> House:
    """A good house that cools, on a day of 90 °F and a supply of 240 V."""
    house = good_house(arrangement(name), np.random.default_rng(seed))
    house.weather.outdoor_f = 90.0
    house.supply.leg_volt, house.supply.angle_deg = 121.0, 180.0
    house.found_tripped = house.found_pressed = True
    assert not Visit(house).symptoms
    return house


def visit_of(spoil: Spoil, name: str = "one_pole_heater", seed: int = 1) -> Visit:
    house = house_of(name, seed)
    spoil(house)
    return Visit(house)


def flag(part: str, name: str, value: float = 1.0) -> Spoil:
    def spoil(house: House) -> None:
        house.values[part][name] = value

    return spoil


def opened(visit: Visit) -> set[str]:
    states = visit.calling.stand.states
    names = ("tripped", "open", "blown", "blown1", "blown2")
    return {part for (part, name), at in states.items() if name in names and at}


def test_an_open_run_capacitor_stalls_the_compressor_and_its_overload_opens() -> None:
    visit = visit_of(flag("capacitor", "herm_open"))
    assert not visit.calling.turns("compressor")
    assert visit.calling.turns("fan")
    assert opened(visit) == {"compressor"}


@pytest.mark.parametrize("seed", range(4))
def test_a_dead_outdoor_fan_ends_in_high_pressure_or_overload(seed: int) -> None:
    visit = visit_of(flag("fan", "seized"), seed=seed)
    assert not visit.calling.turns("compressor")
    assert opened(visit) & {"high_pressure", "compressor"}


def test_what_trips_by_heat_is_found_open_or_runs_first_and_then_stops() -> None:
    visit = visit_of(flag("fan", "seized"))
    assert not visit.starting.turns("compressor")
    visit.house.found_tripped = visit.house.found_pressed = False
    again = Visit(visit.house)
    assert again.starting.turns("compressor")
    assert not again.calling.turns("compressor")


def test_a_winding_on_the_shell_trips_the_breaker_which_is_found_so() -> None:
    def earth(house: House) -> None:
        house.values["compressor"] |= {"insulation_ohm": 0.5, "earthed_at": 0.0}

    visit = visit_of(earth)
    assert "outdoor_breaker" in opened(visit)
    assert visit.lasting[("outdoor_breaker", "tripped")]
    assert abs(visit.standby.solved.volt("contactor.L1")) < 5.0


def test_y_touching_c_blows_the_low_voltage_fuse() -> None:
    visit = visit_of(lambda h: h.bridges.append(Bridge("y_field~end", "c_field~end", 0.1)))
    assert opened(visit) == {"lv_fuse"}
    assert abs(visit.calling.solved.volt("board.R", "board.C")) < 2.0


def test_low_charge_opens_the_low_pressure_switch() -> None:
    def leak(house: House) -> None:
        house.weather.charge = 0.1

    assert opened(visit_of(leak)) == {"low_pressure"}


def test_a_dirty_coil_raises_pressure_and_amps() -> None:
    clean, dirty = house_of(), house_of()
    dirty.weather.coil_clean = 0.6
    before, after = Visit(clean).calling, Visit(dirty).calling
    assert after.heat is not None
    assert before.heat is not None
    assert after.heat.head_psig > before.heat.head_psig
    assert after.wire_amp("comp_c") > before.wire_amp("comp_c")


def test_a_coil_for_120_volts_never_moves_on_24() -> None:
    def fit(house: House) -> None:
        own = house.values["contactor"]
        own["coil_ohm"], own["sealed_ohm"] = 330.0, 25.0 * own["sealed_ohm"]
        own["pull_volt"] *= 5.0

    visit = visit_of(fit)
    assert visit.calling.stand.state("contactor", "in") == 0
    assert abs(visit.calling.solved.volt("contactor.coil1", "contactor.coil2")) > 22


def test_a_supply_that_sags_at_the_start_makes_the_contactor_chatter() -> None:
    def sag(house: House) -> None:
        house.supply.drop_ohm = 1.2
        house.values["contactor"] |= {"pull_volt": 17.0, "drop_volt": 16.5}

    visit = visit_of(sag)
    assert "contactor" in visit.starting.chatters
    assert "chatters" in visit.symptoms


def test_the_start_relay_takes_the_start_capacitor_out_once_it_runs() -> None:
    visit = visit_of(lambda _: None, "hard_start_delay")
    assert visit.calling.stand.state("start_relay", "in")
    assert visit.calling.wire_amp("kit_1") < 0.1
    assert visit.starting.inrush["kit_1"] > 5.0


def test_a_lost_neutral_shares_the_legs_by_their_loads() -> None:
    """One leg falls by what the other rises; the sum stays (a divider of two loads)."""

    def lose(house: House) -> None:
        house.supply.neutral_ohm = float("inf")
        house.supply.rod_ohm = 1e4
        house.supply.loads_ohm |= {"1N": 10.0, "2N": 60.0}

    solved = visit_of(lose).standby.solved
    one, two = abs(solved.volt("service.L1")), abs(solved.volt("service.L2"))
    assert one < 90
    assert two > 150
    assert one + two == pytest.approx(abs(solved.volt("service.L1", "service.L2")), rel=0.01)


def test_two_legs_of_a_wye_have_208_volts_between_them() -> None:
    """√3 times 120 V."""
    house = house_of()
    house.supply.leg_volt, house.supply.angle_deg = 120.0, 120.0
    volts = abs(Visit(house).standby.solved.volt("service.L1", "service.L2"))
    assert volts == pytest.approx(np.sqrt(3.0) * 120.0, abs=3.0)


def test_a_heater_across_the_open_pole_warms_only_while_the_contactor_is_open() -> None:
    visit = Visit(house_of())
    assert visit.standby.wire_amp("heater_line") == pytest.approx(0.29, abs=0.04)
    assert visit.calling.wire_amp("heater_line") < 0.01


def test_a_welded_contact_keeps_it_running() -> None:
    visit = visit_of(flag("contactor", "welded"))
    assert "keeps running" in visit.symptoms
    assert visit.standby.turns("compressor")


def test_an_overload_that_heat_holds_open_is_closed_at_a_start_once_it_has_cooled() -> None:
    visit = visit_of(flag("compressor", "overload_held"))
    assert not visit.live("calling").turns("compressor")
    assert visit.live("restart").turns("compressor")


def test_what_has_melted_is_open_at_a_start_once_all_has_cooled_too() -> None:
    visit = visit_of(lambda house: house.bridges.append(Bridge("y_splice.1", "c_splice.1", 0.1)))
    assert opened(visit) == {"lv_fuse"}
    assert abs(visit.live("restart").solved.volt("board.Y", "board.C")) < 1.0


def line_of(visit: Visit, times: int = 60) -> dict[str, float]:
    """How the large line is found, in shares of many hands on it."""
    look = Look("line", "compressor", ("cold", "like the air", "frosted"))
    rng = np.random.default_rng(3)
    found = [Eyes(visit, slip=0.0).see(look, rng) for _ in range(times)]
    return {choice: found.count(choice) / times for choice in look.choices}


def test_the_large_line_is_cold_and_tells_of_air_and_charge() -> None:
    assert line_of(visit_of(lambda _house: None))["cold"] > 0.9

    def clogged(house: House) -> None:
        house.weather.indoor_air = 0.15
        house.values["low_pressure"]["opens_psig"] = 5.0

    assert line_of(visit_of(clogged))["frosted"] > 0.7

    def leaked(house: House) -> None:
        house.weather.charge = 0.45
        house.values["low_pressure"]["opens_psig"] = 5.0

    found = line_of(visit_of(leaked))
    assert found["like the air"] > 0.5 > found["frosted"]
    assert line_of(visit_of(flag("contactor", "blocked")))["like the air"] == 1.0
