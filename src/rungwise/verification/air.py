"""Humid air: states from dry and wet bulb, the split across the coil, and capacity from flow.

Psychrometrics by CoolProp's `HAPropsSI` (ASHRAE RP-1485 formulation). °C, Pa, kJ per kg of dry
air, m³/s; the wet bulb is the thermodynamic one, which an aspirated wet thermometer comes near.
"""

from __future__ import annotations

from dataclasses import dataclass

from scipy.optimize import brentq

from rungwise.errors import BadReading
from rungwise.wording import in_both, say

KELVIN = 273.15
SEA_LEVEL_PA = 101_325.0
NOMINAL_DROP_KJ_KG = 15.5
"""Enthalpy that a coil takes out of each kg at 400 cfm a ton (3517 W over 0.189 m³/s)."""

DROP_PER_K = 0.018
"""Share by which that grows for each K of wet bulb over 19.4 °C (common practice, no source)."""

LEAVING_HUMIDITY = 0.90
"""Relative humidity of air leaving a wet coil (common practice, no source: 85 to 95%)."""


@dataclass(frozen=True, slots=True)
class MoistAir:
    """A state of humid air.

    dry_c, wet_c: dry and wet bulb, °C. ratio: kg water per kg dry air. humidity: relative, 0 to 1.
    enthalpy_kj_kg and volume_m3_kg: per kg of dry air. dew_c: dew point.
    """

    dry_c: float
    wet_c: float
    ratio: float
    humidity: float
    enthalpy_kj_kg: float
    volume_m3_kg: float
    dew_c: float

    @classmethod
    def of(cls, dry_c: float, wet_c: float, pressure_pa: float = SEA_LEVEL_PA) -> MoistAir:
        """From dry and wet bulb. Raises BadReading where the wet bulb is the warmer one."""
        if wet_c > dry_c + 0.05:
            raise BadReading(
                what="The wet bulb cannot be warmer than the dry bulb.",
                value=say("wet {wet}, dry {dry}", wet=_degrees(wet_c), dry=_degrees(dry_c)),
                allowed=say("at most {dry}", dry=_degrees(dry_c)),
                next_step="see that the two were not written the wrong way round, and where their "
                "points are",
            )
        told = ("W", "R", "H", "V", "D")
        from CoolProp.CoolProp import HAPropsSI  # noqa: PLC0415  # seconds to load

        at = ("T", dry_c + KELVIN, "B", min(wet_c, dry_c - 1e-6) + KELVIN, "P", pressure_pa)
        try:
            ratio, humidity, joule, volume, dew = (float(HAPropsSI(it, *at)) for it in told)
        except ValueError as error:
            raise _no_such_air(dry_c, wet_c) from error
        return cls(dry_c, wet_c, ratio, humidity, joule / 1e3, volume, dew - KELVIN)


@dataclass(frozen=True, slots=True)
class Capacity:
    """What the coil takes out of the air, W: sensible, and with what goes into water."""

    sensible_w: float
    total_w: float


def capacity(back: MoistAir, supply: MoistAir, flow_m3_s: float) -> Capacity:
    """Sensible and total capacity from the states before and after the coil, W.

    flow_m3_s: of the return air, above 0. Total: ṁ·(h1 - h2), the drained water's own heat left
    out (under 2%). Sensible: ṁ·(1.006 + 1.86·W)·(t1 - t2), W of the supply air.
    Raises ValueError for a flow of 0 or less.
    """
    if not flow_m3_s > 0.0:
        msg = "an air flow above 0 is needed"
        raise ValueError(msg)
    dry_kg_s = flow_m3_s / back.volume_m3_kg
    moist_kj_kg_k = 1.006 + 1.86 * supply.ratio
    total = 1e3 * dry_kg_s * (back.enthalpy_kj_kg - supply.enthalpy_kj_kg)
    sensible = 1e3 * dry_kg_s * moist_kj_kg_k * (back.dry_c - supply.dry_c)
    return Capacity(sensible, total)


def expected_split_k(back: MoistAir, pressure_pa: float = SEA_LEVEL_PA) -> float:
    """Dry-bulb split across a coil with the usual air flow, K: an estimate, ±2.5 K.

    Each kg of air gives up the enthalpy of a ton at 400 cfm and leaves at 90% humidity, or, where
    the coil stays dry, as dry as it came. Our own energy balance; its three constants are common
    practice, no source.
    """
    from CoolProp.CoolProp import HAPropsSI  # noqa: PLC0415  # seconds to load

    drop = NOMINAL_DROP_KJ_KG * (1.0 + DROP_PER_K * (back.wet_c - 19.4))
    left_j_kg = 1e3 * (back.enthalpy_kj_kg - drop)

    def excess(kelvin: float) -> float:
        wet = float(HAPropsSI("H", "T", kelvin, "R", LEAVING_HUMIDITY, "P", pressure_pa))
        dry = float(HAPropsSI("H", "T", kelvin, "W", back.ratio, "P", pressure_pa))
        return min(wet, dry) - left_j_kg

    leaving = brentq(excess, KELVIN - 10.0, back.dry_c + KELVIN)
    return back.dry_c + KELVIN - float(leaving)


def pressure_at(altitude_m: float) -> float:
    """Air pressure at a height, Pa: 101325·(1 - 2.25577e-5·z)^5.2559 (ASHRAE, from memory)."""
    return float(SEA_LEVEL_PA * (1.0 - 2.25577e-5 * altitude_m) ** 5.2559)


def _no_such_air(dry_c: float, wet_c: float) -> BadReading:
    return BadReading(
        what="There is no air with this dry and wet bulb.",
        value=say("dry {dry}, wet {wet}", dry=_degrees(dry_c), wet=_degrees(wet_c)),
        next_step="wet the sock again, fan it, and read both once more",
    )


def _degrees(celsius: float) -> str:
    return in_both(f"{celsius:.1f} °C", f"{1.8 * celsius + 32.0:.1f} °F")
