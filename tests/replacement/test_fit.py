"""Each sort of candidate: what serves, what does not, and the rule and situation that say so.

All candidates of a unit are judged in one go, as a van's stock is. Limits without a source beside
them are common practice.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from tests.replacement.touchstone import contactor

from rungwise.replacement import Candidate, Fit, Reason, Verdict, Weight, fit, ranked
from rungwise.replacement.seating import seat
from rungwise.unit.unit import Part, Unit, Wire
from rungwise.unit.unit_file import arrangement

SERVES, CHANGES, NOT = Verdict.SERVES, Verdict.CHANGES, Verdict.NOT
COIL = {"coil_volt": 24.0, "fla_a": 30.0, "lra_a": 150.0, "resistive_a": 40.0}
FAN = {"rated_volt": 230.0, "rated_a": 1.3, "locked_a": 2.6, "run_uf": 5.0, "rated_rpm": 1075.0,
       "poles": 6.0}  # fmt: skip
KIT = {"start_uf": 150.0, "volt": 330.0, "pick_up_volt": 260.0, "drop_out_volt": 90.0}
DUAL = {"herm_uf": 45.0, "fan_uf": 5.0, "volt": 440.0}


def made(name: str, part: str, kind: str, figures: dict[str, float], **texts: str) -> Candidate:
    return Candidate(name, (part,), kind, figures, texts)


STOCK = (
    made("weak contacts", "contactor", "contactor_1p", {**COIL, "fla_a": 15.0, "lra_a": 70.0}),
    made("120 V coil", "contactor", "contactor_1p", {**COIL, "coil_volt": 120.0}),
    made("50 Hz coil", "contactor", "contactor_1p", COIL, coil_hz="50"),
    made("stiff coil", "contactor", "contactor_1p", {**COIL, "pull_in_ratio": 0.85,
                                                     "coil_ohm": 9.0, "inrush_va": 60.0}),
    made("dual", "capacitor", "dual_capacitor", DUAL),
    made("dual 370 V", "capacitor", "dual_capacitor", {**DUAL, "volt": 370.0}),
    made("dual 35", "capacitor", "dual_capacitor", {**DUAL, "herm_uf": 35.0}),
    made("dual 15+5", "capacitor", "dual_capacitor", {**DUAL, "herm_uf": 15.0}),
    made("singles", "capacitor", "two_run_capacitors",
         {"herm_uf": 45.0, "herm_volt": 440.0, "fan_uf": 5.0, "fan_volt": 440.0}),
    made("one single", "capacitor", "run_capacitor", {"run_uf": 45.0, "volt": 440.0}),
    made("dual for one", "blower_capacitor", "dual_capacitor", {**DUAL, "fan_uf": 15.0}),
    made("40 VA", "transformer", "transformer", {"primary_volt": 120.0, "va": 40.0}),
    made("10 VA", "transformer", "transformer", {"primary_volt": 120.0, "va": 10.0}),
    made("240 V primary", "transformer", "transformer", {"primary_volt": 240.0, "va": 40.0}),
    made("3 A", "lv_fuse", "lv_fuse", {"rating_a": 3.0}),
    made("10 A", "lv_fuse", "lv_fuse", {"rating_a": 10.0}),
    made("1 A", "lv_fuse", "lv_fuse", {"rating_a": 1.0}),
    made("0.5 A", "lv_fuse", "lv_fuse", {"rating_a": 0.5}),
    made("fan", "fan", "fan_motor", FAN, rotation="reversible"),
    made("fan, other µF", "fan", "fan_motor", {**FAN, "rated_a": 1.8, "run_uf": 7.5,
                                               "locked_a": 3.6}, rotation="reversible"),
    made("small fan", "fan", "fan_motor", {**FAN, "rated_a": 0.8, "locked_a": 1.6}),
    made("fast fan", "fan", "fan_motor", {**FAN, "rated_rpm": 1140.0}, rotation="reversible"),
    made("120 V fan", "fan", "fan_motor", {**FAN, "rated_volt": 120.0, "rated_a": 2.5,
                                           "locked_a": 5.0, "run_uf": 15.0}),
    made("kit", "compressor", "hard_start_kit", KIT, listed="yes"),
    made("deaf kit", "compressor", "hard_start_kit", {**KIT, "pick_up_volt": 420.0,
                                                      "start_uf": 40.0}),
    made("jumpy kit", "compressor", "hard_start_kit", {**KIT, "pick_up_volt": 120.0,
                                                       "start_uf": 90.0, "volt": 165.0}),
    made("stat", "thermostat", "thermostat", {"volt": 24.0, "rating_a": 1.0}),
    made("stat with C", "thermostat", "thermostat", {"volt": 24.0}, needs_common="yes"),
    made("line stat", "thermostat", "thermostat", {"volt": 240.0}),
    made("70 W", "heater", "crankcase_heater", {"watt": 70.0, "volt": 240.0}),
    made("40 W", "heater", "crankcase_heater", {"watt": 40.0, "volt": 240.0}),
    made("120 V heater", "heater", "crankcase_heater", {"watt": 70.0, "volt": 120.0}),
    made("pull-out", "disconnect", "disconnect_pullout", {"rating_a": 60.0}),
    made("fused 30", "disconnect", "disconnect_fused", {"rating_a": 60.0, "fuse_a": 30.0}),
    made("fused 50", "disconnect", "disconnect_fused", {"rating_a": 60.0, "fuse_a": 50.0}),
    made("thin pull-out", "disconnect", "disconnect_pullout", {"rating_a": 15.0}),
    made("one-pole switch", "disconnect", "service_switch", {"rating_a": 30.0}),
    made("breaker 35", "outdoor_breaker", "breaker_2p", {"rating_a": 35.0}),
    made("breaker 50", "outdoor_breaker", "breaker_2p", {"rating_a": 50.0}),
    made("breaker 20", "outdoor_breaker", "breaker_2p", {"rating_a": 20.0}),
    made("small compressor", "compressor", "compressor",
         {"rated_volt": 230.0, "rated_a": 10.0, "locked_a": 54.0, "run_uf": 35.0}),
    made("two poles indoors", "indoor_breaker", "breaker_2p", {"rating_a": 15.0}),
    made("pressure switch", "high_pressure", "high_pressure_switch", {}),
    made("delay for others", "delay", "delay", {}),
)  # fmt: skip


@cache
def answers() -> dict[str, Fit]:
    found = fit(arrangement("one_pole_heater"), STOCK)
    return {each.candidate.name: each for each in found}


def reason(name: str, rule: str) -> Reason:
    told = {each.rule: each for each in reversed(answers()[name].reasons)}
    return told[rule]


@pytest.mark.parametrize(
    ("name", "verdict", "bars"),
    [
        ("weak contacts", NOT, {"contactor.fla", "contactor.lra"}),
        ("120 V coil", NOT, {"contactor.pull_in", "contactor.hold", "behaviour.compressor",
                             "behaviour.fan", "behaviour.heater"}),
        ("50 Hz coil", SERVES, set()),
        ("stiff coil", NOT, {"contactor.pull_in"}),
        ("dual", SERVES, set()),
        ("dual 370 V", SERVES, set()),
        ("dual 35", Verdict.UNJUDGED, set()),
        ("singles", CHANGES, set()),
        ("40 VA", SERVES, set()),
        ("3 A", SERVES, set()),
        ("10 A", NOT, {"fuse.amps"}),
        ("1 A", SERVES, set()),
        ("0.5 A", NOT, {"fuse.amps"}),
        ("fan", SERVES, set()),
        ("fan, other µF", CHANGES, set()),
        ("small fan", NOT, {"motor.work"}),
        ("kit", CHANGES, set()),
        ("jumpy kit", NOT, {"kit.capacitor_volts"}),
        ("stat", SERVES, set()),
        ("stat with C", CHANGES, set()),
        ("line stat", NOT, {"thermostat.volts"}),
        ("70 W", SERVES, set()),
        ("40 W", Verdict.UNJUDGED, set()),
        ("pull-out", SERVES, set()),
        ("fused 30", SERVES, set()),
        ("fused 50", NOT, {"overcurrent.most"}),
        ("thin pull-out", NOT, {"disconnect.amps"}),
        ("breaker 35", SERVES, set()),
        ("breaker 50", NOT, {"overcurrent.most"}),
        ("breaker 20", NOT, {"overcurrent.least"}),
        ("two poles indoors", SERVES, set()),
        ("small compressor", NOT, {"motor.work"}),
        ("pressure switch", Verdict.UNJUDGED, set()),
        ("delay for others", NOT, {"part.none"}),
    ],
)  # fmt: skip
def test_each_sort_of_part_is_judged_by_its_own_rules(
    name: str, verdict: Verdict, bars: set[str]
) -> None:
    found = answers()[name]
    assert found.verdict is verdict
    assert {each.rule for each in found.told(Weight.BARS)} == bars


@pytest.mark.parametrize(
    ("name", "rule", "said"),
    [
        ("weak contacts", "contactor.fla", "compressor 16 A + outdoor fan motor 1.3 A"),
        ("120 V coil", "contactor.pull_in", "its 120 V coil"),
        ("dual 35", "capacitor.uf", "42.3 to 47.7 µF"),
        ("10 A", "fuse.amps", "the transformer burns first"),
        ("fan, other µF", "motor.capacitor", "7.5 µF of its own"),
        ("small fan", "motor.work", "too weak"),
        ("stat with C", "thermostat.common", "R, Y, G and no C"),
        ("pressure switch", "strength.unjudged", "Ratings and settings"),
        ("one-pole switch", "terminal.missing", "finds no terminal"),
        ("one-pole switch", "behaviour.compressor", "On a call the compressor is off"),
        ("one single", "behaviour.fan", "hums"),
        ("240 V primary", "transformer.primary", "made for 240 V and gets 12"),
        ("120 V heater", "harm.heater", "over its watts"),
        ("120 V fan", "motor.volts", "burns out"),
        ("deaf kit", "kit.takes_itself_out", "stays in"),
    ],
)
def test_a_reason_tells_what_would_happen(name: str, rule: str, said: str) -> None:
    assert answers()[name].verdict is not SERVES or rule == "strength.unjudged"
    assert said in reason(name, rule).text


@pytest.mark.parametrize("name", [each.name for each in STOCK])
def test_every_bar_from_the_circuit_names_its_situation(name: str) -> None:
    for each in answers()[name].told(Weight.BARS):
        assert each.situation or each.rule in ("terminal.missing", "part.none"), each.rule
        assert each.source


def test_a_short_of_y_to_c_is_solved_with_the_wrong_fuse() -> None:
    """The amps in the reason are those of the short, through a fuse that never opens."""
    text = reason("10 A", "fuse.amps").text
    assert "it never opens, the right one opens" in text


def test_a_coil_of_another_frequency_is_worth_less() -> None:
    """A 50 Hz coil on 60 Hz pulls by its amps: 50/60 of the same volts (derived, flux ~ V/f)."""
    fifty, sixty = (
        next(r for r in answers()[name].reasons if r.rule == "contactor.pull_in").has or 0.0
        for name in ("50 Hz coil", "weak contacts")
    )
    assert fifty == pytest.approx(50 / 60 * sixty, rel=1e-6)


def test_a_small_transformer_is_measured_at_pull_in_too() -> None:
    found = {each.rule: each for each in answers()["10 VA"].reasons}
    assert found["transformer.va"].weight is Weight.BARS
    assert (found["transformer.va"].needs or 0) > 10
    assert (found["contactor.pull_in"].has or 0) < (
        next(r for r in answers()["40 VA"].reasons if r.rule == "contactor.pull_in").has or 0
    )


def test_the_right_fan_carries_the_same_load_below_its_rated_amps() -> None:
    """FLA is a ceiling: 70 to 100% of it on the old one's load (common practice, no source)."""
    text = reason("fan", "motor.work").text
    assert "rated 1.3 A" in text
    amp = float(text.partition("takes ")[2].partition(" A")[0])
    assert 0.7 * 1.3 < amp < 1.3


