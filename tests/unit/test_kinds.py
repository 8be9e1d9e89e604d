"""Each part kind's table agrees with itself: terminals, parameters, states, rules, fault modes."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import pytest
from tests.every import of_every

from rungwise.parts import KINDS
from rungwise.parts.element import EARTH, Branch, Coupled, Element, Expr, FloatArray, Machine
from rungwise.parts.facets import Motor
from rungwise.parts.kind import Mode, PartKind
from rungwise.parts.pressure_rule import PressureRule
from rungwise.parts.residual_breaker import ResidualRule
from rungwise.parts.rule import (
    CoilRule,
    DelayRule,
    FuseRule,
    MotorRule,
    OverloadRule,
    Rule,
)
from rungwise.unit import arrangement

of_every_kind = of_every(KINDS.values(), lambda kind: kind.name)


class Numbers:
    """The defaults of a kind's parameters and states; anything else is a KeyError."""

    def __init__(self, kind: PartKind, **changed: float) -> None:
        self.numbers = {p.name: p.default for p in kind.parameters}
        self.numbers |= {state.name: state.start for state in kind.states} | changed

    def __getitem__(self, name: str, /) -> FloatArray:
        return np.asarray(self.numbers[name])


def ends(element: Element) -> tuple[str, ...]:
    if isinstance(element, Branch):
        return (element.a, element.b)
    if isinstance(element, Coupled):
        return (*element.first, *element.second)
    return (*element.main, *element.aux)


def expressions(element: Element) -> Iterator[Expr]:
    names = {
        Branch: ("ohm", "henry", "farad", "emf_volt", "closed"),
        Coupled: ("ohm1", "henry1", "ohm2", "henry2", "mutual_henry", "closed1", "closed2"),
        Machine: ("main_closed", "aux_closed", "turns", "standstill_nm", "rated_nm"),
    }[type(element)]
    yield from (expr for name in names if (expr := getattr(element, name)) is not None)


def rule_expressions(rule: Rule) -> Iterator[Expr]:
    if isinstance(rule, CoilRule):
        yield from (rule.pull_in_volt, rule.drop_out_volt)
    elif isinstance(rule, FuseRule):
        yield from (rule.fast_amp, rule.slow_amp)
    elif isinstance(rule, OverloadRule):
        yield rule.slow_amp
    elif isinstance(rule, DelayRule):
        yield from (rule.volts, rule.delay_s)
    elif isinstance(rule, PressureRule):
        yield from (rule.opens_psi, rule.closes_psi)
    elif isinstance(rule, MotorRule):
        yield rule.seized


def modes() -> list[tuple[PartKind, Mode]]:
    return [(kind, mode) for kind in KINDS.values() for mode in kind.modes]


of_every_mode = of_every(modes(), lambda told: f"{told[0].name}.{told[1].name}")


@of_every_kind
def test_elements_end_on_the_kinds_own_terminals(kind: PartKind) -> None:
    known = {*kind.terminals, *kind.inner_nodes, EARTH}
    assert {end for element in kind.elements for end in ends(element)} <= known


@of_every_kind
def test_every_inner_node_has_an_element(kind: PartKind) -> None:
    assert set(kind.inner_nodes) <= {end for element in kind.elements for end in ends(element)}


@of_every_kind
def test_names_are_used_once(kind: PartKind) -> None:
    for names in (
        [*kind.terminals, *kind.inner_nodes],
        [p.name for p in kind.parameters] + [s.name for s in kind.states],
        [element.name for element in kind.elements],
        [mode.name for mode in kind.modes],
    ):
        assert len(names) == len(set(names)), names


@of_every_kind
def test_expressions_ask_only_for_the_kinds_own_numbers(kind: PartKind) -> None:
    for element in kind.elements:
        for expr in expressions(element):
            expr(Numbers(kind))
    for rule in kind.rules:
        for expr in rule_expressions(rule):
            expr(Numbers(kind))


@of_every_kind
def test_a_good_part_has_finite_positive_ohms(kind: PartKind) -> None:
    for element in kind.elements:
        if isinstance(element, Branch):
            ohm = float(element.ohm(Numbers(kind)))
            assert 0 < ohm < math.inf, element.name


@of_every_kind
def test_switches_are_open_or_closed_and_nothing_between(kind: PartKind) -> None:
    handles = [p.name for p in kind.parameters if p.source == "fault handle"]
    for name in [None, *handles]:
        numbers = Numbers(kind, **({} if name is None else {name: 1.0}))
        for element in kind.elements:
            if isinstance(element, Branch) and element.closed is not None:
                assert float(element.closed(numbers)) in {0.0, 1.0}, (name, element.name)


