"""Values of good boards, electric heat, electronic motors, valves and parts of three phases.

Ranges as in `makes`: what the trade finds, not the kinds' own spreads (common practice, no source,
unless a line says otherwise).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from rungwise.other_world.kinds import STAGED
from rungwise.other_world.place import OMEGA
from rungwise.other_world.three_legs import ThreeLegs, line_amps

Values = dict[str, float]


def log_between(rng: np.random.Generator, low: float, high: float) -> float:
    """A number between two ends, each factor as likely as any other."""
    return float(np.exp(rng.uniform(math.log(low), math.log(high))))


def between(rng: np.random.Generator, low: float, high: float) -> float:
    """A number between two ends, each as likely as any other."""
    return float(rng.uniform(low, high))


def _staged(rng: np.random.Generator) -> Values:
    return {"contact_ohm": log_between(rng, 0.01, 0.3),
            "electronics_ohm": log_between(rng, 200, 3000)}  # fmt: skip


def _line_thermostat(rng: np.random.Generator) -> Values:
    return {"contact_ohm": log_between(rng, 5e-3, 0.08)}


def _fan_board(rng: np.random.Generator) -> Values:
    return {"input_ohm": log_between(rng, 80, 1500), "contact_ohm": log_between(rng, 3e-3, 4e-2),
            "pass_volt": between(rng, 13, 18)}  # fmt: skip


def _sequencer(rng: np.random.Generator) -> Values:
    return {"coil_ohm": log_between(rng, 25, 150), "contact_ohm": log_between(rng, 1e-3, 1.2e-2),
            "pass_volt": between(rng, 15, 19)}  # fmt: skip


def _heat_relay(rng: np.random.Generator) -> Values:
    ohm = between(rng, 40, 160)
    return {"coil_ohm": ohm, "coil_henry": between(rng, 0.3, 1.0) * ohm / OMEGA,
            "contact_ohm": log_between(rng, 1e-3, 1.2e-2),
            "pass_volt": between(rng, 15, 19)}  # fmt: skip


def _element(rng: np.random.Generator) -> Values:
    """Amps within a tenth of the label's."""
    return {"element_ohm": between(rng, 0.93, 1.09), "insulation_ohm": log_between(rng, 2e6, 1e10)}


def _limit(rng: np.random.Generator) -> Values:
    return {"contact_ohm": log_between(rng, 3e-3, 3e-2), "opens_air": between(rng, 0.3, 0.5)}


def _link(rng: np.random.Generator) -> Values:
    return {"contact_ohm": log_between(rng, 2e-3, 2e-2)}


def _electronic(rng: np.random.Generator) -> Values:
    """Watts by the duct: from a little over half to all of the label's."""
    return {
        "watt": between(rng, 0.55, 1.05),
        "idle_ohm": log_between(rng, 6e3, 6e4),
        "signal_ohm": log_between(rng, 1.5e3, 3e4),
        "feed_ohm": log_between(rng, 200, 2000),
        "insulation_ohm": log_between(rng, 2e6, 2e9),
        "pass_volt": between(rng, 12, 17),
        "winding_ohm": log_between(rng, 0.8, 8),
        "shell_ohm": log_between(rng, 3e5, 1e9),
    }


def _pump(rng: np.random.Generator) -> Values:
    return {"contact_ohm": log_between(rng, 0.01, 0.2)}


def _delay_board(rng: np.random.Generator) -> Values:
    return {
        "supply_ohm": log_between(rng, 250, 4000),
        "input_ohm": log_between(rng, 2e3, 5e4),
        "contact_ohm": log_between(rng, 0.02, 0.2),
        "pass_volt": between(rng, 13, 18),
        "locks": float(rng.random() < 0.5),
    }


def _start_ptc(rng: np.random.Generator) -> Values:
    """25 to 50 Ω cold, several kΩ hot (suppliers' sheets; from memory)."""
    return {"cold_ohm": between(rng, 25, 50), "hot_ohm": log_between(rng, 1e4, 6e4)}


def _fan_cycling(rng: np.random.Generator) -> Values:
    return {"contact_ohm": log_between(rng, 5e-3, 0.1), "closes_psig": between(rng, 440, 460),
            "opens_psig": between(rng, 240, 260)}  # fmt: skip


def _defrost_board(rng: np.random.Generator) -> Values:
    return {
        "supply_ohm": log_between(rng, 120, 1500),
        "input_ohm": log_between(rng, 1e3, 3e4),
        "contact_ohm": log_between(rng, 0.015, 0.2),
        "sense_ohm": log_between(rng, 1e3, 1e4),
    }


def _valve(rng: np.random.Generator) -> Values:
    """A coil of 12 to 60 Ω that draws 0.3 to 0.45 A of 24 V."""
    ohm, whole = between(rng, 12, 45), 24.0 / between(rng, 0.3, 0.45)
    return {"coil_ohm": ohm, "coil_reach": math.sqrt(max(whole**2 - ohm**2, 25.0)),
            "pull_volt": between(rng, 14, 18), "drop_volt": between(rng, 5, 10)}  # fmt: skip


def _cold_stat(low: float, high: float) -> Callable[[np.random.Generator], Values]:
    def draw(rng: np.random.Generator) -> Values:
        return {"contact_ohm": log_between(rng, 5e-3, 0.15), "closes_f": between(rng, low, high)}

    return draw


def _sensor(rng: np.random.Generator) -> Values:
    return {"ratio": between(rng, 0.95, 1.05)}


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


def _monitor(rng: np.random.Generator) -> Values:
    return {"contact_ohm": log_between(rng, 5e-3, 6e-2), "least": between(rng, 0.97, 1.03),
            "most": between(rng, 0.97, 1.03), "unlike": between(rng, 0.04, 0.07)}  # fmt: skip


def _legs_skin(rng: np.random.Generator) -> Values:
    return {
        "insulation_ohm": log_between(rng, 2e7, 2e10),
        "overload_ohm": log_between(rng, 1e-3, 8e-3),
        "lra": between(rng, 0.88, 1.08),
        "trip_amps": between(rng, 1.25, 1.55),
        "load_share": between(rng, 0.93, 1.07),
        "way": 1.0,
    }


BOARD_DRAWS: Mapping[str, Callable[[np.random.Generator], Values]] = {
    **dict.fromkeys(STAGED, _staged),
    "line_thermostat": _line_thermostat,
    "fan_board": _fan_board,
    "sequencer": _sequencer,
    "heat_relay": _heat_relay,
    "heating_element": _element,
    "heat_limit": _limit,
    "thermal_link": _link,
    **dict.fromkeys(
        ("electronic_fan_motor", "electronic_tap_motor", "airflow_fan_motor"), _electronic
    ),
    "condensate_pump": _pump,
    "delay_board": _delay_board,
    "start_ptc": _start_ptc,
    "fan_cycling_switch": _fan_cycling,
    **dict.fromkeys(
        ("defrost_board_o", "defrost_board_b", "demand_defrost_board"), _defrost_board
    ),
    "reversing_valve_cooling": _valve,
    "reversing_valve_heating": _valve,
    "defrost_thermostat": _cold_stat(30, 38),
    "outdoor_thermostat": _cold_stat(15, 40),
    "sensor_10k": _sensor,
    "lockout_relay": _lockout,
    "phase_monitor": _monitor,
    "compressor_3ph": _legs_skin,
    "blower_motor_3ph": _legs_skin,
}  # fmt: skip

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
