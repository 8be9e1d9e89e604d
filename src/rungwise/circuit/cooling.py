"""The heat side of a unit's circuit: fan speeds set the temperatures, those load the compressor.

The compressor's block carries what is not told of it (outdoor air, approach, dirt, charge, indoor
air held up) and two states, `condensing_c` and `evaporating_c`.  In the settled horizon they
follow the rotors' speeds; in the first seconds of a call nothing has warmed yet.  Pressure
switches open by the same temperatures, once the unit has run for as long as it takes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rungwise.parts import (
    COIL_CEILING_C,
    COIL_FLOOR_C,
    CONDENSING_C,
    EVAPORATING_C,
    HIGH_SIDE_S,
    LOW_SIDE_S,
    RUNNING_SLIP,
    Defrosts,
    Does,
    ElectronicMotor,
    FloatArray,
    Reverses,
    Rule,
    Side,
    air_flow,
    condensing_c,
    electronic_does,
    evaporating_c,
    saturation_c,
    seconds_to,
)

if TYPE_CHECKING:
    from rungwise.circuit.batch import Batch, BoolArray
    from rungwise.circuit.netlist import Plan

USUAL_AMBIENT_C = 27.0
"""A condition's outdoor temperature at which the unit's own `outdoor_c` stands; other ones
shift it by as much."""


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Condensing and evaporating temperature of every variant, °C, and where the unit runs."""

    condensing_c: FloatArray
    evaporating_c: FloatArray
    running: BoolArray


