"""Capacitor motors for their labels, each wound in its own way.

Ranges as in `makes`: what the trade finds (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from rungwise.other_world.draws import Values
from rungwise.other_world.machines import Machine, rising, terminal_amps

FULL_SPEED = np.linspace(0.85, 0.998, 149)


def compressor_of(own: Values, rng: np.random.Generator, *, needs_kit: bool) -> Machine:
    """A compressor for its label's amps and capacitor, wound in its own way."""
    volt, full, farad = own["plate_rated_volt"], own["plate_rated_a"], 1e-6 * own["plate_run_uf"]
    base = volt / full
    leak = rng.uniform(0.075, 0.1)
    design = Machine(
        r_main=float(rng.uniform(0.031, 0.073)) * base,
        x_main=leak * base,
        x_magnet=float(rng.uniform(1.9, 2.5)) * base,
        r_rotor=float(rng.uniform(0.042, 0.06)) * base,
        x_rotor=leak * base,
        ratio=float(rng.uniform(1.1, 1.45)),
        r_aux=float(rng.uniform(0.097, 0.25)) * base,
        x_aux=1.4 * leak * base,
        core=float(rng.uniform(45, 90)) * base,
        deep_bar=float(rng.uniform(0.8, 1.6)),
        omega=own["omega"],
    )
    locked = rising(
        1.0 / own["lra"], lambda k: 1.0 / _locked_amps(_leaky(design, k), volt, farad), 0.3, 3.0
    )
    design = _leaky(design, locked)
    amps, torque = _curve(design, volt, farad)
    rated = float(np.interp(full, amps[::-1], torque[::-1]))
    still = np.zeros(1)
    standing = float(np.abs(design.torque_w(still, terminal_amps(design, volt, farad, still)))[0])
    share = rng.uniform(1.15, 2.2) if needs_kit else rng.uniform(0.3, 0.6)
    own["rated_w"] = rated
    own["running_start_volt"] = _aux_volt(design, volt, farad)
    return replace(design, need_w=rated, start_w=share * standing)


def _leaky(design: Machine, factor: float) -> Machine:
    return replace(
        design,
        x_main=factor * design.x_main,
        x_rotor=factor * design.x_rotor,
        x_aux=factor * design.x_aux,
    )


def _locked_amps(design: Machine, volt: float, farad: float) -> float:
    return float(np.abs(terminal_amps(design, volt, farad, np.zeros(1)).sum()))


def _curve(design: Machine, volt: float, farad: float) -> tuple[np.ndarray, np.ndarray]:
    """Line amps, falling, and torque over the speeds near full speed, the right way round."""
    forward = terminal_amps(design, volt, farad, -FULL_SPEED)
    torque = np.abs(design.torque_w(-FULL_SPEED, forward))
    return np.abs(forward.sum(axis=1)), torque


def _aux_volt(design: Machine, volt: float, farad: float) -> float:
    """Volts across the start winding at full speed."""
    amps = terminal_amps(design, volt, farad, np.array([-0.965]))[0]
    seen = volt - amps[1] * (-1j / (design.omega * farad))
    return float(abs(seen))


LARGE_CAPACITOR = 0.7
"""Of the reactance that a motor of its size usually has in its start winding."""


def _for_large_capacitor(
    design: Machine, reach: float, draws: float, volt: float, farad: float
) -> Machine:
    """Fewer turns and a finer winding, until the motor can draw as little as it should."""
    design = replace(design, ratio=design.ratio * reach**0.5)
    for _ in range(30):
        if 1.05 * float(_curve(design, volt, farad)[0].min()) < draws:
            break
        design = design.scaled(1.06)
    return design


def fan_of(own: Values, rng: np.random.Generator) -> Machine:
    """A fan motor drawing some 70 to 100% of its label's amps."""
    volt, full, farad = own["plate_rated_volt"], own["plate_rated_a"], 1e-6 * own["plate_run_uf"]
    base = volt / full
    leak = rng.uniform(0.13, 0.17)
    # A capacitor that is small against the motor wants a winding of more turns.
    reach = (1.0 / (own["omega"] * farad)) / (3.0 * base)
    design = Machine(
        r_main=float(rng.uniform(0.09, 0.14)) * base,
        x_main=leak * base,
        x_magnet=float(rng.uniform(1.4, 1.9)) * base,
        r_rotor=float(rng.uniform(0.11, 0.19)) * base,
        x_rotor=leak * base,
        ratio=float(rng.uniform(1.15, 1.5)) * max(reach, 1.0) ** 0.5,
        r_aux=float(rng.uniform(0.18, 0.3)) * base * max(reach, 1.0),
        x_aux=1.5 * leak * base * max(reach, 1.0),
        core=float(rng.uniform(12, 25)) * base,
        fan_law=True,
        omega=own["omega"],
    )
    draws = full * float(rng.uniform(0.68, 0.94))
    if reach < LARGE_CAPACITOR:
        design = _for_large_capacitor(design, reach, draws, volt, farad)
    amps, torque = _curve(design, volt, farad)
    reach_amps = float(np.clip(draws, amps.min() * 1.02, amps.max() * 0.98))
    need = float(np.interp(reach_amps, amps[::-1], torque[::-1]))
    still = np.zeros(1)
    standing = float(np.abs(design.torque_w(still, terminal_amps(design, volt, farad, still)))[0])
    own["trip_amps"] = full * float(rng.uniform(1.5, 2.0))
    return replace(design, need_w=need, start_w=float(rng.uniform(0.12, 0.35)) * standing)
