"""The technician of a simulated call: reads the meters with their errors, looks and listens.

What is found depends on the call and the check alone, not on the order of the checks, and is kept;
so all ways of choosing checks meet the same unit and the same luck.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping

import numpy as np

from rungwise.circuit import (
    CLAMP,
    FINE_CLAMP,
    FINE_VOLTS,
    INRUSH_CLAMP,
    INSULATION,
    LOW_Z_VOLTS,
    MICROFARADS,
    OHMS,
    VOLTS,
    Instrument,
)
from rungwise.diagnosis import (
    AmpReader,
    Bench,
    Check,
    InsulationReader,
    LoadMicrofaradReader,
    MicrofaradReader,
    Reader,
    VoltReader,
)
from rungwise.evaluation.sources import Source
from rungwise.faults import Suspect

COUNTS = 6000
"""Of the display: a range ends where more digits would be needed (common practice, no source)."""

FINEST_STEP: Mapping[str, float] = {
    VOLTS.name: 0.01,
    LOW_Z_VOLTS.name: 0.1,
    FINE_VOLTS.name: 0.001,
    CLAMP.name: 0.01,
    FINE_CLAMP.name: 0.001,
    INRUSH_CLAMP.name: 0.1,
    OHMS.name: 0.1,
    MICROFARADS.name: 0.01,
    INSULATION.name: 0.01,
}
"""Last digit of each instrument's lowest range, in its unit (common practice, no source)."""

LEAST_VOLTS = 20.0
"""Under this a capacitor carries too little to work its microfarads out from amps and volts."""


def display_step(instrument: Instrument, reading: float) -> float:
    """The last digit shown: ten times coarser with each range that the reading overflows."""
    step = FINEST_STEP[instrument.name]
    while abs(reading) >= COUNTS * step:
        step *= 10.0
    return step


class Technician:
    """Whoever works one call, with the same findings whenever a check is asked for.

    seed: of the call; each check draws its own luck from it.
    """

    def __init__(
        self, bench: Bench, suspect: Suspect, checks: Mapping[str, Check], source: Source, seed: int
    ) -> None:
        self._bench = bench
        self._suspect = suspect
        self._checks = checks
        self._source = source
        self._seed = seed
        self._found: dict[tuple[str, int], float | str] = {}

    def take(self, check_id: str, time: int = 0) -> float | str:
        """The outcome of a check: a reading in the check's unit, or one of its choices.

        time: how often it was taken before; each time has its own luck.
        """
        key = (check_id, time)
        if key not in self._found:
            self._found[key] = self._take(self._checks[check_id], time)
        return self._found[key]

    def _take(self, check: Check, time: int) -> float | str:
        luck = [self._seed, zlib.crc32(check.card.id.encode()), *([time] if time else [])]
        rng = np.random.default_rng(luck)
        if check.look is not None:
            (chance,) = check.look(self._bench, (self._suspect,))
            return check.card.choices[int(rng.choice(len(chance), p=chance))]
        if isinstance(check.reader, LoadMicrofaradReader):
            return self._loaded_microfarads(check, check.reader, rng)
        assert check.reader is not None  # noqa: S101  # a check has one of the two, by its docstring
        return self._shown(check, check.reader, rng)

    def _loaded_microfarads(
        self, check: Check, reader: LoadMicrofaradReader, rng: np.random.Generator
    ) -> float:
        """Worked out from two meters, each with its own error: C[µF] = 10⁶·I/(2πf·V)."""
        amp = self._shown(check, AmpReader("calling", reader.wire), rng)
        volt = self._shown(check, VoltReader("calling", reader.a, reader.b), rng)
        if volt <= LEAST_VOLTS:
            return 0.0
        return float(1e6 * amp / (self._bench.plan.omega_rad_per_s * volt))

    def _shown(self, check: Check, reader: Reader, rng: np.random.Generator) -> float:
        """The source's reading with the meter's error, as its display shows it."""
        instrument = instrument_of(reader)
        exact = self._source.read(check, reader)
        if not np.isfinite(exact):
            return exact
        error = float(instrument.sd(np.asarray(exact))) * rng.standard_normal()
        return displayed(instrument, max(exact + error, 0.0))


def displayed(instrument: Instrument, reading: float) -> float:
    """A reading in the steps of the display, infinite over range."""
    step = display_step(instrument, reading)
    shown = float(round(reading / step) * step)
    return float("inf") if shown > instrument.top else shown


def instrument_of(reader: Reader) -> Instrument:
    """The meter that a reader reads; ohms for everything that has no other."""
    match reader:
        case VoltReader() | AmpReader():
            return reader.instrument
        case MicrofaradReader():
            return MICROFARADS
        case InsulationReader():
            return INSULATION
        case _:
            return OHMS
