"""Volts of a run capacitor: equal to the old one or higher (common practice, no source).

The trade has run such fans and compressors on 370 V cans for decades: 370 V in place of 370 V is
right whatever a solved circuit says; and the circuit says so too.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.replacement import fit
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.fit_rules import Fit
from rungwise.replacement.reason import Reason, Verdict, Weight
from rungwise.replacement.trials import CALL, high_call, specimens
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement


def fitted(volt: float, old_volt: float | None = None) -> Fit:
    """A dual of 45/5 µF for `volt` in a unit whose old one is labelled `old_volt`, if read."""
    figures = {"herm_uf": 45.0, "fan_uf": 5.0, "volt": volt}
    can = Candidate("can", ("capacitor",), "dual_capacitor", figures, {})
    (found,) = fit(_unit(old_volt), (can,))
    return found


def _unit(old_volt: float | None) -> Unit:
    unit = arrangement("one_pole_heater")
    read = {} if old_volt is None else {"volt": old_volt}
    parts = (
        replace(p, values={**p.values, **read}) if p.name == "capacitor" else p for p in unit.parts
    )
    return replace(unit, parts=tuple(parts))


def of_volts(found: Fit, weight: Weight) -> list[Reason]:
    return [r for r in found.reasons if r.rule.startswith("capacitor.volts") and r.weight is weight]


@pytest.mark.parametrize(("volt", "old"), [(370.0, 370.0), (440.0, 440.0), (440.0, 370.0)])
def test_equal_or_higher_than_the_old_can_serves(volt: float, old: float) -> None:
    found = fitted(volt, old)
    assert found.verdict is Verdict.SERVES
    assert not of_volts(found, Weight.CAUTION)
    (passed,) = of_volts(found, Weight.PASSES)
    assert (passed.has, passed.needs) == (volt, old)


def test_lower_than_the_old_can_does_not_serve() -> None:
    found = fitted(370.0, 440.0)
    assert found.verdict is Verdict.NOT
    assert [each.rule for each in of_volts(found, Weight.BARS)] == ["capacitor.volts"]


def test_an_old_can_that_nobody_read_is_asked_for_before_370_v_is_refused() -> None:
    found = fitted(370.0)
    assert found.verdict is Verdict.SERVES
    asked = {each.rule for each in of_volts(found, Weight.CAUTION)}
    assert {"capacitor.volts_unknown", "capacitor.volts_solved"} <= asked


def test_a_can_far_below_the_solved_volts_is_refused_unread() -> None:
    """250 V under some 400 V across the section: half as much again."""
    barred = {each.rule for each in of_volts(fitted(250.0), Weight.BARS)}
    assert barred == {"capacitor.volts_solved"}


def test_a_healthy_fan_s_can_is_right_for_370_v_on_any_supply() -> None:
    """A can bears 10% over its rating (IEC 60252-1); 252 V is the top of ANSI C84.1 range A."""
    found = fitted(370.0)
    unit = _unit(None)
    (specimen,) = specimens([unit], (CALL, high_call(unit)))
    usual, most = (
        specimen.volt(trial, "capacitor.C", "capacitor.FAN") for trial in (CALL, high_call(unit))
    )
    assert 240 < usual < 370
    assert usual < most < 1.1 * 370
    told = [r for r in found.reasons if r.rule == "capacitor.volts_solved" and r.needs]
    assert min(r.needs for r in told if r.needs) == pytest.approx(usual, rel=0.01)
