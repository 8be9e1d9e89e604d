"""The JSON Schema of unit files says what the reader takes, and refuses what it refuses."""

from __future__ import annotations

import copy
import json
import tomllib
from collections.abc import Callable
from importlib import resources
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from rungwise.errors import BadUnitFile
from rungwise.files.document import Document
from rungwise.parts import KINDS
from rungwise.unit.nameplate import FIELDS
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, unit_from, unit_schema
from rungwise.unit.wiring import PART_KINDS

VALIDATOR = Draft202012Validator(unit_schema())

MAPLE = """\
arrangement = "one_pole_heater"
title = "Maple Hollow, behind the hardware store"
without = ["y_coil"]

[nameplate]
volt = 230
rla_a = "18 A"
herm_uf = "50 µF"
owner = "the store"

[parts.compressor]
main_ohm = 0.6

[parts.contactor]
kind = "contactor_2p"
coil_ohm = "12 ohm"

[[wires]]
name = "y_new"
from = "low_pressure.2"
to = "contactor.coil1"
colour = "yellow"
awg = 18
joints = ["push-on", "push-on"]
carries = "Y"

[[cables]]
name = "thermostat cable"
wires = ["r_stat", "y_stat"]
"""

WHOLE = """\
[parts.service]
kind = "service"
place = "panel"

[parts.heater]
kind = "crankcase_heater"

[[wires]]
name = "hot"
from = "service.L1"
to = "heater.1"
joints = ["screw", "splice"]
"""


def errors(data: Any) -> list[str]:
    return [error.message for error in VALIDATOR.iter_errors(data)]


def read(text: str) -> None:
    unit_from(Document(text, file="maple.toml"), name="maple")


def shipped(name: str) -> str:
    file = resources.files("rungwise.unit").joinpath("arrangements", f"{name}.toml")
    return file.read_text(encoding="utf-8")


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(unit_schema())
    json.dumps(unit_schema(), allow_nan=False)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_shipped_arrangement_fits_it(name: str) -> None:
    assert errors(tomllib.loads(shipped(name))) == []


@pytest.mark.parametrize("text", [MAPLE, WHOLE], ids=["with arrangement", "whole"])
def test_what_the_reader_takes_fits_it(text: str) -> None:
    read(text)
    assert errors(tomllib.loads(text)) == []


Change = Callable[[dict[str, Any]], object]
BAD: dict[str, Change] = {
    "unknown key": lambda d: d.update(parrts={}),
    "unknown arrangement": lambda d: d.update(arrangement="three_pole"),
    "unknown kind": lambda d: d["parts"].update(x={"kind": "contactor_4p"}),
    "a fault handle": lambda d: d["parts"]["contactor"].update(welded=1),
    "a machine constant": lambda d: d["parts"]["compressor"].update(rotor_ohm=1.0),
    "a parameter of another kind": lambda d: d["parts"]["contactor"].update(fuse_a=30),
    "24 instead of 240": lambda d: d["parts"].update(heater={"volt": 24}),
    "nameplate volts of 24": lambda d: d["nameplate"].update(volt=24),
    "µF in farads": lambda d: d["nameplate"].update(herm_uf=4.5e-5),
    "a word for a number": lambda d: d["nameplate"].update(rla_a="plenty"),
    "a flag for a number": lambda d: d["nameplate"].update(rla_a=True),
    "unknown nameplate line": lambda d: d["nameplate"].update(tonnage=3),
    "three joints": lambda d: d["wires"][0].update(joints=["screw"] * 3),
    "unknown joint": lambda d: d["wires"][0].update(joints=["glue", "screw"]),
    "a terminal without its part": lambda d: d["wires"][0].update(to="T1"),
    "a terminal that no kind has": lambda d: d["wires"][0].update(to="contactor.T9"),
    "a wire without a name": lambda d: d["wires"][0].pop("name"),
    "unknown place": lambda d: d["parts"]["contactor"].update(place="attic"),
    "50 gauge": lambda d: d["wires"][0].update(awg=50),
    "a cable of one wire": lambda d: d["cables"][0].update(wires=["r_stat"]),
    "a wire twice in a cable": lambda d: d["cables"][0].update(wires=["r_stat", "r_stat"]),
    "a long label": lambda d: d["parts"]["contactor"].update(label="x" * 61),
    "a name with a dot": lambda d: d["parts"].update({"a.b": {"kind": "splice"}}),
    "400 Hz": lambda d: d.update(hz=400),
}


@pytest.mark.parametrize("change", BAD.values(), ids=BAD.keys())
def test_what_the_schema_refuses_the_reader_refuses_too(change: Change) -> None:
    data = copy.deepcopy(tomllib.loads(MAPLE))
    change(data)
    assert errors(data) != []
    with pytest.raises(BadUnitFile):
        read(toml(data))


@pytest.mark.parametrize("gone", ["kind", "from", "to", "joints"])
def test_a_file_without_an_arrangement_must_say_it_all(gone: str) -> None:
    data = tomllib.loads(WHOLE)
    (data["parts"]["heater"] if gone == "kind" else data["wires"][0]).pop(gone)
    assert errors(data) != []
    with pytest.raises(BadUnitFile):
        read(toml(data))


def test_every_kind_and_every_visible_parameter_is_in_it() -> None:
    definitions = unit_schema()["$defs"]
    for name in PART_KINDS:
        visible = {p.name for p in KINDS[name].parameters if not p.hidden}
        assert set(definitions[f"part_{name}"]["properties"]) == visible | {
            "kind",
            "place",
            "label",
            "circuit",
        }


def test_ranges_are_those_of_the_tables() -> None:
    schema = unit_schema()
    for line in FIELDS:
        number = schema["properties"]["nameplate"]["properties"][line.key]["anyOf"][0]
        assert (number["minimum"], number["maximum"]) == (line.low, line.high)
    heater = schema["$defs"]["part_crankcase_heater"]["properties"]["volt"]
    assert heater["anyOf"][0] == {"type": "number", "minimum": 100.0, "maximum": 600.0}
    assert heater["default"] == 240.0


def toml(data: dict[str, Any]) -> str:
    """`data` as TOML, values in TOML's own inline form, which is JSON's but for colons."""
    return "\n".join(f"{key} = {inline(value)}" for key, value in data.items())


def inline(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(k)} = {inline(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(inline(each) for each in value) + "]"
    return json.dumps(value, ensure_ascii=False)
