"""One house of the other world: an arrangement with values of its own, and what was done to it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rungwise.other_world.kinds import COMPRESSORS, CONTACTORS
from rungwise.other_world.machines import Machine
from rungwise.other_world.three_legs import ThreeLegs
from rungwise.unit import Unit


@dataclass(slots=True)
class Supply:
    """What comes to the house. leg_volt: of each leg to the neutral, V, before the service drop.

    angle_deg: of the second leg against the first: 180 in a house, 120 on two legs of a wye.
    drop_ohm, drop_henry: of each leg to the transformer. neutral_ohm: of the neutral; infinite
    when it is lost. rod_ohm: of the ground rods, in parallel with it. lost: legs that are open.
    loads_ohm: of the house, by pair "1N", "2N", "12". bank: what a delta's transformers are inside.
    sag: a leg's volts over what it should have.
    turned: whether three legs come in the other order.
    """

    leg_volt: float
    angle_deg: float
    drop_ohm: float
    drop_henry: float
    neutral_ohm: float
    rod_ohm: float
    loads_ohm: dict[str, float]
    bank: Mapping[str, float] = field(default_factory=dict)
    lost: set[int] = field(default_factory=set)
    sag: dict[int, float] = field(default_factory=dict)
    turned: bool = False


@dataclass(slots=True)
class Weather:
    """Outdoor air in °F, how clean the coil is (1: clean), how full the charge is (1: full).

    indoor_air: share of the duct's air that gets through filter and coil. charges: of a refrigerant
    circuit that is filled otherwise.
    """

    outdoor_f: float
    coil_clean: float = 1.0
    charge: float = 1.0
    indoor_air: float = 1.0
    charges: dict[str, float] = field(default_factory=dict)

    def charge_of(self, circuit: str) -> float:
        """How full a refrigerant circuit is."""
        return self.charges.get(circuit, self.charge)


@dataclass(slots=True)
class WireMake:
    """A wire as it lies: where its ends sit, ohms of copper with its crimps and of each contact."""

    start: str
    end: str
    copper_ohm: float
    start_ohm: float
    end_ohm: float
    open: bool = False
    to_ground_ohm: float = float("inf")


@dataclass(frozen=True, slots=True)
class Bridge:
    """A resistance that should not be there, between two nodes."""

    a: str
    b: str
    ohm: float


@dataclass(slots=True)
class House:
    """Everything that decides what a meter shows.

    values: by part, numbers and 0-or-1 flags of its make and its faults. strays: each terminal's
    capacitance to ground, F. bridges: resistances that should not be there. found_tripped: whether
    an overload that opened is found open on arrival; found_pressed: whether a pressure switch is;
    still_hot: whether either is still open when the unit is measured dead. marks: chance that a
    look at (thing, part) shows a trace of the fault. season: what the call is about.
    """

    unit: Unit
    supply: Supply
    weather: Weather
    values: dict[str, dict[str, float]]
    machines: dict[str, Machine | ThreeLegs]
    wires: dict[str, WireMake]
    strays: Mapping[str, float]
    cable_farad_per_m: float
    bridges: list[Bridge] = field(default_factory=list)
    found_tripped: bool = True
    found_pressed: bool = False
    still_hot: bool = False
    marks: dict[tuple[str, str], float] = field(default_factory=dict)
    season: Literal["cool", "heat"] = "cool"

    def value(self, part: str, name: str, default: float = 0.0) -> float:
        """A number or flag of a part; `default` where its make does not name it."""
        return self.values[part].get(name, default)

    def part_of(self, *kinds: str) -> str:
        """Name of the first part of one of the kinds, "" when the house has none."""
        return next((p.name for p in self.unit.parts_of_kind(*kinds)), "")

    @property
    def omega(self) -> float:
        """Of its supply, rad/s."""
        return 2.0 * math.pi * self.unit.hz

    @property
    def contactor(self) -> str:
        """The compressor's contactor, the first of its description."""
        return self.part_of(*CONTACTORS)

    @property
    def compressor(self) -> str:
        """The compressor, the first of its description."""
        return self.part_of(*COMPRESSORS)

    @property
    def compressors(self) -> list[str]:
        """Every compressor."""
        return [part.name for part in self.unit.parts_of_kind(*COMPRESSORS)]

    def compressor_with(self, part: str) -> str:
        """The compressor on a part's refrigerant circuit; the first where none is told."""
        circuit = self.unit.part(part).circuit
        same = (name for name in self.compressors if self.unit.part(name).circuit == circuit)
        return next(same, self.compressor)

    def ends_on(self, terminals: frozenset[str]) -> frozenset[tuple[str, str]]:
        """The wire ends that sit on the terminals, as (wire, "start" or "end")."""
        found = {(name, "start") for name, made in self.wires.items() if made.start in terminals}
        found |= {(name, "end") for name, made in self.wires.items() if made.end in terminals}
        return frozenset(found)
