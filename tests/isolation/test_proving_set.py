"""The proof, tried by failing each device in a circuit solved anew, not from the proof's table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from tests.isolation.solved import NAMES, isolation, plan, unit

from rungwise.circuit.condition import STANDBY
from rungwise.circuit.meter import LOW_Z_VOLTS, Leads, loaded_volts
from rungwise.circuit.plan import Plan
from rungwise.circuit.settle import solve
from rungwise.isolation.lead_places import lead_places
from rungwise.isolation.live_points import Opened
from rungwise.isolation.load_faults import AS_FOUND, every_load_open, load_faults
from rungwise.isolation.order_of_work import best_order, prefixes
from rungwise.isolation.proof_table import ProofTable
from rungwise.isolation.proving_check import ProvingCheck
from rungwise.isolation.proving_set import proving_set
from rungwise.isolation.variants import Edits, batch_values
from rungwise.isolation.work_zone import zone_points
from rungwise.unit.element import EARTH, FloatArray

ZONES = ("outdoor", "indoor")


def readings(made: Plan, check: ProvingCheck, variants: Sequence[Edits]) -> FloatArray:
    """What the check's meter shows in each variant, with the check's devices opened by position.

    Another way than the proof's own: positions of the condition instead of held-open handles,
    and the impedance of the one port instead of a whole impedance matrix.
    """
    condition = STANDBY.opened(*check.opened)
    solution = solve(made, condition, batch_values(made, {}, variants), len(variants))
    seen_ohm = Leads(solution.batch, "ac").impedance_ohm(*check.pair)
    return loaded_volts(solution.volt(*check.pair), seen_ohm, LOW_Z_VOLTS.burden_ohm)


@cache
def faults(name: str) -> tuple[Edits, ...]:
    return tuple(fault.edits for fault in load_faults(unit(name)))


@cache
def live_table(name: str, zone: str) -> tuple[tuple[ProvingCheck, ...], np.ndarray]:
    """Which check reads live in which case: [checks, failures, load faults]."""
    found = isolation(name, zone)
    failures = [failure for device in found.order for failure in device.failures()]
    variants = [{**fault, **failure.edits} for failure in failures for fault in faults(name)]
    rows = [readings(plan(name), check, variants) > 50.0 for check in found.checks]
    return found.checks, np.array(rows).reshape(len(rows), len(failures), -1)


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("name", NAMES)
def test_each_device_failed_whole_or_in_one_pole_makes_a_check_read_live(
    name: str, zone: str
) -> None:
    """Also while any single load fault, or every load open at once, takes paths away."""
    _, live = live_table(name, zone)
    assert live.any(axis=0).all()


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("name", NAMES)
def test_dropping_any_check_loses_a_case(name: str, zone: str) -> None:
    checks, live = live_table(name, zone)
    assert len(checks) > 0
    for dropped in range(len(checks)):
        assert not np.delete(live, dropped, axis=0).any(axis=0).all()


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("name", NAMES)
def test_every_check_reads_dead_when_all_devices_isolate(name: str, zone: str) -> None:
    for check in isolation(name, zone).checks:
        assert readings(plan(name), check, faults(name)).max() < 5.0


@pytest.mark.parametrize("name", NAMES)
def test_a_check_tells_the_volts_that_the_failed_circuit_shows(name: str) -> None:
    for check in isolation(name).checks:
        for told in check.live:
            shown = readings(plan(name), check, [told.failure.edits])[0]
            assert told.volt == pytest.approx(shown, abs=0.01)


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("name", NAMES)
def test_every_feeding_device_is_opened_and_nothing_stays_unproved(name: str, zone: str) -> None:
    found = isolation(name, zone).found
    assert {d.name for d in found.proof.order} == {d.name for path in found.paths for d in path}
    assert found.proof.unproved == ()
    assert found.live_after == ()


@pytest.mark.parametrize("zone", ZONES)
def test_no_smaller_set_of_measurements_proves_the_two_pole_unit(zone: str) -> None:
    """Every smaller set of distinct candidates tried, on the proof's own table."""
    name, made = "two_pole_plain", isolation("two_pole_plain", zone)
    table = proof_table(name, zone, prefixes(made.order))
    columns = np.unique(np.concatenate([table.covers(o) for o in table.opened_sets]), axis=0)
    worth = columns[columns.any(axis=1)]
    shown_by_any = worth.any(axis=0)
    size = len(made.checks) - 1
    kept = maximal(worth)
    assert shown_by_any.all()
    assert not any(worth[list(c)].any(axis=0).all() for c in combinations(kept, size))


