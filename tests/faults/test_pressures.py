"""The causes behind a pressure switch: a dirty coil, too much and too little refrigerant."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STARTING
from rungwise.circuit.operating_point import solve
from rungwise.faults import Suspect, SuspectSet
from rungwise.faults.pairs import OPENS_AT_ALL, PRESSED
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

COUNT = 60


@pytest.fixture(scope="module")
def suspects() -> SuspectSet:
    return SuspectSet(arrangement("one_pole_heater"))


def opened(suspects: SuspectSet, suspect: Suspect) -> float:
    """Share of good units with this fault in which the switch of its own block opens."""
    values = suspects.particles([suspect], COUNT, seed=2)
    start = solve(suspects.plan, STARTING, values, COUNT)
    settled = solve(suspects.plan, CALLING, values, COUNT, earlier=start)
    return float(settled.state((suspect.block, "opened")).mean())


@pytest.mark.parametrize(
    ("name", "least"),
    [
        ("high_pressure.dirty_coil", 0.4),
        ("high_pressure.overcharge", 0.2),
        ("low_pressure.low_charge", 0.5),  # under a mild one the unit runs, and cools little
    ],
)
def test_the_circuit_opens_the_switch_by_itself(
    suspects: SuspectSet, name: str, least: float
) -> None:
    """No edit touches the switch: air and charge do it, as soon as it has run for long enough."""
    suspect = suspects.suspect(name)
    assert suspect.block not in {edit.key[0] for edit in suspect.edits}
    assert opened(suspects, suspect) >= least


def test_good_units_do_not_open_their_pressure_switches(suspects: SuspectSet) -> None:
    """Of 60 whole ones with every spread, none; their amps stay within 45 and 115% of RLA."""
    values = suspects.particles([suspects.suspect("nothing.found")], COUNT, seed=2)
    start = solve(suspects.plan, STARTING, values, COUNT)
    settled = solve(suspects.plan, CALLING, values, COUNT, earlier=start)
    for switch in ("high_pressure", "low_pressure"):
        assert not settled.state((switch, "opened")).any()
    amp = np.abs(settled.element_amp(("compressor", "common")))
    share = amp / suspects.plan.defaults["compressor", "rated_a"]
    assert share.min() > 0.45
    assert share.max() < 1.15


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_cause_takes_the_repair_of_the_switch_that_it_opens(name: str) -> None:
    """To find the cause is the answer, whichever it is; it never ends at the switch."""
    found = SuspectSet(arrangement(name))
    for block, modes in (
        ("high_pressure", ("dirty_coil", "overcharge")),
        ("low_pressure", ("low_charge",)),
    ):
        effect = found.suspect(f"{block}.open")
        assert effect.is_effect
        for mode in modes:
            cause = found.suspect(f"{block}.{mode}")
            assert cause.repair == effect.repair == f"{block}:find_cause"
            assert not cause.is_effect


@pytest.mark.parametrize(("block", "total"), [("high_pressure", 30.0), ("low_pressure", 50.0)])
def test_switch_and_causes_together_weigh_most_of_what_the_trade_gives_the_switch(
    suspects: SuspectSet, block: str, total: float
) -> None:
    """30 and 50 per thousand of no-cool calls (common practice, no source).

    The rest is what stands elsewhere and opens it too: a fan that does not turn, a blower.
    """
    own = [each for each in suspects if each.block == block and each.known]
    assert 0.7 * total <= sum(each.weight for each in own) <= total


FANS = {
    "high_pressure": ("fan.seized", "fan.c_open", "capacitor.fan_open", "capacitor.fan_spent"),
    "low_pressure": ("blower.seized", "blower_capacitor.run_open", "blower_relay.contact_open"),
}


@pytest.mark.parametrize(
    ("block", "name"), [(block, name) for block, names in FANS.items() for name in names]
)
def test_a_fan_that_stands_opens_the_switch_of_its_coil_or_the_overload_without_a_pair(
    suspects: SuspectSet, block: str, name: str
) -> None:
    """No edit touches a switch: the coil that gets no air does it, in most units."""
    suspect = suspects.suspect(name)
    values = suspects.particles([suspect], COUNT, seed=2)
    start = solve(suspects.plan, STARTING, values, COUNT)
    settled = solve(suspects.plan, CALLING, values, COUNT, earlier=start)
    opened = settled.state((block, "opened")) > 0.0
    tripped = settled.state(("compressor", "tripped")) > 0.0
    assert opened.any()
    assert (opened | tripped).mean() >= 0.5
    assert all(edit.key[0] != block for edit in suspect.edits)


FOUND_OPEN = (
    "fan.seized>high_pressure.open",
    "capacitor.fan_open>high_pressure.open",
    "high_pressure.dirty_coil>high_pressure.open",
    "low_pressure.low_charge>low_pressure.open",
)


@pytest.mark.parametrize("name", FOUND_OPEN)
def test_a_switch_found_open_names_its_cause_and_takes_its_weight_from_it(
    suspects: SuspectSet, name: str
) -> None:
    """Closed again on a restart: what is still open when the unit is dead lets go as it cools."""
    cause, _, effect = name.partition(">")
    pair, alone = suspects.suspect(name), suspects.suspect(cause)
    assert pair.repair == alone.repair
    assert pair.cause_of == effect
    share = PRESSED * OPENS_AT_ALL.get(cause.partition(".")[2], 1.0)
    assert pair.weight / (pair.weight + alone.weight) == pytest.approx(share, abs=0.01)
    handle = (effect.partition(".")[0], "pressed_open")
    assert handle in {edit.key for edit in pair.edits}
    rules = [rule for block, rule in suspects.plan.rules if block == handle[0]]
    assert [rule.found_open for rule in rules] == ["pressed_open"]


@pytest.fixture(scope="module")
def behind_a_board() -> SuspectSet:
    return SuspectSet(arrangement("time_delay_board"))


def test_a_board_that_trips_have_locked_is_found_with_what_made_the_switch_trip(
    behind_a_board: SuspectSet,
) -> None:
    locked = {each.id: each for each in behind_a_board if each.id.endswith(">delay_board.locked")}
    assert {name.partition(">")[0] for name in locked} >= {
        "fan.seized", "capacitor.fan_open", "high_pressure.dirty_coil", "low_pressure.low_charge",
    }  # fmt: skip
    assert all("delay_board" not in each.repair for each in locked.values())


def test_a_short_behind_a_board_is_no_fault_of_the_board_that_lets_go(
    behind_a_board: SuspectSet,
) -> None:
    pair = behind_a_board.suspect("contactor.coil_shorted>delay_board.lets_go")
    assert pair.repair == behind_a_board.suspect("contactor.coil_shorted").repair
    solution = solve(behind_a_board.plan, CALLING, behind_a_board.typical(pair), 1)
    ahead, behind = (abs(solution.volt(f"delay_board.{end}", "delay_board.C"))[0]
                     for end in ("LP2", "CC"))  # fmt: skip
    assert ahead > 20.0
    assert behind < 1.0
