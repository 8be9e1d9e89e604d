"""What each sort of check reads off a bench: numbers with the meter's error.

A reader returns (reading, sd), both of shape [particles]; infinite means OL.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from rungwise.circuit import (
    CLAMP,
    INSULATION,
    MICROFARADS,
    OHMS,
    VOLTS,
    Instrument,
    Plan,
    branch_admittance,
    combined_sd,
    loaded_volts,
)
from rungwise.diagnosis.bench import Bench, Leading, Live, Setting
from rungwise.parts import EARTH, FloatArray

Read = tuple[FloatArray, FloatArray]


LEAST_UF = 0.05
"""Error of a capacitance worked out from amps and volts, where there is hardly any, in µF."""


def least_sd(instrument: Instrument) -> float:
    """Standard deviation of an instrument's error near zero."""
    return float(instrument.sd(np.asarray(0.0)))


class Reader(Protocol):
    """Something that reads a number off a bench."""

    def __call__(self, bench: Bench) -> Read:
        """The reading and its standard deviation, each of shape [particles]."""

    @property
    def least_sd(self) -> float:
        """Standard deviation of its smallest readings, in its unit."""

    @property
    def leads(self) -> tuple[Leading, ...]:
        """Where it asks for what its leads see."""


@dataclass(frozen=True, slots=True)
class VoltReader:
    """AC volts between two nodes of the live unit, the meter's burden included."""

    setting: Live
    a: str
    b: str
    instrument: Instrument = VOLTS

    @property
    def least_sd(self) -> float:
        """That of the meter near zero."""
        return least_sd(self.instrument)

    @property
    def leads(self) -> tuple[Leading, ...]:
        """Where it asks for what its leads see."""
        return ((self.setting, "ac", self.a, self.b),)

    def __call__(self, bench: Bench) -> Read:
        """The reading and its error."""
        open_volts = bench.live(self.setting).volt(self.a, self.b)
        seen = bench.leads(self.setting, "ac").impedance_ohm(self.a, self.b)
        burden = self.instrument.burden_ohm
        reading = loaded_volts(open_volts, seen, burden)
        ghostly = np.minimum(GHOST_FACTOR * np.abs(seen) / (np.abs(seen) + burden), 1.0)
        ghost = ghostly * (GHOST_SHARE * reading + GHOST_VOLT)
        return reading, np.hypot(self.instrument.sd(reading), ghost)


GHOST_FACTOR = 4.0
"""What floats is behind so many times more megohms, or less, than its strays are taken for: by 34 V
at the unit nobody tells an open breaker from an open disconnect (common practice, no source)."""

GHOST_SHARE = 1.0
GHOST_VOLT = 12.0
"""What floats behind megohms shows volts that depend on strays and damp insulation: off by a
factor, or this many volts, in proportion to the meter's share of the path (common practice, no
source)."""

