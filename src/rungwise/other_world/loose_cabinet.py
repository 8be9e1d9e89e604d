"""A cabinet whose wires were all pulled off: what is really so, and what an ohmmeter shows there.

Colors may be ordinary, odd (the same colors at random) or false (the colors of other wires); a
wire may be broken inside; gauges that are told are true.  The readings come from the nodal solver
of this room at 0 Hz, with a meter of ±0.4% and leads of 0 to 0.2 Ω.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from rungwise.other_world.house import House
from rungwise.other_world.makes import good_house
from rungwise.other_world.netlist import GROUND, Solved
from rungwise.other_world.parts import solve_stand
from rungwise.other_world.place import Stand
from rungwise.unit import Unit, Wire, part_of

Colors = Literal["ordinary", "odd", "false"]
COLORS: tuple[Colors, ...] = get_args(Colors)

METER_SHARE = 0.004
LEADS_OHM = 0.2
STEP_OHM = 0.1
OPEN_OHM = 1e6

OTHER_COLOR = 0.15
"""Share of wires with ordinary colors that have been renewed in whatever was on the van."""

VAN = ("black", "red", "blue", "yellow", "white", "brown", "purple", "orange")


@dataclass(frozen=True, slots=True)
class Tag:
    """A loose wire as it hangs there. ends: of the wire, "start" or "end", one or both."""

    name: str
    wire: Wire
    ends: tuple[str, ...]
    color: str

    def points(self) -> tuple[str, ...]:
        """The names of its loose ends."""
        return (self.name,) if len(self.ends) == 1 else (f"{self.name}.1", f"{self.name}.2")


class LooseCabinet:
    """One cabinet.

    broken: names of wires that are open inside; off: the bare terminals; load_open: what is open in
    a motor or heater besides, "" where nothing is.
    """

    def __init__(
        self,
        unit: Unit,
        off: Collection[str],
        tags: Sequence[Tag],
        broken: Collection[str],
        rng: np.random.Generator,
    ) -> None:
        self.unit = unit
        self.off = tuple(off)
        self.tags = tuple(tags)
        self.broken = frozenset(broken)
        self._rng = rng
        house = good_house(unit, rng)
        self.load_open = _open_a_load(house, rng)
        for name in self.broken:
            house.wires[name].open = True
        lifted = frozenset((tag.wire.name, end) for tag in tags for end in tag.ends)
        self._solved: Solved = solve_stand(house, Stand(isolated=True, lifted=lifted), 0.0)

    def end_of(self, point: str) -> tuple[Wire, str] | None:
        """The wire and the end that a loose end's name stands for; None for a terminal."""
        for tag in self.tags:
            for name, end in zip(tag.points(), tag.ends, strict=True):
                if name == point:
                    return tag.wire, end
        return None

    def ohms(self, a: str, b: str) -> float:
        """What the meter shows between two points, each a loose end, a terminal or bare metal."""
        exact = self._solved.impedance(self._node(a), self._node(b)).real
        if exact > OPEN_OHM:
            return math.inf
        shown = exact * (1.0 + METER_SHARE * self._rng.uniform(-1.0, 1.0))
        shown += self._rng.uniform(0.0, LEADS_OHM)
        return float(round(shown / STEP_OHM) * STEP_OHM)

    def _node(self, point: str) -> str:
        found = self.end_of(point)
        if found is None:
            return GROUND if point == "earth" else point
        wire, end = found
        return f"{wire.name}~{end}"

    def same_circuit(self, goes: dict[str, str]) -> bool:
        """Whether the unit's circuit is whole again with every loose end where `goes` has it.

        The same circuit: the same points are joined, but for a heater's or a coil's two ends,
        which have no polarity.
        """
        ends = {wire.name: [wire.start, wire.end] for wire in self.unit.wires}
        for point, terminal in goes.items():
            wire, end = self.end_of(point) or (None, "")
            if wire is not None:
                ends[wire.name][0 if end == "start" else 1] = terminal
        made = _points(self.unit, [(a, b) for a, b in ends.values()])
        return any(made == each for each in self._meant())

    def _meant(self) -> list[frozenset[frozenset[str]]]:
        """The circuit as meant, with every part without polarity either way round."""
        wires = [(wire.start, wire.end) for wire in self.unit.wires]
        turned: list[dict[str, str]] = [{}]
        for part in self.unit.parts:
            for a, b in _EITHER_WAY.get(part.kind, ()):
                one, two = f"{part.name}.{a}", f"{part.name}.{b}"
                turned += [{**each, one: two, two: one} for each in turned]
        return [
            _points(self.unit, [(names.get(a, a), names.get(b, b)) for a, b in wires])
            for names in turned
        ]


