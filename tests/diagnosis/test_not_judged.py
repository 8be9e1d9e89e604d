"""A part on which no reading is known is called not judged; nothing is silently left out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.cross_checks import not_judged
from rungwise.parts import KINDS
from rungwise.parts.facets import FACETS
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement


def lines(unit: Unit) -> tuple[str, ...]:
    return not_judged(unit, (check.card for check in checks_of(unit)))


@pytest.mark.parametrize(
    "name", ["hard_start_delay", "heater_line_side", "one_pole_heater", "two_pole_plain"]
)
def test_every_part_that_may_fail_is_read_on_an_arrangement(name: str) -> None:
    assert lines(arrangement(name)) == ()


def test_a_part_whose_faults_are_shown_by_looks_is_judged() -> None:
    """A leak sensor: a detector, the board's light and its plug tell, where no meter does."""
    unit = arrangement("air_handler_leak_guard")
    assert lines(unit) == ()
    numbers = (c.card for c in checks_of(unit) if c.card.form == "number")
    assert any("leak sensor" in line for line in not_judged(unit, numbers))


def test_a_kind_that_tells_nothing_of_itself_is_not_judged(monkeypatch: pytest.MonkeyPatch) -> None:
    """What its facets do not tell, nobody reads; that is said, and nothing else goes missing."""
    unit = arrangement("one_pole_heater")
    mute = replace(KINDS["crankcase_heater"], name="mute", facets=(), lacks=frozenset(FACETS))
    monkeypatch.setitem(KINDS, "mute", mute)
    parts = tuple(
        replace(part, kind="mute") if part.kind == "crankcase_heater" else part
        for part in unit.parts
    )
    (line,) = lines(replace(unit, parts=parts))
    assert line.startswith("NOT JUDGED: the crankcase heater (heater)")
