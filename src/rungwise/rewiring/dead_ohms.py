"""What an ohmmeter reads between loose ends, terminals and earth of the dead unit.

The network is solved with every wire off that is off, so a loose end is the far end of its wire:
what it reads does not depend on which tag hangs on it.  It is solved with every resistance at its
least, as the unit file has it, and at its most; since ohms between two points never fall when a
resistance rises (Rayleigh's monotonicity law), the first and the last bound what a good unit reads.

A unit that is being repaired may have a fault.  So OL rules out only that two points are one wire
or terminal, for anything else may be open: an overload that is hot, a winding, a splice; except in
a part that somebody has found sound.  A part that somebody doubts is solved once more shorted to
its shell, and what then reads through to earth may do so.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from rungwise.circuit import Batch, Condition, Key, Leads, Plan
from rungwise.parts import FloatArray, Heater, Motor, part_of
from rungwise.rewiring.off_ends import OffEnds
from rungwise.rewiring.taken_reading import OPEN_OHM
from rungwise.unit import Unit

UNRECORDED = (0.4, 2.5)
"""What a winding, coil, heater or resistor may have over the default, where the unit file does not
give it: makes differ (order of magnitude, no source)."""

SPREADS = 2.5
"""How many times its tolerance a resistance may be off, so that no good unit falls out."""

LONGER = 2.0
"""How many times longer or shorter a wire may be than the unit file has it (order of magnitude, no
source)."""

LEAST_SPREAD = 0.1
LEAST_OHM = 0.02
EARTHED_OHM = 0.5
COPPER_OHM = 0.1
"""What joints and copper may add."""

_WINDINGS = ("main_ohm", "aux_ohm")
_OTHERS = (
    "watt",
    "primary_ohm",
    "secondary_ohm",
    "coil_ohm",
    "contact_ohm",
    "element_ohm",
    "supply_ohm",
    "bleed_ohm",
)


@dataclass(frozen=True)
class Known:
    """What is known of the parts themselves.

    measured: least and most ohms of windings that were read at the motor itself.  sound: parts in
    which nothing is open.  doubtful: motors and heaters that may be shorted to ground.
    """

    measured: Mapping[Key, tuple[float, float]] = field(default_factory=dict)
    sound: frozenset[str] = frozenset()
    doubtful: frozenset[str] = frozenset()


class DeadOhms:
    """Ohms between points: the ends of `off` by index, then `probes`, terminals and earth.

    All tables have the shape [points, points].  `low`, `usual`, `high`: of a sound unit;
    `least` and `most`: with one fault, as far as `known` leaves room for it; `through`: the
    most that still comes through with one thing open, by the ways around it.
    """

    def __init__(self, off: OffEnds, probes: Sequence[str], known: Known | None = None) -> None:
        self.off = off
        self.probes = tuple(probes)
        self.known = known or Known()
        size = len(off) + len(self.probes)
        self.low, self.usual, self.high = (np.full((size, size), np.inf) for _ in range(3))
        self.least, self.most = self.low.copy(), self.high.copy()
        self.through = self.high.copy()
        self._nodes = [each.far or None for each in off.ends] + list(self.probes)
        self._doubts = len(_doubtful(off.unit, self.known))
        self._fill(_leads(off, self.known))

    def point(self, probe: str) -> int:
        """The index of a terminal or of earth."""
        return len(self.off) + self.probes.index(probe)

    def _fill(self, leads: Leads) -> None:
        known: dict[frozenset[str], FloatArray] = {}
        for a, one in enumerate(self._nodes):
            for b, two in enumerate(self._nodes[:a]):
                if one is None or two is None:
                    ohms = self._of_a_free_wire(a, b)
                else:
                    pair = frozenset((one, two))
                    if pair not in known:
                        known[pair] = _ohms(leads, one, two)
                    ohms = known[pair]
                self._put(a, b, ohms)
        for table in (self.low, self.usual, self.high, self.least, self.most, self.through):
            np.fill_diagonal(table, 0.0)

    def _put(self, a: int, b: int, ohms: FloatArray) -> None:
        """Least, usual and most ohms of a sound unit, then those with each load earthed, then those
        with each thing open that may be.
        """
        low, usual, high = ohms[:3]
        earthed, opened = ohms[3 : 3 + self._doubts], ohms[3 + self._doubts :]
        shorted = bool(np.isfinite(earthed).any()) and not np.isfinite(usual)
        least = 0.0 if shorted else low
        most = high if usual == 0.0 or self._is_sound(a, b) else np.inf
        around = float(np.max(opened, where=np.isfinite(opened), initial=high))
        through = np.inf if shorted else around + COPPER_OHM
        told = (low, usual, high + COPPER_OHM, least, most + COPPER_OHM, through)
        tables = (self.low, self.usual, self.high, self.least, self.most, self.through)
        for table, ohm in zip(tables, told, strict=True):
            table[a, b] = table[b, a] = ohm

    def _is_sound(self, a: int, b: int) -> bool:
        """Whether both points are on one part that is known to be sound."""
        parts = {part_of(self._nodes[at] or "") for at in (a, b)}
        return len(parts) == 1 and parts <= self.known.sound

    def _of_a_free_wire(self, a: int, b: int) -> FloatArray:
        """A wire that is off at both ends reads through to its own other end only."""
        through = max(a, b) < len(self.off) and self.off.partners[a, b]
        return np.zeros(3) if through else np.full(3, np.inf)


def unrecorded_windings(unit: Unit) -> tuple[str, ...]:
    """Motors whose winding ohms the unit file does not give."""
    return tuple(
        part.name
        for part, _ in unit.having(Motor)
        if not all(name in part.values for name in _WINDINGS)
    )


def _leads(off: OffEnds, known: Known) -> Leads:
    plan = Plan(off.unit)
    isolating = [part.name for part in off.unit.parts if off.unit.kind_of(part.name).isolates]
    lifted = frozenset((each.wire.name, each.end) for each in off.ends)
    dead = Condition("dead", "off").opened(*isolating).without_leads(lifted)
    values = {**dict(_spread(plan)), **dict(_lengths(plan))}
    for key, (low, high) in known.measured.items():
        values[key] = np.maximum([low, 0.5 * (low + high), high], LEAST_OHM)
    loads, opens = _doubtful(off.unit, known), _openable(plan, known)
    size, first = 3 + len(loads) + len(opens), 3 + len(loads)
    values = {
        key: np.concatenate([v, np.full(len(loads), v[1]), np.full(len(opens), v[2])])
        for key, v in values.items()
    }
    for at, key in enumerate(opens):
        values[key] = np.zeros(size)
        values[key][first + at] = 1.0
    for at, load in enumerate(loads):
        good = float(plan.defaults[(load, "insulation_ohm")])
        ohms = np.full(size, good)
        ohms[3 + at] = EARTHED_OHM
        values[(load, "insulation_ohm")] = ohms
    return Leads(Batch.under(plan, dead, size, values), "dc")


def _openable(plan: Plan, known: Known) -> list[Key]:
    """What may be open in the outdoor unit: windings, coils, switches, and its wires."""
    unit = plan.unit
    outdoor = {part.name for part in unit.parts if part.place == "outdoor"} - known.sound
    ends = {w.name: {part_of(t) for t in (w.start, w.end)} for w in unit.wires}
    places = outdoor | {name for name, parts in ends.items() if parts & outdoor}
    return [
        (block, name)
        for block, name in plan.defaults
        if block in places and (name == "open" or name.endswith("_open"))
    ]


def _doubtful(unit: Unit, known: Known) -> list[str]:
    """The motors and heaters that may be shorted to their shell, of those that somebody doubts."""
    return [name for name in _loads(unit) if name in known.doubtful]


def _loads(unit: Unit) -> Iterator[str]:
    """Parts that may be shorted to their shell: motors and heaters."""
    for part in unit.parts:
        kind = unit.kind_of(part.name)
        if kind.facet(Motor) or kind.facet(Heater):
            yield part.name


def _spread(plan: Plan) -> Iterator[tuple[Key, FloatArray]]:
    """Least, usual and most of every resistance that spreads."""
    for part in plan.unit.parts:
        for parameter in plan.blocks[part.name].kind.parameters:
            if parameter.name not in (*_WINDINGS, *_OTHERS):
                continue
            share = max(SPREADS * parameter.tolerance, LEAST_SPREAD)
            low, high = 1.0 - min(share, 0.9), 1.0 + share
            if parameter.name not in part.values:
                low, high = UNRECORDED
            key = (part.name, parameter.name)
            shares = np.array([low, 1.0, high])
            if parameter.name == "watt":  # a heater of fewer watts has more ohms
                shares = 1.0 / shares
            yield key, float(plan.defaults[key]) * shares


def _lengths(plan: Plan) -> Iterator[tuple[Key, FloatArray]]:
    """Least, usual and most meters of every wire: a run is seldom as long as the unit file says."""
    for wire in plan.unit.wires:
        yield (wire.name, "length_m"), wire.length_m * np.array([1 / LONGER, 1.0, LONGER])


def _ohms(leads: Leads, a: str, b: str) -> FloatArray:
    """Ohms between two nodes in every variant; infinite where only insulation joins them."""
    if a == b:
        return np.zeros(leads.size)
    ohms = np.abs(leads.impedance_ohm(a, b))
    return np.where(ohms > OPEN_OHM, np.inf, ohms)
