"""The judge of isolation plans, on plans written by hand: sound, or with one thing wrong."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rungwise.evaluation.isolation_case import IsolationCase
from rungwise.evaluation.isolation_judge import Judged, judge
from rungwise.evaluation.live_truth import GROUND
from rungwise.evaluation.told_plan import Act, Pair, Refusal, ToldPlan
from rungwise.evaluation.wired import Wired, wired
from rungwise.evaluation.wiring_damage import inverter_in_parallel

CONTACTOR = ("L1", "L2", "T1", "T2", "coil1", "coil2")
RATED_PEAK_VOLT = 623.0
"""1.414 times 440 V, the arrangement's can, rounded up."""


def case(true: Wired | None = None, described: Wired | None = None, *, welded: bool = False,
         family: str = "odd unit") -> IsolationCase:  # fmt: skip
    unit = true or wired("one_pole_heater")
    return IsolationCase(0, family, ("by hand",), "cabinet", described or unit, unit, welded)  # type: ignore[arg-type]


def dead_pairs() -> tuple[Pair, ...]:
    to_ground = tuple((f"contactor.{each}", GROUND) for each in CONTACTOR)
    return (*to_ground, ("contactor.L1", "contactor.L2"), ("capacitor.HERM", GROUND),
            ("capacitor.FAN", GROUND))  # fmt: skip


PROVE = Act("prove meter", "disconnect", pairs=(("disconnect.line1", GROUND),))
SOUND = ToldPlan(
    acts=(
        Act("stop call", "room"),
        Act("open", "disconnect", devices=("disconnect",)),
        Act("try", "room"),
        PROVE,
        Act("read dead", "outdoor", pairs=dead_pairs()),
        PROVE,
        Act("read charge", "outdoor",
            pairs=(("capacitor.HERM", "capacitor.C"), ("capacitor.FAN", "capacitor.C"))),
    ),
    charges={frozenset(("capacitor.HERM", "capacitor.C")): RATED_PEAK_VOLT,
             frozenset(("capacitor.FAN", "capacitor.C")): RATED_PEAK_VOLT},
)  # fmt: skip


def without(sort: str) -> ToldPlan:
    return replace(SOUND, acts=tuple(act for act in SOUND.acts if act.sort != sort))


def reading(*pairs: Pair) -> ToldPlan:
    """The sound plan with these dead readings instead of its own."""
    acts = (replace(act, pairs=pairs) if act.sort == "read dead" else act for act in SOUND.acts)
    return replace(SOUND, acts=tuple(acts))


def sorts(judged: Judged) -> set[str]:
    return {each.sort for each in judged.findings}


def test_sound_plan_of_a_sound_unit_has_nothing_against_it() -> None:
    judged = judge(case(), SOUND)
    assert judged.findings == ()
    assert judged.ended == "plan"
    assert (judged.stations, judged.readings) == (4, 2 + len(dead_pairs()) + 2)


def test_plan_without_the_device_runs_into_its_own_reading() -> None:
    judged = judge(case(), without("open"))
    assert judged.ended == "stopped"
    assert "runs into a live reading of its own" in sorts(judged)


def test_plan_that_opens_and_reads_nothing_is_dangerous() -> None:
    nothing = ToldPlan(acts=(Act("stop call", "room"),), charges=SOUND.charges)
    judged = judge(case(), nothing)
    assert judged.dangerous
    assert {"no AC volts measured", "live and nothing read shows it"} <= sorts(judged)


def test_pole_that_stays_closed_must_show_on_its_own_leg() -> None:
    only_first = reading(*(pair for pair in dead_pairs() if pair == ("contactor.L1", GROUND)))
    unit = wired("two_pole_plain")
    judged = judge(case(unit), only_first)
    hidden = [each.where for each in judged.findings if each.sort.startswith("failed device")]
    assert hidden == ["disconnect poles 2"]


@pytest.mark.parametrize("leg", ["contactor.L1", "contactor.L2"])
def test_every_line_terminal_is_read_to_ground(leg: str) -> None:
    judged = judge(case(), reading(*(pair for pair in dead_pairs() if pair != (leg, GROUND))))
    lines = [each.where for each in judged.findings if each.sort == "line terminal not read dead"]
    assert lines == [f"{leg} to {GROUND}"]


def test_meter_is_proved_before_and_after_at_the_place() -> None:
    assert {"meter not proved before reading", "meter not proved after reading"} <= sorts(
        judge(case(), without("prove meter"))
    )


def test_charge_below_the_peak_of_the_rated_volts_is_too_low() -> None:
    told = dict(SOUND.charges) | {frozenset(("capacitor.HERM", "capacitor.C")): 585.0}
    judged = judge(case(), replace(SOUND, charges=told))
    assert [each.where for each in judged.findings] == [
        "capacitor HERM to C: 585 V told, 622 V possible"
    ]
    assert judged.dangerous


def test_welded_contactor_wants_the_breaker_before_the_blade() -> None:
    assert "blade pulled under load" in sorts(judge(case(welded=True), SOUND))
    breaker = Act("open", "panel", devices=("outdoor_breaker",))
    first, *rest = SOUND.acts
    judged = judge(case(welded=True), replace(SOUND, acts=(first, breaker, *rest)))
    assert "blade pulled under load" not in sorts(judged)


def test_circuit_that_nobody_described_stops_the_work_at_a_reading() -> None:
    true = wired("one_pole_heater").copy()
    true.add_part("other", "service", "panel")
    true.add_wire("light", "other.L1", "contactor.T2")
    told = case(true, wired("one_pole_heater"), family="wrong description")
    assert judge(told, SOUND).ended == "stopped"
    silent = judge(told, reading(("contactor.coil1", GROUND)))
    assert "live and nothing read shows it" in sorts(silent)


def test_volts_that_come_only_with_a_call_are_asked_for_too() -> None:
    unit = wired("one_pole_heater").copy()
    unit.take_part("heater")
    unit.add_part("transformer_2", "transformer", "outdoor", primary_volt=240)
    unit.add_wire("a", "contactor.L1", "transformer_2.pri1")
    unit.add_wire("b", "contactor.L2", "transformer_2.pri2")
    unit.add_wire("hot", "transformer_2.R", "contactor.coil1")
    unit.add_wire("cold", "transformer_2.C", "contactor.coil2")
    assert "live on a call or a pushed plunger, unread" in sorts(judge(case(unit), SOUND))


def test_refusal_of_a_sound_unit_is_needless_and_words_must_name_a_part() -> None:
    assert sorts(judge(case(), Refusal("nothing runs", "The compressor never runs."))) == {
        "needless refusal"
    }
    assert "refusal without circuit words" in sorts(judge(case(), Refusal("x", "An error.")))


def test_refusal_of_a_unit_without_its_supply_is_right() -> None:
    unit = wired("one_pole_heater").copy()
    del unit.wires["whip_l1"]
    assert (
        judge(case(unit), Refusal("feeds nothing", "The disconnect feeds nothing.")).findings == ()
    )
    assert "should be refused: no load runs on a call" in sorts(judge(case(unit), SOUND))


def test_unopened_inverter_is_live_within_the_scope() -> None:
    unit = wired("one_pole_heater").copy()
    inverter_in_parallel(unit, np.random.default_rng(1))
    assert judge(case(unit), SOUND).ended == "stopped"