def test_another_speed_condemns_no_fan_while_the_old_ones_was_not_read() -> None:
    """The same watts turn the same blade at either speed that is on labels of six poles."""
    found = answers()["fast fan"]
    assert found.verdict is Verdict.UNJUDGED
    unjudged = {r.rule for r in found.reasons if r.weight is Weight.UNJUDGED}
    assert unjudged == {"motor.rpm", "motor.work"}


def test_a_motor_that_is_too_weak_is_told_with_the_amps_above_its_rating() -> None:
    text = reason("small compressor", "motor.work").text
    assert float(text.partition("takes ")[2].partition(" A")[0]) > 10.0
    assert "capacity, refrigerant" in reason("small compressor", "motor.compressor").text


def test_a_dual_in_place_of_one_single_leaves_a_section_over() -> None:
    """Its FAN section is the nearer to the blower's 15 µF."""
    found = answers()["dual for one"]
    assert found.verdict is CHANGES
    assert "HERM section stays unused" in next(
        r.text for r in found.reasons if r.rule == "capacitor.spare"
    )
    renamed = next(r.text for r in found.reasons if r.rule == "terminal.renamed")
    assert "blower capacitor FAN" in renamed


def test_the_nearest_in_rating_comes_first_whatever_it_costs() -> None:
    """Amps equal or more, the old one's first: a dear equal part before a cheap other one."""
    unit = with_values(arrangement("one_pole_heater"), "contactor", fla_a=40.0)
    sizes = [replace(contactor(1, fla_a=amp), name=f"{amp:g}", price=price)
             for amp, price in ((60.0, 1.0), (40.0, 30.0), (30.0, 0.5))]  # fmt: skip
    assert [each.candidate.name for each in ranked(fit(unit, sizes))] == ["40", "60", "30"]