@of_every_kind
def test_rules_name_states_and_elements_that_are_there(kind: PartKind) -> None:
    heat = {"condensing_c", "evaporating_c"}  # of the refrigerant: no element drives them
    driven = {state.name for state in kind.states if state.driver == "rule"} - heat
    elements = {element.name: element for element in kind.elements}
    assert {rule.state for rule in kind.rules} == driven
    for rule in kind.rules:
        assert isinstance(elements[rule.element], Branch)
        if isinstance(rule, MotorRule):
            assert isinstance(elements[rule.machine], Machine)


@of_every_kind
def test_every_state_that_a_rule_changes_has_words_for_it(kind: PartKind) -> None:
    """But for a rotor's slip, of which the sequence tells in words of its own, and for what is
    only remembered; nothing that a hand must mend comes back by itself.
    """
    for rule in kind.rules:
        (state,) = (state for state in kind.states if state.name == rule.state)
        if rule.glides or (rule.counts and not (state.on or state.off)):
            continue
        assert state.on, state.name
        by_hand = isinstance(rule, FuseRule | ResidualRule)
        assert bool(state.off) == (not by_hand), state.name


@of_every_kind
def test_defaults_lie_in_their_ranges_and_spreads_have_an_origin(kind: PartKind) -> None:
    """What is told is known at least as well as what is not; 2.4 is a tenth to ten times."""
    for parameter in kind.parameters:
        if not math.isnan(parameter.default):  # a machine constant, fitted from the nameplate
            assert parameter.low <= parameter.default <= parameter.high, parameter.name
        # Good insulation has no upper limit: what nobody told of it spans four decades each way.
        most = 3.6 if parameter.name == "insulation_ohm" else 2.7
        assert 0 <= parameter.tolerance <= most, parameter.name
        assert not parameter.untold or parameter.tolerance <= parameter.untold <= 2.4
        assert parameter.what, parameter.name
        assert parameter.spread_source, parameter.name
        assert parameter.source, parameter.name


@of_every_kind
def test_what_moves_with_another_parameter_names_one_that_spreads(kind: PartKind) -> None:
    for parameter in kind.parameters:
        if parameter.moves_with:
            assert kind.parameter(parameter.moves_with).spread(told=False) > 0, parameter.name
            assert not kind.parameter(parameter.moves_with).moves_with


@of_every_kind
def test_what_a_person_may_type_is_no_fault_handle(kind: PartKind) -> None:
    for parameter in kind.parameters:
        if parameter.source == "fault handle":
            assert parameter.hidden, parameter.name
            assert parameter.default == 0.0, parameter.name


@of_every_kind
def test_isolating_poles_are_handles_and_terminals(kind: PartKind) -> None:
    """A stuck pole conducts with the handle off, whatever else holds it open."""
    for stuck, terminal in kind.isolates:
        assert kind.parameter(stuck).hidden
        assert terminal in kind.terminals
        off = Numbers(kind, position=0.0, **{stuck: 1.0})
        closed = [
            float(element.closed(off))
            for element in kind.elements
            if isinstance(element, Branch) and terminal in ends(element) and element.closed
        ]
        assert closed == [1.0]
    if kind.isolates:
        assert kind.has_position


@of_every_mode
def test_a_mode_draws_parameters_of_its_kind_within_sense(told: tuple[PartKind, Mode]) -> None:
    kind, mode = told
    assert mode.edits
    # Beside a handle that is the fault itself, a draw tells what it meets: a house's other loads.
    handled = any(kind.parameter(d.parameter).source == "fault handle" for d in mode.edits)
    for draw in mode.edits:
        parameter = kind.parameter(draw.parameter)
        assert draw.low <= draw.high
        if draw.how == "scale":
            assert 0 < draw.low < draw.high, "log-uniform needs a floor"
            assert not mode.known or not draw.low <= 1.0 <= draw.high
        elif parameter.source == "fault handle":
            assert draw.low == draw.high == 1.0
        elif parameter.other_share:
            assert draw.low == draw.high == parameter.other, "it is one or the other"
        else:
            assert 0 < draw.low < draw.high <= 1e7
            overlaps = draw.low <= parameter.default <= draw.high
            assert not mode.known or handled or not overlaps


@of_every_mode
def test_a_listed_mode_moves_each_parameter_away_from_good(told: tuple[PartKind, Mode]) -> None:
    """An unknown way may also be so slight that nobody would notice it."""
    kind, mode = told
    for draw in mode.edits if mode.known else ():
        good = kind.parameter(draw.parameter).default
        drawn = [good * end if draw.how == "scale" else end for end in (draw.low, draw.high)]
        assert all(abs(each - good) > 0.1 * abs(good) for each in drawn)


