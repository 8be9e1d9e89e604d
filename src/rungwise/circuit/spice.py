"""A solved circuit printed as a SPICE netlist, so that another program can check the solution.

The *elements* are printed, not the admittances the solver made of them: a contact is a resistor
where it is closed and absent where it is open, the transformer is two inductors and their
coupling, a motor is two loops of resistors and inductors that drive each other through controlled
sources (at the slip it has settled to).  Every conducting branch starts with a 0 V source, which is
how SPICE measures amps.  Volts and amps are RMS, `0` is the earth.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from rungwise.circuit.assemble import Mode, coupled_of, machine_constants, machine_of
from rungwise.circuit.batch import Batch
from rungwise.circuit.machine import ohms_from_ports, winding_ohm
from rungwise.circuit.netlist import STRAY_OHM, Link, PairLink
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice_names import names_of
from rungwise.parts import STAR, Coupled, Expr, Frame, Machine, Phasor, value

_SLIP, _TURNS, _MAIN_OHM, _AUX_OHM = (value(x) for x in ("slip", "turns", "main_ohm", "aux_ohm"))

Value = TypeVar("Value", float, complex)

Member = tuple[str, str]
"""One element of a series: its SPICE letter and what follows its nodes."""


@dataclass(frozen=True, slots=True)
class Probe:
    """A meter between two nodes (`part.terminal` or `@earth`).

    A voltmeter is its `ohm`.  A meter with a source of its own drives `amp` into `a` and out
    of `b`; all other sources are then off, and volts over `amp` are the ohms it shows.
    """

    a: str
    b: str
    ohm: float | None = None
    amp: float = 0.0


def spice_netlist(
    solution: Solution,
    variant: int = 0,
    *,
    title: str = "",
    probe: Probe | None = None,
    mode: Mode = "ac",
) -> str:
    """The netlist of one variant of `solution`, states as settled.

    `probe` connects a meter.  `mode` "dc" prints what a DC meter meets, for an operating
    point: no rotor, no capacitor; sources stand at 0 V and inductors short by SPICE's own rule.
    """
    only = solution.batch.take(np.array([variant], np.intp))
    return _Deck(solution, _Numbers(only), 0, probe, mode).text(title)


def netlists(solution: Solution, probe: Probe | None = None, mode: Mode = "ac") -> list[str]:
    """The netlists of all variants of `solution`, sooner than one by one."""
    numbers = _Numbers(solution.batch)
    size = solution.batch.size
    return [_Deck(solution, numbers, at, probe, mode).text("") for at in range(size)]


class _Numbers:
    """The values of a batch's expressions, each worked out once for all variants."""

    def __init__(self, batch: Batch) -> None:
        self.batch = batch
        self._known: dict[tuple[str, int], list[float]] = {}
        self._ohms: dict[str, tuple[list[complex], ...]] = {}

    def of(self, expression: Expr, block: str, variant: int) -> float:
        # Kinds live as long as the program does, and with them the identity of an expression.
        key = (block, id(expression))
        if key not in self._known:
            self._known[key] = np.ravel(expression(self.batch.view(block))).tolist()
        return _pick(self._known[key], variant)

    def phasor(self, expression: Phasor, block: str, variant: int) -> complex:
        """The value of a source, which may stand at any angle."""
        return _pick(np.ravel(expression(self.batch.view(block))).tolist(), variant)

    def port_ohm(self, block: str, frame: Frame, variant: int) -> tuple[complex, ...]:
        """Z11, Z12, Z21, Z22 of a motor's two ports at the slip it has settled to."""
        if block not in self._ohms:
            constants = machine_constants(self.batch, block)
            ohms = winding_ohm(constants, self.batch.view(block)["slip"])
            seen = ohms_from_ports(ohms, frame)
            self._ohms[block] = tuple(np.ravel(z).tolist() for z in seen)
        return tuple(_pick(z, variant) for z in self._ohms[block])


