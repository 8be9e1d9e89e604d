"""Saturation, superheat and subcooling of the refrigerants of the trade, by CoolProp.

A blend with glide has two saturation temperatures at a pressure: liquid line and subcooling go by
the bubble point, suction line and superheat by the dew point. Pressures are gauge psi above a
standard atmosphere, temperatures °C, differences K.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal

from rungwise.errors import BadReading, UnknownName
from rungwise.wording import measured, say

if TYPE_CHECKING:
    from CoolProp.CoolProp import AbstractState

ATMOSPHERE_PA = 101_325.0
PA_PER_PSI = 6_894.757293168
KELVIN = 273.15

Point = Literal["bubble", "dew"]


@dataclass(frozen=True, slots=True)
class Refrigerant:
    """A refrigerant: its fluids with their shares of mass.

    source: what its equation of state rests on, from memory, or that a blend is a prediction.
    glide_k: dew over bubble point at an atmosphere. freezes: whether it serves coolers and
    freezers, whose coils are built to freeze.
    """

    name: str
    shares: tuple[tuple[str, float], ...]
    source: str
    glide_k: float = 0.0
    freezes: bool = False

    @property
    def glides(self) -> bool:
        """Whether its bubble and dew points are far enough apart to matter."""
        return self.glide_k >= MATTERS_K


MATTERS_K = 0.5
LEMMON = "Lemmon 2003, pseudo-pure"
BLEND = "mixture model, a prediction: allow 1 to 2%"

REFRIGERANTS: Mapping[str, Refrigerant] = {
    each.name: each
    for each in (
        Refrigerant("R-22", (("R22", 1.0),), "Kamei 1995"),
        Refrigerant("R-134a", (("R134a", 1.0),), "Tillner-Roth and Baehr 1994"),
        Refrigerant("R-32", (("R32", 1.0),), "Tillner-Roth and Yokozeki 1997"),
        Refrigerant("R-410A", (("R410A", 1.0),), LEMMON, 0.1),
        Refrigerant("R-407C", (("R407C", 1.0),), LEMMON, 7.0),
        Refrigerant("R-404A", (("R404A", 1.0),), LEMMON, 0.8, freezes=True),
        Refrigerant("R-507A", (("R507A", 1.0),), LEMMON, freezes=True),
        Refrigerant("R-454B", (("R32", 0.689), ("R1234yf", 0.311)), BLEND, 0.9),
        Refrigerant("R-454C", (("R32", 0.215), ("R1234yf", 0.785)), BLEND, 7.8, freezes=True),
        Refrigerant(
            "R-452B", (("R32", 0.67), ("R125", 0.07), ("R1234yf", 0.26)), BLEND, 0.9
        ),
        Refrigerant("R-513A", (("R1234yf", 0.56), ("R134a", 0.44)), BLEND, 0.1),
        Refrigerant(
            "R-407A", (("R32", 0.20), ("R125", 0.40), ("R134a", 0.40)), BLEND, 6.4, freezes=True
        ),
        Refrigerant(
            "R-452A", (("R32", 0.11), ("R125", 0.59), ("R1234yf", 0.30)), BLEND, 3.8, freezes=True
        ),
        Refrigerant(
            "R-448A",
            (("R32", 0.26), ("R125", 0.26), ("R1234yf", 0.20), ("R134a", 0.21),
             ("R1234ze(E)", 0.07)),
            BLEND, 6.1, freezes=True,
        ),
        Refrigerant(
            "R-449A",
            (("R32", 0.243), ("R125", 0.247), ("R1234yf", 0.253), ("R134a", 0.257)),
            BLEND, 6.1, freezes=True,
        ),
    )
}  # fmt: skip
"""Shares of mass and glides by ASHRAE 34, from memory."""


def refrigerant(name: str) -> Refrigerant:
    """The refrigerant as people write it: "R410A", "r-410a", "410A".

    Raises UnknownName with those that are known.
    """
    short = name.upper().replace("-", "").replace(" ", "").removeprefix("R")
    for each in REFRIGERANTS.values():
        if each.name.upper().replace("-", "").removeprefix("R") == short:
            return each
    what = "Saturation of this refrigerant is not known here."
    raise UnknownName(what=what, name=name, known=REFRIGERANTS)


def saturation_c(name: str, psi: float, point: Point, air_pa: float = ATMOSPHERE_PA) -> float:
    """Saturation temperature at a gauge pressure, °C.

    air_pa: of the air about the gauge, which it reads against; less on a height. Raises
    UnknownName, BadReading where nothing boils at that pressure.
    """
    known = refrigerant(name)
    fluid, quality = _fluid(known.shares), 0.0 if point == "bubble" else 1.0
    _within(known, psi)
    from CoolProp import CoolProp  # noqa: PLC0415  # seconds to load, and few commands need it

    try:
        fluid.update(CoolProp.PQ_INPUTS, psi * PA_PER_PSI + air_pa, quality)
    except ValueError as error:
        raise _no_boiling(known, psi) from error
    return float(fluid.T()) - KELVIN


def saturation_psi(name: str, celsius: float, point: Point) -> float:
    """Saturation pressure at a temperature, gauge psi. Raises UnknownName, BadReading."""
    known = refrigerant(name)
    fluid, quality = _fluid(known.shares), 0.0 if point == "bubble" else 1.0
    from CoolProp import CoolProp  # noqa: PLC0415  # see `saturation_c`

    try:
        fluid.update(CoolProp.QT_INPUTS, quality, celsius + KELVIN)
    except ValueError as error:
        at = measured(f"{celsius:.0f}", "°C")
        raise BadReading(
            what=say("{name} does not boil at {temperature}.", name=known.name, temperature=at),
            value=at,
            next_step="check the thermometer and its unit",
        ) from error
    return (float(fluid.p()) - ATMOSPHERE_PA) / PA_PER_PSI


def superheat_k(
    name: str, suction_psi: float, line_c: float, air_pa: float = ATMOSPHERE_PA
) -> float:
    """Suction line over the dew point at the suction pressure, K."""
    return line_c - saturation_c(name, suction_psi, "dew", air_pa)


def subcooling_k(
    name: str, liquid_psi: float, line_c: float, air_pa: float = ATMOSPHERE_PA
) -> float:
    """Bubble point at the liquid pressure over the liquid line, K."""
    return saturation_c(name, liquid_psi, "bubble", air_pa) - line_c


LOWEST_PSI, HIGHEST_PSI = -10.0, 650.0


def _within(known: Refrigerant, psi: float) -> None:
    if not LOWEST_PSI <= psi <= HIGHEST_PSI:
        raise _no_boiling(known, psi)


def _no_boiling(known: Refrigerant, psi: float) -> BadReading:
    at = measured(f"{psi:.0f}", "psi")
    return BadReading(
        what=say(
            "At {pressure} nothing of {name} boils in a unit of this sort.",
            pressure=at,
            name=known.name,
        ),
        value=at,
        allowed=say(
            "{low} to {high} on the gauge, below the critical point",
            low=measured(f"{LOWEST_PSI:.0f}", "psi"),
            high=measured(f"{HIGHEST_PSI:.0f}", "psi"),
        ),
        next_step="read the gauge again, and check the refrigerant on the nameplate",
    )


@cache
def _fluid(shares: tuple[tuple[str, float], ...]) -> AbstractState:
    from CoolProp.CoolProp import AbstractState  # noqa: PLC0415  # see `saturation_c`

    fluid = AbstractState("HEOS", "&".join(name for name, _ in shares))
    if len(shares) > 1:
        fluid.set_mass_fractions([share for _, share in shares])
    return fluid
