"""How a part's states follow its circuit: the rules that the switching solver applies.

Fast rules act within cycles (a coil pulls in, a fuse melts on a short, a rotor runs up); slow
ones need heat or time (an overload, a breaker's thermal part, a delay, a pressure switch).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.parts.element import Expr


@dataclass(frozen=True, slots=True)
class CoilRule:
    """State ``state`` is 1 once the element's volts reach ``pull_in_volt``.

    It returns to 0 below ``drop_out_volt``; between the two it keeps what it was.
    """

    state: str
    element: str
    pull_in_volt: Expr
    drop_out_volt: Expr


@dataclass(frozen=True, slots=True)
class FuseRule:
    """State ``state`` becomes 1 for good when the element's amps reach ``fast_amp`` at once.

    At ``slow_amp`` or more it does so with time, after ``slow_s``·1/((I/slow)²-1) seconds.
    """

    state: str
    element: str
    fast_amp: Expr
    slow_amp: Expr
    slow_s: float


@dataclass(frozen=True, slots=True)
class OverloadRule:
    """A self-resetting thermal overload: opens like the slow part of a fuse, closes when cool."""

    state: str
    element: str
    slow_amp: Expr
    slow_s: float
    reset_s: float


@dataclass(frozen=True, slots=True)
class MotorRule:
    """State ``slip`` follows the torque balance of the machine element ``machine``."""

    state: str
    machine: str
    seized: Expr


@dataclass(frozen=True, slots=True)
class DelayRule:
    """State ``state`` becomes 1 when the element has had ``volts`` or more for ``delay_s``."""

    state: str
    element: str
    volts: Expr
    delay_s: Expr


@dataclass(frozen=True, slots=True)
class PressureRule:
    """State ``state`` becomes 1 when the pressure on its side passes ``opens_psi``.

    ``side`` is ``high`` (opens on rise) or ``low`` (opens on fall); it closes again at
    ``closes_psi``.  Pressures are gauge psi of the one refrigerant that stands for all.
    """

    state: str
    side: Literal["high", "low"]
    opens_psi: Expr
    closes_psi: Expr


Rule = CoilRule | FuseRule | OverloadRule | MotorRule | DelayRule | PressureRule
