"""What a meter reads: its burden on the circuit, its range, and its error.

A voltmeter is a resistance across its leads: the open-circuit volts divide between it and the
Thevenin impedance that the leads see, so a wire that floats on picofarads shows its ghost on a
10 MΩ meter and nothing in low-impedance mode.  An ohmmeter sees the whole dead network through
its own direct current; a capacitance meter through its alternating current.

Meter errors are ±(percent of reading + floor), taken as two standard deviations.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from rungwise.circuit.assemble import Assembly, Mode
from rungwise.circuit.batch import Batch
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.network import Standing, Still, seen_ohm
from rungwise.parts import FloatArray


@dataclass(frozen=True, slots=True)
class Instrument:
    """One function of a meter: name, unit, ±(`share` of reading + `floor`), top of range.

    `burden_ohm` is what it puts across its leads (volts functions only).
    """

    name: str
    unit: str
    share: float
    floor: float
    top: float
    burden_ohm: float = 0.0

    def sd(self, reading: FloatArray) -> FloatArray:
        """Standard deviation of the error at a reading; the floor's where it is over range."""
        finite = np.where(np.isfinite(reading), reading, 0.0)
        return np.asarray(0.5 * (self.share * np.abs(finite) + self.floor))

    def shown(self, reading: FloatArray) -> FloatArray:
        """The reading, infinite (OL) above the top of the range."""
        return np.where(np.abs(reading) > self.top, np.inf, reading)


# Error classes of ordinary CAT III trade meters: common practice, no source; the form of the
# error is seen in published-checks section 9.  Burdens: 10 MΩ seen, 3 kΩ from memory.
VOLTS: Final[Instrument] = Instrument("volts AC, 10 MΩ", "V", 0.010, 0.3, 750.0, 1e7)
LOW_Z_VOLTS: Final[Instrument] = Instrument("volts AC, low impedance", "V", 0.015, 0.5, 750.0, 3e3)
DIRECT_VOLTS: Final[Instrument] = Instrument("volts DC", "V", 0.01, 0.2, 750.0, 1e7)
FINE_VOLTS: Final[Instrument] = Instrument(
    "volts AC, millivolt range", "V", 0.012, 0.006, 750.0, 1e7
)
CLAMP: Final[Instrument] = Instrument("clamp amps AC", "A", 0.02, 0.05, 400.0)
FINE_CLAMP: Final[Instrument] = Instrument("clamp amps AC, low range", "A", 0.02, 0.01, 40.0)
INRUSH_CLAMP: Final[Instrument] = Instrument("clamp amps AC, peak hold", "A", 0.02, 0.6, 400.0)
"""Its peak hold reads in tenths of an ampere and catches a few of them with no current at all."""

OHMS: Final[Instrument] = Instrument("ohms", "Ω", 0.009, 0.2, 4e7)
MICROFARADS: Final[Instrument] = Instrument("microfarads", "µF", 0.02, 0.1, 2000.0)
INSULATION: Final[Instrument] = Instrument("insulation, 500 V DC", "MΩ", 0.05, 0.02, 1000.0)


class Leads:
    """The network of a batch as a meter finds it, for any number of lead pairs.

    together: pairs of nodes that will be asked for, to be worked out in one go. standing: what no
    state changes of the AC network, where that is there.
    """

    def __init__(
        self,
        batch: Batch,
        mode: Mode,
        together: Iterable[tuple[str, str]] = (),
        standing: Standing | None = None,
    ) -> None:
        self.plan = batch.plan
        self.size = batch.size
        self.omega_rad_per_s = batch.plan.omega_rad_per_s
        self._still = (
            Still.of(Assembly.of(batch, mode), batch.size)
            if standing is None
            else Still.standing(standing, batch)
        )
        asked = {self._port(*pair): None for pair in together}
        self._seen: dict[tuple[int, int], ComplexArray] = {}
        if asked:
            seen = seen_ohm(self.plan, self._still, list(asked))
            self._seen = dict(zip(asked, seen, strict=True))

    def _port(self, a: str, b: str) -> tuple[int, int]:
        return (self.plan.index[a], self.plan.index[b])

    def impedance_ohm(self, a: str, b: str) -> ComplexArray:
        """Impedance in Ω between two nodes, all sources off."""
        port = self._port(a, b)
        if port not in self._seen:
            self._seen[port] = seen_ohm(self.plan, self._still, [port])[0]
        return self._seen[port]

    def microfarads(self, a: str, b: str) -> FloatArray:
        """What a capacitance meter shows: 0 when open, OL when shorted."""
        z = self.impedance_ohm(a, b)
        reactive = -z.imag > np.abs(z.real)
        capacitance = 1e6 / (self.omega_rad_per_s * np.where(reactive, -z.imag, 1.0))
        return np.where(reactive, capacitance, np.where(np.abs(z) < 1.0, np.inf, 0.0))


def loaded_volts(open_volts: ComplexArray, seen_ohm: ComplexArray, burden_ohm: float) -> FloatArray:
    """What a voltmeter of `burden_ohm` shows at `open_volts` behind `seen_ohm`."""
    return np.asarray(np.abs(open_volts * burden_ohm / (burden_ohm + seen_ohm)))


def combined_sd(parts: Sequence[tuple[FloatArray, FloatArray]]) -> FloatArray:
    """Relative standard deviations of factors, combined in quadrature (for a computed reading)."""
    total = np.asarray(0.0)
    for reading, sd in parts:
        total = total + (sd / np.maximum(np.abs(reading), 1e-9)) ** 2
    return np.asarray(np.sqrt(total))
