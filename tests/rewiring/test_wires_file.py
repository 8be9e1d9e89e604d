"""Wires files: what is read, and what is refused with file, line, key and a next step."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from tests.rewiring.cabinet import unit

from rungwise.errors import BadInput, BadWiresFile
from rungwise.files.document import Document
from rungwise.parts.element import EARTH
from rungwise.rewiring.recovery import recover
from rungwise.rewiring.rewiring_plan import rewire
from rungwise.rewiring.taken_reading import OUT_OF_REACH
from rungwise.rewiring.wires_file import read_wires, wires_from
from rungwise.rewiring.wires_record import WiresRecord
from rungwise.rewiring.wires_rows import wires_schema
from rungwise.unit.unit_file import arrangement, read_unit

EXAMPLES = Path(__file__).parent.parent.parent / "examples" / "maple-hollow"


def record(text: str) -> WiresRecord:
    return wires_from(Document(text, file="wires.toml", error=BadWiresFile), unit())


def left(*lines: str) -> str:
    """One as-left entry of comp_r, with more lines."""
    return "\n".join(["[[as_left]]", 'wire = "comp_r"', *lines, ""])


WHOLE = """
part = "contactor"
[new]
kind = "contactor_2p"
beside = false
marked = false
[new.terminals]
T1 = "2T1"
[new.places]
L1 = ["lug", "tab"]

[[as_found]]
wire = "comp_r"
from = "compressor.R"
to = "contactor.T1"
colour = "red"
awg = "10"
ends = ["push-on", "ring"]

[[as_left]]
wire = "comp_r"
from = "contactor.2T1"

[[as_left]]
wire = "heater_line"
off = true

