"""What eyes, ears and hands find: every sign has its fault, and practice shows it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import pytest
from tests.wide import WIDE

from rungwise.circuit.condition import CALLING
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.build import bench_of
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.large_line import LargeLine
from rungwise.diagnosis.look_card import LOOKING
from rungwise.diagnosis.mark_looks import Mark, WhichSpot
from rungwise.diagnosis.visual_checks import (
    HotShell,
    Powered,
    TurnedByHand,
    turns,
)
from rungwise.evaluation.apprentice import HiddenUnit
from rungwise.faults import Suspect, SuspectSet
from rungwise.parts.element import FloatArray
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

FEW = 4
CALLS = 15 if WIDE else 7


class Seen(NamedTuple):
    """One arrangement with its suspects and the chances of every look: [suspects, choices].

    Of two chances the greater: on units that are found as heat and pressure left them, and on
    those that have closed again. A compressor whose overload is open still makes no sound at all.
    """

    unit: Unit
    suspects: tuple[Suspect, ...]
    looks: tuple[Check, ...]
    chances: dict[str, FloatArray]

    def likeliest(self, check: Check, choice: str) -> Suspect:
        """The suspect that shows this answer most."""
        column = self.chances[check.card.id][:, check.card.choices.index(choice)]
        return self.suspects[int(column.argmax())]


@lru_cache
def seen(name: str) -> Seen:
    listed = SuspectSet(arrangement(name))
    chosen = tuple(listed)
    bench: Bench = bench_of(listed, chosen, FEW)
    looks = tuple(check for check in checks_of(listed.unit) if check.look)
    chances = {}
    for each in looks:
        assert each.look is not None
        rows = each.look(bench, chosen).reshape(len(chosen), FEW, -1)
        found = bench.hot.reshape(len(chosen), FEW)[0] > 0
        chances[each.card.id] = np.maximum(
            rows[:, found].mean(axis=1), rows[:, ~found].mean(axis=1)
        )
    return Seen(listed.unit, chosen, looks, chances)


def _by_answer(at: Seen) -> Iterator[tuple[str, float]]:
    """Every answer of every look, with the greatest chance that any suspect gives it.

    The joints of a wire are looked at where they are; each place shows its share.
    """
    places = [check for check in at.looks if check.card.quantity == "look:joints"]
    for check in at.looks:
        if check not in places:
            best = at.chances[check.card.id].max(axis=0)
            names = (f"{check.card.id} {choice}" for choice in check.card.choices)
            yield from zip(names, best.tolist(), strict=True)
    for wire in dict.fromkeys(wire for check in places for wire in check.card.choices):
        here = [check for check in places if wire in check.card.choices]
        missed = np.prod(
            [1.0 - at.chances[c.card.id][:, c.card.choices.index(wire)] for c in here], axis=0
        )
        yield f"joints {wire}", float(1.0 - missed.min())


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_answer_of_every_look_is_what_some_suspect_shows_more_often_than_not(
    name: str,
) -> None:
    """An answer that no suspect gives would be dropped in silence when somebody gives it."""
    never = {said: chance for said, chance in _by_answer(seen(name)) if chance <= 0.5}
    assert never == {}


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_sign_that_a_suspect_carries_is_looked_for(name: str) -> None:
    at = seen(name)
    sorts = Mark | Powered | HotShell | TurnedByHand
    looked = {check.look.sign for check in at.looks if isinstance(check.look, sorts)}
    looked |= {sign for each in at.looks if isinstance(each.look, WhichSpot)
               for sign in each.look.signs.values()}  # fmt: skip
    looked |= {sign for each in at.looks if isinstance(each.look, LargeLine)
               for sign in each.look.signs}  # fmt: skip
    carried = {sign for each in at.suspects for sign in each.signs}
    assert carried - looked == set()


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_look_that_shows_a_fault_can_be_taken_on_its_part(name: str) -> None:
    """A way that is shown by a look nobody can take would never be shown."""
    at = seen(name)
    taken = {(check.card.quantity, block) for check in at.looks for block in check.card.touches}
    wanted = {
        (quantity, each.block)
        for each in at.suspects
        for quantity in each.shown_by
        if quantity.startswith("look:")
    }
    assert wanted - taken == set()


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_look_says_what_it_looks_at_and_on_which_blocks(name: str) -> None:
    at = seen(name)
    blocks = {block.name for block in at.unit.blocks()} | {"unit"}
    for check in at.looks:
        assert check.card.quantity.startswith("look:")
        assert check.card.touches
        assert set(check.card.touches) <= blocks


@pytest.mark.parametrize(
    ("look", "answer"),
    [
        ("look-float_switch-water", "water"),
        ("look-door_switch-door_off", "not in place"),
        ("look-thermostat-setting", "does not call"),
        ("look-contactor-debris", "debris"),
        ("look-capacitor-wrong_place", "differ"),
        ("look-outdoor_breaker", "tripped"),
        ("look-disconnect", "out"),
        ("look-filter", "clogged"),
        ("look-ice", "ice"),
        ("look-coil-dirt", "dirty"),
    ],
)
def test_a_practice_unit_shows_the_sign_of_its_fault_more_often_than_not(
    look: str, answer: str
) -> None:
    at = seen("one_pole_heater")
    (check,) = (each for each in at.looks if each.card.id == look)
    fault = at.likeliest(check, answer).id
    checks = {each.card.id: each for each in checks_of(at.unit)}
    found = [HiddenUnit(at.unit, fault, seed, checks).take(look) for seed in range(CALLS)]
    assert found.count(answer) > CALLS / 2


def _chance(look: str, suspect: str, answer: str) -> float:
    at = seen("one_pole_heater")
    row = [each.id for each in at.suspects].index(suspect)
    (card,) = (each.card for each in at.looks if each.card.id == look)
    return float(at.chances[look][row, card.choices.index(answer)])


@pytest.mark.parametrize(
    ("look", "suspect", "answer", "least", "most"),
    [
        # R to C is dead behind an open door switch: the board's light is out, and most screens.
        ("look-board-light", "door_switch.open", "off", 0.95, 1.0),
        ("look-thermostat-screen", "door_switch.open", "blank", 0.7, 0.9),
        # The float switch is in Y: the blower goes on and the screen is lit.
        ("look-board-light", "float_switch.open", "off", 0.0, 0.05),
        ("look-thermostat-screen", "float_switch.open", "blank", 0.0, 0.05),
        # A shorted Y blows the fuse: everything on 24 V is dark.
        ("look-board-light", "y_field.rubbed", "off", 0.95, 1.0),
        # A winding hard to ground may have tripped the breaker, which nobody has switched off; most
        # of the severities of this mode leak too little for that (tests/circuit tells which do).
        ("look-outdoor_breaker", "compressor.earthed>outdoor_breaker.tripped", "tripped", 0.8, 1.0),
        ("look-outdoor_breaker", "compressor.earthed", "off", 0.0, 0.1),
        ("look-outdoor_breaker", "nothing.found", "on", 0.95, 1.0),
        # Cold gas comes back of a good unit; of one without liquid it comes warm, and of one
        # without air it freezes what it touches.
        ("look-compressor-line", "nothing.found", "cold", 0.9, 1.0),
        ("look-compressor-line", "compressor.not_pumping", "like the air", 0.8, 1.0),
        ("look-compressor-line", "low_pressure.low_charge", "cold", 0.0, 0.1),
        ("look-compressor-line", "low_pressure.low_charge", "like the air", 0.6, 1.0),
        ("look-compressor-line", "low_pressure.starved", "frosted", 0.3, 1.0),
        ("look-compressor-line", "unit.frozen_coil", "frosted", 0.6, 0.8),
    ],
)
def test_a_look_reads_the_solved_circuit(
    look: str, suspect: str, answer: str, least: float, most: float
) -> None:
    assert least <= _chance(look, suspect, answer) <= most


def test_looks_at_what_is_no_part_of_the_circuit_touch_nothing() -> None:
    at = seen("two_pole_plain")
    first = ("thermostat-screen", "thermostat-setting", "filter", "ice", "coil-dirt", "recent-work")
    cards = {each.card.id: each.card for each in at.looks}
    for name in first:
        assert cards[f"look-{name}"].condition == LOOKING
        assert not cards[f"look-{name}"].live


def test_heat_is_felt_without_a_touch() -> None:
    """Domes and discharge lines burn: the words must keep the hand off (ANSI Z535 CAUTION)."""
    at = seen("one_pole_heater")
    shells = [each.card for each in at.looks if each.card.quantity == "look:shell"]
    assert shells
    for card in shells:
        assert "back of your hand" in card.title
        assert card.cautions[0].signal == "CAUTION"


def test_a_fan_that_turns_backward_is_seen_to_turn() -> None:
    """The capacitor's FAN and C swapped: it runs the wrong way, and who looks sees blades turn."""
    suspects = SuspectSet(arrangement("one_pole_heater"))
    swapped = [each for each in suspects if each.id == "capacitor.swapped_fan_c"]
    found = solve(suspects.plan, CALLING, suspects.typical_of(swapped), 1)
    assert found.state(("fan", "slip"))[0] > 1.5
    assert turns(found, "fan")[0] == 1.0


