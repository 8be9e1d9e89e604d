"""The heat side: what the weather, the air and the charge make of pressures and load.

A few smooth curves of the kind found on pressure charts and in service manuals (R-410A; numbers
from memory, common practice, no source): the condensing temperature is the outdoor air plus an
approach that grows as the air over the coil falls; the suction falls with charge and indoor air.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rungwise.other_world.box import box_suction_psig
from rungwise.other_world.house import House
from rungwise.other_world.kinds import ELECTRONIC, FANS
from rungwise.other_world.machines import Machine
from rungwise.other_world.three_legs import ThreeLegs
from rungwise.unit import Part

if TYPE_CHECKING:
    from rungwise.other_world.switching import Settled

APPROACH_F = 20.0
FULL_PSIG = 128.0
"""Suction in a house on a warm day."""

STILL_AIR = 0.09
"""Share of its air that a coil gets when its fan stands still."""


def saturation_psig(fahrenheit: float) -> float:
    """Pressure of saturated R-410A, psig: 118 at 40 °F, 317 at 100 °F, 476 at 130 °F (memory).

    A quadratic through those three points.
    """
    t = fahrenheit - 40.0
    return 118.0 + t * (2.4278 + 0.01482 * t)


def saturated_f(psig: float) -> float:
    """Where R-410A is saturated, °F: the same quadratic turned round."""
    root = 2.4278**2 - 4.0 * 0.01482 * (118.0 - psig)
    return 40.0 + (math.sqrt(max(root, 0.0)) - 2.4278) / (2.0 * 0.01482)


@dataclass(frozen=True, slots=True)
class Heat:
    """Condensing temperature in °F, pressures in psig, and the compressor's load by them.

    full_psig: of the suction with all that it wants. load: over the load at which it draws its RLA.
    overload_share: of its trip amps at which the overload opens on a shell this hot.
    """

    condensing_f: float
    head_psig: float
    suction_psig: float
    full_psig: float
    load: float
    overload_share: float

    def loaded(self, machine: Machine | ThreeLegs) -> Machine | ThreeLegs:
        """The compressor under this load."""
        return replace(machine, need_w=self.load * machine.need_w)


def heat_at_start(house: House, compressor: str) -> Heat:
    """The first seconds of a call: both sides of the compressor not far from the outdoor air."""
    condensing = house.weather.outdoor_f + 15.0
    return Heat(
        condensing_f=condensing,
        head_psig=saturation_psig(condensing),
        suction_psig=saturation_psig(house.weather.outdoor_f),
        full_psig=FULL_PSIG,
        load=_load(condensing) * house.value(compressor, "load_share", 1.0),
        overload_share=1.0,
    )


def _load(condensing_f: float) -> float:
    """Load over that at which the compressor draws its RLA."""
    return max(0.67 + 0.0095 * (condensing_f - 105.0), 0.35)


def heats_of(settled: Settled) -> dict[str, Heat]:
    """The heat side of every compressor that turns."""
    found = {name: heat_of(settled, name) for name in settled.house.compressors}
    return {name: heat for name, heat in found.items() if heat is not None}


def stage_share(settled: Settled, compressor: str) -> float:
    """Share of its whole gas that a compressor of two stages moves; 1 of one that has one."""
    house = settled.house
    low = house.value(compressor, "low_share", 1.0)
    lifted = settled.stand.state(compressor, "in") and not house.value(compressor, "valve_stuck")
    return 1.0 if lifted else low


def heat_of(settled: Settled, compressor: str) -> Heat | None:
    """The heat side as the motors now run; None while the compressor stands still."""
    house = settled.house
    if not settled.turns(compressor):
        return None
    if settled.stand.state(compressor, "speed") * house.value(compressor, "way") < 0:
        return heat_at_start(house, compressor)  # a scroll turned backwards moves no gas
    charge = house.weather.charge_of(house.unit.part(compressor).circuit)
    full = box_suction_psig(house) or FULL_PSIG
    heats, stage = reversed_for_heat(settled), stage_share(settled, compressor)
    outdoor = _air(settled, "outdoor") * house.weather.coil_clean
    indoor = _air(settled, "indoor") * house.weather.indoor_air
    if heats:
        condensing, suction = _of_heating(house.weather.outdoor_f, outdoor, indoor, charge)
    else:
        condensing = house.weather.outdoor_f + stage * APPROACH_F / max(
            outdoor, STILL_AIR
        ) ** 0.75 * (0.35 + 0.65 * min(charge, 1.5) ** 1.5)
        suction = full * min(charge, 1.1) ** 0.9 * max(indoor, 0.1) ** 0.55 / stage**0.3
    load = stage * _load(condensing) * (0.55 + 0.45 * min(charge, 1.0))
    return Heat(
        condensing_f=condensing,
        head_psig=saturation_psig(min(condensing, 190.0)),
        suction_psig=suction,
        full_psig=full,
        load=load * house.value(compressor, "load_share", 1.0),
        overload_share=max(1.0 - 0.006 * max(condensing - 115.0, 0.0), 0.55),
    )


INDOOR_F = 70.0


def _of_heating(
    outdoor_f: float, outdoor: float, indoor: float, charge: float
) -> tuple[float, float]:
    """Condensing °F and suction psig with the indoor coil hot and the outdoor coil cold."""
    approach = 28.0 / max(indoor, STILL_AIR) ** 0.75
    condensing = INDOOR_F + approach * (0.35 + 0.65 * min(charge, 1.5) ** 1.5)
    cold_f = outdoor_f - 12.0 / max(outdoor, STILL_AIR) ** 0.6
    return condensing, max(saturation_psig(cold_f) * min(charge, 1.1) ** 0.9, 5.0)


def reversed_for_heat(settled: Settled) -> bool:
    """Whether a reversing valve now stands in heating; never without one."""
    house = settled.house
    valve = house.part_of("reversing_valve_cooling", "reversing_valve_heating")
    if not valve:
        return False
    shifted = settled.stand.state(valve, "in") > 0
    shifted = bool(house.value(valve, "stuck_over")) or (
        shifted and not house.value(valve, "stuck_back")
    )
    heats_shifted = house.unit.part(valve).kind == "reversing_valve_heating"
    return shifted == heats_shifted


def _air(settled: Settled, place: str) -> float:
    """Share of the full air of its fans, by their speeds."""
    fans = [part for part in settled.house.unit.parts_of_kind(*FANS)
            if (part.place == "indoor") == (place == "indoor")]  # fmt: skip
    shares = [_of_fan(settled, part) for part in fans]
    return sum(shares) / len(shares) if shares else 1.0


def _of_fan(settled: Settled, part: Part) -> float:
    speed = settled.stand.state(part.name, "speed")
    if part.kind in ELECTRONIC:
        return min(speed, 1.05)
    forward = 1.0 if speed * settled.house.value(part.name, "way", -1.0) > 0 else 0.3
    return min(forward * abs(speed) / 0.9, 1.05)


def air_indoors(settled: Settled) -> float:
    """Share of its full air that the air handler moves."""
    return _air(settled, "indoor") * settled.house.weather.indoor_air
