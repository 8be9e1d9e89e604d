"""What is asked of the unit while it is looked at: the call, the switches, the leads taken off."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

Call = str
"""The name of a demand: one of those that the unit's controls list (`parts.facets.Control`)."""

Horizon = Literal["start", "settled"]
LeadEnd = tuple[str, str]
"""A wire's name and which end of it (`start` or `end`) is off its terminal."""


@dataclass(frozen=True)
class Condition:
    """One condition of the unit.

    `demand`: what the thermostat is set to.  `positions`: 1 closed or 0 open for devices that
    are not as usual (all closed).  `ambient_c`: outdoor temperature in °C.  `leads_off`: wire
    ends off their terminals.  `horizon`: `start` is the first seconds of the call (delays have
    run out, nothing has warmed), `settled` is once all has tripped that will.  `defrosts`:
    whether a defrost runs, in a unit that has one.
    """

    name: str
    demand: Call = "cool"
    positions: Mapping[str, int] = field(default_factory=dict)
    ambient_c: float = 27.0
    leads_off: frozenset[LeadEnd] = frozenset()
    horizon: Horizon = "settled"
    defrosts: bool = False

    def opened(self, *parts: str) -> Condition:
        """The same with these devices open as well."""
        return replace(self, positions={**self.positions, **dict.fromkeys(parts, 0)})

    def without_leads(self, ends: frozenset[LeadEnd]) -> Condition:
        """The same with these wire ends taken off as well."""
        return replace(self, leads_off=self.leads_off | ends)


CALLING = Condition("calling", "cool")
STARTING = Condition("starting", "cool", horizon="start")
STANDBY = Condition("standby", "off")
COLD_STANDBY = Condition("standby on a cold day", "off", ambient_c=0.0)
"""Below where a heater's own thermostat closes."""

COLD_C = 2.0
"""Outdoor air of a call for heat: 36 °F, at which a coil frosts (common practice, no source)."""

HEATING = Condition("on a call for heat", "heat", ambient_c=COLD_C)
DEFROSTING = Condition("in a defrost", "heat", ambient_c=COLD_C, defrosts=True)
COLD_DEFROST = Condition("in a defrost", "cool", defrosts=True)
"""A defrost of what only cools: a cooler or a freezer."""

FIRST_STAGE = Condition("on a call for the first stage of cooling only", "cool1")
CALLS_BEYOND_COOLING = (
    FIRST_STAGE,
    HEATING,
    Condition("on a call for the second stage of heat", "heat2", ambient_c=COLD_C),
    Condition("on a call for auxiliary heat", "heat+aux", ambient_c=COLD_C),
    Condition("on emergency heat", "emergency heat", ambient_c=COLD_C),
)
"""What only some units can be asked for (`Unit.demands`)."""


def asked_for(demand: str) -> Condition:
    """The condition in which a unit is asked for this, in the weather in which one asks for it."""
    known = {each.demand: each for each in (CALLING, STANDBY, *CALLS_BEYOND_COOLING)}
    return known.get(demand) or Condition(f"asked for {demand}", demand)


def first_stage_of(demands: Collection[str]) -> Condition | None:
    """The call for cooling that leaves the second stage out; None where there is one stage only.

    A plain call for cooling asks for every stage that a unit has.
    """
    return FIRST_STAGE if FIRST_STAGE.demand in demands else None


def call_for_heat(demands: Collection[str]) -> Condition | None:
    """The fullest call for heat among what a unit can be asked for; None where it has none."""
    heats = [each for each in CALLS_BEYOND_COOLING if each.demand.startswith("heat")]
    return next((each for each in reversed(heats) if each.demand in demands), None)
