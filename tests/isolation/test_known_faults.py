"""Plans for units that are known to have a fault."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.isolation.solved import plan, unit

from rungwise.circuit.condition import STANDBY
from rungwise.circuit.meter import LOW_Z_VOLTS, Leads, loaded_volts
from rungwise.circuit.plan import Key
from rungwise.circuit.settle import solve
from rungwise.errors import UnknownName
from rungwise.isolation import IsolationPlan, isolate
from rungwise.isolation.variants import Edits, batch_values
from rungwise.suspects import SuspectSet

NAME = "one_pole_heater"


def known(*keys: Key) -> IsolationPlan:
    return isolate(unit(NAME), values=dict.fromkeys(keys, 1.0))


def unproved(found: IsolationPlan) -> list[str]:
    return [failure.title for failure in found.found.proof.unproved]


def dangers(found: IsolationPlan) -> str:
    return " ".join(c.text for c in found.cautions if c.signal == "DANGER")


def test_a_device_known_to_be_stuck_is_not_counted_on() -> None:
    found = known(("disconnect", "stuck1"))
    assert [d.name for d in found.found.failed] == ["disconnect"]
    assert "disconnect" not in [d.name for d in found.order]
    assert unproved(found) == [], "the breaker is proved at the contactor instead"
    assert {c.pair[0] for c in found.checks} >= {"contactor.L1", "contactor.L2"}
    assert "pull-out disconnect is known not to open" in dangers(found)


def test_with_nothing_left_that_isolates_the_plan_says_what_stays_live() -> None:
    found = known(("disconnect", "stuck1"), ("outdoor_breaker", "stuck1"))
    assert "contactor.L1" in {point.terminal for point in found.found.live_after}
    assert "Keep out" in dangers(found)


def test_a_lost_leg_leaves_its_poles_unproved() -> None:
    """What reads dead because its leg is gone may come back: no reading proves that pole."""
    found = known(("service", "leg1_lost"))
    assert "pole 1 of the pull-out disconnect stays closed" in unproved(found)
    assert "pole 1 of the outdoor breaker stays closed" in unproved(found)
    assert "pole 2 of the pull-out disconnect stays closed" not in unproved(found)
    assert "No measurement can show it now" in dangers(found)


def test_a_tripped_breaker_leaves_the_disconnect_unproved_but_not_the_breaker() -> None:
    found = known(("outdoor_breaker", "held_open"))
    assert {f.device for f in found.found.proof.unproved} == {"disconnect"}


def test_a_broken_whip_moves_the_check_to_the_disconnect_itself() -> None:
    found = known(("whip_l1", "path_open"))
    assert unproved(found) == []
    pairs = {check.pair[0] for check in found.checks}
    assert "disconnect.load1" in pairs
    assert "contactor.L1" not in pairs


def test_a_broken_wire_in_the_zone_leaves_a_point_on_each_side_of_it() -> None:
    found = isolate(unit(NAME), zone="indoor", values={("door_line", "path_open"): 1.0})
    assert unproved(found) == []
    assert "service_switch.load1" in {check.pair[0] for check in found.checks}


def test_a_welded_contactor_is_warned_of() -> None:
    found = known(("contactor", "welded"))
    assert any("welded" in c.text and c.signal == "WARNING" for c in found.cautions)
    assert unproved(found) == []


def test_a_wire_on_a_wrong_terminal_is_understood() -> None:
    suspects = SuspectSet(unit(NAME))
    swapped = next(each for each in suspects if each.mode == "swapped")
    found = isolate(unit(NAME), values=suspects.typical(swapped))
    assert len(found.checks) == len(isolate(unit(NAME)).checks)


@pytest.mark.parametrize("key", [("disconect", "stuck1"), ("disconnect", "stuck9")])
def test_an_unknown_parameter_is_refused(key: Key) -> None:
    with pytest.raises(UnknownName, match=r"disconnect\.stuck"):
        isolate(unit(NAME), values={key: 1.0})


@cache
def suspects() -> SuspectSet:
    return SuspectSet(unit(NAME))


def edits_of(values: Mapping[Key, np.ndarray]) -> Edits:
    return {key: float(value) for key, value in values.items()}


@settings(max_examples=6)
@given(st.data())
def test_whatever_fault_is_known_a_failure_is_either_shown_or_told_as_unproved(
    data: st.DataObject,
) -> None:
    usable = [each for each in suspects() if each.mode != "swapped"]
    fault = data.draw(st.sampled_from(usable), label="fault")
    base = edits_of(suspects().typical(fault))
    found = isolate(unit(NAME), values=base)
    failures = [f for device in found.order for f in device.failures()]
    told = [f not in found.found.proof.unproved for f in failures]
    variants = [{}, *(failure.edits for failure in failures)]
    rows = []
    for check in found.checks:
        condition = STANDBY.opened(*check.opened)
        values = batch_values(plan(NAME), base, variants)
        solution = solve(plan(NAME), condition, values, len(variants))
        ohm = Leads(solution.batch, "ac").impedance_ohm(*check.pair)
        rows.append(loaded_volts(solution.volt(*check.pair), ohm, LOW_Z_VOLTS.burden_ohm))
    shown = np.array(rows).reshape(len(rows), len(variants))
    assert (shown[:, 0] < 5.0).all()
    live = [bool(column.max(initial=0.0) > 50.0) for column in shown[:, 1:].T]
    assert all(is_live for is_live, is_told in zip(live, told, strict=True) if is_told)