def test_microfarads_are_those_of_the_plate_else_of_the_old_can() -> None:
    """Without either nobody can say; 35 of 45 µF is 22% low, beyond ±6%."""
    unit = arrangement("one_pole_heater")
    cans = [made(f"{uf:g}", "capacitor", "dual_capacitor", {**DUAL, "herm_uf": uf})
            for uf in (35.0, 45.0)]  # fmt: skip
    plate = with_values(unit, "compressor", run_uf=45.0)
    for known, verdicts in (
        (with_values(plate, "capacitor", herm_uf=35.0), [NOT, SERVES]),
        (with_values(unit, "capacitor", herm_uf=35.0), [SERVES, NOT]),
        (unit, [Verdict.UNJUDGED, SERVES]),
    ):
        assert [each.verdict for each in fit(known, cans)] == verdicts


def test_a_disconnect_holds_no_larger_fuses_than_itself() -> None:
    fused = made("fused", "disconnect", "disconnect_fused", {"rating_a": 30.0, "fuse_a": 35.0})
    (found,) = fit(arrangement("hard_start_delay"), [fused])
    assert {each.rule for each in found.told(Weight.BARS)} == {"disconnect.holder"}


def test_a_start_relay_picks_up_where_the_old_one_did() -> None:
    unit = with_values(arrangement("hard_start_delay"), "start_relay", pick_up_volt=260.0)
    relays = [made(f"{volt:g}", "start_relay", "potential_relay", {"pick_up_volt": volt})
              for volt in (190.0, 260.0)]  # fmt: skip
    other, same = fit(unit, relays)
    assert {each.rule for each in other.told(Weight.BARS)} == {"kit.other_relay"}
    assert same.verdict is SERVES