class _Deck:
    """One netlist in the making."""

    def __init__(
        self,
        solution: Solution,
        numbers: _Numbers,
        variant: int,
        probe: Probe | None,
        mode: Mode,
    ) -> None:
        self.solution = solution
        self.plan = solution.plan
        self.numbers = numbers
        self.variant = variant
        self.names = names_of(self.plan)
        self.omega = self.plan.omega_rad_per_s
        self.probe = probe
        self.mode = mode
        self.quiet = probe is not None and probe.amp != 0

    def text(self, title: str) -> str:
        return "\n".join(self.lines(title)) + "\n"

    def number(self, expression: Expr, block: str) -> float:
        return self.numbers.of(expression, block, self.variant)

    def lines(self, title: str) -> Iterator[str]:
        unit = self.plan.unit
        yield f"* {_comment(title or unit.title or unit.name)}"
        condition = _comment(self.solution.condition.name)
        yield f"* unit {_comment(unit.name)} {unit.digest}, condition {condition}"
        yield "* RMS volts and amps; node 0 is the earth; nodes are part.terminal"
        for name, held in self._by_block().items():
            yield f"* --- {_comment(name)}: {_comment(self.plan.blocks[name].title)}"
            for each in held:
                yield from self._link(each) if isinstance(each, Link) else self._pair(each)
        yield "* --- leakage and stray capacitance of every terminal"
        yield from self._stray()
        yield from self._probe()
        hz = _number(unit.hz)
        # Nothing here is bent by a working point, so none need be found before the phasors.
        yield from (".options noopac", f".ac lin 1 {hz} {hz}") if self.mode == "ac" else (".op",)
        yield ".end"

    def _by_block(self) -> dict[str, list[Link | PairLink]]:
        """The elements by block, in the order of the unit."""
        found: dict[str, list[Link | PairLink]] = {name: [] for name in self.plan.blocks}
        everything: tuple[Link | PairLink, ...] = (*self.plan.links, *self.plan.pairs)
        for each in everything:
            found[each.block].append(each)
        return {name: held for name, held in found.items() if held}

    def _link(self, link: Link) -> Iterator[str]:
        element, block = link.element, link.block
        name = self.names.link[link.key]
        if element.closed is not None and not self.number(element.closed, block):
            yield f"* open: {name}"
            return
        if self.mode == "dc" and element.farad is not None:
            return
        volt = 0j
        if element.emf_volt is not None and not self.quiet:
            volt = self.numbers.phasor(element.emf_volt, block, self.variant)
        members = [_source(volt), *_impedance(self.number(element.ohm, block))]
        if element.henry is not None:
            members += _member("L", self.number(element.henry, block))
        if element.farad is not None:
            members += _member("C", self.number(element.farad, block))
        yield from self._series(name, (link.a, link.b), members)

    def _pair(self, pair: PairLink) -> Iterator[str]:
        shut = tuple(bool(self.number(each, pair.block)) for each in pair.element.closed)
        for name, is_shut in zip(self.names.ports[pair.key], shut, strict=True):
            if not is_shut:
                yield f"* open: {name}"
        printers = {Coupled: self._transformer, Machine: self._motor}
        yield from printers[type(pair.element)](pair, shut)

    def _motor(self, pair: PairLink, shut: tuple[bool, ...]) -> Iterator[str]:
        printed = self._still_windings if self.mode == "dc" else self._machine
        yield from printed(pair, shut)

    def _transformer(self, pair: PairLink, shut: tuple[bool, ...]) -> Iterator[str]:
        element = coupled_of(pair)
        henry = [self.number(each, pair.block) for each in (element.henry1, element.henry2)]
        ohm = [self.number(each, pair.block) for each in (element.ohm1, element.ohm2)]
        names = self.names.ports[pair.key]
        for at, port in enumerate((pair.first, pair.second)):
            if shut[at]:
                members = [_source(0.0), *_impedance(ohm[at], henry[at])]
                yield from self._series(names[at], port, members)
        if all(shut):
            mutual = self.number(element.mutual_henry, pair.block)
            coupling = _number(mutual / math.sqrt(henry[0] * henry[1]))
            yield f"K{self.names.pair[pair.key]} L{names[0]} L{names[1]} {coupling}"

    def _still_windings(self, pair: PairLink, shut: tuple[bool, ...]) -> Iterator[str]:
        ports, names = (pair.first, pair.second), self.names.ports[pair.key]
        turns = self.number(_TURNS, pair.block)
        ohms = [turns * self.number(each, pair.block) for each in (_MAIN_OHM, _AUX_OHM)]
        if machine_of(pair).frame == STAR:
            yield from self._still_star(pair, *ohms)
            return
        for at, ohm in enumerate(ohms):
            if shut[at]:
                yield from self._series(names[at], ports[at], [_source(0.0), *_impedance(ohm)])

    def _still_star(self, pair: PairLink, main_ohm: float, aux_ohm: float) -> Iterator[str]:
        """Three legs to a star; the first alone differs where the two windings do."""
        names, star = self.names.ports[pair.key], f"{self.names.pair[pair.key]}.star"
        nodes = [self.names.at(each) for each in (pair.first[0], pair.second[0], pair.second[1])]
        legs = ((1.5 * main_ohm - 0.5 * aux_ohm), aux_ohm, aux_ohm)
        for name, node, ohm in zip((*names, f"{star}.third"), nodes, legs, strict=True):
            yield from _chain(name, node, star, [_source(0.0), *_impedance(ohm)])

    def _machine(self, pair: PairLink, shut: tuple[bool, ...]) -> Iterator[str]:
        frame = machine_of(pair).frame
        z11, z12, z21, z22 = self.numbers.port_ohm(pair.block, frame, self.variant)
        slip = _number(self.number(_SLIP, pair.block))
        yield f"* {self.names.pair[pair.key]} at slip {slip}"
        names, ports = self.names.ports[pair.key], (pair.first, pair.second)
        own, cross = (z11, z22), (z12, z21)
        for at in (0, 1):
            if not shut[at]:
                continue
            members = [_source(0.0), *_impedance(own[at].real, own[at].imag / self.omega)]
            if all(shut) and cross[at]:
                members.append(("E", f"{names[at]}.emf 0 {_sign(cross[at])}"))
                yield from self._copied(names[at], names[1 - at], cross[at])
            yield from self._series(names[at], ports[at], members)

    def _copied(self, name: str, other: str, cross: complex) -> Iterator[str]:
        """The volts that the other winding's amps make across the mutual impedance.

        A reactance below zero would be a capacitor; its sign goes to the source that uses it.
        """
        mutual = cross * _sign(cross)
        members = _impedance(mutual.real, mutual.imag / self.omega)
        yield f"F{name}.emf 0 {name}.emf V{other} 1"
        yield from _chain(f"{name}.emf", f"{name}.emf", "0", members)

    def _series(self, name: str, port: tuple[int, int], members: Sequence[Member]) -> Iterator[str]:
        yield from _chain(name, self.names.at(port[0]), self.names.at(port[1]), members)

    def _stray(self) -> Iterator[str]:
        for node, farad in enumerate(self.plan.stray_farad):
            name = self.names.at(node)
            yield f"Rstray.{name} {name} 0 {_number(STRAY_OHM)}"
            if self.mode == "ac":
                yield f"Cstray.{name} {name} 0 {_number(farad)}"

    def _probe(self) -> Iterator[str]:
        if self.probe is None:
            return
        a, b = (self.names.at(self.plan.index[node]) for node in (self.probe.a, self.probe.b))
        yield "* --- the meter"
        if self.probe.ohm is not None:
            yield f"Rmeter {a} {b} {_number(self.probe.ohm)}"
        if self.probe.amp:
            amp = _number(self.probe.amp)
            yield f"Imeter {b} {a} DC {amp} AC {amp}"