@of_every_mode
def test_a_mode_says_what_to_do_and_how_likely_it_is(told: tuple[PartKind, Mode]) -> None:
    kind, mode = told
    assert 0 < mode.weight <= 200
    assert mode.repair
    assert mode.repair_text
    assert mode.title
    assert kind.title
    assert all(0 < chance < 1 for chance in mode.signs.values())


QUANTITIES = {
    "volts", "ghost", "sag", "drop", "amps", "winding_amps", "held_amps", "inrush",
    "ohms", "megohms", "microfarads",
}  # fmt: skip
"""What the checks of a call read; that one reads it on the very part: tests/faults."""


@of_every_mode
def test_a_mode_says_which_reading_shows_it_and_what_a_wrong_repair_costs(
    told: tuple[PartKind, Mode],
) -> None:
    kind, mode = told
    assert mode.shown_by
    assert all(each in QUANTITIES or each.startswith("look:") for each in mode.shown_by)
    assert 0 < mode.wrong_minutes <= 2000, kind.name


@of_every_kind
def test_every_part_that_can_fail_can_also_fail_in_an_unknown_way(kind: PartKind) -> None:
    """Unknown modes (de Kleer & Williams 1989): rare each, and counted as the part's own answer."""
    others = [mode for mode in kind.modes if not mode.known]
    assert bool(others) is bool(kind.modes)
    listed = {mode.repair for mode in kind.modes if mode.known}
    for mode in others:
        assert mode.repair in listed, mode.name
        assert mode.weight <= 3.5
    known = sum(each.weight for each in kind.modes if each.known)
    assert sum(each.weight for each in others) <= 0.25 * known


def test_a_reset_in_vain_costs_more_than_a_look_and_is_never_the_cause() -> None:
    """A tripped breaker and a blown fuse are effects; a switched-off breaker is not."""
    known = {f"{kind.name}.{mode.name}": mode for kind, mode in modes()}
    effects = {name for name, mode in known.items() if mode.is_effect and "breaker" in name}
    breakers = (*(f"breaker_{poles}p" for poles in (1, 2, 3)), "residual_breaker")
    assert effects == {f"{name}.tripped" for name in breakers}
    assert known["lv_fuse.blown"].is_effect
    assert known["breaker_2p.tripped"].wrong_minutes > 10 * known["breaker_2p.off"].wrong_minutes


# Starting weights of the trade's table of what goes wrong (design/trade.md §4), parts per
# thousand: common practice, from experience, no source. Each row: the kinds and modes, the sum.
TABLE: dict[str, tuple[float, tuple[tuple[str, str], ...]]] = {
    "compressor section weak": (120, (("dual_capacitor", "herm_weak"),)),
    "compressor section open": (70, (("dual_capacitor", "herm_open"),)),
    "compressor section shorted": (5, (("dual_capacitor", "herm_shorted"),)),
    "fan section weak": (35, (("dual_capacitor", "fan_weak"),)),
    "fan section open": (35, (("dual_capacitor", "fan_open"),)),
    "fan section shorted": (3, (("dual_capacitor", "fan_shorted"),)),
    "contacts pitted or burnt, one pole": (
        45, (("contactor_1p", "pole1_pitted"), ("contactor_1p", "pole1_burnt")),
    ),
    "contacts pitted or burnt, two poles": (
        45,
        tuple(("contactor_2p", f"pole{n}_{how}") for n in (1, 2) for how in ("pitted", "burnt")),
    ),
    "contacts welded": (18, (("contactor_1p", "welded"),)),
    "contacts open, one pole": (15, (("contactor_1p", "pole1_open"),)),
    "contacts open, two poles": (
        15, (("contactor_2p", "pole1_open"), ("contactor_2p", "pole2_open")),
    ),
    "coil open": (22, (("contactor_1p", "coil_open"),)),
    "coil shorted": (9, (("contactor_1p", "coil_shorted"),)),
    "plunger blocked": (22, (("contactor_1p", "blocked"),)),
    "compressor seized": (25, (("compressor", "seized"),)),
    "compressor winding open": (
        12, (("compressor", "c_open"), ("compressor", "r_open"), ("compressor", "s_open")),
    ),
    "compressor earthed": (
        15, (("compressor", "earthed"), ("compressor", "start_earthed")),
    ),
    "compressor turns shorted": (5, (("compressor", "turns_shorted"),)),
    "fan seized": (40, (("fan_motor", "seized"),)),
    "fan winding open": (
        18, (("fan_motor", "c_open"), ("fan_motor", "r_open"), ("fan_motor", "s_open")),
    ),
    "fan shorted": (5, (("fan_motor", "turns_shorted"),)),
    "heater open": (10, (("crankcase_heater", "open"),)),
    "heater earthed": (2, (("crankcase_heater", "earthed"),)),
    "start relay stuck in": (6, (("potential_relay", "stuck_in"),)),
    "start relay never in": (8, (("potential_relay", "never_in"),)),
    "start capacitor open": (6, (("start_capacitor", "start_open"),)),
    "transformer primary open": (10, (("transformer", "primary_open"),)),
    "transformer secondary open": (10, (("transformer", "secondary_open"),)),
    "transformer shorted": (3, (("transformer", "shorted"),)),
    "float switch": (55, (("float_switch", "open"), ("float_switch", "failed_open"))),
    "thermostat": (50, (("thermostat", "not_calling"), ("thermostat", "setting"))),
    "delay": (15, (("delay", "dead"),)),
    "door": (18, (("door_switch", "open"), ("door_switch", "failed_open"))),
    "one leg lost": (
        12, (("service", "leg_l1_lost"), ("service", "leg_l2_lost"),
             ("breaker_2p", "pole1_open"), ("breaker_2p", "pole2_open")),
    ),
    "disconnect out or a pole open": (
        40, (("disconnect_fused", "out"), ("disconnect_fused", "pole1_open"),
             ("disconnect_fused", "pole2_open")),
    ),
    "low volts": (12, (("service", "low_volts"), ("service", "low_208"))),
}  # fmt: skip

