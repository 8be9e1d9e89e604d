"""The bleed of charged capacitors: closed form, published figures, energy, and ngspice."""

from __future__ import annotations

import math
import shutil
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import Batch
from rungwise.circuit.condition import Condition, LeadEnd
from rungwise.circuit.elimination import EARTH_INDEX
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.transient import Discharge, discharge
from rungwise.errors import CircuitError, UnknownName
from rungwise.parts.element import FloatArray
from rungwise.unit.unit_file import arrangement

HERM, FAN = ("capacitor", "herm"), ("capacitor", "fan")
START, BLOWER = ("start_capacitor", "start"), ("blower_capacitor", "run")
LEADS_OFF = frozenset(
    {
        ("comp_s", "start"),
        ("fan_s", "start"),
        ("cap_c", "end"),
        ("kit_2", "end"),
        ("kit_cap", "end"),
    }
)
"""The dual capacitor with nothing on HERM, FAN and the kit: its charge has no way out."""


@cache
def plan(name: str = "hard_start_delay") -> Plan:
    return Plan(arrangement(name))


def dead(leads_off: frozenset[LeadEnd] = frozenset()) -> Condition:
    unit = plan().unit
    devices = [part.name for part in unit.parts if unit.kind_of(part.name).isolates]
    return Condition("dead", "off").opened(*devices).without_leads(leads_off)


def uf(microfarads: float, key: Key = HERM) -> dict[Key, FloatArray]:
    return {(key[0], f"{key[1]}_uf"): np.asarray(microfarads)}


def bled(microfarads: float, volt: float, ohm: float) -> Discharge:
    """One section of the dual capacitor, its leads off, through a resistor on its terminals."""
    return discharge(
        plan(),
        dead(LEADS_OFF),
        uf(microfarads),
        charged={HERM: volt},
        bleed=("capacitor.HERM", "capacitor.C", ohm),
    )


@pytest.mark.parametrize("microfarads", [5.0, 45.0, 80.0])
@pytest.mark.parametrize("ohm", [15e3, 20e3])
def test_one_capacitor_through_one_resistor_follows_the_closed_form(
    microfarads: float, ohm: float
) -> None:
    """The law V·exp(-t/RC); what stands beside it is leakage of gigaohms and 0.08 Ω of its own."""
    found = bled(microfarads, 500.0, ohm)
    times = np.array([0.0, 0.1, 1.0, 3.0])
    expected = 500.0 * np.exp(-times / (ohm * microfarads * 1e-6))
    assert found.volt(HERM, times) == pytest.approx(expected, rel=2e-4, abs=1e-3)
    assert found.bleed_watt(0.0) == pytest.approx(500.0**2 / ohm, rel=1e-4)


# Discharge arithmetic of the reference, v0 = √2·V, to 50 V, computed there by numpy 2.4.6:
# µF, V RMS, seconds through 15 kΩ, seconds through 20 kΩ. Tolerance: its last digit.
PUBLISHED = [
    (5.0, 440.0, 0.189, 0.252),
    (45.0, 370.0, 1.585, 2.113),
    (45.0, 440.0, 1.702, 2.269),
    (80.0, 440.0, 3.026, 4.034),
    (270.0, 330.0, 9.046, 12.062),
]


@pytest.mark.parametrize(("microfarads", "volt", "at_15k", "at_20k"), PUBLISHED)
def test_time_to_50_volts_is_the_published_one(
    microfarads: float, volt: float, at_15k: float, at_20k: float
) -> None:
    for ohm, seconds in ((15e3, at_15k), (20e3, at_20k)):
        found = bled(microfarads, math.sqrt(2) * volt, ohm)
        assert found.time_below_s(50.0, HERM) == pytest.approx(seconds, abs=6e-4)


# R to reach 50 V in 60 s, same table: µF, V RMS, Ω, joules. Tolerance: its last digit.
@pytest.mark.parametrize(
    ("microfarads", "volt", "ohm", "joule"),
    [(45.0, 370.0, 568e3, 6.161), (80.0, 440.0, 297e3, 15.488), (270.0, 330.0, 99.5e3, 29.403)],
)
def test_the_published_resistor_reaches_50_volts_in_a_minute(
    microfarads: float, volt: float, ohm: float, joule: float
) -> None:
    found = bled(microfarads, math.sqrt(2) * volt, ohm)
    assert found.time_below_s(50.0, HERM) == pytest.approx(60.0, rel=2e-3)
    assert found.stored_j(0.0) == pytest.approx(joule, abs=6e-4)


def test_the_resistor_takes_up_what_the_capacitor_held() -> None:
    found = bled(45.0, 622.25, 20e3)
    taken = found.bled_j(2.0)
    assert taken == pytest.approx(float(found.stored_j(0.0)) - float(found.stored_j(2.0)), rel=1e-4)
    assert found.bled_j() == pytest.approx(float(found.stored_j(0.0)), rel=1e-4)


def test_watts_over_time_add_up_to_the_energy_taken() -> None:
    found = bled(45.0, 622.25, 20e3)
    times = np.linspace(0.0, 4.0, 4001)
    assert float(np.trapezoid(found.bleed_watt(times), times)) == pytest.approx(
        found.bled_j(4.0), rel=1e-6
    )


def test_a_capacitor_with_its_windings_on_empties_through_them_at_once() -> None:
    """S and R of the compressor lie across HERM and C."""
    found = discharge(plan(), dead(), charged={HERM: 520.0})
    assert found.time_below_s(5.0) < 0.02


