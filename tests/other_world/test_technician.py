"""Meters, eyes and hands of the other world."""

from __future__ import annotations

import ast
from pathlib import Path

import numpy as np
import pytest

import rungwise.other_world
from rungwise.other_world import Amps, Ask, Leads, LoadMicrofarads, Look, OtherTechnician, Volts
from rungwise.other_world.house import House
from rungwise.other_world.machines import Machine
from rungwise.other_world.makes import good_house
from rungwise.other_world.meters import Hands
from rungwise.other_world.visit import Visit
from rungwise.unit.unit_file import arrangement


def house() -> House:
    return good_house(arrangement("one_pole_heater"), np.random.default_rng(1))


def hands(visit: Visit, slip: float = 0.0) -> Hands:
    return Hands(visit, 5, slip)


def rng() -> np.random.Generator:
    return np.random.default_rng(3)


def test_an_open_wire_shows_a_ghost_that_a_low_impedance_meter_takes_away() -> None:
    made = house()
    made.wires["y_float"].open = True
    taken = hands(Visit(made))
    ghost = taken.read(Volts("standby", "board.Y", "board.C", 1e7), rng())
    loaded = taken.read(Volts("standby", "board.Y", "board.C", 3e3), rng())
    assert ghost > 1.0
    assert loaded < 0.8


def test_ohms_stand_with_the_resistance_of_the_leads() -> None:
    """Trade leads have 0.1 to 0.5 Ω (common practice, no source)."""
    made = house()
    ask = Leads(
        "ohms", "contactor.coil1", "contactor.coil2", ("contactor.coil1", "contactor.coil2")
    )
    read = [Hands(Visit(made), seed, 0.0).read(ask, rng()) for seed in range(20)]
    over = np.array(read) - made.value("contactor", "coil_ohm")
    assert 0.0 < np.median(over) < 0.6


def test_a_winding_by_itself_shows_its_ohms_and_one_in_its_circuit_less() -> None:
    made = house()
    off = tuple(f"compressor.{end}" for end in "CRS")
    alone = hands(Visit(made)).read(Leads("ohms", "compressor.C", "compressor.S", off), rng())
    motor = made.machines["compressor"]
    assert isinstance(motor, Machine)
    assert alone == pytest.approx(motor.r_aux, abs=0.8)


def test_a_capacitance_meter_shows_what_is_in_the_can_and_nothing_when_open() -> None:
    made = house()
    ends = ("capacitor.HERM", "capacitor.C")
    shown = hands(Visit(made)).read(Leads("microfarads", *ends, ends), rng())
    assert shown == pytest.approx(made.value("capacitor", "herm_uf"), rel=0.05)
    made.values["capacitor"]["herm_open"] = 1.0
    assert hands(Visit(made)).read(Leads("microfarads", *ends, ends), rng()) < 0.5


def test_microfarads_under_load_agree_with_the_can() -> None:
    made = house()
    ask = LoadMicrofarads("comp_s", "capacitor.HERM", "capacitor.C")
    assert hands(Visit(made)).read(ask, rng()) == pytest.approx(
        made.value("capacitor", "herm_uf"), rel=0.08
    )


def test_megohms_have_no_upper_limit_but_the_meters() -> None:
    made = house()
    off = tuple(f"compressor.{end}" for end in "CRS")
    ask = Leads("megohms", "compressor.C", "@earth", off)
    made.values["compressor"]["insulation_ohm"] = 5e9
    assert hands(Visit(made)).read(ask, rng()) == float("inf")
    made.values["compressor"]["insulation_ohm"] = 3e7
    assert hands(Visit(made)).read(ask, rng()) == pytest.approx(30.0, rel=0.15)


def test_inrush_is_the_locked_amps_and_held_amps_are_the_running_ones() -> None:
    taken = hands(Visit(house()))
    peak = taken.read(Amps("starting", "comp_c", inrush=True), rng())
    held = taken.read(Amps("starting", "comp_c"), rng())
    assert 50 < peak < 110
    assert 5 < held < 16


def test_a_meter_that_always_slips_reads_something_else() -> None:
    taken = hands(Visit(house()), slip=1.0)
    assert taken.read(Amps("calling", "comp_c"), rng()) < 6.0


def test_the_same_question_gets_the_same_answer_in_any_order() -> None:
    visit = Visit(house())
    one, two = OtherTechnician(visit, 9), OtherTechnician(visit, 9)
    asks: dict[str, Ask] = {
        "volts": Volts("calling", "board.R", "board.C", 1e7),
        "look": Look("burnt", "contactor", ("no", "burnt")),
        "amps": Amps("calling", "fan_c"),
    }
    first = {name: one.take(name, ask) for name, ask in asks.items()}
    assert {name: two.take(name, asks[name]) for name in reversed(asks)} == first


def test_what_is_taken_once_more_is_read_once_more() -> None:
    technician = OtherTechnician(Visit(house()), 9)
    ask = Volts("calling", "board.R", "board.C", 1e7)
    first, second = (technician.take("volts", ask) for _ in range(2))
    assert first != second
    assert first == pytest.approx(second, abs=0.8)


def test_some_checks_cannot_be_taken_and_what_is_told_always_can() -> None:
    technician = OtherTechnician(Visit(house()), 1, cannot=1.0)
    ask = Look("turns", "fan", ("turning", "not turning"))
    assert technician.take("look-fan", ask) is None
    assert technician.take("look-fan", ask, told=True) == "turning"


def test_an_unknown_thing_to_look_at_is_answered_as_unremarkable() -> None:
    technician = OtherTechnician(Visit(house()), 2, cannot=0.0)
    answers = [
        technician.take(f"look-{at}", Look("moss", "roof", ("none", "some"))) for at in range(60)
    ]
    assert answers.count("none") > 50


def test_a_fault_leaves_its_mark_with_its_chance() -> None:
    made = house()
    made.marks[("bulged", "capacitor")] = 0.5
    visit = Visit(made)
    look = Look("bulged", "capacitor", ("no", "bulged"))
    seen = [OtherTechnician(visit, at, 0.0).take("look", look) for at in range(300)]
    assert seen.count("bulged") / 300 == pytest.approx(0.5, abs=0.1)


NAMES_ONLY = {"Part", "Unit", "Wire", "part_of", "split_end", "terminal_of"}
"""What a unit file says, and where the name of a terminal is parted."""


def test_no_module_of_the_room_takes_anything_from_the_engine() -> None:
    """The contract in pyproject.toml, held here too: names, errors, ngspice's start alone."""
    allowed = (
        "rungwise.other_world",
        "rungwise.errors",
        "rungwise.spice_run",
        "rungwise.door",
    )
    for file in Path(rungwise.other_world.__path__[0]).glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("rungwise"):
                names = {each.name for each in node.names}
                of_a_unit = node.module == "rungwise.unit" and names <= NAMES_ONLY
                told = (file.name, node.module, names)
                assert of_a_unit or (node.module or "").startswith(allowed), told