def _chain(name: str, a: str, b: str, members: Sequence[Member]) -> Iterator[str]:
    """The members in series from node `a` to node `b`."""
    nodes = [a, *(f"{name}.{at}" for at in range(1, len(members))), b]
    for at, (letter, text) in enumerate(members):
        yield f"{letter}{name} {nodes[at]} {nodes[at + 1]} {text}"


def _pick(values: Sequence[Value], variant: int) -> Value:
    """A variant's value, where one value may stand for all variants."""
    return values[variant] if len(values) > 1 else values[0]


def _source(volt: complex) -> Member:
    """A source that also measures, with its phase in degrees."""
    degrees = math.degrees(cmath.phase(volt))
    return ("V", f"DC 0 AC {_number(abs(volt))} {_number(degrees)}" if volt else "0")


def _impedance(ohm: float, henry: float = 0.0) -> list[Member]:
    return [*_member("R", ohm), *_member("L", henry)]


def _member(letter: str, number: float) -> list[Member]:
    """The member, or nothing for zero ohms or henries."""
    return [(letter, _number(number))] if number else []


def _sign(impedance: complex) -> int:
    return -1 if impedance.imag < 0 else 1


def _number(number: float) -> str:
    return f"{number:.12g}"


def _comment(text: str) -> str:
    return " ".join(text.split())
