"""The ladder: all of a unit is on it, no label lies on another, few wires cross."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from tests.drawing.ladder_units import HOLLOW, NAMES, REPAIRED, moved, unit_called

from rungwise.circuit.condition import CALLING, STANDBY
from rungwise.drawing import Marks, Picture, ladder, marks_of
from rungwise.drawing.ink import colour_code, plain
from rungwise.drawing.lettering import SMALLEST
from rungwise.drawing.picture import overlaps
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement, read_unit
from rungwise.wording import speaking

SVG = "{http://www.w3.org/2000/svg}"
DOCS = HOLLOW.parents[1] / "docs" / "drawing.md"


def everything(unit: Unit) -> Marks:
    """Every part, wire and pair suspected and changed: the most that has to find room."""
    blocks = [block.name for block in unit.blocks()]
    return Marks(suspected=dict.fromkeys(blocks, 1.0), changed=frozenset(blocks))


def clashes(picture: Picture) -> list[tuple[str, str]]:
    """Labels on labels, on the bodies of symbols, or over the edge."""
    found = [(a.text, b.text) for a, b in overlaps(picture.labels)]
    found += [(a.text, "symbol") for a in picture.labels for b in picture.solids if a.overlaps(b)]
    size = (picture.width, picture.height)
    return [*found, *((each.text, "edge") for each in picture.labels if not each.within(*size))]


def titled(picture: Picture, sort: str) -> dict[str, str]:
    """Title by name of every element with `data-<sort>`."""
    elements = ET.fromstring(picture.svg).iter(f"{SVG}g")  # noqa: S314 - our own writing
    named = ((each.get(f"data-{sort}"), each) for each in elements)
    return {name: each.findtext(f"{SVG}title") or "" for name, each in named if name}


@pytest.mark.parametrize("name", NAMES)
def test_no_label_lies_on_anything_in_any_state(name: str) -> None:
    unit = unit_called(name)
    at_rest = marks_of(unit, STANDBY)
    leads = replace(at_rest, leads={"red": "contactor.T1", "black": "contactor.coil2"})
    states = {"rest": leads, "all": everything(unit)}
    if name in FIRST_ARRANGEMENTS:
        states |= {"bare": Marks(), "calling": marks_of(unit, CALLING)}
    assert {state: clashes(ladder(unit, marks)) for state, marks in states.items()} == {
        state: [] for state in states
    }


def test_a_lead_covers_no_label() -> None:
    unit = unit_called("heater_line_side")
    terminals = unit.terminals()
    for red, black in zip(terminals[::6], terminals[3::6], strict=False):
        assert clashes(ladder(unit, Marks(leads={"red": red, "black": black}))) == []


@pytest.mark.parametrize("name", [*FIRST_ARRANGEMENTS, *REPAIRED])
def test_every_part_terminal_and_wire_has_an_id_and_a_title(name: str) -> None:
    unit, picture = unit_called(name), ladder(unit_called(name), prefix="one")
    wanted = {
        "part": {part.name for part in unit.parts},
        "terminal": set(unit.terminals()),
        "wire": {wire.name for wire in unit.wires},
    }
    for sort, names in wanted.items():
        told = titled(picture, sort)
        assert set(told) == names
        assert all(told.values())
        assert all(f'id="one-{sort}-{each}"' in picture.svg for each in names)
    ids = re.findall(r' id="([^"]*)"', picture.svg)
    assert len(ids) == len(set(ids))


def test_a_title_says_the_state_in_words() -> None:
    unit = arrangement("one_pole_heater")
    marks = replace(
        marks_of(unit, STANDBY),
        suspected={"contactor": 0.62, "y_field+c_field": 0.1},
        leads={"red": "contactor.T1"},
        changed=frozenset({"comp_s"}),
    )
    picture = ladder(unit, marks)
    assert "suspected 62%" in titled(picture, "part")["contactor"]
    assert titled(picture, "terminal")["contactor.T1"].endswith(
        "one-pole contactor T1, live by a leftover path, the red lead goes here"
    )
    assert titled(picture, "terminal")["contactor.L1"].endswith("energized")
    wires = titled(picture, "wire")
    assert wires["comp_s"].endswith("changed")
    assert "suspected 10%" in wires["y_field"]
    assert "suspected 10%" in wires["c_field"]


def test_states_differ_in_black_and_white() -> None:
    """Without its colours a live wire, a leftover one and a dead one are three drawings."""
    unit = arrangement("one_pole_heater")
    states = {"live": marks_of(unit, CALLING), "left": marks_of(unit, STANDBY), "dead": Marks()}
    drawn = set()
    for marks in states.values():
        root = ET.fromstring(ladder(unit, marks).svg)  # noqa: S314 - our own writing
        wire = next(each for each in root.iter() if each.get("data-wire") == "comp_r")
        lines = [dict(each.attrib) for each in wire if each.tag.endswith("polyline")]
        for line in lines:
            del line["stroke"]
        drawn.add(str(lines))
    assert len(drawn) == 3


def test_a_wire_on_another_terminal_is_drawn_there() -> None:
    unit = moved(arrangement("one_pole_heater"), {"fan_c": "contactor.L2"})
    assert "one-pole contactor L2 to outdoor fan motor C" in titled(ladder(unit), "wire")["fan_c"]
    assert ladder(unit).svg != ladder(arrangement("one_pole_heater")).svg


def test_marks_move_nothing() -> None:
    unit = arrangement("hard_start_delay")
    bare, marked = ladder(unit), ladder(unit, marks_of(unit, STANDBY))
    assert (bare.width, bare.height, bare.labels) == (marked.width, marked.height, marked.labels)


def test_the_smallest_text_is_14_px_as_it_is_shown_and_11_at_a_phones_width() -> None:
    picture = ladder(arrangement("one_pole_heater"), everything(arrangement("one_pole_heater")))
    sizes = {float(each) for each in re.findall(r'font-size="([\d.]+)"', picture.svg)}
    shown = float(ET.fromstring(picture.svg).get("width") or 0)  # noqa: S314 - our own writing
    assert shown / picture.width * min(sizes) >= 14
    assert round(390 / picture.width * min(sizes)) == SMALLEST == 11


@pytest.mark.parametrize("name", NAMES)
def test_in_spanish_no_label_lies_on_anything_either(name: str) -> None:
    """The marks of terminals are wider there: their room is kept for the words that are drawn."""
    with speaking("es"):
        unit = unit_called(name)
        pictures = [ladder(unit, marks) for marks in (Marks(), everything(unit))]
        assert [clashes(picture) for picture in pictures] == [[], []]
    assert {"coil 1", "line 1"} <= {label.text for label in pictures[0].labels}


def test_the_legend_names_the_letters_of_every_wire() -> None:
    unit = arrangement("hard_start_delay")
    picture = ladder(unit)
    words = {each.text for each in picture.labels}
    for wire in unit.wires:
        assert colour_code(wire.colour) in words
        for colour in wire.colour.split("/"):
            assert any(each.startswith(f"{colour_code(colour)} ") for each in words)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_the_crossings_are_those_that_the_docs_tell(name: str) -> None:
    table = DOCS.read_text(encoding="utf-8").partition("<!-- crossings of the ladder")[2]
    told = re.search(rf"\| `{name}` \| (\d+) \| (\d+) \|", table)
    unit = arrangement(name)
    assert told is not None
    assert told.groups() == (str(len(unit.wires)), str(ladder(unit).crossings))


def test_another_run_draws_the_same(tmp_path: Path) -> None:
    """Nothing in the layout may hang on the order of a set."""
    told = "from rungwise.cli import main; main()"
    file = tmp_path / "again.svg"
    command = [sys.executable, "-c", told, "draw", "hard_start_delay", "-o", str(file)]
    subprocess.run(command, check=True, env={**os.environ, "PYTHONHASHSEED": "1"})
    assert file.read_text("utf-8") == ladder(arrangement("hard_start_delay")).svg


def test_plain_ink_leaves_no_custom_property() -> None:
    svg = plain(ladder(arrangement("one_pole_heater")).svg)
    assert "var(" not in svg
    assert "#ffffff" in svg


def test_a_wiring_that_nobody_would_make_is_drawn_whole() -> None:
    """A wire from R past every switch: more wires beside the leg than there are lanes."""
    unit = read_unit(HOLLOW / "unit-02-orchard-lane.toml")
    wires = tuple(
        replace(w, end="high_pressure.2") if w.name == "r_fuse" else w for w in unit.wires
    )
    picture = ladder(replace(unit, wires=wires))
    assert set(titled(picture, "wire")) == {wire.name for wire in wires}
    assert clashes(picture) == []
