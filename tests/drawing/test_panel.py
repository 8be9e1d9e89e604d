"""The panel: every unit that ships, in every place and state, laid out without a clash."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from tests.drawing.panel_geometry import Seen, crossing_count, seen

from rungwise.drawing.ink import wire_ink
from rungwise.drawing.lettering import SMALLEST
from rungwise.drawing.marks import Marks
from rungwise.drawing.panel_bodies import body_of
from rungwise.drawing.panel_layout import layout_of
from rungwise.drawing.panel_picture import PLACES, panel
from rungwise.drawing.picture import LabelBox, Picture, overlaps
from rungwise.drawing.placing import wires_of
from rungwise.errors import UnknownName
from rungwise.parts import KINDS, drawn_mark, split_end
from rungwise.parts.pictures import Stand
from rungwise.unit.unit import Part, Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement, read_unit

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples" / "maple-hollow").glob("unit-*.toml"))


def two_pole(unit: Unit) -> Unit:
    """A candidate swapped in: another contactor in the place of the old one."""
    parts = (replace(p, kind="contactor_2p") if p.name == "contactor" else p for p in unit.parts)
    return replace(unit, parts=tuple(parts))


@cache
def units() -> dict[str, Unit]:
    found = {name: arrangement(name) for name in FIRST_ARRANGEMENTS}
    swapped = {"one_pole_heater, two poles": two_pole(found["one_pole_heater"])}
    return found | swapped | {path.stem: read_unit(path) for path in EXAMPLES}


def marks(unit: Unit, place: str, state: str) -> Marks:
    """Every mark there is on every part and wire, so that nothing can hide."""
    if state == "at rest":
        return Marks()
    wires = wires_of(unit, place)
    terminals = sorted({end for wire in wires for end in (wire.start, wire.end)})
    if state == "leads":
        return Marks(leads={"red": terminals[0], "black": terminals[1]})
    names = {part.name for part in unit.parts} | {wire.name for wire in wires}
    return Marks(
        energised=frozenset(terminals[::2]),
        leftover=frozenset(terminals[1::2]),
        suspected=dict.fromkeys(names, 0.999),
        leads={"red": terminals[-1], "black": terminals[-2]},
        changed=frozenset(names),
        running=frozenset(part.name for part in unit.parts),
        closed={part.name: True for part in unit.parts},
    )


@cache
def drawn(place: str, state: str) -> tuple[tuple[str, Unit, Picture, Seen], ...]:
    """A picture of each unit; of several with one layout, and so one picture, only the first."""
    first = {id(layout_of(unit, place)): name for name, unit in reversed(units().items())}
    found = []
    for name in first.values():
        unit = units()[name]
        picture = panel(unit, marks(unit, place, state), place=place)
        found.append((name, unit, picture, seen(picture)))
    return tuple(found)


@pytest.fixture(params=sorted(PLACES))
def place(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(params=["at rest", "all marked"])
def state(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_no_label_lies_on_another(place: str, state: str) -> None:
    for name, _, picture, _ in drawn(place, state):
        assert overlaps(picture.labels) == (), name


def test_flags_of_the_leads_lie_on_no_label_side_by_side_either(place: str) -> None:
    """The usual place for two leads is two neighbouring terminals."""
    for name, _, picture, _ in drawn(place, "leads"):
        assert {"RED", "BLK"} <= {label.text for label in picture.labels}
        assert overlaps(picture.labels) == (), name


def inside(label: LabelBox, body: LabelBox) -> bool:
    across = body.x <= label.x and label.x + label.w <= body.x + body.w
    return across and body.y <= label.y and label.y + label.h <= body.y + body.h


def test_a_label_is_inside_its_part_or_clear_of_every_part(place: str, state: str) -> None:
    for name, _, picture, _ in drawn(place, state):
        halfway = [
            (label, body)
            for label in picture.labels
            for body in picture.solids
            if label.overlaps(body) and not inside(label, body)
        ]
        assert halfway == [], name
        size = picture.width, picture.height
        assert [label for label in picture.labels if not label.within(*size)] == [], name


def test_no_label_but_its_own_mark_lies_on_a_terminal(place: str, state: str) -> None:
    """As the pages call it; on a splice there is none to be read."""
    for name, unit, picture, shown in drawn(place, state):
        for plate in shown.plates:
            part, terminal = split_end(plate.text)
            own = [] if unit.part(part).kind == "splice" else [drawn_mark(terminal)]
            assert [it.text for it in picture.labels if it.overlaps(plate)] == own, (name, plate)


def test_no_part_lies_on_another(place: str) -> None:
    for name, _, picture, _ in drawn(place, "at rest"):
        assert overlaps(picture.solids) == (), name


def test_no_two_wires_lie_on_one_another(place: str) -> None:
    """Neither in one lane, nor so near that their casings touch, but where they cross."""
    for name, _, _, shown in drawn(place, "at rest"):
        side_by_side = [
            (one, two)
            for one, two in combinations(shown.lines, 2)
            if one.wire != two.wire and one.across == two.across and one.box().overlaps(two.box())
        ]
        assert side_by_side == [], name


def test_wires_meet_only_by_crossing_straight(place: str) -> None:
    """No bend or end of a wire lies on another, which no eye could take apart."""
    for name, _, _, shown in drawn(place, "at rest"):
        touching = [
            (one.wire, two.wire)
            for one in shown.lines
            for two in shown.lines
            if one.wire != two.wire and any(tip.overlaps(two.box()) for tip in one.tips())
        ]
        assert touching == [], name


def test_no_wire_runs_through_a_part(place: str) -> None:
    """A wire is clear of every part, its own too: it stops at the rim of its terminal's plate."""
    for name, _, picture, shown in drawn(place, "at rest"):
        hit = [
            (body.text, line)
            for line in shown.lines
            for body in picture.solids
            if body.overlaps(line.cased())
        ]
        assert hit == [], name


