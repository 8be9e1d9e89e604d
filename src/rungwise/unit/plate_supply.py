"""Whether a nameplate's phases, volts and hertz are those of the unit that it is put on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rungwise.parts import Motor, Supply
from rungwise.unit.nameplate import HZ, PHASES, VOLT, Nameplate

if TYPE_CHECKING:
    from rungwise.unit.unit import Unit

NEAR = (0.8, 1 / 0.9)
"""Rated volts over those of the supply that may be meant for it: 200 V on 240 V, 265 on 240, 230 on
208. A motor serves down to 0.9 of its plate (NEMA MG 1-12.44): above, no good unit starts on low
volts. Below is our own bound; whether it may run there is judged by `plate`."""

_WORDS = {1: "one phase", 3: "three phases"}


@dataclass(frozen=True, slots=True)
class Mismatch:
    """A line of the plate that the unit cannot have, in circuit words, and what to do."""

    key: str
    what: str
    value: float
    allowed: str
    next_step: str


def mismatches(plate: Nameplate, unit: Unit) -> Iterator[Mismatch]:
    """Everything on the plate that another supply than the unit's is meant by."""
    yield from _phases(plate, unit)
    yield from _hertz(plate, unit)
    yield from _volts(plate, unit)


def _phases(plate: Nameplate, unit: Unit) -> Iterator[Mismatch]:
    told = plate.numbers.get(PHASES)
    has = {motor.phases for part, motor in unit.having(Motor) if motor.compresses}
    if told is None or not has or told in has:
        return
    wired = max(has)
    many = "a phase too many" if told > wired else "phases too few"
    yield Mismatch(
        PHASES,
        f"The plate asks for {_phase_words(told)}, and the compressor of this unit is wired for "
        f"{_WORDS[wired]}: {many}.",
        told,
        _WORDS[wired],
        f"choose an arrangement of {_phase_words(told)}, or read the nameplate again",
    )


def _phase_words(told: float) -> str:
    return _WORDS.get(int(told), f"{told:g} phases")


def _hertz(plate: Nameplate, unit: Unit) -> Iterator[Mismatch]:
    told = plate.numbers.get(HZ)
    if told is not None and told != unit.hz:
        yield Mismatch(
            HZ,
            f"The plate says {told:g} Hz, and this unit is solved at {unit.hz:g} Hz: coils and "
            "motors draw other amps, and turn at another speed.",
            told,
            f"{unit.hz:g} Hz",
            f"choose an arrangement of {told:g} Hz, or say hz = {told:g} where the unit has it",
        )


def _volts(plate: Nameplate, unit: Unit) -> Iterator[Mismatch]:
    told = plate.numbers.get(VOLT)
    supplies = [
        (part.number("leg_volt") * supply.leg_to_leg_share(), part.title)
        for part, supply in unit.having(Supply)
    ]
    if told is None or not supplies:
        return
    low, high = NEAR
    if any(low * volt <= told <= high * volt for volt, _ in supplies):
        return
    volt, title = supplies[0]
    yield Mismatch(
        VOLT,
        f"The plate says {told:g} V, and the {title} of this unit has {volt:.0f} V: what is made "
        f"for one {'burns' if told < volt else 'stalls'} on the other.",
        told,
        f"{low * volt:.0f} to {high * volt:.0f} V",
        "choose the arrangement of that supply, or read the nameplate again",
    )
