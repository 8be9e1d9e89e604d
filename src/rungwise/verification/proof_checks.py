"""Checks that only a proof asks for, and the good unit solved: its volts and amps when well."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rungwise.circuit import VOLTS
from rungwise.diagnosis import (
    LIVE_PARTS,
    ON_CALL,
    UNNAMED,
    AmpReader,
    Bench,
    Check,
    CheckCard,
    FloatArray,
    Live,
    VoltReader,
    addressed,
    bench_of,
    checks_of,
)
from rungwise.faults import HEALTHY, SuspectSet
from rungwise.parts import Coil
from rungwise.unit import Unit
from rungwise.wording import say

SPECIMENS = 24
"""Enough for the middle of amps and the upper end of a sag."""


def own_checks(unit: Unit) -> tuple[Check, ...]:
    """The proof's own checks of a unit, beside those of a diagnosis."""
    return tuple(addressed(unit, check) for check in _own(unit))


def _own(unit: Unit) -> Iterator[Check]:
    coils = ((p, coil) for p, coil in unit.having(Coil) if p.name in unit.roles.contactors)
    for part, own in coils:
        coil = (f"{part.name}.{own.ends[0]}", f"{part.name}.{own.ends[1]}")
        card = CheckCard(
            UNNAMED,
            say("lowest volts on the coil of the {part} as it starts", part=part.title),
            "number",
            unit="V",
            risk=0.3,
            live=True,
            instrument=VOLTS.name,
            where=f"{coil[0]} to {coil[1]}",
            condition=ON_CALL,
            cautions=(LIVE_PARTS,),
            quantity="volts",
            touches=(part.name,),
        )
        yield Check(card, VoltReader("starting", *coil))


class GoodUnit:
    """Good specimens of a unit, solved once: what its volts and amps are if all is well.

    `cards` are the cards of its checks by id, those of the proof among them.
    """

    def __init__(self, suspects: SuspectSet, particles: int = SPECIMENS) -> None:
        self.unit = suspects.unit
        checks = (*checks_of(self.unit), *own_checks(self.unit))
        self.cards = {check.card.id: check.card for check in checks}
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

    def middle_amps(self, wire: str) -> float:
        """The middle of `amps`."""
        return float(np.median(self.amps(wire)))
