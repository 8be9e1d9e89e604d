"""What a rule sees of a solved circuit: volts, amps, rotors and pressures of its own part.

One `Response` is one solution of a batch; `Response.of` narrows it to a part.  Nothing is changed
here: a rule says what it asks for, and the solver that asked it does it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property, reduce

import numpy as np

from rungwise.circuit.assemble import (
    PairAdmittance,
    branch_admittance,
    machine_constants,
    machine_of,
    pair_admittance,
)
from rungwise.circuit.batch import Batch, BlockView, BoolArray, IndexArray
from rungwise.circuit.cooling import Temperatures, moved_air
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.machine import seen_from_windings, winding_amps
from rungwise.circuit.motion import Drive, Load, settle_speed
from rungwise.circuit.netlist import Key, Link, PairLink
from rungwise.circuit.network import Solved
from rungwise.parts import (
    AS_WOUND,
    RUNNING_SLIP,
    Codes,
    FloatArray,
    Heater,
    Ignites,
    Side,
    motor_does,
)

THAWS_A = 0.5
"""A heater with more than this melts ice: a tenth of the amps of a small one."""

DEAD_VOLT = 3.0
"""Volts across a motor's windings below which it is not driven.

The torque goes with the square of the volts: what is left at 3 V of 240 is a six-thousandth of the
starting torque, under any bearing's friction, and not worth a search for a balance."""


class Response:
    """The volts that a batch was solved to, and what its rules may ask of them.

    `tired`: by state, where it has turned so often that it is held open.
    """

    def __init__(self, part: Batch, solved: Solved, tired: Mapping[Key, BoolArray]) -> None:
        self.part = part
        self.volts = solved.volts
        self.across = solved.across
        self.moved = solved.moved
        self.tired = tired
        self._rested = np.zeros(part.size, bool)
        self._amps: dict[Key, FloatArray] = {}

    def of(self, block: str) -> SeenPart:
        """What the rules of one part see."""
        return SeenPart(self, block)

    def tired_of(self, key: Key) -> BoolArray:
        """Where a state has turned so often that it is held open."""
        return self.tired.get(key, self._rested)

    def amp(self, link: Link) -> FloatArray:
        """RMS amps through a two-terminal element without a source of its own."""
        if link.key not in self._amps:
            self._amps[link.key] = np.abs(self.phasor(link))
        return self._amps[link.key]

    def phasor(self, link: Link) -> ComplexArray:
        """The same as a phasor, from its first terminal to its second."""
        if link.key not in self.moved.links:
            return phasor_through(self.part, self.volts, link)
        return _through(self.moved.links[link.key], self.volts, link)

    @cached_property
    def steady(self) -> tuple[Temperatures, ...]:
        """Where the temperatures of each refrigerant circuit are on their way to."""
        return tuple(cooling.steady(self.part) for cooling in self.part.plan.coolings)


