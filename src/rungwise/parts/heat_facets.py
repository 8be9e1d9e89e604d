"""Facets of heat that is no resistance: what melts ice, turns the cycle round, or burns gas."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.parts.element import Expr
from rungwise.parts.trade import Facet


@dataclass(frozen=True, slots=True)
class Defrosts(Facet):
    """It melts the ice off a coil: by turning the cycle round, by heat, or by stopping to cool.

    Attributes:
        due: the state that is 1 where a defrost is asked for.
        runs: the state that is 1 while one runs.
    """

    due: str
    runs: str


@dataclass(frozen=True, slots=True)
class Reverses(Facet):
    """It sends the refrigerant the other way round, so that the unit heats the rooms.

    Attributes:
        heats: 1 where it does, from its parameters and states.
        energized_in: in which of the two its coil has volts.
    """

    heats: Expr
    energized_in: Literal["cooling", "heating"]


@dataclass(frozen=True, slots=True)
class Feeds(Facet):
    """It lets liquid refrigerant into the cold coil; shut, the unit pumps that empty.

    Attributes:
        opened: 1 where it does, from its parameters and states.
    """

    opened: Expr


@dataclass(frozen=True, slots=True)
class Burner(Facet):
    """It burns gas: what a hand cannot measure and an eye can see.

    Attributes:
        burns: 1 where a flame stands, from its parameters and states.
    """

    burns: Expr


@dataclass(frozen=True, slots=True)
class Ignites(Facet):
    """It lights a burner step by step, and lets it burn once it has proved the flame.

    Attributes:
        proved: 1 where it has, from its parameters and states.
        draft, glow: the contacts whose amps show that the inducer works and the igniter glows.
    """

    proved: Expr
    draft: str
    glow: str


@dataclass(frozen=True, slots=True)
class Stages(Facet):
    """A compressor that works in a low and in a high stage.

    Attributes:
        high: 1 where it works in the high one, from its parameters and states.
    """

    high: Expr
