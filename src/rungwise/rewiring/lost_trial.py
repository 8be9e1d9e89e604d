"""A unit whose wires were all pulled off, found again by a simulated technician.

The truth, the colours, the specimen, a fault now and then and the errors of the meter are drawn;
the technician knows what a technician would.  Three ways of working are counted: the checks that
are asked for; touching the wires in order with the same meter, to the same end; and touching each
in order until it beeps.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from rungwise.circuit.batch import Batch
from rungwise.circuit.condition import Condition
from rungwise.circuit.meter import OHMS, Leads
from rungwise.circuit.plan import Key, Plan
from rungwise.rewiring.assignments import IntArray
from rungwise.rewiring.colour_habits import colour_shares
from rungwise.rewiring.continuity_check import minutes_of
from rungwise.rewiring.exchange import relative
from rungwise.rewiring.lost_wires import LostWires, Standing
from rungwise.rewiring.taken_reading import OPEN_OHM, band_of
from rungwise.rewiring.wires_record import LooseWire, Reading, WiresRecord
from rungwise.unit.element import FloatArray

__all__ = ["LostTrial", "Worked", "lost_trial"]

MOST_CHECKS = 200
OPEN_SHARE = 0.2
"""Share of the cases in which something in a motor or heater is open."""

OPENS = {
    "compressor": ("overload_held", "c_open", "r_open", "s_open"),
    "fan_motor": ("overload_held", "c_open", "r_open", "s_open"),
    "crankcase_heater": ("open",),
}

OHM_STEP = 0.1
"""What the meter shows is rounded to this."""

LEADS_OHM = 0.15
"""What the simulated meter's leads add, where nobody zeroed them."""


@dataclass(frozen=True)
class Worked:
    """A case worked to its end. done: one behaviour was left; right: and it was the unit's own."""

    checks: int
    minutes: float
    done: bool
    right: bool


class LostTrial:
    """One case: ``truth`` [n] is the end of the record that each loose end really is."""

    def __init__(
        self, lost: LostWires, loose: tuple[LooseWire, ...], truth: IntArray, ohms: Specimen
    ) -> None:
        self.lost = lost
        self.loose = loose
        self.truth = truth
        self.ohms = ohms

    def start(self) -> Standing:
        """What is known before the first check: tags, colours, and which wires are free."""
        return self.lost.standing(WiresRecord("", loose=self.loose))

    def as_asked(self) -> Worked:
        """Make the checks that are asked for, until the ways that are left behave alike."""
        standing, checks, minutes = self.start(), 0, 0.0
        while not standing.alike:
            check = standing.next_check
            if check is None or checks >= MOST_CHECKS:
                return Worked(checks, minutes, done=False, right=False)
            checks, minutes = checks + 1, minutes + check.minutes
            standing = standing.read(self.reading(standing, check.a, check.b))
        return Worked(checks, minutes, done=True, right=self.right(standing))

    def in_order(self) -> Worked:
        """Touch each loose end to each far terminal in order, with the same meter and the same end.

        A check whose answer is sure already is left out.
        """
        standing, checks, minutes = self.start(), 0, 0.0
        for at, name in enumerate(standing.names):
            for probe in self.lost.ohms.probes:
                if standing.alike:
                    return Worked(checks, minutes, done=True, right=self.right(standing))
                if self._is_sure(standing, at, probe):
                    continue
                checks, minutes = checks + 1, minutes + minutes_of(self.lost.ohms, probe)
                standing = standing.read(self.reading(standing, name, probe))
        done = standing.alike
        return Worked(checks, minutes, done=done, right=done and self.right(standing))

    def until_it_beeps(self) -> Worked:
        """Touch each loose end to each far terminal in order until it beeps, the last one too.

        A terminal is left out once as many ends were found on it as end there.
        """
        ends, probes = self.lost.off.ends, self.lost.ohms.probes
        room = Counter(each.far for each in ends if each.far)
        checks, minutes = 0, 0.0
        for far in (ends[end].far for end in self.truth if ends[end].far):
            for probe in (each for each in probes if room[each]):
                checks, minutes = checks + 1, minutes + minutes_of(self.lost.ohms, probe)
                if probe == far:
                    room[probe] -= 1
                    break
        return Worked(checks, minutes, done=True, right=True)

    def _is_sure(self, standing: Standing, at: int, probe: str) -> bool:
        point = self.lost.ohms.point(probe)
        return len({int(self.lost.outcomes.of[end, point]) for end in standing.may_be(at)}) == 1

    def right(self, standing: Standing) -> bool:
        """Whether the unit does all it should once every end is put where it is said to go."""
        return bool(self.lost.exchanges.alike(relative(standing.followed, self.truth[None]))[0])

    def reading(self, standing: Standing, a: str, b: str) -> Reading:
        """What the simulated meter shows between two points."""
        points = [
            int(self.truth[standing.names.index(each)])
            if each in standing.names
            else self.lost.ohms.point(each)
            for each in (a, b)
        ]
        shown = self.ohms.shown(*points)
        low, high = band_of(shown) or (0.0, np.inf)
        return Reading(a, b, low, high, f"{shown:.1f} Ω")