@dataclass(frozen=True, slots=True)
class Cooling:
    """Which blocks of a plan make up the heat side of one refrigerant circuit."""

    compressor: str
    outdoor_fans: tuple[str, ...]
    indoor_fans: tuple[str, ...]
    switches: tuple[tuple[str, Rule], ...]
    valves: tuple[tuple[str, Reverses], ...] = ()
    boards: tuple[tuple[str, Defrosts], ...] = ()

    @classmethod
    def all_of(cls, plan: Plan) -> tuple[Cooling, ...]:
        """The heat side around each of the unit's compressors."""
        return tuple(cls._around(plan, name) for name in plan.unit.roles.compressors)

    @classmethod
    def _around(cls, plan: Plan, compressor: str) -> Cooling:
        unit = plan.unit
        mine = frozenset(unit.roles.on_circuit_of(compressor))
        return cls(
            compressor,
            tuple(fan for fan in unit.roles.outdoor_fans if fan in mine),
            tuple(fan for fan in unit.roles.indoor_blowers if fan in mine),
            tuple((name, rule) for name, rule in plan.rules
                  if rule.watches == "pressure" and name in mine),
            tuple((part.name, valve) for part, valve in unit.having(Reverses) if part.name in mine),
            # What melts ice without turning the cycle round leaves the outdoor coil as it is.
            tuple((part.name, board) for part, board in unit.having(Defrosts)
                  if part.name in mine and unit.having(Reverses)),
        )  # fmt: skip

    def steady(self, part: Batch) -> Temperatures:
        """Where the temperatures are on their way to, whatever a pressure switch does."""
        p = part.view(self.compressor)
        outdoor = air_flow(moved_air(part, self.outdoor_fans), p["fouling"])
        outdoor = np.where(self._melts(part), 1.0, outdoor)
        indoor = air_flow(moved_air(part, self.indoor_fans), p["indoor_blocked"])
        heats = self._heats(part)
        gives, takes = np.where(heats, indoor, outdoor), np.where(heats, outdoor, indoor)
        warm, cold = self.resting(part)
        evaporating = evaporating_c(takes, p["charge"], cold)
        condensing = condensing_c(warm, p["approach_k"], gives, evaporating, p["charge"])
        running = p["slip"] < RUNNING_SLIP
        return Temperatures(
            np.broadcast_to(condensing, (part.size,)),
            np.broadcast_to(evaporating, (part.size,)),
            np.broadcast_to(running, (part.size,)),
        )

    def _heats(self, part: Batch) -> BoolArray:
        """Where a valve sends the refrigerant the other way round."""
        told = [valve.heats(part.view(block)) > 0 for block, valve in self.valves]
        return np.logical_or.reduce(told) if told else np.asarray(a=False)

    def _melts(self, part: Batch) -> BoolArray:
        """Where ice on the outdoor coil takes the heat that no fan carries off."""
        told = [part.view(block)[board.runs] > 0 for block, board in self.boards]
        return np.logical_or.reduce(told) if told else np.asarray(a=False)

    def resting(self, part: Batch) -> tuple[FloatArray, FloatArray]:
        """Air at the coil that gives heat off and at the one that takes it up, °C."""
        heats, outdoor = self._heats(part), self.outdoor_c(part)
        rooms = np.asarray(part.view(self.compressor)["indoor_c"])
        return np.where(heats, rooms, outdoor), np.where(heats, outdoor, rooms)

    def outdoor_c(self, part: Batch) -> FloatArray:
        """Air at the outdoor coil, °C."""
        p = part.view(self.compressor)
        return np.asarray(p["outdoor_c"] + p["ambient_c"] - USUAL_AMBIENT_C)

    def held(self, part: Batch, steady: Temperatures) -> Temperatures:
        """The temperatures of a unit that runs now, no further than its closed switches let it.

        Those of one that does not run are the usual ones, which ask for the usual load.
        """
        high, low = steady.condensing_c, steady.evaporating_c
        # The formulas know no end of heat; a switch does, and behind it a relief valve. Held there,
        # the load stays one that such a motor could meet, so that its rotor finds a balance.
        high, low = np.minimum(high, COIL_CEILING_C), np.maximum(low, COIL_FLOOR_C)
        for block, rule in self.switches:
            kept = rule.keeps_within(part.view(block))
            if kept is None:
                continue
            side, limit = kept[0], saturation_c(kept[1])
            closed = part.states[(block, rule.state)] == 0
            if side == "high":
                high = np.where(closed, np.minimum(high, limit), high)
            else:
                low = np.where(closed, np.maximum(low, limit), low)
        return Temperatures(
            np.where(steady.running, high, CONDENSING_C),
            np.where(steady.running, low, EVAPORATING_C),
            steady.running,
        )

    def pressed_s(
        self, part: Batch, steady: Temperatures, side: Side, psi: FloatArray
    ) -> FloatArray:
        """Seconds of running until a side's pressure passes `psi`; infinite where it will not.

        Nor does it where the unit is looked at before: it has run for `run_s`.
        """
        limit = saturation_c(psi)
        warm, cold = self.resting(part)
        if side == "high":
            start, target = warm, steady.condensing_c
            wait = seconds_to(limit, start, target, HIGH_SIDE_S)
        else:
            start, target = cold, steady.evaporating_c
            wait = seconds_to(limit, start, target, LOW_SIDE_S)
        run_s = part.view(self.compressor)["run_s"]
        return np.where(steady.running & (wait <= run_s), wait, np.inf)


def moved_air(part: Batch, fans: tuple[str, ...]) -> FloatArray:
    """Mean speed of the fans over their rated one, times the share of its air that each moves.

    A unit whose fans are not in the plan has its full air.
    """
    if not fans:
        return np.asarray(1.0)
    return np.asarray(sum(_share_of_air(part, fan) for fan in fans) / len(fans))


def _share_of_air(part: Batch, fan: str) -> FloatArray:
    p = part.view(fan)
    electronic = part.plan.blocks[fan].kind.facet(ElectronicMotor)
    if electronic is not None:
        runs = electronic_does(electronic.turns(p)) == Does.RUNS
        return np.asarray(runs * p["air_share"])
    synchronous_rpm = 60.0 * part.plan.omega_rad_per_s / np.pi / p["poles"]
    return np.asarray((1.0 - p["slip"]) * synchronous_rpm / p["rated_rpm"] * p["air_share"])