def test_the_light_of_a_phase_monitor_tells_the_order_and_a_lost_leg() -> None:
    """Reversed where two legs are swapped; good over a contact that stays open: the monitor."""
    unit = arrangement("rooftop_208")
    (light,) = (each for each in checks_of(unit) if each.card.quantity == "look:phase_light")
    handles = (("service", "legs_turned"), ("service", "l3_lost"), ("phase_monitor", "dead"))
    values = {key: np.eye(4)[1 + at] for at, key in enumerate(handles)}
    assert light.look is not None
    chances = light.look(Bench(Plan(unit), values, 4, np.zeros(4)), ())
    told = [light.card.choices[at] for at in chances.argmax(axis=1)]
    assert told == ["good", "reversed", "lost or uneven", "good"]


def test_a_rotation_meter_tells_the_order_of_the_legs_and_not_the_monitor() -> None:
    unit = arrangement("rooftop_208")
    (meter,) = (each for each in checks_of(unit) if each.card.quantity == "look:rotation")
    handles = (("service", "legs_turned"), ("service", "l3_lost"), ("phase_monitor", "dead"))
    values = {key: np.eye(4)[1 + at] for at, key in enumerate(handles)}
    assert meter.look is not None
    chances = meter.look(Bench(Plan(unit), values, 4, np.zeros(4)), ())
    assert list(chances.argmax(axis=1)) == [0, 1, 2, 0]
    assert meter.card.live
    assert meter.card.cautions[0].signal == "DANGER"