def maximal(rows: np.ndarray) -> list[int]:
    """Rows that are part of no other: a smallest cover can be made of these alone."""
    return [
        at
        for at, row in enumerate(rows)
        if not any((row <= other).all() for k, other in enumerate(rows) if k != at)
    ]


def proof_table(name: str, zone: str, opened_sets: Iterable[Opened]) -> ProofTable:
    made = unit(name)
    places = lead_places(made, {}, zone_points(made, zone))
    devices = isolation(name, zone).order
    loads = (AS_FOUND, every_load_open(made))
    return ProofTable(plan(name), {}, devices, places, loads, tuple(opened_sets))


def shown(table: ProofTable, device: str) -> bool:
    """Whether some pair shows every failure of the device in every case."""
    seen = np.any([table.cases_shown(o) for o in table.opened_sets], axis=0)
    by_failure = seen.reshape(len(table.failures), len(table.faults)).all(axis=1)
    wanted = [failure.device == device for failure in table.failures]
    return bool(by_failure[wanted].all())


@pytest.mark.parametrize("name", NAMES)
def test_opening_the_breaker_first_hides_a_failed_disconnect(name: str) -> None:
    """Why the order of work departs from the usual list."""
    breaker_first = [frozenset({"outdoor_breaker"}), frozenset({"outdoor_breaker", "disconnect"})]
    disconnect_first = [frozenset({"disconnect"}), frozenset({"outdoor_breaker", "disconnect"})]
    assert not shown(proof_table(name, "outdoor", breaker_first), "disconnect")
    table = proof_table(name, "outdoor", disconnect_first)
    assert shown(table, "disconnect")
    assert shown(table, "outdoor_breaker")


@pytest.mark.parametrize("name", NAMES)
def test_whichever_order_is_preferred_the_best_one_hides_nothing(name: str) -> None:
    devices = isolation(name).order
    every = [frozenset(c) for n in range(5) for c in combinations([d.name for d in devices], n)]
    table = proof_table(name, "outdoor", every)
    for order in (devices, devices[::-1]):
        names = [device.name for device in best_order(table, order)]
        assert names.index("disconnect") < names.index("outdoor_breaker")
        assert names.index("service_switch") < names.index("indoor_breaker")


@pytest.mark.parametrize("name", NAMES)
def test_leg_to_leg_reads_nothing_while_a_leg_is_live(name: str) -> None:
    found = isolation(name).found.proof
    one_pole = {f for d in found.order for f in d.failures() if not f.whole}
    assert {trap.failure for trap in found.traps} == one_pole
    for trap in found.traps:
        assert trap.line_to_line_volt < 1.0
        assert max(trap.to_earth_volt) == pytest.approx(120.0, abs=1.0)


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("name", NAMES)
def test_every_proving_check_goes_to_earth(name: str, zone: str) -> None:
    assert {check.pair[1] for check in isolation(name, zone).checks} == {EARTH}


def test_what_comes_through_heater_and_windings_is_told_but_not_relied_on() -> None:
    """With pole 2 stuck, L1 reads through the heater, and nothing once the heater is open."""
    checks = isolation("one_pole_heater").checks
    (check,) = (c for c in checks if c.pair == ("contactor.L1", EARTH))
    leaning = [told for told in check.live if told.failure.poles == (2,)]
    assert [told.sure for told in leaning] == [False]
    assert leaning[0].volt > 50.0
    assert leaning[0].least_volt < 5.0


def test_no_devices_no_proof() -> None:
    proof = proving_set(plan("two_pole_plain"), {}, (), ())
    assert (proof.order, proof.checks, proof.unproved) == ((), (), ())


def test_every_load_open_leaves_only_metal() -> None:
    """With no load conducting, one live pole reaches no point of the other leg."""
    made = plan("one_pole_heater")
    edits = {**every_load_open(unit("one_pole_heater")).edits, ("disconnect", "stuck1"): 1.0}
    solution = solve(made, STANDBY.opened("disconnect"), batch_values(made, {}, [edits]))
    assert abs(solution.volt("contactor.L1", EARTH)[0]) > 100.0
    for point in ("contactor.L2", "contactor.T1", "compressor.S", "fan.S"):
        assert abs(solution.volt(point, EARTH)[0]) < 5.0