def test_no_wire_runs_through_a_label(place: str, state: str) -> None:
    """But its own letters and marks, which are threaded on it."""
    for name, unit, picture, shown in drawn(place, state):
        for label in picture.labels:
            wires = {line.wire for line in shown.lines if line.cased().overlaps(label)}
            own = [w for w in wires if label.text in wire_ink(unit.wire_by_name[w].colour).code]
            threaded = len(wires) == 1 and (own or label.text[0] in "?Δ")
            assert not wires or threaded, (name, label, wires)


def test_each_wire_ends_on_the_plates_of_its_terminals(place: str) -> None:
    for name, unit, _, shown in drawn(place, "at rest"):
        for wire in wires_of(unit, place):
            own = [line for line in shown.lines if line.wire == wire.name]
            ends = zip((own[0].tips()[0], own[-1].tips()[1]), (wire.start, wire.end), strict=True)
            for tip, terminal in ends:
                landed = {plate.text for plate in shown.plates if plate.overlaps(tip)}
                assert landed == {terminal}, (name, wire.name)


def test_each_wire_tells_its_colour_in_letters_at_both_ends(place: str) -> None:
    for name, unit, picture, _ in drawn(place, "at rest"):
        codes = [wire_ink(wire.colour).code for wire in wires_of(unit, place)]
        wanted = Counter(code[i : i + 2] for code in codes for i in range(0, len(code), 2))
        told = Counter(label.text for label in picture.labels)
        assert all(told[letters] >= 2 * count for letters, count in wanted.items()), name


def test_crossings_are_counted_exactly(place: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The picture's own count is that of its lines read back; it is told whenever tests run."""
    told = []
    for name, _, picture, shown in drawn(place, "at rest"):
        assert picture.crossings == crossing_count(shown.lines), name
        told.append(f"{name} {picture.crossings}")
    with capsys.disabled():
        print(f"\ncrossings in the panel picture, {place}: {', '.join(told)}")  # noqa: T201


def test_docs_tell_the_crossings_of_each_arrangement(place: str) -> None:
    text = (ROOT / "docs" / "drawing.md").read_text(encoding="utf-8")
    counts = [str(panel(arrangement(name), place=place).crossings) for name in FIRST_ARRANGEMENTS]
    assert f"| {place} | {' | '.join(counts)} |" in text


def test_everything_has_an_id_and_a_title(place: str, state: str) -> None:
    for name, unit, _, shown in drawn(place, state):
        wires = wires_of(unit, place)
        met = {end for wire in wires for end in (wire.start, wire.end)}
        own = {part.name for part in unit.parts if part.place == place}
        wanted = {f"panel-wire-{wire.name}" for wire in wires}
        wanted |= {f"panel-terminal-{end}" for end in met} | {f"panel-part-{n}" for n in own}
        assert {each for each in wanted if not shown.titles.get(each)} == set(), name


def test_every_mark_is_told_in_words() -> None:
    unit = arrangement("one_pole_heater")
    shown = seen(panel(unit, marks(unit, "outdoor", "all marked")))
    assert shown.titles["panel-part-fan"] == "outdoor fan motor: runs, suspected 99%, changed"
    told = " ".join(shown.titles.values())
    assert {
        w for w in ("energized", "leftover", "red lead", "black lead") if w not in told
    } == set()


def test_marks_move_nothing(place: str) -> None:
    """The page's card may change under a finger; the picture's parts and wires must not."""
    plain, marked = drawn(place, "at rest"), drawn(place, "all marked")
    for (name, _, rest, before), (_, _, full, after) in zip(plain, marked, strict=True):
        assert (rest.solids, before.lines) == (full.solids, after.lines), name


def test_each_wire_and_part_shows_its_marks(place: str) -> None:
    """As many signs of belief and of change as there are wires and parts to bear them."""
    for name, unit, picture, _ in drawn(place, "all marked"):
        count = len(wires_of(unit, place)) + sum(1 for p in unit.parts if p.place == place)
        signs = [label.text for label in picture.labels]
        assert (signs.count("Δ"), sum(1 for s in signs if s[0] == "?")) == (count, count), name


def test_text_is_never_smaller_than_eleven_units(place: str) -> None:
    for _, _, picture, _ in drawn(place, "all marked"):
        sizes = {float(size) for size in re.findall(r'font-size="([\d.]+)"', picture.svg)}
        assert min(sizes) >= SMALLEST
        assert picture.width == 390


def test_the_same_unit_gives_the_same_picture_in_another_process() -> None:
    """Names are hashed anew in every process; a layout must not depend on it."""
    code = (
        "import hashlib; from rungwise.drawing.panel_picture import panel;"
        "from rungwise.unit.unit_file import arrangement;"
        "svg = panel(arrangement('two_pole_plain')).svg;"
        "print(hashlib.sha256(svg.encode()).hexdigest())"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    here = panel(arrangement("two_pole_plain")).svg.encode()
    assert run.stdout.strip() == hashlib.sha256(here).hexdigest()


def test_a_kind_without_a_stand_gets_its_terminals_along_the_top() -> None:
    assert Stand in KINDS["wire"].lacks
    part = Part("thing", "wire", "outdoor", label="some part")
    body = body_of(part, ("a", "b", "c"), {"a": 1, "b": 4})
    assert [(pad.terminal, pad.rim, len(pad.landings)) for pad in body.pads] == [
        ("a", 0, 1),
        ("b", 0, 4),
        ("c", 0, 0),
    ]


def test_another_place_is_refused_with_those_there_are() -> None:
    with pytest.raises(UnknownName, match="outdoor"):
        panel(arrangement("one_pole_heater"), place="attic")
