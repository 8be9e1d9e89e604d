"""Cabinets with lost wires, drawn and read in the world apart: never a wrong wiring."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from tests.cli.running import ran

from rungwise.evaluation.lost_cabinets import drawn_cabinet, plain_contacts, run_cabinets
from rungwise.evaluation.lost_tally import Group, cabinets_markdown, groups
from rungwise.other_world.loose_cabinet import LooseCabinet, draw_cabinet
from rungwise.unit.unit_file import arrangement

SEED = 3
ORDINARY, FALSE_AND_BROKEN, ODD_AND_TWO = 1, 21, 28
"""Numbers of cabinets: colors and broken wires go by turns."""


def cabinet(broken: int = 0) -> LooseCabinet:
    unit = arrangement("one_pole_heater")
    rng = np.random.default_rng(4)
    return draw_cabinet(unit, ("contactor", "capacitor"), "ordinary", broken, rng)


def points(found: LooseCabinet) -> dict[str, str]:
    """The name of each loose end by wire and end."""
    return {
        f"{tag.wire.name}.{end}": point
        for tag in found.tags
        for point, end in zip(tag.points(), tag.ends, strict=True)
    }


def meant(found: LooseCabinet) -> dict[str, str]:
    return {
        point: getattr(found.unit.wire_by_name[name.split(".")[0]], name.split(".")[1])
        for name, point in points(found).items()
    }


def test_the_meter_shows_windings_in_series_and_a_wire_as_one_with_its_far_end() -> None:
    """R to S is C to R and C to S together; within ±0.4%, leads of 0 to 0.2 Ω, and its steps."""
    found = cabinet()
    at = points(found)
    c, r, s = (at[f"fan_{lead}.start"] for lead in "crs")
    series = found.ohms(r, s)
    parts = found.ohms(c, r) + found.ohms(c, s)
    if not found.load_open:
        assert series == pytest.approx(parts, rel=0.008, abs=0.55)
    assert 0.0 <= found.ohms(at["y_coil.end"], "low_pressure.2") <= 0.4
    assert found.ohms(at["y_coil.end"], "disconnect.load1") == np.inf
    assert found.ohms(at["c_coil.end"], "earth") < 1.5


def test_a_broken_wire_reads_to_nothing() -> None:
    found = cabinet(broken=1)
    (name,) = found.broken
    (tag,) = (tag for tag in found.tags if tag.wire.name == name)
    for each in ("earth", "compressor.C", tag.wire.start, tag.wire.end):
        shown = found.ohms(tag.points()[0], each)
        assert shown == np.inf


def test_the_judge_knows_harmless_exchanges_from_wrong_ones() -> None:
    found = cabinet()
    at, goes = points(found), meant(found)
    assert found.same_circuit(goes)

    def swapped(one: str, other: str) -> bool:
        first, second = at[one], at[other]
        return found.same_circuit({**goes, first: goes[second], second: goes[first]})

    assert swapped("y_coil.end", "c_coil.end")
    assert swapped("heater_line.start", "heater_load.start")
    assert swapped("fan_c.start", "comp_c.start")  # both on T2
    assert swapped("whip_l2.end", "comp_c.start")  # L2 and T2 are one bar
    assert not swapped("y_coil.end", "whip_l1.end")
    assert not swapped("comp_r.start", "comp_c.start")


def test_no_cabinet_ends_in_a_wrong_wiring_and_breaks_are_named(tmp_path: Path) -> None:
    """A small sample; docs/rewiring.md has some hundreds, and how to make them."""
    results = tmp_path / "cabinets.jsonl"
    numbers = (ORDINARY, FALSE_AND_BROKEN, ODD_AND_TWO)
    lines = run_cabinets(numbers, SEED, results=results)
    assert [(each["colors"], len(each["broken"])) for each in lines] == [
        ("ordinary", 0), ("false", 1), ("odd", 2)
    ]  # fmt: skip
    assert [each["end"] for each in lines] == ["found", "broken", "broken"]
    assert not any(each["wrong"] for each in lines)
    assert all(each["named"] for each in lines)
    assert all(each["actions"] <= each["contacts"] for each in lines)
    assert run_cabinets(numbers, SEED, results=results) == lines  # kept, not worked again
    assert len(results.read_text(encoding="utf-8").splitlines()) == len(numbers)


def test_a_number_always_draws_the_same_cabinet() -> None:
    one, other = (drawn_cabinet(ODD_AND_TWO, SEED)[1] for _ in range(2))
    assert one == other
    assert drawn_cabinet(ODD_AND_TWO, SEED + 1)[1] != one


def test_in_plain_order_each_far_end_is_swept_over_what_is_left() -> None:
    found = cabinet()
    left = [tag for tag in found.tags if len(tag.ends) == 1]
    most = len(left) * (len(left) + 1) // 2
    assert len(found.tags) <= plain_contacts(found) <= most + 1


def line(end: str, contacts: int, *, wrong: bool = False, named: bool = True) -> dict[str, object]:
    return {
        "colors": "odd", "broken": ["y_coil"], "end": end, "wrong": wrong, "named": named,
        "contacts": contacts, "actions": contacts, "minutes": 1.0, "plain": 60,
    }  # fmt: skip


def test_a_break_that_nobody_named_counts_as_wrong_though_the_wiring_is_right() -> None:
    group = Group("odd", 1, (line("found", 9, named=False), line("broken", 11)))
    assert (group.wrong_passed.count, group.wrong_placed.count, group.answered.count) == (1, 0, 1)
    assert group.spread("contacts") == pytest.approx((10.0, 10.0, 10.8))


def test_the_table_has_a_row_for_each_sort_and_one_for_all() -> None:
    lines = [line("broken", 10), line("open", 30, wrong=True)]
    (group,) = groups(lines)
    rows = cabinets_markdown(lines).splitlines()
    assert len(rows) == 4
    assert all(one.count("|") == other.count("|") for one, other in pairwise(rows))
    assert group.cells()[:3] == ("odd", "1", "2")
    assert "50.0%" in rows[2]


def test_the_command_works_cabinets_and_writes_their_table(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    results = str(tmp_path / "cabinets.jsonl")
    ask = ("study", "--world", "wires", "--seed", str(SEED))
    told = ran(capsys, *ask, "--only", str(ORDINARY), "--results", results)
    assert told.code == 0
    assert "ORDINARY COLORS, 0 BROKEN" in told.out
    table = ran(capsys, "study", "--world", "wires", "--tables", results)
    assert table.out.startswith("| colors | wires broken |")
