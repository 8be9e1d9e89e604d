"""From a batch of numbers to nodal entries and source currents, for AC or for a DC meter."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Literal

import numpy as np

from rungwise.circuit.batch import Batch
from rungwise.circuit.elimination import EARTH_INDEX, ComplexArray
from rungwise.circuit.machine import MachineConstants, seen_from_ports, winding_ohm
from rungwise.circuit.machine_fit import HOT_OVER_COLD
from rungwise.circuit.netlist import STRAY_OHM, Link, PairLink, Plan
from rungwise.parts import Branch, Coupled, FloatArray, Machine

Mode = Literal["ac", "dc"]
PairAdmittance = tuple[ComplexArray, ComplexArray, ComplexArray, ComplexArray]


def branch_admittance(
    batch: Batch, link: Link, mode: Mode, whole: Callable[[], ComplexArray] | None = None
) -> ComplexArray | None:
    """Admittance of a two-terminal element in S; None where it conducts in no variant.

    `whole` gives that of the element where it is closed, if that is known already.
    """
    element, view = link.element, batch.view(link.block)
    if mode == "dc" and element.farad is not None:
        return None
    closed = None if element.closed is None else element.closed(view)
    if closed is not None and not np.any(closed):
        return None
    admittance = closed_admittance(batch, link, mode) if whole is None else whole()
    return np.asarray(admittance if closed is None else closed * admittance)


def closed_admittance(batch: Batch, link: Link, mode: Mode) -> ComplexArray:
    """Admittance of a two-terminal element in S where it is closed."""
    return np.asarray(1.0 / _series_ohm(batch, link.element, link.block, mode))


def _series_ohm(batch: Batch, element: Branch, block: str, mode: Mode) -> ComplexArray | FloatArray:
    view = batch.view(block)
    ohm = element.ohm(view)
    if mode == "dc" or (element.henry is None and element.farad is None):
        return ohm
    omega = batch.plan.omega_rad_per_s
    reactance = np.asarray(0.0) if element.henry is None else omega * element.henry(view)
    if element.farad is not None:
        reactance = reactance - 1.0 / (omega * element.farad(view))
    return np.asarray(ohm + 1j * reactance)


def source_amp(batch: Batch, link: Link, admittance: ComplexArray) -> ComplexArray | None:
    """Norton current in A that the element's own source drives into its first node."""
    if link.element.emf_volt is None:
        return None
    return np.asarray(link.element.emf_volt(batch.view(link.block)) * admittance)


def machine_constants(batch: Batch, block: str) -> MachineConstants:
    """The machine constants of a motor block, with its share of unshorted turns applied."""
    p = batch.view(block)
    turns = p["turns"]
    square = turns**2
    return MachineConstants(
        HOT_OVER_COLD * turns * p["main_ohm"],
        square * p["main_leak_ohm"],
        HOT_OVER_COLD * turns * p["aux_ohm"],
        square * p["aux_leak_ohm"],
        square * p["magnetising_ohm"],
        square * p["rotor_ohm"],
        square * p["rotor_leak_ohm"],
        p["turns_ratio"],
        np.asarray(2 * batch.plan.omega_rad_per_s / p["poles"]),
    )


def machine_of(pair: PairLink) -> Machine:
    """The pair's element as a motor; raises TypeError for a transformer."""
    if not isinstance(pair.element, Machine):
        msg = f"{pair.block} is no motor"
        raise TypeError(msg)
    return pair.element


def pair_admittance(batch: Batch, pair: PairLink, mode: Mode) -> PairAdmittance:
    """Admittance matrix (Y11, Y12, Y21, Y22) in S of a coupled element."""
    view = batch.view(pair.block)
    closed1, closed2 = (closed(view) for closed in pair.element.closed)
    return _STAMPS[type(pair.element), mode](batch, pair, closed1, closed2)


def _machine_ac(
    batch: Batch, pair: PairLink, closed1: FloatArray, closed2: FloatArray
) -> PairAdmittance:
    constants, slip = machine_constants(batch, pair.block), batch.view(pair.block)["slip"]
    siemens = _inverted(winding_ohm(constants, slip), closed1, closed2)
    return seen_from_ports(siemens, machine_of(pair).frame)


def _machine_dc(
    batch: Batch, pair: PairLink, closed1: FloatArray, closed2: FloatArray
) -> PairAdmittance:
    """A meter's direct current meets the copper alone: no rotor turns, nothing couples."""
    view = batch.view(pair.block)
    ohms = (view["turns"] * view["main_ohm"], view["turns"] * view["aux_ohm"])
    return seen_from_ports(_uncoupled(ohms, closed1, closed2), machine_of(pair).frame)


def _coupled_ac(
    batch: Batch, pair: PairLink, closed1: FloatArray, closed2: FloatArray
) -> PairAdmittance:
    element, view, omega = coupled_of(pair), batch.view(pair.block), batch.plan.omega_rad_per_s
    mutual = np.asarray(1j * omega * element.mutual_henry(view))
    first = np.asarray(element.ohm1(view) + 1j * omega * element.henry1(view))
    second = np.asarray(element.ohm2(view) + 1j * omega * element.henry2(view))
    return _inverted((first, mutual, mutual, second), closed1, closed2)


def _coupled_dc(
    batch: Batch, pair: PairLink, closed1: FloatArray, closed2: FloatArray
) -> PairAdmittance:
    element, view = coupled_of(pair), batch.view(pair.block)
    return _uncoupled((element.ohm1(view), element.ohm2(view)), closed1, closed2)


