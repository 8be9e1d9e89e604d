from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest
from tests.isolation.solved import NAMES, plan, unit, without, work

from rungwise.circuit.condition import CALLING
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.isolation.discharge import decay_s, stored_joule
from rungwise.isolation.stored_energy import UNTOLD_VOLT, StoredCharge, stored_charges
from rungwise.isolation.variants import Edits, batch_values


def by_section(charges: tuple[StoredCharge, ...]) -> dict[str, StoredCharge]:
    return {charge.section: charge for charge in charges}


@cache
def outdoor(name: str) -> dict[str, StoredCharge]:
    return by_section(work(name).charges)


@pytest.mark.parametrize("name", NAMES)
def test_the_peak_is_never_below_that_of_the_can_nor_of_the_running_volts(name: str) -> None:
    """√2 × the rated volts, whatever the solution says; and √2 × those of the unit running."""
    high: Edits = {("service", "leg_volt"): 127.0}
    solution = solve(plan(name), CALLING, batch_values(plan(name), {}, [high]))
    for section, ends in (("herm", ("HERM", "C")), ("fan", ("FAN", "C"))):
        running = abs(solution.volt(f"capacitor.{ends[0]}", f"capacitor.{ends[1]}")[0])
        charge = outdoor(name)[section]
        assert charge.running_v >= running * (1 - 1e-6)
        assert charge.peak_v >= math.sqrt(2.0) * max(running, charge.rated_v) * (1 - 1e-6)


def test_the_figures_by_hand() -> None:
    """Worked by hand on E = ½CV² and V0·exp(-t/RC): 45 µF at 563 V and 5 µF at 603 V, 20 kΩ.

    The peaks themselves are higher here, since no can counts below √2 × its rated volts.
    """
    for uf, volt, joule, to_50_s in ((45.0, 563.0, 7.13, 2.18), (5.0, 603.0, 0.91, 0.25)):
        assert stored_joule(uf, volt) == pytest.approx(joule, abs=0.006)
        assert decay_s(20e3, uf, volt, 50.0) == pytest.approx(to_50_s, abs=0.006)
    assert decay_s(20e3, 45.0, 563.0, 5.0) == pytest.approx(4.25, abs=0.006)
    together_s = decay_s(20e3, 189.0 + 60.0, 714.0, 50.0)
    assert together_s == pytest.approx(13.2, abs=0.06)
    assert decay_s(20e3, 189.0 + 60.0, 714.0, 5.0) == pytest.approx(24.7, abs=0.06)


@pytest.mark.parametrize("volt", [370.0, 440.0])
def test_a_can_of_told_volts_counts_with_them(volt: float) -> None:
    made = unit("two_pole_plain")
    parts = [
        replace(p, values={**p.values, "volt": volt}) if p.name == "capacitor" else p
        for p in made.parts
    ]
    charge = by_section(stored_charges(Plan(replace(made, parts=tuple(parts))), ["capacitor"]))
    assert charge["herm"].told
    assert charge["herm"].rated_v == volt
    assert not outdoor("two_pole_plain")["herm"].told
    assert outdoor("two_pole_plain")["herm"].rated_v == UNTOLD_VOLT


def test_a_unit_that_cannot_start_as_described_counts_as_charged() -> None:
    """Told as 0 V once, because nothing runs in the solution."""
    made = without(unit("two_pole_plain"), "whip_l1", "whip_l2")
    for charge in stored_charges(Plan(made), ["capacitor"]):
        assert charge.running_v < 5.0
        assert charge.peak_v >= math.sqrt(2.0) * charge.rated_v


@pytest.mark.parametrize("name", NAMES)
def test_the_stored_energy_is_half_c_v_squared(name: str) -> None:
    for charge in outdoor(name).values():
        assert charge.stored_j == pytest.approx(0.5e-6 * charge.capacitance_uf * charge.peak_v**2)


def test_every_capacitor_of_the_zone_is_told_and_no_other() -> None:
    assert set(outdoor("hard_start_delay")) == {"herm", "fan", "start"}
    assert set(outdoor("two_pole_plain")) == {"herm", "fan"}
    indoor = work("two_pole_plain", "indoor").charges
    assert [charge.part for charge in indoor] == ["blower_capacitor"]


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


def test_windings_empty_a_capacitor() -> None:
    """Cold ohms of run and start winding in series across C–HERM."""
    windings = [
        float(plan("two_pole_plain").defaults[("compressor", each)])
        for each in ("main_ohm", "aux_ohm")
    ]
    assert outdoor("two_pole_plain")["herm"].path_ohm == pytest.approx(sum(windings), rel=0.02)


def test_the_resistor_named_bears_every_bleed() -> None:
    for name in NAMES:
        for charge in outdoor(name).values():
            assert charge.bleed.resistor_bears_it
            assert charge.bleed.first_w <= 5.0 * charge.bleed.resistor.rated_w
