"""Reading a house: a meter's burden, error and display, its leads, and a hand that slips."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rungwise.other_world.asks import Amps, Leads, LoadMicrofarads, Volts
from rungwise.other_world.netlist import GROUND
from rungwise.other_world.visit import Visit

CAP_METER_OMEGA = 2.0 * math.pi * 50.0
"""A capacitance meter's own slow alternation; its result hardly depends on it."""

COUNTS = 6000


@dataclass(frozen=True, slots=True)
class _Function:
    """One function of a meter: largest error share and floor, top of range, finest last digit."""

    share: float
    floor: float
    top: float
    finest: float


VOLTS = _Function(0.012, 0.4, 1000.0, 0.1)
MILLIVOLTS = _Function(0.015, 0.004, 1000.0, 0.001)
CLAMP = _Function(0.025, 0.08, 600.0, 0.01)
FINE_CLAMP = _Function(0.025, 0.015, 60.0, 0.001)
INRUSH = _Function(0.06, 1.0, 600.0, 0.1)
OHMS = _Function(0.012, 0.1, 4e7, 0.1)
MEGOHMS = _Function(0.08, 0.05, 1000.0, 0.01)
MICROFARADS = _Function(0.025, 0.1, 2000.0, 0.01)
"""Plain trade meters of several makes (common practice, no source)."""


class Hands:
    """A technician's hands: the same question gets the same answer in one visit.

    slip: chance that a reading is taken on the wrong point or with the meter set wrongly.
    """

    def __init__(self, visit: Visit, seed: int, slip: float = 0.015) -> None:
        self.visit = visit
        self._slip = slip
        rng = np.random.default_rng([seed, 77])
        self._gain = {name: float(rng.normal(0.0, 0.35)) for name in ("volt", "amp", "ohm", "uf")}
        self._lead_ohm = float(rng.uniform(0.1, 0.5))
        self._peak = float(rng.uniform(0.85, 1.15))

    def read(self, ask: Volts | Amps | Leads | LoadMicrofarads, rng: np.random.Generator) -> float:
        """What the display shows, infinite over range."""
        if rng.random() < self._slip:
            return self._slipped(ask, rng)
        match ask:
            case Volts():
                function = MILLIVOLTS if ask.fine else VOLTS
                return self._show(function, "volt", self._volts(ask), rng)
            case Amps():
                return self._amps(ask, rng)
            case LoadMicrofarads():
                return self._loaded(ask, rng)
            case Leads():
                return self._leads(ask, rng)

    def _volts(self, ask: Volts) -> float:
        solved = self.visit.live(ask.when).solved
        seen = solved.impedance(ask.a, ask.b)
        return abs(solved.volt(ask.a, ask.b) * ask.burden_ohm / (ask.burden_ohm + seen))

    def _amps(self, ask: Amps, rng: np.random.Generator) -> float:
        settled = self.visit.live(ask.when)
        function = FINE_CLAMP if ask.fine else CLAMP
        if not ask.inrush:
            return self._show(function, "amp", settled.wire_amp(ask.wire), rng)
        peak = max(settled.inrush.get(ask.wire, 0.0) * self._peak, settled.wire_amp(ask.wire))
        return self._show(INRUSH, "amp", peak, rng)

    def _loaded(self, ask: LoadMicrofarads, rng: np.random.Generator) -> float:
        amp = self._show(CLAMP, "amp", self.visit.calling.wire_amp(ask.wire), rng)
        exact = self._volts(Volts("calling", ask.a, ask.b, 1e7))
        volt = self._show(VOLTS, "volt", exact, rng)
        return round(1e6 * amp / (self.visit.house.omega * volt), 2) if volt > 20.0 else 0.0

    def _leads(self, ask: Leads, rng: np.random.Generator) -> float:
        lifted = self.visit.house.ends_on(frozenset(ask.off))
        lifted |= {(wire, "start") for wire in ask.wires}
        omega = CAP_METER_OMEGA if ask.what == "microfarads" else 0.0
        solved = self.visit.dead(
            frozenset(lifted), cooled=ask.cooled, chilled=ask.chilled, omega_rad_per_s=omega
        )
        seen = solved.impedance(ask.a, ask.b)
        if ask.what == "microfarads":
            return self._show(MICROFARADS, "uf", _microfarads(seen), rng)
        if ask.what == "megohms":
            return self._show(MEGOHMS, "ohm", 1e-6 * seen.real, rng)
        return self._show(OHMS, "ohm", seen.real + self._lead_ohm * (rng.random() < 0.7), rng)

    def _show(
        self, function: _Function, kind: str, exact: float, rng: np.random.Generator
    ) -> float:
        """The exact value with this meter's own gain and a little scatter, as displayed."""
        if exact > function.top:
            return float("inf")
        off = self._gain[kind] * function.share * exact
        off += 0.3 * (function.share * exact + function.floor) * float(rng.standard_normal())
        seen = max(exact + off, 0.0)
        step = function.finest
        while seen >= COUNTS * step:
            step *= 10.0
        shown = round(round(seen / step) * step, 6)
        return float("inf") if shown > function.top else shown

    def _slipped(
        self, ask: Volts | Amps | Leads | LoadMicrofarads, rng: np.random.Generator
    ) -> float:
        """A bad contact of a lead, a neighboring point, or a clamp not closed."""
        match ask:
            case Volts():
                other = Volts(ask.when, ask.a, GROUND, ask.burden_ohm, ask.fine)
                exact = self._volts(other) if rng.random() < 0.5 else 0.0
                return self._show(VOLTS, "volt", exact, rng)
            case Amps():
                exact = float(rng.uniform(0.0, 0.5)) * self.visit.live(ask.when).wire_amp(ask.wire)
                return self._show(CLAMP, "amp", exact, rng)
            case LoadMicrofarads():
                return 0.0
            case Leads():
                return 0.0 if ask.what == "microfarads" else float("inf")


def _microfarads(seen: complex) -> float:
    """What a capacitance meter makes of an impedance: 0 when open, over range when shorted."""
    if -seen.imag > abs(seen.real):
        return 1e6 / (CAP_METER_OMEGA * -seen.imag)
    return float("inf") if abs(seen) < 1.0 else 0.0
