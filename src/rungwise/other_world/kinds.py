"""Names of kinds by what they are to this world's rules; it knows nothing else of a kind."""

from __future__ import annotations

CONTACTORS = (
    "contactor_1p",
    "contactor_2p",
    "contactor_2p_aux",
    "contactor_3p",
    "contactor_3p_aux",
)
ONE_PHASE = ("compressor", "compressor_two_stage")
"""Compressors of one phase."""

COMPRESSORS = (*ONE_PHASE, "compressor_3ph")
THREE_LEGS = ("compressor_3ph", "blower_motor_3ph")
SMALL = ("fan_motor", "fan_motor_taps")
"""Fan motors with a run capacitor."""

MOTORS = (*ONE_PHASE, *SMALL, *THREE_LEGS)
ELECTRONIC = ("electronic_fan_motor", "electronic_tap_motor", "airflow_fan_motor")
"""Motors that are known by line volts, a signal and what they draw."""

TURNING = (*MOTORS, *ELECTRONIC)
FANS = tuple(kind for kind in TURNING if kind not in COMPRESSORS)
BREAKERS = ("breaker_1p", "breaker_2p", "breaker_3p", "residual_breaker")
FUSED = ("disconnect_fused", "disconnect_fused_3p", "fuse_block_2p")
"""A fuse in each pole."""

SERVICES = (
    "service", "service_208y", "service_480y", "service_high_leg", "service_corner",
    "service_open_delta", "service_230", "service_400y",
)  # fmt: skip
PRESSED = ("high_pressure_switch", "low_pressure_switch", "suction_control")
"""What a pressure opens."""

STAGED = ("thermostat_stages", "thermostat_heat_pump_o", "thermostat_heat_pump_b")
"""Thermostats that can call for heat."""
