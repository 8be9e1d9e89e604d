"""The heat side: what the weather, the air and the charge make of pressures and load.

A few smooth curves of the kind found on pressure charts and in service manuals (R-410A; numbers
from memory, common practice, no source): the condensing temperature is the outdoor air plus an
approach that grows as the air over the coil falls; the suction falls with charge and indoor air.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rungwise.other_world.house import House
from rungwise.other_world.machines import Machine

if TYPE_CHECKING:
    from rungwise.other_world.switching import Settled

__all__ = ["Heat", "heat_at_start", "heat_of", "saturation_psig"]

APPROACH_F = 20.0
STILL_AIR = 0.09
"""Share of its air that a coil gets when its fan stands still."""


def saturation_psig(fahrenheit: float) -> float:
    """Pressure of saturated R-410A, psig: 118 at 40 °F, 317 at 100 °F, 476 at 130 °F (memory).

    A quadratic through those three points.
    """
    t = fahrenheit - 40.0
    return 118.0 + t * (2.4278 + 0.01482 * t)


@dataclass(frozen=True, slots=True)
class Heat:
    """Condensing temperature in °F, pressures in psig, and the compressor's load by them.

    load: over the load at which it draws its RLA. overload_share: of its trip amps at which the
    overload opens on a shell this hot.
    """

    condensing_f: float
    head_psig: float
    suction_psig: float
    load: float
    overload_share: float

    def loaded(self, machine: Machine) -> Machine:
        """The compressor under this load."""
        return replace(machine, need_w=self.load * machine.need_w)


def heat_at_start(house: House) -> Heat:
    """The first seconds of a call: both sides of the compressor not far from the outdoor air."""
    condensing = house.weather.outdoor_f + 15.0
    compressor = house.part_of("compressor")
    return Heat(
        condensing_f=condensing,
        head_psig=saturation_psig(condensing),
        suction_psig=saturation_psig(house.weather.outdoor_f),
        load=_load(condensing) * house.value(compressor, "load_share", 1.0),
        overload_share=1.0,
    )


def _load(condensing_f: float) -> float:
    """Load over that at which the compressor draws its RLA."""
    return max(0.67 + 0.0095 * (condensing_f - 105.0), 0.35)


def heat_of(settled: Settled) -> Heat | None:
    """The heat side as the motors now run; None while the compressor stands still."""
    house = settled.house
    compressor = house.part_of("compressor")
    if not settled.turns(compressor):
        return None
    outdoor = _air(settled, "outdoor") * house.weather.coil_clean
    indoor = _air(settled, "indoor") * house.weather.indoor_air
    approach = APPROACH_F / max(outdoor, STILL_AIR) ** 0.75
    charge = house.weather.charge
    condensing = house.weather.outdoor_f + approach * (0.35 + 0.65 * min(charge, 1.5) ** 1.5)
    suction = 128.0 * min(charge, 1.1) ** 0.9 * max(indoor, 0.1) ** 0.55
    load = _load(condensing) * (0.55 + 0.45 * min(charge, 1.0))
    return Heat(
        condensing_f=condensing,
        head_psig=saturation_psig(min(condensing, 190.0)),
        suction_psig=suction,
        load=load * house.value(compressor, "load_share", 1.0),
        overload_share=max(1.0 - 0.006 * max(condensing - 115.0, 0.0), 0.55),
    )


def _air(settled: Settled, place: str) -> float:
    """Share of a fan's full air, by its speed."""
    for part in settled.house.unit.parts_of_kind("fan_motor"):
        if (part.place == "indoor") == (place == "indoor"):
            speed = settled.stand.state(part.name, "speed")
            forward = 1.0 if speed * settled.house.value(part.name, "way", -1.0) > 0 else 0.3
            return min(forward * abs(speed) / 0.9, 1.05)
    return 1.0
