"""What is live, by a solution of its own, held against ngspice and against hand calculation."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.other_world.isolation_case import draw_isolation_case
from rungwise.other_world.live_truth import GROUND, OMEGA, SOURCE_OHM, LiveTruth, Stance
from rungwise.other_world.netlist import GROUND as NET_GROUND
from rungwise.other_world.netlist import Netlist
from rungwise.other_world.spice_text import node_volts
from rungwise.other_world.wired import ARRANGEMENTS, Wired, wired

CALLING = Stance(calls=True)


def as_netlist(truth: LiveTruth, stance: Stance) -> Netlist:
    """The same circuit in elements that ngspice reads."""
    net = Netlist()
    names = {at: f"p{at}" for at in truth.place.values()}
    node = {terminal: names[at] for terminal, at in truth.place.items()} | {GROUND: NET_GROUND}
    for at, name in names.items():
        net.ohm(f"floor{at}", name, NET_GROUND, 1e9)
    for at, (a, b, siemens, key) in enumerate(truth.branches):
        if key is None or stance.closed(key):
            _impedance(net, f"b{at}", node[a], node[b], 1.0 / siemens)
    for name in truth.unit.of_kind("transformer"):
        _windings(net, truth.unit, name, node)
    for name in truth.unit.of_kind("service"):
        for leg, volt in (("L1", 120.0), ("L2", -120.0), ("N", 0.0)):
            net.volt(f"{name}.v{leg}", f"{name}~{leg}", NET_GROUND, complex(volt))
            net.ohm(f"{name}.r{leg}", f"{name}~{leg}", node[f"{name}.{leg}"], SOURCE_OHM)
    return net


def _impedance(net: Netlist, name: str, a: str, b: str, ohm: complex) -> None:
    if ohm.real > 1e-6 and ohm.imag == 0.0:
        net.ohm(name, a, b, ohm.real)
        return
    middle = f"{name}~"
    net.ohm(name, a, middle, ohm.real)
    if ohm.imag > 0.0:
        net.henry(f"{name}l", middle, b, ohm.imag / OMEGA)
    else:
        net.farad(f"{name}c", middle, b, -1.0 / (OMEGA * ohm.imag))


def _windings(net: Netlist, unit: Wired, name: str, node: dict[str, str]) -> None:
    part = unit.parts[name]
    first = float(part.get("primary_volt", 120.0))
    ratio, scale = float(part.get("secondary_open_volt", 27.5)) / first, (first / 120.0) ** 2
    mutual = 4.8 * scale
    net.ohm(f"{name}.r1", node[f"{name}.pri1"], f"{name}~1", 12.0 * scale)
    net.henry(f"{name}.l1", f"{name}~1", node[f"{name}.pri2"], mutual + 9.0 * scale / OMEGA)
    net.ohm(f"{name}.r2", node[f"{name}.R"], f"{name}~2", 0.8)
    net.henry(f"{name}.l2", f"{name}~2", node[f"{name}.C"], mutual * ratio**2 + 0.4 / OMEGA)
    net.couple(f"{name}.l1", f"{name}.l2", mutual * ratio)


def backfed() -> Wired:
    """A 240 V transformer in the outdoor unit whose 24 V lie beside those of the indoor one."""
    unit = wired("one_pole_heater").copy()
    unit.add_part("transformer_2", "transformer", "outdoor", primary_volt=240)
    for name, a, b in (
        ("a", "contactor.L1", "transformer_2.pri1"),
        ("b", "contactor.L2", "transformer_2.pri2"),
        ("hot", "transformer_2.R", "contactor.coil1"),
        ("cold", "transformer_2.C", "contactor.coil2"),
    ):
        unit.add_wire(name, a, b)
    return unit


@pytest.mark.parametrize("name", ARRANGEMENTS)
@pytest.mark.parametrize("opened", [frozenset(), frozenset({"disconnect"})])
def test_every_terminal_has_the_volts_that_ngspice_finds(name: str, opened: frozenset[str]) -> None:
    truth = LiveTruth(wired(name))
    stance = truth.settled(replace(CALLING, opened=opened))
    found = node_volts(as_netlist(truth, stance), 60.0)
    ours = truth.at(stance)
    for terminal, at in truth.place.items():
        # ngspice prints 12 digits; the floor of 1 GΩ sets what floats.
        assert ours.open_volt(terminal) == pytest.approx(abs(found[f"p{at}"]), abs=0.02), terminal


@pytest.mark.parametrize("number", range(8))
def test_damaged_units_too_have_the_volts_that_ngspice_finds(number: int) -> None:
    unit = draw_isolation_case(ARRANGEMENTS[number % 4], number, 21).true
    truth = LiveTruth(unit)
    stance = truth.settled(CALLING)
    found = node_volts(as_netlist(truth, stance), 60.0)
    ours = truth.at(stance)
    for terminal, at in truth.place.items():
        theirs = abs(found[f"p{at}"])
        assert ours.open_volt(terminal) == pytest.approx(theirs, abs=0.02, rel=1e-4), terminal


def test_transformer_fed_from_its_24_volt_side_makes_the_line_terminals_live() -> None:
    truth = LiveTruth(backfed())
    out = Stance(frozenset({"disconnect", "outdoor_breaker"}), calls=True)
    found = node_volts(as_netlist(truth, out), 60.0)
    ours = truth.at(out).open_volt("contactor.L1", "contactor.L2")
    first, second = (found[f"p{truth.place[f'contactor.{leg}']}"] for leg in ("L1", "L2"))
    assert ours == pytest.approx(abs(first - second), abs=0.05)
    # By hand: the secondary's 25 to 27 V times 240/27.5 less what the heater takes; an outside
    # examiner's ngspice found 184 V with the heater and 255 V without (his own transformers).
    assert 150.0 < ours < 240.0


def test_backfed_line_terminals_without_the_heater_carry_the_turns_ratio() -> None:
    unit = backfed()
    unit.take_part("heater")
    volts = LiveTruth(unit).at(Stance(frozenset({"outdoor_breaker"}), calls=True))
    secondary = volts.open_volt("transformer_2.R", "transformer_2.C")
    across = volts.open_volt("contactor.L1", "contactor.L2")
    # No load on the 240 V side: R-C less the drop of its own magnetizing amps, times the turns.
    assert across == pytest.approx(secondary * 240.0 / 27.5, rel=0.03)


def test_one_leg_through_the_heater_is_read_by_hand_as_a_divider() -> None:
    unit = wired("one_pole_heater").copy()
    for name in unit.at("indoor", "room"):
        unit.take_part(name)
    one_pole = Stance(frozenset({"disconnect"}), frozenset({("disconnect", 1)}))
    volts = LiveTruth(unit).at(one_pole)
    heater = 240.0**2 / 70.0
    assert volts.open_volt("contactor.L1") == pytest.approx(120.0, abs=0.1)
    # Pole 2 is open, so the 120 V come through heater and windings; the meter's 3 kΩ divide them.
    assert volts.read("contactor.L2") == pytest.approx(120.0 * 3000.0 / (3000.0 + heater), rel=0.02)
    assert volts.open_volt("contactor.L1", "contactor.L2") < 1.0


def test_contactor_pulls_only_on_a_call_and_lets_the_compressor_have_both_legs() -> None:
    truth = LiveTruth(wired("two_pole_plain"))
    assert "contactor" not in truth.settled(Stance()).pulled
    called = truth.settled(CALLING)
    assert "contactor" in called.pulled
    assert truth.at(called).open_volt("compressor.C", "compressor.R") > 230.0