def test_a_capacitor_off_its_windings_keeps_its_charge_for_hours() -> None:
    found = discharge(plan(), dead(LEADS_OFF), charged={HERM: 520.0})
    assert found.time_below_s(50.0) > 3600.0
    assert found.bled_j() == 0.0


def test_an_open_start_winding_leaves_the_charge_on_the_capacitor() -> None:
    open_winding = {("compressor", "s_open"): np.asarray(1.0)}
    found = discharge(plan("one_pole_heater"), dead(), open_winding, charged={HERM: 520.0})
    assert found.time_below_s(50.0) > 3600.0


def test_a_start_capacitor_has_its_own_bleed_resistor() -> None:
    """15 kΩ across it: with the relay's contact open nothing else reaches it."""
    never_in = {("start_relay", "never_in"): np.asarray(1.0)}
    found = discharge(plan(), dead(), never_in, charged={START: 466.69})
    expected = 15e3 * 189e-6 * math.log(466.69 / 50.0)
    assert found.time_below_s(50.0, START) == pytest.approx(expected, rel=1e-3)


def test_one_charged_section_charges_its_neighbour_first() -> None:
    """A resistor from HERM to FAN puts the sections in series until both are as empty."""
    off = dead(LEADS_OFF)
    bridge = ("capacitor.HERM", "capacitor.FAN", 20e3)
    found = discharge(plan(), off, charged={HERM: 600.0}, bleed=bridge)
    shared = 600.0 * 45.0 / 50.0  # charge is kept: 45 µF·600 V over 50 µF
    assert found.volt(FAN, 3.0) == pytest.approx(shared, rel=1e-3)
    assert found.volt(HERM, 3.0) == pytest.approx(shared, rel=1e-3)
    assert found.time_below_s(50.0, FAN) > 3600.0


def test_an_unknown_capacitor_or_terminal_is_refused() -> None:
    with pytest.raises(UnknownName, match="no such capacitor"):
        discharge(plan(), dead(), charged={("capacitor", "hermm"): 500.0})
    with pytest.raises(UnknownName, match="no such terminal"):
        discharge(plan(), dead(), charged={HERM: 1.0}, bleed=("capacitor.X", "@earth", 2e4))


def test_charge_behind_an_open_section_is_refused() -> None:
    opened = {("capacitor", "herm_open"): np.asarray(1.0)}
    with pytest.raises(CircuitError, match="open inside"):
        discharge(plan(), dead(), opened, charged={HERM: 500.0})


# --- ngspice -----------------------------------------------------------------------------------


def netlist(found: Discharge, batch: Batch, start: dict[Key, float], times: FloatArray) -> str:
    """The dead unit's resistances with its capacitors, charged, and the resistor on HERM and C."""
    entries = Assembly.of(batch, "dc").entries
    rows = ["* a dead unit with charged capacitors"]
    for (i, j), slot in batch.plan.order.slots.items():
        entry = entries[slot]
        if entry is not None and np.all(entry) and (j == EARTH_INDEX or i < j):
            rows.append(f"R{slot} {i + 1} {j + 1} {1.0 / entry.real.item():.12g}")
    for at, key in enumerate(found.capacitors):
        link = batch.plan.link_by_key[key]
        own = link.element.ohm(batch.view(link.block)).item()
        rows.append(f"RC{at} {link.a + 1} c{at} {own:.12g}")
        rows.append(f"C{at} c{at} {link.b + 1} {found.farad[at]:.12g} ic={start.get(key, 0.0)}")
    a, b = (batch.plan.index[f"capacitor.{t}"] + 1 for t in ("HERM", "C"))
    rows.append(f"RBLEED {a} {b} {found.bleed_ohm:.12g}")
    # Gear integrates decays of microseconds and of seconds in one run without ringing.
    rows.append(".options method=gear reltol=1e-6 chgtol=1e-16")
    rows += [".control", f"tran 1m {times[-1] * 1.01:g} 0 1m uic"]
    rows += [f"meas tran {name}{at} find v({node}) at={t:.6g}" for at, t in enumerate(times)
             for name, node in (("herm", a), ("com", b))]  # fmt: skip
    return "\n".join([*rows, "quit", ".endc", ".end", ""])


def test_the_volts_in_time_are_those_of_ngspice(tmp_path: Path) -> None:
    """Against ngspice 39 (Debian), .tran, same resistances; tolerance 0.01% of 600 V.

    The start relay's contact is out and the compressor's S lead is off, so that HERM is bled, the
    start capacitor has its own resistor, and the fan's windings lie across FAN.
    """
    assert shutil.which("ngspice"), "make test installs ngspice; this check cannot do without"
    condition = dead(frozenset({("comp_s", "start")}))
    values = {("start_relay", "never_in"): np.asarray(1.0)}
    start = {HERM: 600.0, FAN: 400.0, START: 466.0}
    found = discharge(
        plan(), condition, values, charged=start, bleed=("capacitor.HERM", "capacitor.C", 20e3)
    )
    times = np.array([0.2, 0.5, 1.0, 2.0, 3.0])
    batch = Batch.under(plan(), condition, 1, values)
    (tmp_path / "dead.cir").write_text(netlist(found, batch, start, times), encoding="utf-8")
    run = subprocess.run(
        ["ngspice", "-n", "-b", "dead.cir"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    measured = dict(
        line.replace(" ", "").split("=", 1) for line in run.stdout.splitlines() if "=" in line
    )
    volts = [float(measured[f"herm{k}"]) - float(measured[f"com{k}"]) for k in range(len(times))]
    assert found.volt(HERM, times) == pytest.approx(np.array(volts), abs=0.06)
