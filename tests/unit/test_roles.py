"""A part's role comes from its circuit: any part may be called anything."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.unit.unit import Unit, Wire
from rungwise.unit.unit_file import arrangement

NAMES = ("one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side")


def renamed(unit: Unit, old: str, new: str) -> Unit:
    def end(terminal: str) -> str:
        part, _, own = terminal.partition(".")
        return f"{new if part == old else part}.{own}"

    def moved(wire: Wire) -> Wire:
        return replace(wire, start=end(wire.start), end=end(wire.end))

    parts = tuple(replace(p, name=new) if p.name == old else p for p in unit.parts)
    return replace(unit, parts=parts, wires=tuple(moved(wire) for wire in unit.wires))


def told(unit: Unit) -> dict[str, list[str]]:
    roles = unit.roles
    return {
        "compressors": [*roles.compressors],
        "fans": [*roles.outdoor_fans],
        "blowers": [*roles.indoor_blowers],
        "contactors": [*roles.contactors],
        "high": [*roles.opening_on("high pressure")],
        "served": [f"{s.capacitor} :{s.section.element} {s.motor}" for s in roles.served],
    }


@pytest.mark.parametrize("name", NAMES)
def test_every_arrangement_has_one_part_in_each_main_role(name: str) -> None:
    unit = arrangement(name)
    assert told(unit)["compressors"] == ["compressor"]
    assert told(unit)["fans"] == ["fan"]
    assert told(unit)["blowers"] == ["blower"]
    assert told(unit)["contactors"] == ["contactor"]
    run = {(s.section.purpose, s.motor) for s in unit.roles.served}
    assert {("run", "compressor"), ("run", "fan"), ("run", "blower")} <= run


@pytest.mark.parametrize("name", NAMES)
def test_renaming_a_part_changes_its_name_in_the_roles_and_nothing_else(name: str) -> None:
    unit = arrangement(name)
    for part in unit.parts:
        expected = {
            role: [" ".join("zz" if w == part.name else w for w in each.split()) for each in them]
            for role, them in told(unit).items()
        }
        assert told(renamed(unit, part.name, "zz")) == expected
