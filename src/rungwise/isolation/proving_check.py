"""One measurement of the proof: when, where, what it must read, and what else it may tell."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.isolation.devices import Failure
from rungwise.isolation.limits import LIVE_VOLT
from rungwise.isolation.probes import Pair


@dataclass(frozen=True, slots=True)
class LiveReading:
    """What a check reads when this failure is there: as found, and under the worst load fault."""

    failure: Failure
    volt: float
    least_volt: float

    @property
    def sure(self) -> bool:
        """Whether it reads live whatever single fault a load has, so leans on no load."""
        return self.least_volt > LIVE_VOLT


@dataclass(frozen=True, slots=True)
class ProvingCheck:
    """One measurement with a low-impedance AC voltmeter, thermostat off.

    ``stage`` counts the devices opened before it, ``opened`` names them in order.  It must read
    below 5 V; ``dead_volt`` is the most it reads when all isolate, whatever fault a load has.
    ``live`` tells what it reads for each failure that makes it read live as found.
    """

    stage: int
    opened: tuple[str, ...]
    place: str
    pair: Pair
    dead_volt: float
    live: tuple[LiveReading, ...]
