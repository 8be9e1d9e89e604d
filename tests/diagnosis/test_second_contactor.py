"""A kind that is new, or stands twice in a unit, keeps every check that its facets give."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.parts import KINDS
from rungwise.parts.facets import Coil, Poles
from rungwise.unit.unit import Part, Unit, Wire
from rungwise.unit.unit_file import arrangement


@cache
def with_second(kind: str) -> Unit:
    """The plain unit with one more contactor in the fan's line, its coil beside the first's."""
    unit = arrangement("two_pole_plain")
    second = Part("second", kind, "outdoor", "fan contactor")
    wires = [
        replace(each, end="second.T1") if each.name == "fan_c" and each.end == "contactor.T2"
        else replace(each, start="second.T1") if each.name == "fan_c" else each
        for each in unit.wires
    ]  # fmt: skip
    model = unit.wire_by_name["fan_c"]
    coil = unit.wire_by_name["y_coil"]
    more = [
        _made(model, "second_l1", "contactor.T2", "second.L1"),
        _made(coil, "second_y", "contactor.coil1", "second.coil1"),
        _made(coil, "second_c", "contactor.coil2", "second.coil2"),
    ]
    return replace(unit, parts=(*unit.parts, second), wires=(*wires, *more))


def _made(like: Wire, name: str, start: str, end: str) -> Wire:
    return replace(like, name=name, start=start, end=end)


def ids_of(unit: Unit, part: str) -> list[str]:
    return [check.card.id for check in checks_of(unit) if part in check.card.touches]


@pytest.mark.parametrize("kind", ["contactor_1p", "contactor_2p"])
def test_a_second_contactor_keeps_the_checks_of_its_coil_and_its_poles(kind: str) -> None:
    unit = with_second(kind)
    assert unit.roles.contactors == ("contactor", "second")
    first, second = ids_of(unit, "contactor"), ids_of(unit, "second")
    assert {"ohms-coil", "volts-coil", "look-plunger"} <= set(first)
    assert {"ohms-coil-second", "volts-second-coil1-coil2", "look-second-plunger"} <= set(second)
    poles = KINDS[kind].facet(Poles)
    assert poles is not None
    drops = {f"drop-second-{line}-{load}" for line, load in poles.ends}
    assert drops <= set(second)
    # What the first has besides are the looks at wires that get mixed up with the thermostat's.
    assert len(second) >= len(ids_of(arrangement("two_pole_plain"), "contactor")) - 4


def test_two_checks_of_one_id_are_an_error_and_not_one_check(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("rungwise.diagnosis.address.coil_names", lambda *_: ("coil",))
    with pytest.raises(ValueError, match="one id: ohms-coil"):
        checks_of(with_second("contactor_2p"))


def test_every_arrangement_has_each_check_once() -> None:
    for name in ("one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side"):
        count = Counter(check.card.id for check in checks_of(arrangement(name)))
        assert set(count.values()) == {1}


def test_every_coil_is_read_in_ohms_and_volts_whatever_kind_it_is_in() -> None:
    unit = arrangement("hard_start_delay")
    for part, coil in unit.having(Coil):
        read = {check.card.quantity for check in checks_of(unit) if part.name in check.card.touches}
        assert "ohms" in read, part.name
        assert coil.duty == "starting" or "volts" in read, part.name