def test_a_gauge_tells_a_control_that_does_its_job_from_one_set_wrong() -> None:
    """Low charge and a shut valve leave the suction under the cut-in, a setting does not."""
    suspects = SuspectSet(arrangement("walk_in_cooler"))
    names = ("nothing.found", "solenoid.stuck_shut", "pressure_control.set_wrong",
             "pressure_control.failed_open")  # fmt: skip
    (gauge,) = (each for each in checks_of(suspects.unit) if each.card.quantity == "look:gauge")
    chosen = [suspects.suspect(name) for name in names]
    assert gauge.look is not None
    chances = gauge.look(bench_of(suspects, chosen, FEW), chosen).reshape(len(names), FEW, 2)
    assert list(chances.mean(axis=1).argmax(axis=1)) == [0, 1, 0, 0]


def test_heat_that_never_goes_off_is_felt_on_a_call_for_cooling() -> None:
    suspects = SuspectSet(arrangement("air_handler_heat_10kw"))
    names = ("nothing.found", "sequencer_1.welded", "contactor.coil_open")
    (air,) = (each for each in checks_of(suspects.unit) if each.card.quantity == "look:cool_air")
    chosen = [suspects.suspect(name) for name in names]
    assert air.look is not None
    chances = air.look(bench_of(suspects, chosen, FEW), chosen).reshape(len(names), FEW, 2)
    assert list(chances.mean(axis=1).argmax(axis=1)) == [0, 1, 1]


def test_all_contactors_are_quiet_where_none_buzzes() -> None:
    unit = arrangement("rooftop_208")
    (quiet,) = (each for each in checks_of(unit) if each.card.quantity == "look:quiet")
    values = {("blower_contactor", "hums"): np.array([0.0, 1.0])}
    assert quiet.look is not None
    chances = quiet.look(Bench(Plan(unit), values, 2, np.zeros(2)), ())
    assert list(chances.argmax(axis=1)) == [0, 1]
