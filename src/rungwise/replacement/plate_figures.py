"""The outdoor circuit of a unit as the code counts it, its limits, and what may be found of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from rungwise.parts import KINDS, Heater, Motor, Supply
from rungwise.replacement.nec.circuit_size import (
    MARKING,
    CircuitLoads,
    maximum_overcurrent,
    minimum_ampacity_a,
)
from rungwise.replacement.supply_circuit import lies_on_neutral, on_the_outdoor_circuit
from rungwise.unit import Part, Unit, numbers_of_kind
from rungwise.wording import say


class Standing(Enum):
    """How it stands."""

    WRONG = "wrong"
    """It breaks a rule, or the plate contradicts itself."""
    DOUBT = "doubt"
    """It may be right; look again."""
    FINE = "fine"


@dataclass(frozen=True, slots=True)
class PlateFinding:
    """What was compared, how it stands, and the rule. has, limit: the figures, in `unit`.

    drives: what the motor drives that it is about, "" where it is about no motor.
    """

    level: Standing
    rule: str
    text: str
    source: str
    has: float | None = None
    limit: float | None = None
    unit: str = ""
    drives: str = ""


@dataclass(frozen=True, slots=True)
class OvercurrentLimits:
    """Least and most amps of the overcurrent device, their source, and the most in words."""

    least_a: float
    most_a: float
    source: str
    words: str


def numbers_of(part: Part) -> Mapping[str, float]:
    """All parameters of a part: what is usual for its kind and size, and what the unit says."""
    return numbers_of_kind(KINDS[part.kind], part.values)


def supply_v(unit: Unit) -> float | None:
    """Volts between two legs of its supply, or from its only one to neutral; None without one."""
    told = [
        numbers_of(part)["leg_volt"] * supply.leg_to_leg_share()
        for part, supply in unit.having(Supply)
    ]
    return told[0] if told else None


def volts_for(unit: Unit, part: Part, motor: Motor) -> float | None:
    """Volts that the supply has for a motor: leg to leg, or to neutral where a lead lies there."""
    ends = [f"{part.name}.{end}" for end in motor.in_line]
    for service, supply in unit.having(Supply) if lies_on_neutral(unit, ends) else ():
        if len(supply.legs) > 2:
            return numbers_of(service)["leg_volt"]
    return supply_v(unit)


def circuit_loads(unit: Unit) -> CircuitLoads:
    """The loads of the outdoor circuit: its motors, and the crankcase heater at its own volts."""
    here = on_the_outdoor_circuit(unit)
    outdoor = [part for part in unit.parts if part.name in here]
    motors = sorted(
        (numbers_of(part)[motor.amps] for part, motor in unit.having(Motor) if part in outdoor),
        reverse=True,
    )
    told = (
        (numbers_of(part), heater)
        for part, heater in unit.having(Heater)
        if part in outdoor and heater.warms == "oil"
    )
    others = tuple(numbers[heater.watt] / numbers[heater.volt] for numbers, heater in told)
    return CircuitLoads(motors[0] if motors else 0.0, sum(motors[1:]), others)


ROUNDING_A = 0.1
"""A plate prints its amps with one decimal."""


def misread_mca(unit: Unit, loads: CircuitLoads) -> bool:
    """Whether the marked MCA is less than the marked loads ask."""
    marked = unit.nameplate.get("mca_a")
    return marked is not None and float(marked) < minimum_ampacity_a(loads) - ROUNDING_A


def _misread_mocp(unit: Unit, loads: CircuitLoads) -> bool:
    """Whether the marked maximum is below the least amps of the circuit, or above any formula."""
    marked = unit.nameplate.get("mocp_a")
    if marked is None:
        return False
    least = minimum_ampacity_a(loads)
    if not misread_mca(unit, loads):
        least = float(unit.nameplate.get("mca_a", least))
    return not least <= float(marked) <= maximum_overcurrent(loads).size_a


def _believable(unit: Unit, loads: CircuitLoads) -> tuple[float | None, float | None]:
    """The two marks, None for one that is told as misread: it is no yardstick."""
    least, most = (unit.nameplate.get(key) for key in ("mca_a", "mocp_a"))
    return (
        None if least is None or misread_mca(unit, loads) else float(least),
        None if most is None or _misread_mocp(unit, loads) else float(most),
    )


def marked_or_computed(unit: Unit, loads: CircuitLoads) -> OvercurrentLimits:
    """What the nameplate marks, and where it marks nothing that can be, what its formulas give."""
    least, device = minimum_ampacity_a(loads), maximum_overcurrent(loads)
    marked_least, marked_most = _believable(unit, loads)
    most = marked_most if marked_most is not None else float(device.size_a)
    told = (
        say("and the nameplate allows {most} A", most=f"{most:g}")
        if marked_most is not None
        else say(
            "and 2.25 × {largest_a} A and the rest allow {most} A",
            largest_a=f"{loads.largest_a:g}",
            most=f"{most:g}",
        )
    )
    return OvercurrentLimits(
        marked_least if marked_least is not None else least,
        most,
        "NEC 440.4(B), 2023: as marked" if marked_most is not None else MARKING.text,
        told,
    )
