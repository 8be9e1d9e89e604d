"""A simulated technician reads each meter with its own error, and finds the same every time."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import pytest
from tests.evaluation.benches import site

from rungwise.circuit.meter import CLAMP, FINE_VOLTS, INSULATION, OHMS, VOLTS, Instrument
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.readers import AmpReader, Reader, VoltReader
from rungwise.evaluation.sources import EngineSource, Source
from rungwise.evaluation.technician import Technician, display_step, displayed

HERE = site("two_pole_plain", "capacitor.herm_weak")


@dataclass
class Fixed:
    """A source that gives the same volts and amps to everybody, and counts who asks."""

    volts: float = 240.0
    amps: float = 6.0
    asked: list[str] = field(default_factory=list)

    def read(self, check: Check, reader: Reader) -> float:
        self.asked.append(check.card.id)
        return self.amps if isinstance(reader, AmpReader) else self.volts


def technician(source: Source | None = None, seed: int = 1) -> Technician:
    source = source or EngineSource(HERE.bench)
    return Technician(HERE.bench, HERE.truth.suspect, HERE.checks, source, seed)


def test_what_is_found_does_not_depend_on_the_order_of_the_checks() -> None:
    asked = ["volts-coil", "look-fan", "uf-capacitor-HERM-C", "look-capacitor-bulged"]
    one, other = technician(), technician()
    forth = {check: one.take(check) for check in asked}
    back = {check: other.take(check) for check in reversed(asked)}
    assert forth == back


def test_a_check_made_again_reads_the_same_and_is_measured_once() -> None:
    source = Fixed()
    worker = technician(source)
    assert worker.take("volts-coil") == worker.take("volts-coil")
    assert source.asked == ["volts-coil"]


def test_each_call_and_each_check_has_its_own_luck() -> None:
    def volts(seed: int, check: str) -> float | str:
        return technician(Fixed(), seed).take(check)

    assert len({volts(seed, "volts-coil") for seed in range(20)}) > 10
    assert volts(1, "volts-contactor-L1-L2") != volts(1, "volts-contactor-L1-earth")


def test_errors_have_the_deviation_that_the_instrument_states() -> None:
    """400 readings of 240 V: mean and deviation within 4 standard errors of their own."""
    read = np.array([technician(Fixed(), s).take("volts-coil") for s in range(400)], float)
    sd = float(VOLTS.sd(np.asarray(240.0)))
    assert read.mean() == pytest.approx(240.0, abs=4 * sd / np.sqrt(400))
    assert read.std() == pytest.approx(sd, rel=4 / np.sqrt(800))


def test_a_reading_is_never_below_nothing_and_over_range_stays_so() -> None:
    reads = [technician(Fixed(volts=0.0), seed).take("volts-coil") for seed in range(20)]
    assert all(isinstance(each, float) and each >= 0.0 for each in reads)
    assert technician(Fixed(volts=math.inf)).take("ohms-coil") == math.inf


@pytest.mark.parametrize(
    ("instrument", "reading", "step"),
    [
        (VOLTS, 27.0, 0.01), (VOLTS, 60.0, 0.1), (VOLTS, 240.0, 0.1), (FINE_VOLTS, 0.18, 0.001),
        (FINE_VOLTS, 120.0, 0.1), (CLAMP, 16.0, 0.01), (CLAMP, 80.0, 0.1), (OHMS, 0.7, 0.1),
        (OHMS, 836.0, 1.0), (OHMS, 2.7e7, 1e4), (INSULATION, 185.0, 0.1),
    ],
)  # fmt: skip
def test_the_last_digit_grows_with_the_range(
    instrument: Instrument, reading: float, step: float
) -> None:
    assert display_step(instrument, reading) == pytest.approx(step)


def test_a_display_shows_whole_steps_and_ol_over_its_range() -> None:
    assert displayed(OHMS, 14.237) == pytest.approx(14.2)
    assert displayed(VOLTS, 27.1249) == pytest.approx(27.12)
    assert displayed(INSULATION, 1000.6) == math.inf
    assert displayed(OHMS, 4.1e7) == math.inf


def test_microfarads_under_load_come_from_two_readings_with_their_own_errors() -> None:
    """C = 10⁶·I/(2πf·V), 6.0 A at 354 V and 60 Hz: 44.96 µF."""
    reads = [technician(Fixed(354.0, 6.0), s).take("loaduf-capacitor-HERM") for s in range(200)]
    found = np.array(reads, float)
    assert found.mean() == pytest.approx(44.96, rel=0.004)
    amp_sd, volt_sd = (float(i.sd(np.asarray(x))) / x for i, x in ((CLAMP, 6.0), (VOLTS, 354.0)))
    assert found.std() / found.mean() == pytest.approx(math.hypot(amp_sd, volt_sd), rel=0.25)


def test_microfarads_cannot_be_worked_out_without_volts() -> None:
    assert technician(Fixed(5.0, 6.0)).take("loaduf-capacitor-HERM") == 0.0


def test_looks_are_drawn_from_the_chances_of_the_state() -> None:
    """A slip of the eye in a hundred looks; 300 of them, 4 standard errors."""
    seen = [technician(seed=seed).take("look-blower") for seed in range(300)]
    slips = sum(each != "turning" for each in seen)
    assert slips <= 3 + 4 * math.sqrt(3)
    bulged = sum(technician(seed=s).take("look-capacitor-bulged") == "bulged" for s in range(300))
    chance = HERE.truth.suspect.signs["bulged"]
    assert bulged == pytest.approx(300 * chance, abs=4 * math.sqrt(300 * chance * (1 - chance)))


def test_volts_are_read_through_the_check_s_own_reader() -> None:
    reader = HERE.checks["volts-coil"].reader
    assert isinstance(reader, VoltReader)
    exact = EngineSource(HERE.bench).read(HERE.checks["volts-coil"], reader)
    assert technician().take("volts-coil") == pytest.approx(exact, rel=0.03)