def test_what_nobody_can_judge_comes_before_what_must_not_go_in_and_serves_nobody() -> None:
    found = [answers()[name] for name in ("40 VA", "pressure switch", "weak contacts")]
    assert list(ranked(reversed(found))) == found
    assert [each.verdict.serves for each in found] == [True, False, False]


def with_values(unit: Unit, name: str, **values: float) -> Unit:
    parts = (
        replace(part, values={**part.values, **values}) if part.name == name else part
        for part in unit.parts
    )
    return replace(unit, parts=tuple(parts))


def test_a_torque_is_told_with_its_source_and_never_made_up() -> None:
    read = replace(contactor(1, torque_in_lb=22.0), texts={"torque_source": "marked on the part"})
    with_it, without = fit(arrangement("one_pole_heater"), [read, contactor(1)])
    told, asked = (next(r.text for r in each.reasons if r.rule == "terminal.torque")
                   for each in (with_it, without))  # fmt: skip
    assert "22 in-lb (marked on the part)" in told
    assert not any(letter.isdigit() for letter in asked)


def test_of_equal_ratings_the_cheapest_comes_first() -> None:
    priced = [
        replace(contactor(1), name="dear", price=30.0),
        replace(contactor(2), name="cheap but wrong", price=1.0),
        replace(contactor(1), name="cheap", price=20.0),
        replace(contactor(1), name="no price"),
        replace(contactor(1), name="cheap, needs work", price=5.0, terminals={"T1": ("lug",) * 3}),
    ]
    found = ranked(fit(arrangement("one_pole_heater"), priced))
    assert [each.candidate.name for each in found] == [
        "cheap", "dear", "no price", "cheap, needs work", "cheap but wrong",
    ]  # fmt: skip