class Specimen:
    """The resistances of one specimen of the unit, and a meter with its errors."""

    def __init__(self, lost: LostWires, rng: np.random.Generator) -> None:
        self._rng = rng
        self._lost = lost
        plan = Plan(lost.unit)
        isolating = [p.name for p in lost.unit.parts if lost.unit.kind_of(p.name).isolates]
        lifted = frozenset((each.wire.name, each.end) for each in lost.off.ends)
        dead = Condition("dead", "off").opened(*isolating).without_leads(lifted)
        values = {**_drawn(plan, rng), **dict(_fault(plan, rng))}
        self._leads = Leads(Batch.under(plan, dead, 1, values), "dc")

    def shown(self, a: int, b: int) -> float:
        """Ohms that the meter shows between two points of `DeadOhms`; infinite for OL."""
        off, probes = self._lost.off, self._lost.ohms.probes
        nodes = [*(each.far for each in off.ends), *probes]
        if not nodes[a] or not nodes[b]:
            through = max(a, b) < len(off) and off.partners[a, b]
            ohm = 0.02 if through else np.inf
        else:
            ohm = 0.02 + abs(complex(self._leads.impedance_ohm(nodes[a], nodes[b])[0]))
        if ohm > OPEN_OHM:
            return np.inf
        error = self._rng.normal(0.0, 0.5 * (OHMS.share * ohm + OHMS.floor))
        read = ohm + error + self._rng.uniform(0.0, LEADS_OHM)
        return max(round(read / OHM_STEP) * OHM_STEP, 0.0)


def lost_trial(lost: LostWires, rng: np.random.Generator) -> LostTrial:
    """A case with every wire of ``lost`` off, ordinary colours, and nothing else to be seen."""
    off = lost.off
    order = rng.permutation(len(off))
    loose: list[LooseWire] = []
    truth: list[int] = []
    for end in order.tolist():
        if end in truth:
            continue
        partner = off.ends[end].partner
        shares = colour_shares(off.ends[end], off, recorded=False)
        colour = str(rng.choice(list(shares), p=list(shares.values())))
        loose.append(LooseWire(f"w{len(loose) + 1}", colour, both_ends=partner is not None))
        truth += [end] if partner is None else [end, partner]
    return LostTrial(lost, tuple(loose), np.array(truth), Specimen(lost, rng))


def _fault(plan: Plan, rng: np.random.Generator) -> Iterator[tuple[Key, FloatArray]]:
    """Now and then something in one load is open: a winding, a hot overload, the heater."""
    handles = [
        (part.name, name)
        for part in plan.unit.parts
        for name in OPENS.get(part.kind, ())
        if part.place == "outdoor"
    ]
    if rng.random() < OPEN_SHARE:
        yield handles[rng.integers(len(handles))], np.asarray(1.0)


def _drawn(plan: Plan, rng: np.random.Generator) -> dict[Key, FloatArray]:
    """A good specimen: every resistance that spreads, within its tolerance (two deviations)."""
    found: dict[Key, FloatArray] = {}
    for part in plan.unit.parts:
        for parameter in plan.blocks[part.name].kind.parameters:
            if parameter.tolerance and parameter.name.endswith(("ohm", "ratio")):
                key = (part.name, parameter.name)
                factor = 1.0 + 0.5 * parameter.tolerance * rng.normal()
                found[key] = np.asarray(float(plan.defaults[key]) * max(factor, 0.1))
    return found
