"""What else is on a new motor's circuit; each limit is worked out by hand beside its case."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.replacement import Candidate, Fit, Weight, fit
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement


def unit_of(stated: dict[str, dict[str, float]], awg: float = 10.0) -> Unit:
    """A plain unit with stated figures of its parts, and its run of another gauge."""
    unit = arrangement("two_pole_plain")
    parts = (replace(p, values={**p.values, **stated.get(p.name, {})}) for p in unit.parts)
    wires = (replace(w, awg=awg) if w.name.startswith("run_") else w for w in unit.wires)
    return replace(unit, parts=tuple(parts), wires=tuple(wires))


def compressor(rla: float, lra: float) -> Candidate:
    figures = {"rated_volt": 230.0, "rated_a": rla, "locked_a": lra, "run_uf": 45.0}
    return Candidate("new", ("compressor",), "compressor", figures)


def bars(found: Fit) -> set[str]:
    return {each.rule for each in found.told(Weight.BARS)}


STRONG = {"fla_a": 40.0, "lra_a": 240.0}


@pytest.mark.parametrize(
    ("stated", "awg", "rules"),
    [
        # 25 + 1.3 = 26.3 A and 130 + 2.6 = 132.6 A.
        ({"contactor": {"fla_a": 20.0, "lra_a": 100.0}}, 10.0,
         {"beside.contactor.fla_a", "beside.contactor.lra_a"}),
        ({"contactor": {"fla_a": 26.3, "lra_a": 132.6}}, 10.0, set()),
        # MCA 1.25 × 25 + 1.3 = 32.55 A.
        ({"contactor": STRONG, "outdoor_breaker": {"rating_a": 30.0}}, 10.0, {"beside.device"}),
        ({"contactor": STRONG, "outdoor_breaker": {"rating_a": 35.0}}, 10.0, set()),
        # 115% of 26.3 A are 30.2 A.
        ({"contactor": STRONG, "disconnect": {"rating_a": 30.0}}, 10.0, {"beside.disconnect"}),
        # 12 AWG copper carries 25 A at 75 °C, 8 AWG 50 A: NEC 2023 Table 310.16.
        ({"contactor": STRONG}, 12.0, {"beside.conductors"}),
        ({"contactor": STRONG}, 8.0, set()),
    ],
)  # fmt: skip
def test_what_is_stated_too_small_refuses_a_larger_motor(
    stated: dict[str, dict[str, float]], awg: float, rules: set[str]
) -> None:
    (found,) = fit(unit_of(stated, awg), [compressor(25.0, 130.0)])
    assert bars(found) == rules


def test_what_the_unit_does_not_say_is_asked_for_and_refuses_nothing() -> None:
    (found,) = fit(arrangement("two_pole_plain"), [compressor(25.0, 130.0)])
    assert bars(found) == set()
    (asked,) = (each for each in found.reasons if each.rule == "beside.unread")
    assert "needs 26.3 A" in asked.text
    assert "needs 32.5 A" in asked.text or "needs 32.6 A" in asked.text


def test_a_motor_of_two_voltages_runs_on_208_volts() -> None:
    """Two legs of 120 V a third of a turn apart are 208 V: within ±10% of 208/230, not of 230."""
    unit = unit_of({"service": {"apart_deg": 120.0}})
    two = replace(compressor(16.0, 80.0), name="two")
    two = replace(two, figures={**two.figures, "rated_volt_low": 208.0})
    both, one = fit(unit, [two, compressor(16.0, 80.0)])
    assert bars(both) == set()
    assert bars(one) == {"motor.volts"}


@pytest.mark.parametrize("device", ["indoor_breaker", "service_switch"])
def test_a_blower_is_held_to_what_is_stated_indoors(device: str) -> None:
    """13 A on 10 A; and on 20 A, which is more than 1.25 × 13 A = 16.3 A."""
    figures = {"rated_volt": 120.0, "rated_a": 13.0, "run_uf": 15.0, "rated_rpm": 1075.0,
               "poles": 6.0}  # fmt: skip
    blower = Candidate("new", ("blower",), "fan_motor", figures)
    for rating, rules in ((10.0, {"beside.device"}), (20.0, set())):
        (found,) = fit(unit_of({device: {"rating_a": rating}}), [blower])
        assert bars(found) == rules
