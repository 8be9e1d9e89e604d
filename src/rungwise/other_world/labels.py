"""What a unit's labels say, and the good values drawn as shares of them scaled to it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from rungwise.other_world.draws import Values
from rungwise.other_world.kinds import (
    BREAKERS,
    CONTACTORS,
    ELECTRONIC,
    FUSED,
    ONE_PHASE,
    SMALL,
    THREE_LEGS,
)
from rungwise.unit import Part, Unit

PLATES: dict[str, Values] = {
    "compressor_3ph": {"rated_volt": 230.0, "rated_a": 16.1, "locked_a": 110.0},
    "blower_motor_3ph": {"rated_volt": 230.0, "rated_a": 5.2, "locked_a": 34.0},
    "heating_element": {"watt": 5000.0, "volt": 240.0},
    "electronic_fan_motor": {"rated_volt": 120.0, "watt": 350.0},
    "electronic_tap_motor": {"rated_volt": 240.0, "watt": 350.0},
    "airflow_fan_motor": {"rated_volt": 240.0, "watt": 350.0},
    "transformer": {"primary_volt": 120.0, "va": 40.0},
    "transformer_taps": {"primary_volt": 208.0, "other_volt": 240.0, "va": 75.0},
    **{kind: {"coil_volt": 24.0} for kind in CONTACTORS},
    "breaker_1p": {"rating_a": 15.0},
    "breaker_2p": {"rating_a": 40.0},
    "breaker_3p": {"rating_a": 40.0},
    "residual_breaker": {"rating_a": 25.0},
    "overload_relay": {"dial_a": 5.2},
    "disconnect_fused": {"fuse_a": 35.0},
    "disconnect_fused_3p": {"fuse_a": 40.0},
    "fuse_block_2p": {"fuse_a": 1.0},
    "lv_fuse": {"rating_a": 3.0},
    "phase_monitor": {"least_volt": 180.0, "most_volt": 264.0},
    **{kind: {"rated_volt": 230.0, "rated_a": 16.0, "locked_a": 80.0, "run_uf": 45.0}
       for kind in ONE_PHASE},
    **{kind: {"rated_volt": 230.0, "rated_a": 1.3, "run_uf": 5.0} for kind in SMALL},
    "defrost_heater": {"watt": 2000.0, "volt": 240.0},
    "liquid_solenoid": {"coil_volt": 240.0},
    "suction_control": {"closes_psi": 43.0, "opens_psi": 24.0},
    "dual_capacitor": {"herm_uf": 45.0, "fan_uf": 5.0},
    "run_capacitor": {"run_uf": 15.0},
    "crankcase_heater": {"watt": 70.0, "volt": 240.0},
}  # fmt: skip
"""What the labels say where the description of the unit does not: a unit of about three tons."""


def plate_of(part: Part) -> Values:
    """What a part's label says."""
    known = PLATES.get(part.kind, {})
    return {name: float(part.values.get(name, usual)) for name, usual in known.items()}


def by_label(unit: Unit, values: dict[str, Values]) -> None:
    """Scale what was drawn as shares of the label to this unit's labels."""
    for part in unit.parts:
        plate, own = plate_of(part), values[part.name]
        own |= {f"plate_{name}": it for name, it in plate.items()}
        own["omega"] = 2.0 * math.pi * unit.hz
        for name in ("herm_uf", "fan_uf", "run_uf"):
            if name in own:
                own[name] *= plate[name]
        if part.kind in _LABELED:
            _LABELED[part.kind](own, plate)


def _as_heater(own: Values, plate: Values) -> None:
    own["element_ohm"] *= plate["volt"] ** 2 / plate["watt"]


def _as_motor(own: Values, plate: Values) -> None:
    own["lra"] *= plate["locked_a"]
    own["trip_amps"] *= plate["rated_a"]


def _as_electronic(own: Values, plate: Values) -> None:
    own["watt"] *= plate["watt"]


def _as_protection(own: Values, plate: Values) -> None:
    own["rating"] = next(iter(plate.values()))


def _as_transformer(own: Values, plate: Values) -> None:
    """For other volts and volt-amperes than 120 V and 40 VA."""
    volt = plate["primary_volt"]
    turns, size = (volt / 120.0) ** 2, 40.0 / plate["va"]
    own["primary_volt"] = volt
    for name in ("primary_ohm", "primary_henry", "core_ohm"):
        own[name] *= turns * size
    own["secondary_ohm"] *= size


def _as_tapped(own: Values, plate: Values) -> None:
    base = plate["rated_volt"] / plate["rated_a"]
    own["tap_ohm"] *= base
    own["tap_reach"] *= base


def _as_valve(own: Values, plate: Values) -> None:
    own["pull_volt"] *= plate["coil_volt"]
    own["drop_volt"] *= plate["coil_volt"]
    share = (plate["coil_volt"] / 240.0) ** 2
    own["coil_ohm"] *= share
    own["coil_reach"] *= share


def _as_control(own: Values, plate: Values) -> None:
    own["opens_psig"] *= plate["opens_psi"]


def _as_contactor(own: Values, plate: Values) -> None:
    """A coil for other volts than 24."""
    share = plate["coil_volt"] / 24.0
    own["coil_ohm"] *= share**2
    own["sealed_ohm"] *= share**2
    own["pull_volt"] *= share
    own["drop_volt"] *= share


_LABELED: Mapping[str, Callable[[Values, Values], None]] = {
    **dict.fromkeys(("crankcase_heater", "heating_element", "defrost_heater"), _as_heater),
    **dict.fromkeys((*ONE_PHASE, *THREE_LEGS), _as_motor),
    **dict.fromkeys(ELECTRONIC, _as_electronic),
    **dict.fromkeys((*BREAKERS, *FUSED, "lv_fuse", "overload_relay"), _as_protection),
    **dict.fromkeys(CONTACTORS, _as_contactor),
    "fan_motor_taps": _as_tapped,
    "liquid_solenoid": _as_valve,
    "suction_control": _as_control,
    "transformer": _as_transformer,
    "transformer_taps": _as_transformer,
}
