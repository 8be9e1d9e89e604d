"""Values of good boards, electric heat, electronic motors, valves and parts of three phases.

Ranges as in `makes`: what the trade finds, not the kinds' own spreads (common practice, no source,
unless a line says otherwise).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from rungwise.other_world.draws import Draw, Values, between, by_factor, drawn, evenly, log_between
from rungwise.other_world.kinds import STAGED
from rungwise.other_world.place import OMEGA
from rungwise.other_world.three_legs import ThreeLegs, line_amps


def _heat_relay(rng: np.random.Generator) -> Values:
    ohm = between(rng, 40, 160)
    return {"coil_ohm": ohm, "coil_henry": between(rng, 0.3, 1.0) * ohm / OMEGA,
            "contact_ohm": log_between(rng, 1e-3, 1.2e-2),
            "pass_volt": between(rng, 15, 19)}  # fmt: skip


def _valve(rng: np.random.Generator) -> Values:
    """A coil of 12 to 60 Ω that draws 0.3 to 0.45 A of 24 V."""
    ohm, whole = between(rng, 12, 45), 24.0 / between(rng, 0.3, 0.45)
    return {"coil_ohm": ohm, "coil_reach": math.sqrt(max(whole**2 - ohm**2, 25.0)),
            "pull_volt": between(rng, 14, 18), "drop_volt": between(rng, 5, 10)}  # fmt: skip


def _lockout(rng: np.random.Generator) -> Values:
    """An impedance relay of 250 to 1000 Ω."""
    whole, share = log_between(rng, 250, 1000), between(rng, 0.55, 0.9)
    return {
        "coil_ohm": share * whole,
        "coil_henry": math.sqrt(1.0 - share**2) * whole / OMEGA,
        "pull_volt": between(rng, 12, 17),
        "drop_volt": between(rng, 4, 8),
        "contact_ohm": log_between(rng, 3e-3, 4e-2),
    }


_ELECTRONIC = drawn(
    watt=evenly(0.55, 1.05),
    idle_ohm=by_factor(6e3, 6e4),
    signal_ohm=by_factor(1.5e3, 3e4),
    feed_ohm=by_factor(200, 2000),
    insulation_ohm=by_factor(2e6, 2e9),
    pass_volt=evenly(12, 17),
    winding_ohm=by_factor(0.8, 8),
    shell_ohm=by_factor(3e5, 1e9),
)
"""Watts by the duct: from a little over half to all of the label's."""

_DEFROST_BOARD = drawn(
    supply_ohm=by_factor(120, 1500),
    input_ohm=by_factor(1e3, 3e4),
    contact_ohm=by_factor(0.015, 0.2),
    sense_ohm=by_factor(1e3, 1e4),
)
_LEGS_SKIN = drawn(
    insulation_ohm=by_factor(2e7, 2e10),
    overload_ohm=by_factor(1e-3, 8e-3),
    lra=evenly(0.88, 1.08),
    trip_amps=evenly(1.25, 1.55),
    load_share=evenly(0.93, 1.07),
    way=1.0,
)

