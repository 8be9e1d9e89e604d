"""Many wirings of one unit as variants of a single plan.

Every place that a wire may be in besides its own is an extra wire of the plan, open until a
variant uses it: so hundreds of wirings share one network shape and one order of elimination.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from rungwise.circuit import Key, Plan
from rungwise.parts import FloatArray
from rungwise.unit import Unit, Wire

Ends = tuple[str, str]
"""The two terminals (`part.terminal`) of a wire; which comes first does not matter."""

Wiring = Mapping[str, Ends | None]
"""The wires that are not where the unit has them, by name; None: the wire is off."""


def same_ends(one: Ends | None, other: Ends | None) -> bool:
    """Whether a wire joins the same two terminals."""
    return (one and frozenset(one)) == (other and frozenset(other))


def oriented(ends: Ends, like: Ends) -> Ends:
    """The two ends in the order in which more of them are where `like` has them."""
    kept = (ends[0] == like[0]) + (ends[1] == like[1])
    turned = (ends[1] == like[0]) + (ends[0] == like[1])
    return (ends[1], ends[0]) if turned > kept else ends


def rewired(unit: Unit, wiring: Wiring) -> Unit:
    """The unit with its wires where `wiring` has them; one off, or shorted on itself, is gone."""
    wires = []
    for wire in unit.wires:
        ends = wiring.get(wire.name, (wire.start, wire.end))
        if ends is not None and ends[0] != ends[1]:
            wires.append(replace(wire, start=ends[0], end=ends[1]))
    names = {wire.name for wire in wires}
    cables = tuple(
        replace(cable, wires=held)
        for cable in unit.cables
        if len(held := tuple(name for name in cable.wires if name in names)) > 1
    )
    return replace(unit, wires=tuple(wires), cables=cables)


class Wirings:
    """`wirings` of `unit` in one plan; `values` sets apart its `size` variants.

    places: of each wire that moves, the names under which it stands in the plan.
    """

    def __init__(self, unit: Unit, wirings: Sequence[Wiring]) -> None:
        self.unit = unit
        self.wirings = tuple(wirings)
        self.size = len(self.wirings)
        self._extra: dict[tuple[str, frozenset[str]], Wire] = {}
        self.values: dict[Key, FloatArray] = {}
        for at, wiring in enumerate(self.wirings):
            for name, ends in wiring.items():
                self._place(at, unit.wire_by_name[name], ends)
        extra = tuple(self._extra.values())
        self.plan = Plan(replace(unit, wires=(*unit.wires, *extra)))
        self.places = {wire.name: [wire.name] for wire in unit.wires}
        for (name, _), wire in self._extra.items():
            self.places[name].append(wire.name)

    def _place(self, at: int, wire: Wire, ends: Ends | None) -> None:
        if same_ends(ends, (wire.start, wire.end)):
            return
        self._opened(wire.name, 0.0)[at] = 1.0
        if ends is not None and ends[0] != ends[1]:
            self._opened(self._elsewhere(wire, ends).name, 1.0)[at] = 0.0

    def _opened(self, name: str, otherwise: float) -> FloatArray:
        return self.values.setdefault((name, "path_open"), np.full(self.size, otherwise))

    def _elsewhere(self, wire: Wire, ends: Ends) -> Wire:
        """The extra wire that stands for `wire` between other terminals."""
        key = (wire.name, frozenset(ends))
        if key not in self._extra:
            start, end = ends
            self._extra[key] = replace(
                wire, name=f"{wire.name}@{start}@{end}", start=start, end=end, carries="alternate"
            )
        return self._extra[key]