class SeenPart:
    """One part in the solved circuit, as a rule of `rungwise.parts.rule` sees it (`Seen`)."""

    __slots__ = ("_block", "_response", "values")

    def __init__(self, response: Response, block: str) -> None:
        self._response = response
        self._block = block
        self.values: BlockView = response.part.view(block)
        """The part's parameters and states."""

    @property
    def size(self) -> int:
        """How many variants."""
        return self._response.part.size

    def volt(self, element: str) -> FloatArray:
        """RMS volts across an element of the part, 0 where it is open."""
        link, volts = self._link(element), self._response.volts
        across = np.abs(volts[link.a] - volts[link.b])
        closed = link.element.closed
        return across if closed is None else np.asarray(across * closed(self.values))

    def amp(self, element: str) -> FloatArray:
        """RMS amps through an element of the part."""
        return self._response.amp(self._link(element))

    def residual_amp(self, elements: tuple[str, ...]) -> FloatArray:
        """RMS of the sum of the amps through several elements."""
        each = [self._response.phasor(self._link(element)) for element in elements]
        return np.asarray(np.abs(np.sum(each, axis=0)))

    def slip(self, machine: str, free: BoolArray) -> FloatArray:
        """The slip that each rotor comes to from the one it has: 1 where it stands."""
        part, volts = self._response.part, self._response.volts
        pair = part.plan.pair_by_key[(self._block, machine)]
        across = [np.abs(volts[p] - volts[q]) for p, q in (pair.first, pair.second)]
        driven = np.flatnonzero((np.maximum(*across) > DEAD_VOLT) & free)
        wanted = np.ones(part.size)
        if driven.size:
            speed = 1.0 - part.take(driven).view(self._block)["slip"]
            wanted[driven] = 1.0 - settle_speed(self._drive(pair, driven), speed)
        return wanted

    def _drive(self, pair: PairLink, driven: IndexArray) -> Drive:
        """A motor and what feeds it, of the variants in which it is driven."""
        seen = self._response
        every = driven.size == seen.part.size
        part = seen.part if every else seen.part.take(driven)
        ohm = seen.across[pair.key]
        across = [seen.volts[p] - seen.volts[q] for p, q in (pair.first, pair.second)]
        own = seen.moved.pairs[pair.key]
        if not every:
            ohm, across = ohm[:, driven], [volt[driven] for volt in across]
            own = tuple(y[driven] if y.ndim else y for y in own)  # type: ignore[assignment]  # four
        return _drive(part, across, ohm, own, pair)

    def does(self, slip: FloatArray) -> Codes:
        """What the part's motor does at a slip."""
        part, volts = self._response.part, self._response.volts
        motor = part.plan.motors[self._block]
        most = most_winding_amp(part, volts, part.plan.pair_by_key[(self._block, motor.element)])
        return motor_does(slip, most, self.values[motor.amps])

    def tired(self, state: str) -> BoolArray:
        """Where the state has turned so often that it is held open."""
        return self._response.tired_of((self._block, state))

    def pressed_s(self, side: Side, psi: FloatArray) -> FloatArray | None:
        """Seconds of running from rest until a side's pressure passes `psi`."""
        part, steady = self._response.part, self._response.steady
        mine = part.plan.circuits_of(self._block)
        if not mine:
            return None
        coolings = part.plan.coolings
        waits = [coolings[at].pressed_s(part, steady[at], side, psi) for at in mine]
        return np.asarray(reduce(np.minimum, waits))

    def fed(self) -> FloatArray:
        """1 where every liquid valve of the part's circuit is open, or there is none."""
        part = self._response.part
        valves = part.plan.valves_of(self._block)
        opened = [valve.opened(part.view(name)) for name, valve in valves]
        return np.broadcast_to(reduce(np.minimum, opened, np.asarray(1.0)), (part.size,))

    def pumps(self) -> FloatArray:
        """1 where a compressor of the part's circuit runs."""
        part = self._response.part
        plan, mine = part.plan, part.plan.circuits_of(self._block)
        runs = [part.view(plan.coolings[at].compressor)["slip"] < RUNNING_SLIP for at in mine]
        turning = reduce(np.logical_or, runs, np.asarray(a=False))
        return np.broadcast_to(turning * 1.0, (part.size,))

    def indoor_air(self) -> FloatArray:
        """Share of its full air that moves indoors: by its blowers, past filter, coil and ducts."""
        part = self._response.part
        roles = part.plan.unit.roles
        held_up = [part.view(name)["indoor_blocked"] for name in roles.compressors]
        past = 1.0 - reduce(np.maximum, held_up, np.asarray(0.0))
        return np.asarray(moved_air(part, roles.indoor_blowers) * past)

    def thaws(self) -> FloatArray:
        """1 where a heater melts the ice of the part's circuit."""
        part = self._response.part
        plan, mine = part.plan, {*part.plan.circuits_of(self._block)}
        heaters = [(p.name, each.element) for p, each in plan.unit.having(Heater)
                   if each.warms == "ice" and mine & {*plan.circuits_of(p.name)}]  # fmt: skip
        hot = [self._response.amp(plan.link_by_key[key]) > THAWS_A for key in heaters]
        melts = reduce(np.logical_or, hot, np.asarray(a=False))
        return np.broadcast_to(melts * 1.0, (part.size,))

    def burns(self) -> FloatArray:
        """1 where a furnace burns on, its flame proved."""
        part = self._response.part
        boards = part.plan.unit.having(Ignites)
        flames = [board.proved(part.view(block.name)) > 0 for block, board in boards]
        lit = reduce(np.logical_or, flames, np.asarray(a=False))
        return np.broadcast_to(lit * 1.0, (part.size,))

    def _link(self, element: str) -> Link:
        return self._response.part.plan.link_by_key[(self._block, element)]


