"""What parts and readings are to somebody who has never opened a unit."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["GROUPS", "PARTS", "part_told"]

PARTS: Mapping[str, str] = {
    "dual_capacitor": "The capacitor gives both motors the push that they start and run with.",
    "run_capacitor": "The capacitor gives a motor the push that it starts and runs with.",
    "start_capacitor": "This capacitor helps the compressor over its first second.",
    "potential_relay": "This relay takes the starting help away once the compressor turns.",
    "contactor_1p": "The contactor is the switch that puts the outdoor unit on the line.",
    "contactor_2p": "The contactor is the switch that puts the outdoor unit on the line.",
    "compressor": "The compressor pumps the refrigerant that carries the heat out of the house.",
    "fan_motor": "The fan moves the air that takes up heat or carries it away.",
    "crankcase_heater": "The heater keeps refrigerant out of the compressor's oil while it rests.",
    "transformer": "The transformer makes the low volts that the thermostat switches with.",
    "lv_fuse": "The small fuse guards the thermostat's circuit; something short blows it.",
    "thermostat": "The thermostat asks for cooling.",
    "float_switch": "The float switch stops the unit before water runs over in the pan.",
    "high_pressure_switch": "This switch stops the unit while the pressure is too high.",
    "low_pressure_switch": "This switch stops the unit while the pressure is too low.",
    "door_switch": "The door switch stops the indoor unit while its door is off.",
    "delay": "The delay keeps the compressor from starting again too soon.",
    "service": "The supply is what comes to the house from the utility.",
    "breaker_2p": "The breaker is the switch for this circuit in the house's panel.",
    "breaker_1p": "The breaker is the switch for this circuit in the house's panel.",
    "disconnect_pullout": "The disconnect is the switch beside the outdoor unit.",
    "disconnect_fused": "The disconnect is the switch with fuses beside the outdoor unit.",
    "disconnect_switch": "The disconnect is the switch beside the outdoor unit.",
    "service_switch": "The service switch is the one beside the indoor unit.",
    "splice": "A splice is where two wires are joined.",
}
"""By part kind, for whoever pays."""

GROUPS: Mapping[str, tuple[str, ...]] = {
    "supply volts": ("volts-contactor-L1-L2", "idle-volts-"),
    "motor currents": ("amps-",),
    "capacitors at work": ("loaduf-", "uf-"),
    "contacts and joints under load": ("drop-",),
    "insulation": ("insulation-",),
    "refrigerant": ("superheat", "subcooling", "charge"),
    "air through the indoor coil": ("air split", "split", "total capacity"),
}
"""What a proof may measure, by how the ids of its readings and figures begin."""


def part_told(kind: str) -> str:
    """What a part of this kind is for, "" where nobody needs to be told."""
    return PARTS.get(kind, "")