[[as_left]]
wire = "jumper"
added = true
from = "contactor.T2"
to = "capacitor.FAN"
"""

LOST = """
off = ["contactor.T2", "contactor.coil1"]
sound = ["fan"]
doubtful = ["compressor"]
[[loose]]
name = "a"
colour = "black"
awg = 10
[[loose]]
name = "b"
far = "fan.C"
[[loose]]
name = "c"
near = "contactor.coil1"
[[readings]]
from = "a"
to = "Earth"
value = "OL"
[[readings]]
from = "a"
to = "compressor.C"
value = "0.2 Ω"
note = "leads zeroed"
[[readings]]
from = "b"
to = "c"
value = "no beep"
[[readings]]
from = "a"
to = "c"
value = "can't reach"
"""


def test_everything_that_is_written_is_read() -> None:
    found = record(WHOLE)
    assert found.part == "contactor"
    assert found.new is not None
    assert (found.new.kind, found.new.beside, found.new.marked) == ("contactor_2p", False, False)
    assert found.new.label("T1") == "2T1"
    assert found.new.places == {"contactor.L1": ("lug", "tab")}
    (was,) = found.as_found
    assert was.ends == ("compressor.R", "contactor.T1")
    assert was.wire.joints == ("push-on", "ring")
    comp, heater, jumper = found.as_left
    assert comp.ends == ("contactor.T1", "compressor.R")
    assert heater.ends is None
    assert jumper.ends == ("contactor.T2", "capacitor.FAN")


def test_loose_wires_and_readings_are_read() -> None:
    found = record(LOST)
    assert found.off == ("contactor.T2", "contactor.coil1")
    assert (found.sound, found.doubtful) == (("fan",), ("compressor",))
    a, b, c = found.loose
    assert (a.colour, a.awg, b.far, c.near) == ("black", 10.0, "fan.C", "contactor.coil1")
    over, near, silent, shut = found.readings
    assert (over.b, over.high_ohm) == (EARTH, np.inf)
    assert near.low_ohm <= 0.2 <= near.high_ohm
    assert silent.typed == "no beep"
    assert (shut.low_ohm, shut.high_ohm) == OUT_OF_REACH
    assert [each.line for each in found.readings] == [15, 19, 24, 28]


def test_a_sweep_is_one_entry() -> None:
    """One lead stayed on the splice: two ends read OL there, and the third one read."""
    swept = (
        '\n[[readings]]\nfrom = "y_splice.1"\nol = ["a", "b"]\nto = "c"\nvalue = 0.1\n'
        '\n[[readings]]\nfrom = "fan.C"\nol = ["c"]\n'
    )
    found = record(LOST + swept).readings[4:]
    assert [(each.a, each.b, each.typed) for each in found] == [
        ("y_splice.1", "a", "OL"), ("y_splice.1", "b", "OL"), ("y_splice.1", "c", "0.1"),
        ("fan.C", "c", "OL"),
    ]  # fmt: skip


def test_a_part_alone_asks_for_the_same_again() -> None:
    found = record('part = "capacitor"')
    assert found.new is not None
    assert found.new.kind == "dual_capacitor"
    answer = rewire(unit(), found)
    assert answer.passes
    assert answer.moves is not None
    assert len(answer.moves.steps) == 4
    assert answer.left is None


TWICE = """[[loose]]
name = "a"
[[readings]]
from = "a"
to = "fan.C"
value = 0.1
[[readings]]
from = "fan.C"
to = "a"
value = "OL"
"""

REFUSED = {
    "an unknown part": ('part = "contacter"', ["line 1", "did you mean contactor?"]),
    "an unknown wire": (
        '[[as_left]]\nwire = "comp_rr"\n', ["line 2", "as_left[1].wire", "comp_rr", "added = true"]
    ),
    "an unknown terminal": (
        left('from = "contactor.T3"'), ["line 3", "contactor.T3", "contactor.T1"]
    ),
    "a part for a terminal": (left('from = "contactor"'), ["line 3", "(none given)"]),
    "a part that is not there": (left('from = "contacter.T1"'), ["line 3", "did you mean"]),
    "a wire on itself": (
        left('from = "compressor.R"'), ["both ends of this wire are on one terminal"]
    ),
    "a wire twice": (
        left() + left(), ["line 4", "stands twice", "first on line 1"]
    ),
    "an added wire with one end": (
        '[[as_left]]\nwire = "x"\nadded = true\nfrom = "contactor.T1"\n', ["both its ends"]
    ),
    "an added wire that is there": (
        '[[as_left]]\nwire = "fan_c"\nadded = true\n', ["has a wire fan_c already"]
    ),
    "one joint for two ends": (left('ends = ["push-on"]'), ["line 3", "two ends"]),
    "an unknown joint": (left('ends = ["push-on", "glued"]'), ["line 3", "glued", "splice"]),
    "a strange key": (left('color = "red"'), ["line 3", "color", "did you mean colour?"]),
    "a new part without an old one": ("[new]\nbeside = true\n", ["which part comes out"]),
    "a new part without the terminals": (
        'part = "contactor"\n[new]\nkind = "relay"\n', ["line 3", "has no", "contactor_2p"]
    ),
    "a label on no terminal": (
        'part = "contactor"\n[new.terminals]\nT9 = "x"\n', ["line 3", "T9", "T1"]
    ),
    "one label twice": (
        'part = "contactor"\n[new.terminals]\nT1 = "x"\nT2 = "x"\n', ["the same label", "line 3"]
    ),
    "an unknown place": (
        'part = "contactor"\n[new.places]\nT1 = ["hook"]\n', ["line 3", "hook", "plate"]
    ),
    "nothing that is off": ('off = ["contacter"]\n', ["line 1", "did you mean contactor"]),
    "a tag twice": ('[[loose]]\nname = "a"\n[[loose]]\nname = "a"\n', ["line 4", "on two loose"]),
    "two points read twice, unlike": (
        TWICE, ["read twice, and unlike", "fan.C to a: 0.1, then OL", "keep the one that holds"]
    ),
    "a tag like a terminal": ('[[loose]]\nname = "a.1"\n', ["line 2", "without a point"]),
    "a free wire on a terminal": (
        '[[loose]]\nname = "a"\nboth_ends = true\nfar = "fan.C"\n', ["line 3", "hang free"]
    ),
    "a reading of nothing": (
        '[[readings]]\nfrom = "a"\nto = "earth"\nvalue = 1\n', ["line 2", "no loose wire"]
    ),
    "a reading of one point": (
        '[[readings]]\nfrom = "fan.C"\nto = "fan.C"\nvalue = 1\n', ["line 3", "on one point"]
    ),
    "which end of two": (
        ('[[loose]]\nname = "a"\nboth_ends = true\n'
        '[[readings]]\nfrom = "a"\nto = "earth"\nvalue = 1\n'),
        ["line 5", "a.1, a.2"],
    ),
    "amps for ohms": (
        '[[loose]]\nname = "a"\n[[readings]]\nfrom = "a"\nto = "earth"\nvalue = "2 A"\n',
        ["line 6", "2 A", "readings[1].value"],
    ),
    "ohms below nothing": (
        '[[loose]]\nname = "a"\n[[readings]]\nfrom = "a"\nto = "earth"\nvalue = -2\n',
        ["line 6", "never below zero"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_is_refused_with_its_place_and_a_way_on(name: str) -> None:
    text, said = REFUSED[name]
    with pytest.raises(BadWiresFile) as caught:
        record(text)
    told = " ".join(str(caught.value).split()).lower()
    for each in said:
        assert each.lower() in told, told
    assert caught.value.file == "wires.toml"
    assert caught.value.line is not None


LOST_REFUSED = {
    "too few ends": (LOST.replace('[[loose]]\nname = "c"\nnear = "contactor.coil1"\n', "")
                     .replace('to = "c"', 'to = "fan.R"'), ["2 loose ends", "3 wire ends"]),
    "a far end that no wire has": (LOST.replace("fan.C", "fan.S"), ["runs to fan.S", "line 9"]),
    "two for one": (
        LOST.replace("awg = 10", 'awg = 10\nfar = "fan.C"'), ["cannot all be true", "a to fan.C"]
    ),
    "nothing loose": ('off = ["contactor"]\n', ["names no loose wires", "[[loose]]"]),
}  # fmt: skip


@pytest.mark.parametrize("name", LOST_REFUSED)
def test_loose_wires_that_cannot_be_are_refused(name: str) -> None:
    text, said = LOST_REFUSED[name]
    with pytest.raises(BadInput) as caught:
        recover(unit(), record(text))
    told = " ".join(str(caught.value).split())
    for each in said:
        assert each in told, told
    assert caught.value.next_step


def test_too_many_loose_ends_are_refused() -> None:
    whole = arrangement("hard_start_delay")
    names = [f"w{at}" for at in range(32)]
    text = 'off = ["contactor", "capacitor", "start_relay", "start_capacitor", "compressor"]\n'
    text += "".join(f'[[loose]]\nname = "{name}"\n' for name in names)
    found = wires_from(Document(text, file="wires.toml", error=BadWiresFile), whole)
    with pytest.raises(BadWiresFile) as caught:
        recover(whole, found)
    assert "loose ends" in caught.value.what


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("wires-*.toml")), ids=lambda path: path.stem)
def test_every_example_fits_the_schema_and_is_left_as_it_is(path: Path) -> None:
    before = path.read_bytes()
    values = tomllib.loads(before.decode("utf-8"))
    plain = json.loads(json.dumps(values))
    jsonschema.validate(plain, wires_schema(), cls=jsonschema.Draft202012Validator)
    name = "unit-02-orchard-lane" if "off" in values else "unit-01-mill-street"
    read_wires(path, read_unit(EXAMPLES / f"{name}.toml"))
    assert path.read_bytes() == before


@pytest.mark.parametrize("text", [WHOLE, LOST])
def test_the_schema_knows_every_key_that_is_read(text: str) -> None:
    jsonschema.validate(tomllib.loads(text), wires_schema(), cls=jsonschema.Draft202012Validator)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**tomllib.loads(text), "strange": 1}, wires_schema())