def most_winding_amp(part: Batch, volts: ComplexArray, pair: PairLink) -> FloatArray:
    """RMS amps in that winding of a motor which carries most."""
    y11, y12, y21, y22 = pair_admittance(part, pair, "ac")
    first, second = (volts[p] - volts[q] for p, q in (pair.first, pair.second))
    return most_amp(pair, (y11 * first + y12 * second, y21 * first + y22 * second))


def most_amp(pair: PairLink, amps: tuple[ComplexArray, ComplexArray]) -> FloatArray:
    """The same from the amps into its ports: the third leg of a star carries what both bring."""
    most = np.maximum(np.abs(amps[0]), np.abs(amps[1]))
    if machine_of(pair).frame == AS_WOUND:
        return np.asarray(most)
    return np.asarray(np.maximum(most, np.abs(amps[0] + amps[1])))


def amp_through(part: Batch, volts: ComplexArray, link: Link) -> FloatArray:
    """Amps through a two-terminal element without a source of its own."""
    return np.asarray(np.abs(phasor_through(part, volts, link)))


def phasor_through(part: Batch, volts: ComplexArray, link: Link) -> ComplexArray:
    """The same as a phasor, from its first terminal to its second."""
    return _through(branch_admittance(part, link, "ac"), volts, link)


def _through(admittance: ComplexArray | None, volts: ComplexArray, link: Link) -> ComplexArray:
    if admittance is None:
        return np.zeros(volts.shape[1], complex)
    return np.asarray(admittance * (volts[link.a] - volts[link.b]))


def _drive(
    part: Batch,
    across: Sequence[ComplexArray],
    ohm: ComplexArray,
    own: PairAdmittance,
    pair: PairLink,
) -> Drive:
    """The motor and the network that feeds it, seen from its two ports through `ohm` [4, n].

    across: volts across the ports. own: the motor's own admittance there.
    """
    element = machine_of(pair)
    z11, z21, z12, z22 = ohm
    # The whole network at the two ports less the machine's own part is what feeds it, whatever the
    # wiring: so a rotor's search needs no new solution of the network at each speed.
    determinant = z11 * z22 - z12 * z21
    whole = (z22 / determinant, -z12 / determinant, -z21 / determinant, z11 / determinant)
    size = (part.size,)
    beside = (t - m for t, m in zip(whole, own, strict=True))
    turned = seen_from_windings(tuple(beside), element.frame)
    network = tuple(np.broadcast_to(y, size) for y in turned)
    v1, v2 = across
    at_ports = (whole[0] * v1 + whole[1] * v2, whole[2] * v1 + whole[3] * v2)
    source = winding_amps(at_ports, element.frame)
    view = part.view(pair.block)
    constants = machine_constants(part, pair.block)
    speed = view["rated_rpm"] * 2 * np.pi / 60 / constants.sync_rad_per_s
    load = Load(element.standstill_nm(view), element.rated_nm(view), np.asarray(speed))
    closed = (
        np.broadcast_to(element.main_closed(view), size),
        np.broadcast_to(element.aux_closed(view), size),
    )
    return Drive.fed(constants, load, source, network, closed)  # type: ignore[arg-type]