_MOTOR = ("overload_held", "c_open", "r_open", "s_open")
_OPENS = {"compressor": _MOTOR, "fan_motor": _MOTOR, "crankcase_heater": ("open",)}

LOAD_OPEN = 0.2
"""Share of cabinets in which a winding, an overload or the heater is open as well."""

_EITHER_WAY = {
    "crankcase_heater": (("1", "2"),),
    "contactor_1p": (("coil1", "coil2"),),
    "contactor_2p": (("coil1", "coil2"),),
    "run_capacitor": (("1", "2"),),
    "start_capacitor": (("1", "2"),),
}
_BARS = {"contactor_1p": (("L2", "T2"),)}


def _points(unit: Unit, wires: Sequence[tuple[str, str]]) -> frozenset[frozenset[str]]:
    """The terminals that wires and bars join, as sets."""
    bars = [
        (f"{part.name}.{a}", f"{part.name}.{b}")
        for part in unit.parts
        for a, b in _BARS.get(part.kind, ())
    ]
    group = {terminal: {terminal} for terminal in unit.terminals()}
    for a, b in (*wires, *bars):
        if group[a] is not group[b]:
            group[a] |= group[b]
            for each in group[b]:
                group[each] = group[a]
    return frozenset(frozenset(each) for each in group.values())


def draw_cabinet(
    unit: Unit,
    parts: Collection[str],
    colors: Colors,
    broken: int,
    rng: np.random.Generator,
) -> LooseCabinet:
    """A cabinet with the wires of some parts off, so many of them broken inside."""
    off = [t for t in unit.terminals() if part_of(t) in parts]
    ends: dict[str, list[str]] = {}
    for wire in unit.wires:
        for end, terminal in (("start", wire.start), ("end", wire.end)):
            if terminal in off:
                ends.setdefault(wire.name, []).append(end)
    names = [str(each) for each in rng.permutation(list(ends))]
    told = _colors([unit.wire_by_name[name] for name in names], colors, rng)
    tags = [
        Tag(f"w{at}", unit.wire_by_name[name], _either(ends[name], rng), color)
        for at, (name, color) in enumerate(zip(names, told, strict=True), start=1)
    ]
    cut = [str(each) for each in rng.choice(names, broken, replace=False)]
    return LooseCabinet(unit, off, tags, cut, rng)


def _open_a_load(house: House, rng: np.random.Generator) -> str:
    """Now and then something in a motor or heater of the outdoor unit is open: which, or ""."""
    ways = [
        (part.name, flag)
        for part in house.unit.parts
        if part.place == "outdoor"
        for flag in _OPENS.get(part.kind, ())
    ]
    part, flag = ways[int(rng.integers(len(ways)))]
    if rng.random() > LOAD_OPEN:
        return ""
    house.values[part][flag] = 1.0
    return f"{part}.{flag}"


def _either(ends: list[str], rng: np.random.Generator) -> tuple[str, ...]:
    """A free wire's ends in either order: nobody knows which is its start."""
    return tuple(str(each) for each in rng.permutation(ends))


def _colors(wires: Sequence[Wire], colors: Colors, rng: np.random.Generator) -> list[str]:
    own = [wire.colour for wire in wires]
    if colors == "odd":
        return [str(rng.choice(own)) for _ in own]
    if colors == "false":
        turn = int(rng.integers(1, len(own)))
        order = rng.permutation(len(own))
        moved = {int(a): own[int(b)] for a, b in zip(order, np.roll(order, turn), strict=True)}
        return [moved[at] for at in range(len(own))]
    return [str(rng.choice(VAN)) if rng.random() < OTHER_COLOR else each for each in own]
