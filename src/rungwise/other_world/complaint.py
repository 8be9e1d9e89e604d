"""What the customer says on the phone: words that follow from what happened in the house.

Every chance is of this world alone (common practice, no source).
"""

from __future__ import annotations

import numpy as np

from rungwise.other_world.kinds import BREAKERS
from rungwise.other_world.visit import Visit

STALL_AMPS = 25.0
"""Outdoor amps in the first seconds above which lights go on dimming."""


def said(visit: Visit, faulty: frozenset[str], rng: np.random.Generator) -> frozenset[str]:
    """What is said of this house, by the usual words for it; often nothing at all."""
    return frozenset(w for w, p in _chances(visit, faulty).items() if rng.random() < p)


def _chances(visit: Visit, faulty: frozenset[str]) -> dict[str, float]:
    house, symptoms = visit.house, visit.symptoms
    stalls = visit.starting_as_told.wire_amp("whip_l1") > STALL_AMPS
    dims = stalls or "volts sag" in symptoms or not np.isfinite(house.supply.neutral_ohm)
    opened = {part for (part, _), at in visit.lasting.items() if at}
    breakers = {p.name for p in house.unit.parts_of_kind(*BREAKERS)}
    heat = {p.name for p in house.unit.parts if p.kind.endswith("pressure_switch")}
    heat |= set(house.machines)
    air_moves = "blower dead" not in symptoms
    marks = {thing for (thing, _), chance in house.marks.items() if chance > 0.25}
    electric = {"service", "transformer", "lv_fuse", "delay", "thermostat"}
    return {
        "warm_air": 0.3 if air_moves and symptoms else 0.15,
        "noise": 0.5 if stalls or symptoms & {"buzzes", "chatters"} else 0.07,
        "smell": 0.35 if "smells burnt" in symptoms or "smell" in marks else 0.03,
        "ice": 0.5 if "suction low" in symptoms or "ice" in marks else 0.02,
        "water": 0.35 if "water" in marks else 0.03,
        "breaker_trips": 0.6 if opened & breakers else 0.04,
        "lights_dim": 0.35 if dims else 0.05,
        "afternoons_only": 0.3 if opened & heat or not symptoms else 0.05,
        "after_storm": 0.2 if faulty & electric else 0.06,
        "after_power_cut": 0.15 if faulty & (electric | breakers) else 0.05,
        "worked_on": 0.5 if "recent_work" in marks else 0.08,
        "filter_changed": 0.4 if faulty & {"door_switch"} else 0.04,
    }