# What the trade finds open, with all that has opened it: of that a part's own row has a share, and
# what the circuit, the heat side or a pair brings about has the rest.
OPENED: dict[str, tuple[float, tuple[tuple[str, str], ...]]] = {
    "compressor overload": (25, (("compressor", "overload_open"),)),
    "fan overload": (5, (("fan_motor", "overload_open"),)),
    "high pressure": (
        30, (("high_pressure_switch", "open"), ("high_pressure_switch", "failed_open")),
    ),
    "low pressure": (50, (("low_pressure_switch", "open"), ("low_pressure_switch", "failed_open"))),
    "outdoor breaker": (35, (("breaker_2p", "tripped"), ("breaker_2p", "off"))),
    "indoor supply": (
        23, (("breaker_1p", "tripped"), ("breaker_1p", "off"), ("service_switch", "out")),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("total", "rows"), TABLE.values(), ids=TABLE.keys())
def test_weights_are_those_of_the_trades_table(
    total: float, rows: tuple[tuple[str, str], ...]
) -> None:
    weights = {(kind.name, mode.name): mode.weight for kind, mode in modes()}
    assert sum(weights[row] for row in rows) == pytest.approx(total)


@pytest.mark.parametrize(("total", "rows"), OPENED.values(), ids=OPENED.keys())
def test_what_others_open_too_weighs_less_by_itself_than_the_trade_finds_it_open(
    total: float, rows: tuple[tuple[str, str], ...]
) -> None:
    weights = {(kind.name, mode.name): mode.weight for kind, mode in modes()}
    assert 0.0 < sum(weights[row] for row in rows) < total


def test_every_mode_in_the_table_or_on_the_list_of_additions() -> None:
    """What has no row of its own there is either shared out elsewhere or added by us."""
    added = {
        ("lv_fuse", "blown"),  # with the shorts on Y and R, 40 together: see the suspects
        ("relay", "coil_open"), ("relay", "contact_open"), ("relay", "welded"),
        ("heater_thermostat", "open"), ("run_capacitor", "run_weak"), ("run_capacitor", "run_open"),
        ("run_capacitor", "run_shorted"), ("start_capacitor", "start_shorted"),
        ("contactor_1p", "coil_wrong_volts"), ("contactor_1p", "chatters"),
        ("contactor_1p", "hums"),
        ("dual_capacitor", "herm_spent"), ("dual_capacitor", "fan_spent"),
        ("run_capacitor", "run_spent"),
        ("thermostat", "keeps_calling"), ("transformer", "tap_low"), ("transformer", "tap_high"),
        ("service", "neutral_lost"), ("service_switch", "pole1_burnt"),
        *((kind, f"pole{n}_burnt") for kind in ("breaker_2p", "disconnect_fused") for n in (1, 2)),
        ("breaker_1p", "pole1_burnt"), ("terminal_board", "leak"), ("terminal_board", "feed_leak"),
    }  # fmt: skip
    same_as_other = {"contactor_2p", "disconnect_pullout", "disconnect_switch"}
    # The table speaks of split systems; what stands in none of them has weights of its own.
    of_the_table = {
        part.kind
        for name in ("one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side")
        for part in arrangement(name).parts
    } | {"transformer", "run_capacitor"}
    listed = {row for _, rows in (*TABLE.values(), *OPENED.values()) for row in rows}
    others = {
        (kind.name, mode.name)
        for kind, mode in modes()
        if kind.name in of_the_table - same_as_other
        and kind.facet(Motor) is None  # their further modes stand in unit/motor_modes.py
        and mode.known
    }
    assert others - listed == added
