"""One part as it is written into a netlist: its values, its states and where its terminals are."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from rungwise.other_world.house import House
from rungwise.other_world.netlist import GROUND, Netlist
from rungwise.unit import Part

GAP_FARAD = 3e-12
OMEGA = 2.0 * math.pi * 60.0

Call = Literal["", "cool", "heat"]
"""What the thermostat calls for; "heat" with all that the unit has for it."""


@dataclass(slots=True)
class Stand:
    """How everything stands: the call, the isolating devices, leads off, and what has moved.

    lifted: ends of wires that are taken off, as (wire, "start" or "end").
    states: by (part, name): "in" of coils, "timed", "tripped", "blown1", "open" of pressure
    switches, "speed" of motors. bare: the windings of every motor are left out.
    """

    call: Call = ""
    isolated: bool = False
    lifted: frozenset[tuple[str, str]] = frozenset()
    chilled: bool = False
    states: dict[tuple[str, str], float] = field(default_factory=dict)
    bare: bool = False

    def state(self, part: str, name: str) -> float:
        """A state, 0 when nothing has moved it."""
        return self.states.get((part, name), 0.0)


@dataclass(frozen=True, slots=True)
class Place:
    """One part being written."""

    net: Netlist
    house: House
    part: Part
    stand: Stand

    @property
    def omega(self) -> float:
        """Of the house's supply, rad/s."""
        return self.house.omega

    def node(self, terminal: str) -> str:
        """A terminal's node."""
        return f"{self.part.name}.{terminal}"

    def value(self, name: str, default: float = 0.0) -> float:
        """A number or flag of the part."""
        return self.house.value(self.part.name, name, default)

    def state(self, name: str) -> float:
        """What has moved in the part."""
        return self.stand.state(self.part.name, name)

    def ohm(self, name: str, a: str, b: str, ohm: float) -> None:
        """A resistance between two terminals, or from one to ground."""
        far = b if b == GROUND else self.node(b)
        if math.isfinite(ohm):
            self.net.ohm(f"{self.part.name}.{name}", self.node(a), far, ohm)

    def contact(self, name: str, a: str, b: str, ohm: float, *, closed: bool) -> None:
        """A contact with its gap, and with what it has grown in series."""
        if closed:
            self.ohm(name, a, b, ohm + self.value(f"{name}_series"))
        self.net.farad(f"{self.part.name}.{name}_gap", self.node(a), self.node(b), GAP_FARAD)

    def coil(self, ohm: float, henry: float, a: str = "coil1", b: str = "coil2") -> None:
        """A coil between two terminals, unless it is broken."""
        if self.value("coil_open"):
            return
        middle = f"{self.part.name}~coil"
        self.net.ohm(f"{self.part.name}.coil", self.node(a), middle, ohm)
        self.net.henry(f"{self.part.name}.coil_l", middle, self.node(b), henry)
