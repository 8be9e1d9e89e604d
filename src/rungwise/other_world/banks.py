"""Deltas without a neutral of their own: one with a grounded corner, and an open one.

An open delta has two transformers: one on the first and third leg, tapped in its middle, and one
from the third leg to the second, the high one.  What a transformer is inside follows from its size
and its impedance: 10 to 75 kVA, 1.5 to 3% (common practice, no source).
"""

from __future__ import annotations

import cmath
import math

import numpy as np

from rungwise.other_world.netlist import GROUND
from rungwise.other_world.place import OMEGA, Place

WIRING_FARAD = 2e-8
"""From each leg to ground by the building's cables: what holds a delta that has lost its ground."""

LINE_VOLT = 240.0


def bank_inside(rng: np.random.Generator) -> dict[str, float]:
    """Ω and H of half the tapped transformer and of the other one, at 240 V."""
    found = {}
    for name, least, most, part in (("half", 25.0, 75.0, 0.5), ("power", 10.0, 37.5, 1.0)):
        kva = math.exp(rng.uniform(math.log(least), math.log(most)))
        whole = part * rng.uniform(0.015, 0.03) * LINE_VOLT**2 / (1000.0 * kva)
        angle = math.atan(rng.uniform(0.8, 2.0))
        found[f"{name}_ohm"] = whole * math.cos(angle)
        found[f"{name}_henry"] = whole * math.sin(angle) / OMEGA
    return found


def _leg(at: Place, leg: int, low: str, high_volt: complex, inside: str = "") -> None:
    """A source from one of the bank's points to a leg's terminal, with its way to the building."""
    supply, net = at.house.supply, at.net
    pole, drop = f"pole.L{leg}", f"pole.d{leg}"
    net.volt(f"pole.v{leg}", pole, low, high_volt * supply.sag.get(leg, 1.0))
    net.ohm(f"pole.r{leg}", pole, drop, supply.drop_ohm + supply.bank.get(f"{inside}_ohm", 0.0))
    if leg not in supply.lost:
        henry = supply.drop_henry + supply.bank.get(f"{inside}_henry", 0.0)
        net.henry(f"pole.l{leg}", drop, at.node(f"L{leg}"), henry)


def _stands(at: Place, volt: float, degrees: float) -> complex:
    """A phasor; with the order of the legs turned it stands on the other side of the first."""
    return cmath.rect(volt, math.radians(-degrees if at.house.supply.turned else degrees))


def write_corner(at: Place) -> None:
    """Three windings in a star that nothing holds but the second leg, bonded at the panel."""
    supply, net = at.house.supply, at.net
    for leg, degrees in ((1, 0.0), (2, -120.0), (3, 120.0)):
        _leg(at, leg, "pole.star", _stands(at, supply.leg_volt, degrees))
        net.farad(f"pole.stray{leg}", at.node(f"L{leg}"), GROUND, WIRING_FARAD)
    if math.isfinite(supply.neutral_ohm):
        net.ohm("panel.bond", at.node("L2"), GROUND, 1e-3)
        net.ohm("pole.rods", "pole.L2", GROUND, supply.rod_ohm)
    _loads(at)


def write_open_delta(at: Place) -> None:
    """The high leg hangs on the third: what it takes goes through half of the tapped one too."""
    supply, net = at.house.supply, at.net
    volt = supply.leg_volt
    _leg(at, 1, "pole.N", complex(volt), "half")
    net.volt("pole.v_half", "pole.half", "pole.N", -volt * supply.sag.get(3, 1.0))
    net.ohm("pole.r_half", "pole.half", "pole.half_l", supply.bank["half_ohm"])
    net.henry("pole.l_half", "pole.half_l", "pole.third", supply.bank["half_henry"])
    _leg(at, 3, "pole.third", 0j)
    _leg(at, 2, "pole.third", _stands(at, math.sqrt(3) * volt, -90.0) + volt, "power")
    net.ohm("pole.rods", "pole.N", GROUND, supply.rod_ohm)
    if math.isfinite(supply.neutral_ohm):
        net.ohm("pole.n", "pole.N", at.node("N"), supply.neutral_ohm)
    net.ohm("panel.bond", at.node("N"), GROUND, 1e-3)
    _loads(at)


def _loads(at: Place) -> None:
    for pair, ohm in at.house.supply.loads_ohm.items():
        first, second = (at.node("N" if end == "N" else f"L{end}") for end in pair)
        at.net.ohm(f"house.{pair}", first, second, ohm)
