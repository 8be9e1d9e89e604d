"""The judge of isolation plans, on plans written by hand: sound, or with one thing wrong."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rungwise.other_world.isolation_case import Family, IsolationCase
from rungwise.other_world.isolation_judge import KNOWN_SOURCE, Judged, judge
from rungwise.other_world.live_truth import GROUND
from rungwise.other_world.wired import Wired, wired
from rungwise.other_world.wiring_damage import held_calling, inverter_in_parallel
from rungwise.other_world.written_plan import Act, Pair, Refusal, ToldPlan

CONTACTOR = ("L1", "L2", "T1", "T2", "coil1", "coil2")
RATED_PEAK_VOLT = 623.0
"""1.414 times 440 V, the arrangement's can, rounded up."""


def case(
    true: Wired | None = None,
    described: Wired | None = None,
    *,
    welded: bool = False,
    family: Family = "odd unit",
) -> IsolationCase:
    unit = true or wired("one_pole_heater")
    told = described or unit
    return IsolationCase(0, family, ("by hand",), "cabinet", told, unit, welded, welded)


def dead_pairs() -> tuple[Pair, ...]:
    to_ground = tuple((f"contactor.{each}", GROUND) for each in CONTACTOR)
    return (*to_ground, ("contactor.L1", "contactor.L2"), ("capacitor.HERM", GROUND),
            ("capacitor.FAN", GROUND))  # fmt: skip


PROVE = Act("prove meter", "disconnect", pairs=(("disconnect.line1", GROUND),))
BASE = wired("one_pole_heater")
LEFT_ON = {t for t in BASE.terminals(BASE.at("panel", "indoor")) if not t.startswith("board")}

SOUND = ToldPlan(
    acts=(
        Act("stop call", "room"),
        Act("open", "disconnect", devices=("disconnect",)),
        Act("lock", "disconnect", devices=("disconnect",)),
        Act("try", "room"),
        PROVE,
        Act("read dead", "outdoor", pairs=dead_pairs()),
        PROVE,
        Act("read charge", "outdoor",
            pairs=(("capacitor.HERM", "capacitor.C"), ("capacitor.FAN", "capacitor.C"))),
    ),
    live=frozenset({"disconnect.line1", "disconnect.line2", *LEFT_ON}),
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


def test_order_of_the_standards_is_asked_for() -> None:
    for sort in ("stop call", "lock", "try"):
        assert "out of the standards' order" in sorts(judge(case(), without(sort)))
    first, opened, locked, *rest = SOUND.acts
    late = replace(SOUND, acts=(opened, locked, first, *rest))
    assert "out of the standards' order" in sorts(judge(case(), late))


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


def test_pole_that_brings_nothing_to_the_scope_need_not_show() -> None:
    unit = wired("one_pole_heater").copy()
    unit.add_part("spare", "breaker_2p", "panel")
    for pole in (1, 2):
        unit.add_wire(f"spare_{pole}", f"service.L{pole}", f"spare.line{pole}")
        unit.add_wire(
            f"blower_{pole}", f"spare.load{pole}", ("door_switch.2", "blower.S")[pole - 1]
        )
    spare = Act("open", "panel", devices=("spare",))
    locked = Act("lock", "panel", devices=("spare",))
    first, *rest = SOUND.acts
    judged = judge(case(unit), replace(SOUND, acts=(first, spare, locked, *rest)))
    assert not [each for each in judged.findings if each.sort.startswith("failed device")]


def test_meter_cannot_be_proved_on_a_point_that_is_dead() -> None:
    dead = Act("prove meter", "disconnect", pairs=(("disconnect.load1", GROUND),))
    acts = tuple(dead if act.sort == "prove meter" else act for act in SOUND.acts)
    assert "meter to be proved where nothing is live" in sorts(
        judge(case(), replace(SOUND, acts=acts))
    )
    outlet = Act("prove meter", "disconnect", pairs=((KNOWN_SOURCE, KNOWN_SOURCE),))
    acts = tuple(outlet if act.sort == "prove meter" else act for act in SOUND.acts)
    assert judge(case(), replace(SOUND, acts=acts)).findings == ()


def test_reading_taken_on_a_call_shows_what_only_a_call_brings() -> None:
    true = wired("two_pole_plain").copy()
    true.wires["blower_c"]["from"] = "compressor.R"
    told = case(true, wired("two_pole_plain"), family="wrong description")
    assert "live on a call or a pushed plunger, unread" in sorts(judge(told, SOUND))
    tried = Act("try", "outdoor", pairs=(("contactor.T1", GROUND),))
    acts = tuple(tried if act.sort == "try" else act for act in SOUND.acts)
    assert judge(told, replace(SOUND, acts=acts)).ended == "stopped"


def test_reading_of_control_volts_may_have_a_limit_of_its_own() -> None:
    unit = wired("one_pole_heater").copy()
    held_calling(unit, np.random.default_rng(1))
    pair = ("contactor.coil1", GROUND)
    low = Act("read dead", "outdoor", pairs=(pair,), below=(50.0,))
    acts = (low if act.sort == "read dead" else act for act in SOUND.acts)
    assert judge(case(unit), replace(SOUND, acts=tuple(acts))).ended == "plan"
    assert judge(case(unit), reading(pair)).ended == "stopped"


def test_control_volts_that_are_told_may_stay_below_fifty() -> None:
    unit = wired("one_pole_heater").copy()
    unit.parts["transformer"]["secondary_open_volt"] = 30
    coils = [("contactor.coil1", GROUND), ("contactor.coil1", "contactor.coil2")]
    plan = reading(*(pair for pair in dead_pairs() if pair not in coils))
    told = replace(plan, low=frozenset({"contactor.coil1", "y_splice.1"}))
    assert "live on a call or a pushed plunger, unread" not in sorts(judge(case(unit), told))
    unit.parts["transformer"]["primary_volt"] = 100  # a 100 V tap on 120 V, and 60 V on Y
    unit.parts["transformer"]["secondary_open_volt"] = 55
    assert "live on a call or a pushed plunger, unread" in sorts(judge(case(unit), told))


def test_what_stays_live_beside_the_scope_is_told() -> None:
    told = replace(SOUND, live=SOUND.live - {"disconnect.line2"})
    assert [(each.sort, each.where) for each in judge(case(), told).findings] == [
        ("stays live outside the scope, not told", "disconnect.line2 120 V")
    ]


def test_unopened_inverter_is_live_within_the_scope() -> None:
    unit = wired("one_pole_heater").copy()
    inverter_in_parallel(unit, np.random.default_rng(1))
    assert judge(case(unit), SOUND).ended == "stopped"