INRUSH_SHARE = 0.15
"""A peak-hold clamp averages over the first swings, which start anywhere in a cycle: ± this share
of the locked-rotor amps (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class AmpReader:
    """Clamp amps of one wire; in the setting `inrush` its peak hold."""

    setting: Live
    wire: str
    instrument: Instrument = CLAMP

    @property
    def least_sd(self) -> float:
        """That of the meter near zero."""
        return least_sd(self.instrument)

    @property
    def leads(self) -> tuple[Leading, ...]:
        """Where it asks for what its leads see."""
        return ()

    def __call__(self, bench: Bench) -> Read:
        """The reading and its error."""
        reading = np.abs(bench.live(self.setting).element_amp((self.wire, "path")))
        sd = self.instrument.sd(reading)
        if self.setting == "inrush":
            sd = np.hypot(sd, 0.5 * INRUSH_SHARE * reading)
        return reading, sd


@dataclass(frozen=True, slots=True)
class LoadMicrofaradReader:
    """Capacitance under load from the start lead's amps and the capacitor's volts.

    C[µF] = 10⁶·I/(2πf·V); OL where there are no volts to divide by.
    """

    wire: str
    a: str
    b: str

    @property
    def least_sd(self) -> float:
        """That of the meter near zero."""
        return LEAST_UF

    @property
    def leads(self) -> tuple[Leading, ...]:
        """Where it asks for what its leads see."""
        return VoltReader("calling", self.a, self.b).leads

    def __call__(self, bench: Bench) -> Read:
        """The reading and its error."""
        amp, amp_sd = AmpReader("calling", self.wire)(bench)
        volt, volt_sd = VoltReader("calling", self.a, self.b)(bench)
        measurable = volt > 20.0
        omega = bench.plan.omega_rad_per_s
        reading = np.where(measurable, 1e6 * amp / (omega * np.maximum(volt, 1.0)), 0.0)
        relative = combined_sd(((amp, amp_sd), (volt, volt_sd)))
        return reading, np.where(measurable, np.maximum(reading * relative, LEAST_UF), LEAST_UF)


@dataclass(frozen=True, slots=True)
class OhmReader:
    """Ohms between two nodes of the dead unit (`dead`) or of a part by itself (`apart`).

    `cooled` is a part by itself once its shell is cold, `chilled` one with ice on it.
    """

    setting: Setting
    a: str
    b: str

    @property
    def least_sd(self) -> float:
        """That of the meter near zero."""
        return least_sd(OHMS)

    @property
    def leads(self) -> tuple[Leading, ...]:
        """Where it asks for what its leads see."""
        return ((self.setting, "dc", self.a, self.b),)

    def __call__(self, bench: Bench) -> Read:
        """The reading and its error."""
        ohm = bench.leads(self.setting, "dc").impedance_ohm(self.a, self.b).real
        reading = OHMS.shown(ohm)
        return reading, OHMS.sd(reading)


def as_landed(plan: Plan, block: str, element: str) -> Iterator[str]:
    """A wire's block, then those that stand for the same wire on each wrong terminal.

    Only the blocks that have the element.
    """
    yield block
    others = (name for name in plan.blocks if name.startswith(f"{block}@"))
    yield from (name for name in others if (name, element) in plan.link_by_key)


@dataclass(frozen=True, slots=True)
class LinkReader:
    """Ohms of one element that nothing lies in parallel with once the leads are off.

    A wire from end to end (its `path`), a wire to the cabinet (its `rub`), or two conductors
    of a cable against each other (their `short`); `wires` are that wire, or those two. A wire that
    was landed on a wrong terminal is as whole as before: it is read from its end there.
    """

    block: str
    element: str
    wires: tuple[str, ...]

    @property
    def least_sd(self) -> float:
        """That of the meter near zero."""
        return least_sd(OHMS)

    @property
    def leads(self) -> tuple[Leading, ...]:
        """Where it asks for what its leads see."""
        return ()

    def __call__(self, bench: Bench) -> Read:
        """The reading and its error."""
        conducts = np.zeros(bench.size)
        for block in as_landed(bench.plan, self.block, self.element):
            link = bench.plan.link_by_key[(block, self.element)]
            admittance = branch_admittance(bench.dead_batch, link, "dc")
            conducts = conducts + (0.0 if admittance is None else admittance.real)
        ohm = np.where(conducts > 0, 1.0 / np.maximum(conducts, 1e-12), np.inf)
        reading = OHMS.shown(ohm)
        return reading, OHMS.sd(reading)


@dataclass(frozen=True, slots=True)
class MicrofaradReader:
    """Microfarads of a capacitor section by itself."""

    a: str
    b: str

    @property
    def least_sd(self) -> float:
        """That of the meter near zero."""
        return least_sd(MICROFARADS)

    @property
    def leads(self) -> tuple[Leading, ...]:
        """Where it asks for what its leads see."""
        return (("apart", "ac", self.a, self.b),)

    def __call__(self, bench: Bench) -> Read:
        """The reading and its error."""
        reading = bench.leads("apart", "ac").microfarads(self.a, self.b)
        return reading, MICROFARADS.sd(reading)


@dataclass(frozen=True, slots=True)
class InsulationReader:
    """Megohms from a terminal of a part by itself to earth."""

    a: str

    @property
    def least_sd(self) -> float:
        """That of the meter near zero."""
        return least_sd(INSULATION)

    @property
    def leads(self) -> tuple[Leading, ...]:
        """Where it asks for what its leads see."""
        return (("apart", "dc", self.a, EARTH),)

    def __call__(self, bench: Bench) -> Read:
        """The reading and its error."""
        ohm = bench.leads("apart", "dc").impedance_ohm(self.a, EARTH).real
        reading = INSULATION.shown(1e-6 * ohm)
        return reading, INSULATION.sd(reading)