def with_singles(unit: Unit) -> Unit:
    """The unit with two single run capacitors where its dual was, a jumper between them."""
    ends = {
        "capacitor.C": "herm_cap.1",
        "capacitor.HERM": "herm_cap.2",
        "capacitor.FAN": "fan_cap.1",
    }
    wires = tuple(
        replace(w, start=ends.get(w.start, w.start), end=ends.get(w.end, w.end)) for w in unit.wires
    )
    jumper = Wire("jumper", "herm_cap.1", "fan_cap.2", "black", 14, 0.2,
                  ("push-on", "push-on"), "power")  # fmt: skip
    singles = (
        Part("herm_cap", "run_capacitor", "outdoor", "", {"run_uf": 45.0, "volt": 440.0}),
        Part("fan_cap", "run_capacitor", "outdoor", "", {"run_uf": 5.0, "volt": 440.0}),
    )
    parts = (*(p for p in unit.parts if p.name != "capacitor"), *singles)
    return replace(unit, parts=parts, wires=(*wires, jumper))


def test_one_dual_takes_the_place_of_two_singles() -> None:
    """The start-winding side of each goes to its section, the jumper comes out."""
    unit = with_singles(arrangement("one_pole_heater"))
    dual = Candidate("dual", ("herm_cap", "fan_cap"), "dual_capacitor", DUAL)
    (found,) = fit(unit, [dual])
    assert found.verdict is CHANGES
    seated = seat(unit, dual).unit
    assert "jumper" not in seated.wire_by_name
    assert seated.wire_by_name["comp_s"].start == "herm_cap.HERM"
    assert seated.wire_by_name["fan_s"].start == "herm_cap.FAN"
    assert all(meant == pytest.approx(does, abs=0.5) for meant, does in found.loads.values())


def test_a_kit_takes_the_place_of_the_kit_that_is_there() -> None:
    unit = arrangement("hard_start_delay")
    kit = made("kit", "compressor", "hard_start_kit", {**KIT, "start_uf": 189.0}, listed="yes")
    (found,) = fit(unit, [kit])
    assert found.candidate.parts == ("start_relay", "start_capacitor")
    assert found.verdict is SERVES


def test_an_unfused_disconnect_leaves_the_breaker_alone_on_guard() -> None:
    """Breaker within the limit: a caution; over it: no. From 440.4(B) and the plate's formula."""
    pull_out = made("pull-out", "disconnect", "disconnect_pullout", {"rating_a": 60.0})
    for amp, weight in ((35.0, Weight.CAUTION), (60.0, Weight.BARS)):
        unit = arrangement("hard_start_delay")
        parts = tuple(
            replace(p, values={"rating_a": amp}) if p.name == "outdoor_breaker" else p
            for p in unit.parts
        )
        (found,) = fit(replace(unit, parts=parts), [pull_out])
        told = {each.rule: each.weight for each in found.reasons}
        assert told["disconnect.fuses_gone"] is weight


def test_rotation_is_compared_where_the_plate_tells_it() -> None:
    unit = replace(arrangement("one_pole_heater"), nameplate={"fan_rotation": "clockwise"})
    turns = [made(way, "fan", "fan_motor", FAN, rotation=way)
             for way in ("clockwise", "counterclockwise")]  # fmt: skip
    right, wrong = fit(unit, turns)
    assert right.verdict is SERVES
    assert {each.rule for each in wrong.told(Weight.BARS)} == {"motor.rotation"}


def test_a_part_that_was_wrong_before_is_no_yardstick() -> None:
    """A unit made with one pole has had two put in: one pole serves, two more do not."""
    unit = arrangement("one_pole_heater")
    parts = tuple(
        replace(p, kind="contactor_2p") if p.name == "contactor" else p for p in unit.parts
    )
    one, two = fit(replace(unit, parts=parts), [contactor(1), contactor(2)])
    assert (one.verdict, two.verdict) == (SERVES, NOT)
    assert "was made with a one-pole contactor" in next(
        each.text for each in one.reasons if each.rule == "unit.meant"
    )