BOARD_DRAWS: Mapping[str, Draw] = {
    **dict.fromkeys(
        STAGED, drawn(contact_ohm=by_factor(0.01, 0.3), electronics_ohm=by_factor(200, 3000))
    ),
    "line_thermostat": drawn(contact_ohm=by_factor(5e-3, 0.08)),
    "fan_board": drawn(
        input_ohm=by_factor(80, 1500),
        contact_ohm=by_factor(3e-3, 4e-2),
        pass_volt=evenly(13, 18),
    ),
    "sequencer": drawn(
        coil_ohm=by_factor(25, 150),
        contact_ohm=by_factor(1e-3, 1.2e-2),
        pass_volt=evenly(15, 19),
    ),
    "heat_relay": _heat_relay,
    # Amps within a tenth of the label's.
    "heating_element": drawn(element_ohm=evenly(0.93, 1.09), insulation_ohm=by_factor(2e6, 1e10)),
    "heat_limit": drawn(contact_ohm=by_factor(3e-3, 3e-2), opens_air=evenly(0.3, 0.5)),
    "thermal_link": drawn(contact_ohm=by_factor(2e-3, 2e-2)),
    **dict.fromkeys(
        ("electronic_fan_motor", "electronic_tap_motor", "airflow_fan_motor"), _ELECTRONIC
    ),
    "condensate_pump": drawn(contact_ohm=by_factor(0.01, 0.2)),
    "delay_board": drawn(
        supply_ohm=by_factor(250, 4000),
        input_ohm=by_factor(2e3, 5e4),
        contact_ohm=by_factor(0.02, 0.2),
        pass_volt=evenly(13, 18),
        locks=lambda rng: float(rng.random() < 0.5),
    ),
    # 25 to 50 Ω cold, several kΩ hot (suppliers' sheets; from memory).
    "start_ptc": drawn(cold_ohm=evenly(25, 50), hot_ohm=by_factor(1e4, 6e4)),
    "fan_cycling_switch": drawn(
        contact_ohm=by_factor(5e-3, 0.1),
        closes_psig=evenly(440, 460),
        opens_psig=evenly(240, 260),
    ),
    **dict.fromkeys(("defrost_board_o", "defrost_board_b", "demand_defrost_board"), _DEFROST_BOARD),
    "reversing_valve_cooling": _valve,
    "reversing_valve_heating": _valve,
    "defrost_thermostat": drawn(contact_ohm=by_factor(5e-3, 0.15), closes_f=evenly(30, 38)),
    "outdoor_thermostat": drawn(contact_ohm=by_factor(5e-3, 0.15), closes_f=evenly(15, 40)),
    "sensor_10k": drawn(ratio=evenly(0.95, 1.05)),
    "lockout_relay": _lockout,
    "phase_monitor": drawn(
        contact_ohm=by_factor(5e-3, 6e-2),
        least=evenly(0.97, 1.03),
        most=evenly(0.97, 1.03),
        unlike=evenly(0.04, 0.07),
    ),
    "compressor_3ph": _LEGS_SKIN,
    "blower_motor_3ph": _LEGS_SKIN,
}

NEAR_FULL = np.linspace(0.88, 0.998, 119)


def three_legs_of(own: Values, rng: np.random.Generator, *, compresses: bool) -> ThreeLegs:
    """A motor for its label's amps, running and locked, wound in its own way.

    Lead to lead 0.28 to 0.35 of volts over locked amps (makers' tables of such compressors, from
    memory); its locked power factor and magnetizing amps are usual ones.
    """
    volt, full = own["plate_rated_volt"], own["plate_rated_a"]
    locked = volt / math.sqrt(3) / own["lra"]
    leg = 0.5 * between(rng, 0.28, 0.35) * volt / own["lra"]
    deep = between(rng, 0.4, 1.2)
    rotor = max(between(rng, 0.42, 0.6) * locked - leg, 0.3 * leg)
    reach = math.sqrt(locked**2 - (leg + rotor) ** 2)
    base = volt / math.sqrt(3) / full
    design = ThreeLegs(
        r_leg=leg,
        x_leg=0.5 * reach,
        x_magnet=between(rng, 2.0, 3.2) * base,
        r_rotor=rotor / (1.0 + deep),
        x_rotor=0.5 * reach,
        core=between(rng, 90, 180) * base,
        deep_bar=deep,
        fan_law=not compresses,
        omega=own["omega"],
        back=between(rng, 0.25, 0.45) if compresses else 0.4,
    )
    amps = line_amps(design, volt, NEAR_FULL)
    torque = design.torque_w(NEAR_FULL, amps)
    draws = full * (1.0 if compresses else between(rng, 0.7, 0.95))
    line = np.abs(amps[:, 0])
    reachable = float(np.clip(draws, line.min() * 1.02, line.max() * 0.98))
    need = float(np.interp(reachable, line[::-1], torque[::-1]))
    still = np.zeros(1)
    standing = float(design.torque_w(still, line_amps(design, volt, still))[0])
    share = between(rng, 0.25, 0.5) if compresses else between(rng, 0.1, 0.3)
    return replace(design, need_w=need, start_w=share * standing)
