"""Plates of units beyond the cooling split: each is read, and none contradicts itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from rungwise.replacement import Standing
from rungwise.replacement.plate_contradictions import contradictions_of
from rungwise.unit import read_unit

STREET = sorted((Path(__file__).parents[2] / "examples" / "street").glob("*.toml"))


@pytest.mark.parametrize("path", STREET, ids=lambda path: path.stem)
def test_plate_of_the_example_is_read_and_does_not_contradict_itself(path: Path) -> None:
    unit = read_unit(path)
    plate = unit.nameplate
    compressor = unit.part(unit.roles.compressors[0])
    assert compressor.values["rated_a"] == plate["rla_a"]
    told = list(contradictions_of(unit))
    assert told
    assert [each.text for each in told if each.level is Standing.WRONG] == []


def test_there_are_plates_of_heat_pumps_a_rooftop_and_a_cooler() -> None:
    arrangements = {read_unit(path).arrangement for path in STREET}
    assert {"heat_pump_o_timed", "heat_pump_b_timed", "rooftop_two_compressors",
            "walk_in_cooler"} <= arrangements  # fmt: skip
