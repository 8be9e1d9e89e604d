"""The few primitive elements of which every part is made.

A part kind describes its electrical inside as elements between its own terminals.  The circuit
room turns them into admittances; the SPICE export prints the very same elements.  Element values
are expressions over a part's parameters and states, evaluated on arrays so that one call serves
a whole batch of variants.

Conventions: RMS phasors; branch current flows into the first terminal; `EARTH` is the
reference node.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar, Protocol

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
PhasorArray = npt.NDArray[np.complex128]

EARTH = "@earth"
"""Name of the reference node: the equipment earth, the cabinet and the motor shells."""


class Lookup(Protocol):
    """Parameters and states of one part by name; each a scalar array or one value a variant."""

    def __getitem__(self, name: str, /) -> FloatArray: ...


Pair = tuple[str, str]
"""Two terminals or inner nodes, or two names."""

Expr = Callable[[Lookup], FloatArray]
Phasor = Callable[[Lookup], PhasorArray]


def value(name: str) -> Expr:
    """The parameter or state called `name`."""
    return lambda p: p[name]


def fixed(number: float) -> Expr:
    """A constant."""
    constant = np.float64(number)
    return lambda _: np.asarray(constant)


@dataclass(frozen=True, slots=True)
class Branch:
    """A series R-L-C between two nodes, with an optional source and an optional switch.

    `ohm` in Ω, `henry` in H, `farad` in F (`None`: no such member in the series),
    `emf_volt` the RMS phasor of the source in series, positive towards `a` (reaches `a`),
    and `closed` 1 where the branch conducts, 0 where it is absent.
    """

    name: str
    a: str
    b: str
    ohm: Expr
    henry: Expr | None = None
    farad: Expr | None = None
    emf_volt: Phasor | None = None
    closed: Expr | None = None


@dataclass(frozen=True, slots=True)
class Coupled:
    """Two coupled windings (a transformer): self inductances, mutual inductance, resistances.

    V1 = (r1 + jωL1) I1 + jωM I2 and V2 = jωM I1 + (r2 + jωL2) I2, both currents into the
    first terminal of their winding.  `closed1` and `closed2` are 0 where a winding is open.
    """

    name: str
    first: tuple[str, str]
    second: tuple[str, str]
    ohm1: Expr
    henry1: Expr
    ohm2: Expr
    henry2: Expr
    mutual_henry: Expr
    closed1: Expr
    closed2: Expr

    rotates: ClassVar[bool] = False
    port_names: ClassVar[Pair] = ("primary", "secondary")

    @property
    def ports(self) -> tuple[Pair, Pair]:
        """The ends of its two windings."""
        return self.first, self.second

    @property
    def closed(self) -> tuple[Expr, Expr]:
        """0 where a winding is open, one each."""
        return self.closed1, self.closed2


Frame = tuple[tuple[float, float], tuple[float, float]]
"""Volts of two windings from those of two ports: a row a winding."""

AS_WOUND: Frame = ((1.0, 0.0), (0.0, 1.0))
"""Each port is a winding."""

STAR: Frame = ((math.sqrt(2 / 3), -math.sqrt(1 / 6)), (0.0, -math.sqrt(1 / 2)))
"""Three wires to a star seen as two windings: ports 1-3 and 2-3, watts for watts.

E. Clarke, *Circuit Analysis of A-C Power Systems* (from memory), in the form that keeps the power:
v1 = √(2/3)·(vU - vV/2 - vW/2) and v2 = √(1/2)·(vW - vV), so that U, V, W in this order turn it the
way that counts as forward.  What the three have in common drives nothing: no wire leads out of the
star.  To the second winding the rotor is what it is to the first, so that unlike volts of the legs
meet the forward impedance with their positive and the backward one with their negative sequence.
"""


@dataclass(frozen=True, slots=True)
class Machine:
    """A two-winding (main and auxiliary) induction motor at the slip held in state `slip`.

    One of three phases is such a machine of two equal windings, seen through its `frame`.

    The fitted constants live in the parameters named in `rungwise.circuit.machine`.
    `main_closed` and `aux_closed` are 0 where a winding is open; `turns` scales both
    windings' effective turns (below 1 for shorted turns).  `standstill_nm` and `rated_nm` are
    the torques in N·m that the load on its shaft asks for, standing and at the rated speed.
    """

    name: str
    main: tuple[str, str]
    aux: tuple[str, str]
    main_closed: Expr
    aux_closed: Expr
    turns: Expr
    standstill_nm: Expr
    rated_nm: Expr
    frame: Frame = AS_WOUND

    rotates: ClassVar[bool] = True
    port_names: ClassVar[Pair] = ("main", "aux")

    @property
    def ports(self) -> tuple[Pair, Pair]:
        """The ends of its two ports."""
        return self.main, self.aux

    @property
    def closed(self) -> tuple[Expr, Expr]:
        """0 where a winding is open, one each."""
        return self.main_closed, self.aux_closed


Element = Branch | Coupled | Machine


def contact(
    name: str, a: str, b: str, *, ohm: Expr, closed: Expr, gap_farad: float = 2e-12
) -> tuple[Branch, Branch]:
    """A contact: its resistance while closed, and always the small capacitance of its gap.

    The gap of 2 pF is an order of magnitude (common practice, no source); it makes an open
    switch pass the microamperes that a high-impedance meter turns into ghost volts.
    """
    return (
        Branch(name, a, b, ohm, closed=closed),
        Branch(f"{name}_gap", a, b, fixed(1e3), farad=fixed(gap_farad)),
    )


def insulation(
    name: str, a: str, ohm: Expr, b: str = EARTH, *, closed: Expr | None = None
) -> Branch:
    """The leakage resistance from a node to earth (or to another node), where it is `closed`."""
    return Branch(name, a, b, ohm, closed=closed)


def either(*conditions: Expr) -> Expr:
    """1 where any of the 0-or-1 conditions is 1."""

    def combined(p: Lookup) -> FloatArray:
        result = np.asarray(0.0)
        for condition in conditions:
            result = np.maximum(result, condition(p))
        return result

    return combined


def both(*conditions: Expr) -> Expr:
    """1 where all of the 0-or-1 conditions are 1."""

    def combined(p: Lookup) -> FloatArray:
        result = np.asarray(1.0)
        for condition in conditions:
            result = result * condition(p)
        return result

    return combined


def negate(condition: Expr) -> Expr:
    """1 where the condition is 0."""
    return lambda p: 1.0 - condition(p)
