"""The nameplate as it is printed: one rated voltage or two, and what the unit may run on."""

from __future__ import annotations

import pytest
from jsonschema import Draft202012Validator

from rungwise.errors import BadUnitFile
from rungwise.files.document import Document
from rungwise.unit.nameplate import supply_range_v, volts_told
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import unit_from, unit_schema

HEAD = 'arrangement = "one_pole_heater"\n'


def unit(volts: str) -> Unit:
    return unit_from(Document(f"{HEAD}[nameplate]\nvolt = {volts}\n", file="maple.toml"), name="m")


@pytest.mark.parametrize("typed", ['"208/230 V"', '"208-230"', '"208/230 VAC"'])
def test_a_plate_of_two_voltages_sets_the_motors_to_the_higher(typed: str) -> None:
    """The trade's rated amps are given at the higher of the two (common practice, no source)."""
    found = unit(typed)
    assert found.part("compressor").values["rated_volt"] == 230.0
    assert found.part("fan").values["rated_volt"] == 230.0
    assert volts_told(found.nameplate) == "208/230 V"


# A 208/230 V plate: 197 to 253 V at the terminals (ANSI C84.1 and AHRI 110, from memory); one of
# 230 V: within 10% (NEMA MG 1-12.44), 207 to 253 V. Exact but for the rounding of the ends.
@pytest.mark.parametrize(
    ("typed", "low", "high"), [('"208/230"', 197.0, 253.0), ("230", 207.0, 253.0)]
)
def test_a_plate_of_two_voltages_runs_on_less(typed: str, low: float, high: float) -> None:
    found = supply_range_v(unit(typed).nameplate)
    assert found == pytest.approx((low, high))


def test_a_plate_without_volts_says_nothing_of_the_supply() -> None:
    assert supply_range_v({}) is None
    assert volts_told({}) == ""


def test_the_label_of_a_motor_may_have_two_voltages_too() -> None:
    text = f'{HEAD}[parts.fan]\nrated_volt = "208-230 V"\n'
    found = unit_from(Document(text, file="maple.toml"), name="m")
    assert found.part("fan").values["rated_volt"] == 230.0


@pytest.mark.parametrize("typed", ['"120/240"', '"208/23"', '"208/230 A"', '"208/"'])
def test_two_voltages_that_no_such_unit_has_are_refused_with_their_place(typed: str) -> None:
    with pytest.raises(BadUnitFile) as caught:
        unit(typed)
    assert caught.value.line == 3
    assert caught.value.key == "nameplate.volt"


def test_the_schema_takes_what_the_reader_takes() -> None:
    held = Draft202012Validator(unit_schema())
    plate = {"arrangement": "one_pole_heater", "nameplate": {"volt": "208/230 V"}}
    assert held.is_valid(plate)
    assert not held.is_valid({**plate, "nameplate": {"rla_a": "16/18 A"}})


@pytest.mark.parametrize(("volts", "served"), [(200, True), (265, True), (277, False)])
def test_a_plate_whose_motor_the_supply_hardly_starts_is_refused(
    *, volts: float, served: bool
) -> None:
    if served:
        assert unit(str(volts)).part("compressor").values["rated_volt"] == volts
        return
    with pytest.raises(BadUnitFile, match="stalls on the other"):
        unit(str(volts))


@pytest.mark.parametrize(("typed", "volts"), [('"208/240 V"', 240.0), ('"240/208VAC"', 240.0)])
def test_a_coil_made_for_two_voltages_is_one_for_the_higher(typed: str, volts: float) -> None:
    text = f'arrangement = "walk_in_cooler"\n[parts.contactor]\ncoil_volt = {typed}\n'
    found = unit_from(Document(text, file="maple.toml"), name="m")
    assert found.part("contactor").values["coil_volt"] == volts
