from __future__ import annotations

import math
from functools import cache

import pytest
from tests.isolation.solved import NAMES, isolation, plan

from rungwise.circuit.condition import CALLING
from rungwise.circuit.settle import solve
from rungwise.isolation.stored_energy import StoredCharge, stored_charges
from rungwise.isolation.variants import Edits, batch_values

COIL_OPEN: Edits = {("contactor", "coil_open"): 1.0}
R_WINDING_OPEN: Edits = {("compressor", "r_open"): 1.0, ("compressor", "s_open"): 1.0}


def by_section(charges: tuple[StoredCharge, ...]) -> dict[str, StoredCharge]:
    return {charge.section: charge for charge in charges}


@cache
def outdoor(name: str) -> dict[str, StoredCharge]:
    return by_section(isolation(name).found.stored)


@pytest.mark.parametrize("name", NAMES)
def test_the_peak_is_that_of_the_running_volts_at_254_volts(name: str) -> None:
    """√2 × the RMS volts of the unit running, solved here at the high supply."""
    high: Edits = {("service", "leg_volt"): 127.0}
    solution = solve(plan(name), CALLING, batch_values(plan(name), {}, [high]))
    for section, ends in (("herm", ("HERM", "C")), ("fan", ("FAN", "C"))):
        running = abs(solution.volt(f"capacitor.{ends[0]}", f"capacitor.{ends[1]}")[0])
        charge = outdoor(name)[section]
        assert charge.running_v >= running * (1 - 1e-6)
        assert charge.peak_v >= math.sqrt(2.0) * running * (1 - 1e-6)
        if not charge.beside:
            assert charge.peak_v == pytest.approx(math.sqrt(2.0) * charge.running_v)


@pytest.mark.parametrize("name", NAMES)
def test_the_stored_energy_is_half_c_v_squared(name: str) -> None:
    for charge in outdoor(name).values():
        assert charge.stored_j == pytest.approx(0.5e-6 * charge.capacitance_uf * charge.peak_v**2)


def test_every_capacitor_of_the_zone_is_told_and_no_other() -> None:
    assert set(outdoor("hard_start_delay")) == {"herm", "fan", "start"}
    assert set(outdoor("two_pole_plain")) == {"herm", "fan"}
    indoor = isolation("two_pole_plain", "indoor").found.stored
    assert [charge.part for charge in indoor] == ["blower_capacitor"]


def test_a_unit_that_will_not_run_now_may_have_run_before() -> None:
    """With the coil open nothing charges the capacitors, and still they count as charged."""
    dead_coil = by_section(stored_charges(plan("two_pole_plain"), COIL_OPEN, ("outdoor",)))
    for section, charge in outdoor("two_pole_plain").items():
        assert dead_coil[section].peak_v >= charge.peak_v * (1 - 1e-9)
    solution = solve(
        plan("two_pole_plain"), CALLING, batch_values(plan("two_pole_plain"), COIL_OPEN, [{}])
    )
    assert abs(solution.volt("capacitor.HERM", "capacitor.C")[0]) < 1.0


def test_a_weak_capacitor_counts_with_its_rated_microfarads() -> None:
    weak = stored_charges(plan("two_pole_plain"), {("capacitor", "herm_uf"): 20.0}, ("outdoor",))
    assert (
        by_section(weak)["herm"].capacitance_uf == outdoor("two_pole_plain")["herm"].capacitance_uf
    )


def test_at_rest_the_start_relay_puts_both_capacitors_in_parallel() -> None:
    """Contact 1-2 of a potential relay is closed at rest, so one bleed empties both."""
    herm, start = (outdoor("hard_start_delay")[each] for each in ("herm", "start"))
    assert herm.beside == (f"{start.title} 1–2",)
    assert herm.together_uf == start.together_uf
    assert herm.together_uf == pytest.approx(herm.capacitance_uf + start.capacitance_uf)
    assert herm.bleed.resistor_j > herm.stored_j
    assert outdoor("hard_start_delay")["fan"].beside == ()


def test_only_the_start_capacitor_has_a_resistor_of_its_own() -> None:
    charges = outdoor("hard_start_delay")
    start = charges["start"]
    bleed_ohm = float(plan("hard_start_delay").defaults[("start_capacitor", "bleed_ohm")])
    assert start.own_bleed_ohm == bleed_ohm
    tau_s = bleed_ohm * 1e-6 * start.capacitance_uf
    assert start.own_bleed_s == pytest.approx(tau_s * math.log(start.peak_v / 50.0))
    assert charges["herm"].own_bleed_ohm is None
    assert charges["fan"].own_bleed_s is None


def test_windings_empty_a_capacitor_until_one_is_open() -> None:
    """Cold ohms of run and start winding in series across C–HERM; unbounded once open."""
    windings = [
        float(plan("two_pole_plain").defaults[("compressor", each)])
        for each in ("main_ohm", "aux_ohm")
    ]
    assert outdoor("two_pole_plain")["herm"].path_ohm == pytest.approx(sum(windings), rel=0.02)
    opened = by_section(stored_charges(plan("two_pole_plain"), R_WINDING_OPEN, ("outdoor",)))
    assert opened["herm"].path_ohm > 1e7


def test_the_resistor_named_bears_every_bleed() -> None:
    for name in NAMES:
        for charge in outdoor(name).values():
            assert charge.bleed.resistor_bears_it
            assert charge.bleed.first_w <= 5.0 * charge.bleed.resistor.rated_w
