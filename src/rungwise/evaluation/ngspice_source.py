"""Readings of a simulated call from ngspice, the meter standing in the circuit as an element.

From our own engine come the discrete states only: which contact is closed, which fuse has blown,
at which slip each rotor turns.  Every number is read off another program's solution of the
printed netlist: volts across the meter's own resistance, amps of the clamped wire, ohms and
microfarads from the volts that the meter's own current makes, with just those leads off their
terminals that the check asks for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from rungwise.circuit import (
    INSULATION,
    OHMS,
    Batch,
    LeadEnd,
    Mode,
    Plan,
    Probe,
    Solution,
    SpiceResult,
    names_of,
    run_one,
    spice_netlist,
)
from rungwise.diagnosis import (
    AmpReader,
    Bench,
    Check,
    InsulationReader,
    LinkReader,
    Live,
    MicrofaradReader,
    OhmReader,
    Reader,
    Setting,
    VoltReader,
    dead_condition,
)
from rungwise.parts import EARTH, SPLICE, conductors_of
from rungwise.unit import Part, Unit, Wire

TEST_AMP = 1e-3
"""Current of an ohms, megohms or microfarads meter; the network is linear, so any will do."""


class NgspiceSource:
    """Readings of one unit by ngspice; see the module.

    Raises MissingProgram when ngspice is not installed, CircuitError when it finds no solution.
    """

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self._unloaded: dict[Live, SpiceResult] = {}

    def read(self, check: Check, reader: Reader) -> float:
        """See `Source`. Raises TypeError for a reader that has no netlist."""
        match reader:
            case VoltReader():
                return self._volts(reader)
            case AmpReader():
                return self._amps(reader)
            case OhmReader():
                ends = ends_at(self._unit, check.off)
                ohm = self._seen_ohm(self._batch(reader.setting), ends, reader.a, reader.b, "dc")
                return _over_range(ohm.real, OHMS.top)
            case LinkReader():
                ends, a, b = self._link_ends(reader)
                ohm = self._seen_ohm(self.bench.dead_batch, ends, a, b, "dc")
                return _over_range(ohm.real, OHMS.top)
            case InsulationReader():
                ends = ends_at(self._unit, check.off)
                ohm = self._seen_ohm(self._batch("apart"), ends, reader.a, EARTH, "dc")
                return _over_range(1e-6 * ohm.real, INSULATION.top)
            case MicrofaradReader():
                ends = ends_at(self._unit, check.off)
                ohm = self._seen_ohm(self._batch("apart"), ends, reader.a, reader.b, "ac")
                return _microfarads(ohm, self.bench.plan.omega_rad_per_s)
        msg = f"{check.card.id} has a reader that no netlist is made for: {reader!r}"
        raise TypeError(msg)

    @property
    def _unit(self) -> Unit:
        return self.bench.plan.unit

    def _volts(self, reader: VoltReader) -> float:
        probe = Probe(reader.a, reader.b, ohm=reader.instrument.burden_ohm)
        found = run_one(spice_netlist(self.bench.live(reader.setting), probe=probe))
        return abs(
            _volt(found, self.bench.plan, reader.a) - _volt(found, self.bench.plan, reader.b)
        )

    def _amps(self, reader: AmpReader) -> float:
        if reader.setting not in self._unloaded:
            found = run_one(spice_netlist(self.bench.live(reader.setting)))
            self._unloaded[reader.setting] = found
        name = names_of(self.bench.plan).link[(reader.wire, "path")]
        return abs(self._unloaded[reader.setting].amps.get(name, 0.0))

    def _batch(self, setting: Setting) -> Batch:
        """The unit as it is in this setting, but with every wire still on."""
        held = self.bench.batch(setting)
        on = {key: it for key, it in held.values.items() if not key[1].startswith("lifted_")}
        return Batch(held.plan, held.size, on, held.states)

    def _link_ends(self, reader: LinkReader) -> tuple[frozenset[LeadEnd], str, str]:
        """The ends that come off to measure one element alone, and where the leads go then."""
        block = reader.block
        match reader.element:
            case "path":
                block = self._where_landed(block)
                off = frozenset({(block, "start")})
                return off, free_end(block, "start"), self._unit.wire_by_name[block].end
            case "rub":
                return _both_ends(block), free_end(block, "end"), EARTH
            case _:
                first, second = conductors_of(block)
                ends = _both_ends(first, second)
                return ends, free_end(first, "end"), free_end(second, "end")

    def _where_landed(self, wire: str) -> str:
        """The wire of the plan that stands for this one, were it landed on a wrong terminal."""
        closed = (
            block
            for (block, name), value in self.bench.values.items()
            if block.startswith(f"{wire}@") and name == "path_open" and not np.any(value)
        )
        return next(closed, wire)

    def _seen_ohm(
        self, batch: Batch, ends: Iterable[LeadEnd], a: str, b: str, mode: Mode
    ) -> complex:
        """Impedance between two nodes of the dead unit with these wire ends off, Ω."""
        plan = _plan_without(self.bench.plan, frozenset(ends))
        apart = Batch(plan, batch.size, batch.values, batch.states)
        volts = np.zeros((len(plan.nodes) + 1, batch.size), complex)
        asked = Solution(plan, dead_condition(self._unit), apart, volts, {})
        found = run_one(spice_netlist(asked, probe=Probe(a, b, amp=TEST_AMP), mode=mode))
        return (_volt(found, plan, a) - _volt(found, plan, b)) / TEST_AMP


def _plan_without(plan: Plan, ends: frozenset[LeadEnd]) -> Plan:
    return Plan(with_ends_off(plan.unit, ends)) if ends else plan


def _both_ends(*wires: str) -> frozenset[LeadEnd]:
    return frozenset((wire, end) for wire in wires for end in ("start", "end"))


def _volt(found: SpiceResult, plan: Plan, node: str) -> complex:
    return found.volts[names_of(plan).at(plan.index[node])]


def _over_range(reading: float, top: float) -> float:
    return float("inf") if reading > top else reading


def _microfarads(ohm: complex, omega_rad_per_s: float) -> float:
    """What a capacitance meter shows: 0 for an open circuit, over range for a short."""
    if -ohm.imag > abs(ohm.real):
        return 1e6 / (omega_rad_per_s * -ohm.imag)
    return float("inf") if abs(ohm) < 1.0 else 0.0


def ends_at(unit: Unit, terminals: Iterable[str]) -> frozenset[LeadEnd]:
    """Every wire end on these terminals."""
    return frozenset(
        (wire.name, end) for terminal in terminals for wire, end in unit.wires_at(terminal)
    )


def free_end(wire: str, end: str) -> str:
    """The node that a lifted wire end becomes."""
    return f"{_holder(wire, end)}.1"


def with_ends_off(unit: Unit, ends: frozenset[LeadEnd]) -> Unit:
    """The unit with these wire ends off; each is a node of its own, `free_end`."""
    holders = tuple(Part(_holder(*end), SPLICE, "outdoor") for end in sorted(ends))
    wires = tuple(_moved(wire, ends) for wire in unit.wires)
    return replace(unit, parts=(*unit.parts, *holders), wires=wires)


def _holder(wire: str, end: str) -> str:
    return f"{wire}|{end}"


def _moved(wire: Wire, ends: frozenset[LeadEnd]) -> Wire:
    start = free_end(wire.name, "start") if (wire.name, "start") in ends else wire.start
    end = free_end(wire.name, "end") if (wire.name, "end") in ends else wire.end
    return replace(wire, start=start, end=end)
