"""How charged capacitors of a dead unit lose their volts, with a bleed resistor and without.

The dead network has no sources, so it is a network of resistances that the capacitors see through
their terminals.  With Z the resistance matrix at those ports (each capacitor's own series
resistance included) and C the capacitances,

    C·dv/dt = -Z⁻¹·v,    v(t) = C^-½·Q·exp(-λt)·Qᵀ·C^½·v(0),    C^-½·Z⁻¹·C^-½ = Q·λ·Qᵀ

which is exact (the matrix is symmetric and positive).  Inductances are taken as their resistance:
where a winding lies straight across a capacitor the true current rings for some tens of
milliseconds instead, which changes nothing about what is left to bleed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import Batch
from rungwise.circuit.condition import Condition
from rungwise.circuit.factors import Factors
from rungwise.circuit.netlist import Key, Link, Plan
from rungwise.circuit.operating_point import solve
from rungwise.errors import CircuitError, UnknownName
from rungwise.parts import FloatArray

LEAST_FARAD = 1e-8
"""Capacitances below this are gaps and cables, whose charge is too small to matter."""

Bleed = tuple[str, str, float]
"""The two nodes (`part.terminal` or `@earth`) that a resistor is held on, and its Ω."""


@dataclass(frozen=True)
class Discharge:
    """What is left on each capacitor as time goes by.

    `capacitors` in the order of all arrays; `farad` their capacitances; `rate_per_s` [k] the
    decay rates and `weight` [capacitors, k] the volts that fall at each; `bleed_weight` [k]
    likewise the volts across the bleed resistor, whose resistance is `bleed_ohm`.
    """

    capacitors: tuple[Key, ...]
    farad: FloatArray
    rate_per_s: FloatArray
    weight: FloatArray
    bleed_weight: FloatArray
    bleed_ohm: float

    def volts(self, time_s: FloatArray | float) -> FloatArray:
        """Volts of every capacitor (first axis), first node against second, at each time."""
        return np.asarray(self.weight @ self._decay(time_s))

    def volt(self, capacitor: Key, time_s: FloatArray | float) -> FloatArray:
        """Volts of one capacitor at each time."""
        return np.asarray(self.volts(time_s)[self._at(capacitor)])

    def bleed_volt(self, time_s: FloatArray | float) -> FloatArray:
        """Volts across the bleed resistor at each time."""
        return np.asarray(self.bleed_weight @ self._decay(time_s))

    def bleed_watt(self, time_s: FloatArray | float) -> FloatArray:
        """Watts in the bleed resistor at each time: P = V²/R."""
        return np.asarray(self.bleed_volt(time_s) ** 2 / self.bleed_ohm)

    def stored_j(self, time_s: FloatArray | float) -> FloatArray:
        """Energy left on all capacitors together at each time, in J."""
        return np.asarray(0.5 * self.farad @ self.volts(time_s) ** 2)

    def bled_j(self, time_s: float = math.inf) -> float:
        """Energy that the bleed resistor has taken up by `time_s`, in J."""
        rates = self.rate_per_s[:, None] + self.rate_per_s[None, :]
        # expm1 keeps the digits of the first microseconds, where 1 - exp cancels.
        gone = -np.expm1(-rates * time_s) / rates
        return float(self.bleed_weight @ gone @ self.bleed_weight / self.bleed_ohm)

    def time_below_s(self, volt: float, capacitor: Key | None = None) -> float:
        """Seconds until a capacitor (by default every one) is below `volt` and stays there."""
        chosen = self.capacitors if capacitor is None else (capacitor,)
        return max((self._below(self._at(key), volt) for key in chosen), default=0.0)

    def _below(self, at: int, volt: float) -> float:
        def over(time_s: float) -> float:
            return abs(float(self.volts(time_s)[at])) - volt

        # A capacitor may first gain from its neighbours, so its last crossing is looked for.
        times = np.geomspace(1e-3 / self.rate_per_s.max(), 60.0 / self.rate_per_s.min(), 2000)
        times = np.concatenate(([0.0], times))
        above = np.flatnonzero(np.abs(self.volts(times)[at]) > volt)
        if not above.size:
            return 0.0
        last = int(above[-1])
        return float(brentq(over, times[last], times[last + 1], xtol=1e-9, rtol=1e-12))

    def _decay(self, time_s: FloatArray | float) -> FloatArray:
        times = np.asarray(time_s, float)
        return np.asarray(np.exp(-self.rate_per_s.reshape(-1, *[1] * times.ndim) * times))

    def _at(self, capacitor: Key) -> int:
        return self.capacitors.index(capacitor)


def discharge(
    plan: Plan,
    condition: Condition,
    values: Mapping[Key, FloatArray] | None = None,
    *,
    charged: Mapping[Key, float],
    bleed: Bleed | None = None,
) -> Discharge:
    """How the capacitors of one variant of a dead unit discharge from the volts in `charged`.

    `charged` names capacitors by (part, element), such as ("capacitor", "herm"); the others
    start at 0 V and may be charged by them.  `bleed` is a resistor held on two nodes.  Raises
    UnknownName for a capacitor or node that the unit does not have, CircuitError for a section
    that is open inside, whose charge nothing outside can reach.
    """
    batch = solve(plan, condition, values or {}).batch
    links = list(_capacitors(batch))
    _refuse_unknown(plan, links, charged)
    farad = np.array([_farad(batch, link) for link in links])
    ohm, resistor_ohm = _port_ohm(batch, links, bleed)
    root = np.sqrt(farad)
    siemens = np.linalg.inv(ohm)
    # Weighed by the roots of the capacitances on both sides the matrix is symmetric, so its rates
    # are real and positive by construction, where eig could return pairs of complex ones by
    # rounding.
    rate, modes = np.linalg.eigh(siemens / root[:, None] / root[None, :])
    start = np.array([charged.get(link.key, 0.0) for link in links])
    weight = (modes / root[:, None]) * (modes.T @ (root * start))[None, :]
    across = np.zeros(len(links)) if bleed is None else resistor_ohm @ siemens @ weight
    ohm_held = math.inf if bleed is None else bleed[2]
    return Discharge(
        tuple(link.key for link in links), farad, rate, weight, np.asarray(across), ohm_held
    )


def _capacitors(batch: Batch) -> Iterator[Link]:
    """The capacitors of a variant that are whole inside."""
    for link in batch.plan.links:
        if link.element.farad is None or _farad(batch, link) < LEAST_FARAD:
            continue
        closed = link.element.closed
        if closed is None or closed(batch.view(link.block)).item():
            yield link


def _farad(batch: Batch, link: Link) -> float:
    farad = link.element.farad
    return 0.0 if farad is None else farad(batch.view(link.block)).item()


def _refuse_unknown(plan: Plan, links: list[Link], charged: Mapping[Key, float]) -> None:
    known = {link.key for link in links}
    for key in charged:
        link = plan.link_by_key.get(key)
        if link is None or link.element.farad is None:
            raise UnknownName(
                what="This unit has no such capacitor.",
                name=".".join(key),
                known=[".".join(each) for each in known],
            )
        if key not in known:
            msg = f"{'.'.join(key)} is open inside: nothing outside it reaches its charge"
            raise CircuitError(msg)


def _port_ohm(
    batch: Batch, links: list[Link], bleed: Bleed | None
) -> tuple[FloatArray, FloatArray]:
    """Resistance matrix at the capacitors' plates, and the bleed resistor's volts for their amps.

    A resistor R on port b takes i = (Z_b·I)/(R + Z_bb) from what the capacitors drive, so that
    Z' = Z - Z_b·Z_bᵀ/(R + Z_bb).
    """
    plan = batch.plan
    ports = [(link.a, link.b) for link in links]
    if bleed is not None:
        ports.append((_node(plan, bleed[0]), _node(plan, bleed[1])))
    assembly = Assembly.of(batch, "dc")
    factors = Factors(plan.order, assembly.entries, plan.nodes)
    columns = [factors.port_volts(ports, driven) for driven in range(len(ports))]
    whole = np.array([[volt.real.item() for volt in column] for column in columns])
    whole = 0.5 * (whole + whole.T)  # rounding apart, a network of resistances is reciprocal
    count = len(links)
    own = [link.element.ohm(batch.view(link.block)).item() for link in links]
    ohm = whole[:count, :count] + np.diag(own)
    if bleed is None:
        return ohm, np.zeros(count)
    to_bleed, share = whole[:count, count], bleed[2] + whole[count, count]
    return ohm - np.outer(to_bleed, to_bleed) / share, np.asarray(bleed[2] * to_bleed / share)


def _node(plan: Plan, name: str) -> int:
    if name not in plan.index:
        raise UnknownName(what="This unit has no such terminal.", name=name, known=plan.index)
    return plan.index[name]
