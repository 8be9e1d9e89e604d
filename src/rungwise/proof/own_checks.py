"""Checks that only a proof asks for, and their bands on a good unit: idle volts, volts at start."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rungwise.circuit.meter import VOLTS
from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.bench import Bench, Live
from rungwise.diagnosis.build import PARTICLES, bench_of
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks_look import IDLE, ON_CALL
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.readers import AmpReader, VoltReader
from rungwise.suspects import SuspectSet
from rungwise.suspects.suspect_set import HEALTHY
from rungwise.unit.unit import Unit

__all__ = ["GoodUnit", "own_checks"]

_DANGER = (
    "DANGER: live parts. CAT III meter and leads, eye protection, gloves; follow local codes; "
    "licensed practice where required"
)


def own_checks(unit: Unit) -> tuple[Check, ...]:
    """The proof's own checks of a unit, beside those of a diagnosis."""
    return tuple(_own(unit))


def _own(unit: Unit) -> Iterator[Check]:
    for part in unit.parts_of_kind("contactor_1p", "contactor_2p"):
        line = (f"{part.name}.L1", f"{part.name}.L2")
        coil = (f"{part.name}.coil1", f"{part.name}.coil2")
        ends = f"{part.name}-L1-L2"
        title = f"volts L1 to L2 at the {part.title}"
        yield _volts(f"idle-volts-{ends}", f"{title}, thermostat off", line, "standby", 2.0)
        yield _volts(f"start-volts-{ends}", f"lowest {title} as it starts", line, "starting", 2.0)
        title = f"lowest volts on the coil of the {part.title} as it starts"
        yield _volts("start-volts-coil", title, coil, "starting", 0.3)


def _volts(name: str, title: str, ends: tuple[str, str], setting: Live, risk: float) -> Check:
    card = CheckCard(
        name,
        title,
        "number",
        unit="V",
        risk=risk,
        live=True,
        instrument=VOLTS.name,
        where=f"{ends[0]} to {ends[1]}",
        condition=IDLE if setting == "standby" else ON_CALL,
        cautions=(_DANGER,),
    )
    return Check(card, VoltReader(setting, *ends))


class GoodUnit:
    """Good specimens of a unit, solved once: what its volts and amps are if all is well."""

    def __init__(self, suspects: SuspectSet, particles: int = PARTICLES) -> None:
        self.unit = suspects.unit
        self._bench = bench_of(suspects, [suspects.suspect(HEALTHY)], particles)

    @property
    def bench(self) -> Bench:
        """The specimens in every setting."""
        return self._bench

    def volts(self, setting: Live, a: str, b: str) -> FloatArray:
        """Volts between two nodes, float [particles]."""
        return VoltReader(setting, a, b)(self._bench)[0]

    def amps(self, wire: str) -> FloatArray:
        """Amps of a wire on a call, float [particles]."""
        return AmpReader("calling", wire)(self._bench)[0]

    def band(self, check: Check) -> tuple[float, float]:
        """Between what a good unit reads, the meter's error on top; 95 specimens in 100."""
        if check.reader is None:
            return -np.inf, np.inf
        reading, sd = check.reader(self._bench)
        low, high = np.quantile(reading, (0.025, 0.975), method="inverted_cdf").tolist()
        return low - 2.0 * float(sd.max()), high + 2.0 * float(sd.max())