def coupled_of(pair: PairLink) -> Coupled:
    """The pair's element as a transformer; raises TypeError for a motor."""
    if not isinstance(pair.element, Coupled):
        msg = f"{pair.block} is no transformer"
        raise TypeError(msg)
    return pair.element


_Stamp = Callable[[Batch, PairLink, FloatArray, FloatArray], PairAdmittance]
_STAMPS: dict[tuple[type, Mode], _Stamp] = {
    (Coupled, "ac"): _coupled_ac, (Coupled, "dc"): _coupled_dc,
    (Machine, "ac"): _machine_ac, (Machine, "dc"): _machine_dc,
}  # fmt: skip
"""How each sort of coupled element conducts; a plan refuses any other sort."""


def _uncoupled(
    ohms: tuple[FloatArray, FloatArray], closed1: FloatArray, closed2: FloatArray
) -> PairAdmittance:
    zero = np.asarray(0.0 + 0j)
    return np.asarray(closed1 / ohms[0] + 0j), zero, zero, np.asarray(closed2 / ohms[1] + 0j)


def _inverted(z: PairAdmittance, closed1: FloatArray, closed2: FloatArray) -> PairAdmittance:
    """Inverse of a 2x2 impedance, with open windings carrying nothing and inducing nothing."""
    # With both windings whole this is the inverse; with one open, the other keeps its own impedance
    # alone. Both cases in one formula, since a batch holds variants of either sort.
    z11, z12, z21, z22 = z
    determinant = z11 * z22 - z12 * z21
    both = closed1 * closed2
    y11 = both * z22 / determinant + closed1 * (1 - closed2) / z11
    y22 = both * z11 / determinant + closed2 * (1 - closed1) / z22
    return (
        np.asarray(y11),
        np.asarray(-both * z12 / determinant),
        np.asarray(-both * z21 / determinant),
        np.asarray(y22),
    )


class Assembly:
    """Nodal entries by slot and source currents by node, summed element by element."""

    def __init__(self, plan: Plan, mode: Mode) -> None:
        self.plan = plan
        self.mode = mode
        self.entries: list[ComplexArray | None] = [None] * len(plan.order.slots)
        self.injected: dict[int, ComplexArray] = {}

    @classmethod
    def of(cls, batch: Batch, mode: Mode) -> Assembly:
        """Everything of the batch's plan."""
        made = cls(batch.plan, mode)
        made.add_stray()
        made.add_links(batch, batch.plan.links)
        made.add_pairs(batch, batch.plan.pairs)
        return made

    def copy(self) -> Assembly:
        """A copy that can be added to; the arrays themselves are never changed in place."""
        twin = Assembly(self.plan, self.mode)
        twin.entries = list(self.entries)
        twin.injected = dict(self.injected)
        return twin

    def take(self, index: np.ndarray[tuple[int], np.dtype[np.intp]]) -> Assembly:
        """Only the variants in `index`."""
        twin = Assembly(self.plan, self.mode)
        twin.entries = [e[index] if e is not None and e.ndim else e for e in self.entries]
        twin.injected = {k: (a[index] if a.ndim else a) for k, a in self.injected.items()}
        return twin

    def add_stray(self) -> None:
        """The leakage and stray capacitance of every terminal.

        They tie every node to earth, so that none floats, and give a lead that hangs free the
        volts that a 10 MΩ meter really shows on it.
        """
        leak = 1.0 / STRAY_OHM
        for node, farad in enumerate(self.plan.stray_farad):
            charge = 1j * self.plan.omega_rad_per_s * farad if self.mode == "ac" else 0.0
            self._add(node, EARTH_INDEX, np.asarray(leak + charge))

    def add_links(self, batch: Batch, links: Iterable[Link]) -> None:
        """Two-terminal elements."""
        for link in links:
            self.add_link(batch, link, branch_admittance(batch, link, self.mode))

    def add_link(self, batch: Batch, link: Link, admittance: ComplexArray | None) -> None:
        """A two-terminal element of this admittance."""
        if admittance is None:
            return
        self._add(link.a, link.b, admittance)
        self._add(link.b, link.a, admittance)
        if self.mode == "ac":
            self._inject(link, source_amp(batch, link, admittance))

    def add_pairs(self, batch: Batch, pairs: Iterable[PairLink]) -> None:
        """Coupled elements."""
        for pair in pairs:
            self.add_pair(pair, pair_admittance(batch, pair, self.mode))

    def add_pair(self, pair: PairLink, admittances: PairAdmittance) -> None:
        """A coupled element of this admittance matrix."""
        y11, y12, y21, y22 = admittances
        for port, other, admittance in (
            (pair.first, pair.first, y11),
            (pair.first, pair.second, y12),
            (pair.second, pair.first, y21),
            (pair.second, pair.second, y22),
        ):
            self._add_port(port, other, admittance)

    def _add_port(
        self, port: tuple[int, int], other: tuple[int, int], admittance: ComplexArray
    ) -> None:
        (p, q), (r, t) = port, other
        self._add(p, t, admittance)
        self._add(q, r, admittance)
        self._add(p, r, -admittance)
        self._add(q, t, -admittance)

    def _add(self, i: int, j: int, admittance: ComplexArray) -> None:
        if i in (j, EARTH_INDEX):
            return
        slot = self.plan.order.slots[(i, j)]
        held = self.entries[slot]
        self.entries[slot] = admittance if held is None else held + admittance

    def _inject(self, link: Link, amp: ComplexArray | None) -> None:
        if amp is None:
            return
        for node, signed in ((link.a, amp), (link.b, -amp)):
            if node != EARTH_INDEX:
                held = self.injected.get(node)
                self.injected[node] = signed if held is None else held + signed
