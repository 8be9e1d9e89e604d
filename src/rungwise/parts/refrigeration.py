"""The heat side of an outdoor unit in closed form: temperatures, pressures, compressor load.

The coils are taken at rest with the air (minutes after the start), one refrigerant stands for
all, and what a formula leaves out is smaller than what nobody tells of a unit.  Temperatures in
°C, pressures in psi above the standard atmosphere, everything else over its usual value; all
functions take arrays.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from rungwise.parts.element import FloatArray

KELVIN = 273.15
ATMOSPHERE_PSI = 14.696
SATURATION = (13.4933, 2389.17)
"""ln p = a - b/T, psi absolute and K: Clausius-Clapeyron on R-410A, -40 to 68 °C, to 1.5%.

A switch for another refrigerant opens at about the same saturation temperature, so that one curve
serves: what matters is where a pressure stands against the switch."""

OUTDOOR_C = 32.0
"""Outdoor air at which a compressor asks for its usual load: 90 °F, a usual day of such a call."""

APPROACH_K = 14.0
"""Condensing over outdoor air at full air flow: 11 to 17 K (common practice, no source)."""

CONDENSING_C = OUTDOOR_C + APPROACH_K
EVAPORATING_C = 7.0
"""45 °F, the usual design of a comfort coil (common practice, no source)."""

RETURN_C = 24.0
"""Air that comes back from the rooms."""

UNITS = 1.2
"""Number of transfer units of a clean coil at full air flow, so that the air rises by 0.7 of the
way to the condensing temperature, some 10 K (common practice, no source)."""

STILL_AIR = 0.06
"""Air flow of a coil without a fan over the full one: draft and wind (estimate, no source)."""

COIL_CEILING_C = 75.0
"""Above this a relief valve or the motor gives way (common practice, no source)."""

COIL_FLOOR_C = -35.0
POLYTROPIC = 0.15
"""(n - 1)/n of the compression, n about 1.18 (estimate, no source)."""

FULL_CHARGE = 0.9
"""Charge below which an expansion valve no longer fills the coil (estimate, no source)."""

CROWDING = 2.0
"""Rise of the approach over the charge above the right one: liquid stands in the condenser."""

HIGH_SIDE_S = 400.0
LOW_SIDE_S = 90.0
"""Time constants of the two sides: a unit whose fan stands trips after one to two minutes
(common practice, no source)."""

SHELL_OVER_CONDENSING_K = 30.0
STARVED_K = 40.0
SHELL_OPENS_C = 130.0
"""Of the shell beside the overload: over condensing at full suction flow, more without any, and
where the overload would open without any current (estimates from memory)."""

LEAST_LEFT = 0.04
"""Of the way from the usual shell to the opening disc: hotter ones are not told apart."""

NEWTON_STEPS = 5

_SLOPE = SATURATION[1] / (KELVIN + EVAPORATING_C) ** 2


def saturation_psi(celsius: FloatArray) -> FloatArray:
    """Saturation pressure at a temperature, gauge psi."""
    return np.asarray(_absolute_psi(celsius) - ATMOSPHERE_PSI)


def saturation_c(psi: FloatArray) -> FloatArray:
    """Saturation temperature at a gauge pressure, °C."""
    a, b = SATURATION
    absolute = np.maximum(psi + ATMOSPHERE_PSI, 1.0)
    return np.asarray(b / (a - np.log(absolute)) - KELVIN)


def _absolute_psi(celsius: FloatArray | float) -> FloatArray:
    a, b = SATURATION
    return np.asarray(np.exp(a - b / (celsius + KELVIN)))


def air_flow(speed: FloatArray, blocked: FloatArray) -> FloatArray:
    """Air through a coil over the full flow: fan speed over the rated one, share of it blocked.

    A fan that turns backwards moves some four tenths of its air (common practice, no source).
    """
    moved = np.where(speed < 0, -0.4 * speed, speed)
    return np.asarray(np.maximum(moved, STILL_AIR) * (1.0 - blocked))


def conductance(flow: FloatArray) -> FloatArray:
    """Heat that a coil passes per K over what it passes at full air flow.

    flow·(1 - exp(-NTU)), the effectiveness of a coil that boils or condenses; NTU goes as
    flow^-0.5, because the film on the air's side goes as the root of the flow (textbook).
    """
    full = 1.0 - np.exp(-UNITS)
    flow = np.maximum(flow, 1e-3)
    return np.asarray(flow * (1.0 - np.exp(-UNITS / np.sqrt(flow))) / full)


def evaporating_c(
    flow: FloatArray, charge: FloatArray, air: FloatArray | float = RETURN_C
) -> FloatArray:
    """Temperature at which the cold coil's heat and the compressor's suction agree, °C.

    flow, air: over that coil, which is the indoor one unless the unit heats.
    s·(AIR - T) = (RETURN - T0)·exp(k·(T - T0)): what the coil passes, s over the usual, against
    what the compressor draws in, as its suction pressure.  With x = AIR - T that is
    ln x + k·x = c, on which Newton's steps from the usual x come to rest from one side.
    """
    share = conductance(flow) * np.minimum(charge / FULL_CHARGE, 1.0) ** 2
    usual_k = RETURN_C - EVAPORATING_C
    known = np.log(usual_k / np.maximum(share, 1e-3)) + _SLOPE * (air - EVAPORATING_C)
    below_k = np.full_like(known, usual_k)
    for _ in range(NEWTON_STEPS):
        below_k = below_k * (1.0 + known - np.log(below_k)) / (1.0 + _SLOPE * below_k)
    return np.asarray(np.maximum(air - below_k, COIL_FLOOR_C))


def drawn_in(evaporating: FloatArray) -> FloatArray:
    """Refrigerant that the compressor draws in over the usual, as its suction pressure."""
    return np.asarray(np.exp(_SLOPE * (evaporating - EVAPORATING_C)))


def condensing_c(
    outdoor: FloatArray,
    approach_k: FloatArray,
    outdoor_flow: FloatArray,
    evaporating: FloatArray,
    charge: FloatArray,
) -> FloatArray:
    """Temperature at which the outdoor coil would get rid of its heat, °C, however high."""
    crowded = 1.0 + CROWDING * np.maximum(charge - 1.0, 0.0)
    over = approach_k * drawn_in(evaporating) * crowded / conductance(outdoor_flow)
    return np.asarray(outdoor + over)


def usual_evaporating_c(air: FloatArray | float) -> FloatArray:
    """Evaporating temperature over a clean coil at full air and charge in air of this warmth, °C.

    A compressor is made, and its plate printed, for the cold of its own box.
    """
    rooms = np.ravel(air)
    if (rooms == rooms[0]).all():
        return np.asarray(_usual_at(float(rooms[0])))
    return evaporating_c(np.asarray(1.0), np.asarray(1.0), air)


@lru_cache(16)
def _usual_at(air: float) -> float:
    if air == RETURN_C:
        return EVAPORATING_C  # by what it is defined at, to the last digit
    return float(evaporating_c(np.asarray(1.0), np.asarray(1.0), air))


def load_share(
    condensing: FloatArray, evaporating: FloatArray, usual: FloatArray | float = EVAPORATING_C
) -> FloatArray:
    """Torque of the compressor over that at the usual temperatures; `usual`: evaporating, °C.

    p_e·((p_c/p_e)^m - 1), the work of a polytropic compression per volume drawn in.
    """
    return np.asarray(_work(condensing, evaporating) / _work(CONDENSING_C, usual))


def _work(condensing: FloatArray | float, evaporating: FloatArray | float) -> FloatArray:
    low = _absolute_psi(evaporating)
    return np.asarray(low * ((_absolute_psi(condensing) / low) ** POLYTROPIC - 1.0))


def overload_share(
    condensing: FloatArray, evaporating: FloatArray, usual: FloatArray | float = EVAPORATING_C
) -> FloatArray:
    """Amps at which an overload inside a shell this hot opens, over those at the usual heat.

    Its disc opens at one temperature, which shell and current bring about together: I² goes with
    what the shell leaves below it.  A shell cooler than usual adds nothing to the plate's amps.
    `usual`: evaporating temperature of its own box, which cools it as the plate foresees, °C.
    """
    left = (SHELL_OPENS_C - _shell_c(condensing, evaporating, usual)) / (
        SHELL_OPENS_C - _USUAL_SHELL_C
    )
    return np.asarray(np.sqrt(np.clip(left, LEAST_LEFT, 1.0)))


def _shell_c(
    condensing: FloatArray | float,
    evaporating: FloatArray | float,
    usual: FloatArray | float = EVAPORATING_C,
) -> FloatArray:
    drawn = drawn_in(np.asarray(evaporating)) / drawn_in(np.asarray(usual))
    starved = 1.0 - np.minimum(drawn, 1.0)
    return np.asarray(condensing + SHELL_OVER_CONDENSING_K + STARVED_K * starved)


_USUAL_SHELL_C = _shell_c(CONDENSING_C, EVAPORATING_C)


def seconds_to(
    limit: FloatArray, start: FloatArray, steady: FloatArray, constant_s: float
) -> FloatArray:
    """Seconds in which a temperature gets from `start` to `limit` on its way to `steady`.

    First order: infinite where it comes to rest before the limit, 0 where it starts beyond it.
    """
    way, rest = limit - start, steady - start
    share = np.where(rest == 0.0, np.inf, way / np.where(rest == 0.0, 1.0, rest))
    inside = np.clip(share, 0.0, 1.0 - 1e-12)
    return np.asarray(np.where(share >= 1.0, np.inf, -constant_s * np.log1p(-inside)))
