"""What is live in a unit as it truly is, with every device and plunger as somebody leaves it.

A nodal solution at 60 Hz over plain tables: wires join points, everything else is an admittance
or a source behind its own impedance.  Motors stand still; what is asked is where volts come
through to, not what a motor draws.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rungwise.other_world.wired import DEVICES, Wired

GROUND = "@ground"
OMEGA = 2.0 * np.pi * 60.0
CLOSED_OHM = 2e-3
SOURCE_OHM = 0.03
METER_OHM = 3_000.0
"""Of a meter in low-impedance volts (common practice, no source); about that of a wet body."""

FLOOR_SIEMENS = 1e-9
"""From every point to ground, so that what floats has one voltage."""

ComplexArray = npt.NDArray[np.complex128]
Key = tuple[str, str]
Branch = tuple[str, str, complex, Key | None]


@dataclass(frozen=True, slots=True)
class Stance:
    """How everything stands.

    opened: devices opened; stuck: poles (device, number) that stay closed all the same; calls:
    the thermostat asks for cooling; pulled: contactors and relays whose contacts are together;
    cold: a heater's own thermostat is closed.
    """

    opened: frozenset[str] = frozenset()
    stuck: frozenset[tuple[str, int]] = frozenset()
    calls: bool = False
    pulled: frozenset[str] = frozenset()
    cold: bool = True

    def closed(self, key: Key) -> bool:
        """Whether a contact, by sort and part, lets current through."""
        sort, part = key
        if sort.startswith("pole"):
            return part not in self.opened or (part, int(sort[4:])) in self.stuck
        states = {"call": self.calls, "cold": self.cold, "pulled": part in self.pulled}
        return states[sort]


@dataclass(frozen=True)
class Volts:
    """One stance solved: volts of every point as a loaded meter shows them."""

    truth: LiveTruth
    volts: ComplexArray
    impedance: ComplexArray
    branch_amp: Mapping[Key, float]
    source_amp: float

    def open_volt(self, a: str, b: str = GROUND) -> float:
        """Volts between two points with no meter on them."""
        return abs(self._volt(a) - self._volt(b))

    def read(self, a: str, b: str = GROUND) -> float:
        """What a meter in low-impedance volts shows between two points."""
        i, j = self.truth.place.get(a, -1), self.truth.place.get(b, -1)
        z, own = self.impedance, 0j
        own += z[i, i] if i >= 0 else 0.0
        own += z[j, j] - (2.0 * z[i, j] if i >= 0 else 0.0) if j >= 0 else 0.0
        return float(abs((self._volt(a) - self._volt(b)) * METER_OHM / (METER_OHM + own)))

    def highest(self, terminals: Iterable[str]) -> dict[str, float]:
        """For each of these points the most that a loaded meter shows to ground or to another."""
        names = [name for name in terminals if name in self.truth.place]
        at = np.array([self.truth.place[name] for name in names], dtype=int)
        volts, z = self.volts[at], self.impedance[np.ix_(at, at)]
        own = np.diag(z)
        between = np.abs(np.subtract.outer(volts, volts) * METER_OHM
                         / (METER_OHM + np.add.outer(own, own) - 2.0 * z))  # fmt: skip
        ground = np.abs(volts * METER_OHM / (METER_OHM + own))
        most = np.maximum(ground, between.max(axis=1, initial=0.0))
        return dict(zip(names, most.tolist(), strict=True))

    def amp(self, device: str) -> float:
        """The most amps in any pole of a device."""
        amps = [amp for (sort, part), amp in self.branch_amp.items()
                if part == device and sort.startswith("pole")]  # fmt: skip
        return max(amps, default=0.0)

    def _volt(self, terminal: str) -> complex:
        at = self.truth.place.get(terminal, -1)
        return complex(self.volts[at]) if at >= 0 else 0j


class LiveTruth:
    """A description that is true, ready to be solved in any stance."""

    def __init__(self, unit: Wired) -> None:
        self.unit = unit
        self._joined = _joined(unit)
        names = list(dict.fromkeys(self._joined.values()))
        number = {name: at for at, name in enumerate(names)}
        self.place = {terminal: number[node] for terminal, node in self._joined.items()}
        self._size = len(names)
        self.branches = [branch for name in unit.parts for branch in _branches(unit, name)]
        for lug in [*unit.of_kind("earth_lug")]:
            self.branches.append((f"{lug}.E", GROUND, 1.0 / 0.01 + 0j, None))
        self._known: dict[Stance, Volts] = {}

    def at(self, stance: Stance) -> Volts:
        """The unit solved in a stance; each is solved once."""
        if stance not in self._known:
            self._known[stance] = self._solve(stance)
        return self._known[stance]

    def settled(self, stance: Stance) -> Stance:
        """The stance with every contactor and relay in that its own coil pulls, by itself."""
        pulled: frozenset[str] = frozenset()
        for _ in range(4):
            volts = self.at(_with(stance, pulled))
            now = frozenset(n for n in self.coils() if self._pulls(n, volts, was=n in pulled))
            if now == pulled:
                break
            pulled = now
        return _with(stance, pulled)

    def coils(self) -> list[str]:
        """Contactors and relays."""
        return self.unit.of_kind("contactor_1p", "contactor_2p", "relay")

    def _pulls(self, name: str, volts: Volts, *, was: bool) -> bool:
        rated = float(self.unit.parts[name].get("coil_volt", 24.0))
        share = 0.5 if was else 0.7
        return volts.open_volt(f"{name}.coil1", f"{name}.coil2") >= share * rated

    def _solve(self, stance: Stance) -> Volts:
        matrix: ComplexArray = np.zeros((self._size, self._size), dtype=complex)
        np.fill_diagonal(matrix, FLOOR_SIEMENS)
        right: ComplexArray = np.zeros(self._size, dtype=complex)
        live = [b for b in self.branches if b[3] is None or stance.closed(b[3])]
        for a, b, siemens, _ in live:
            self._stamp(matrix, a, b, siemens)
        for name in self.unit.of_kind("transformer"):
            self._transformer(matrix, name)
        sources = list(self._sources())
        for at, volt in sources:
            matrix[at, at] += 1.0 / SOURCE_OHM
            right[at] += volt / SOURCE_OHM
        impedance: ComplexArray = np.asarray(np.linalg.inv(matrix), dtype=complex)
        volts = impedance @ right
        amps = self._amps(live, volts)
        drawn = [abs(volt - volts[at]) / SOURCE_OHM for at, volt in sources]
        return Volts(self, volts, impedance, amps, max(drawn, default=0.0))

    def _stamp(self, matrix: ComplexArray, a: str, b: str, siemens: complex) -> None:
        i, j = self.place.get(a, -1), self.place.get(b, -1)
        for at in (i, j):
            if at >= 0:
                matrix[at, at] += siemens
        if i >= 0 and j >= 0:
            matrix[i, j] -= siemens
            matrix[j, i] -= siemens

    def _sources(self) -> Iterator[tuple[int, complex]]:
        for name in self.unit.of_kind("service"):
            leg = float(self.unit.parts[name].get("leg_volt", 120.0))
            for terminal, volt in (("L1", leg), ("L2", -leg), ("N", 0.0)):
                yield self.place[f"{name}.{terminal}"], complex(volt)

    def _transformer(self, matrix: ComplexArray, name: str) -> None:
        """Two coupled windings, each with its own ohms and leakage, seen from four terminals."""
        part = self.unit.parts[name]
        first = float(part.get("primary_volt", 120.0))
        ratio = float(part.get("secondary_open_volt", 27.5)) / first
        scale = (first / 120.0) ** 2
        magnetizing = 1j * OMEGA * 4.8 * scale
        own = magnetizing + scale * (12.0 + 9.0j)
        other = magnetizing * ratio**2 + 0.8 + 0.4j
        block = np.linalg.inv(np.array([[own, magnetizing * ratio],
                                        [magnetizing * ratio, other]]))  # fmt: skip
        ports = ((f"{name}.pri1", f"{name}.pri2"), (f"{name}.R", f"{name}.C"))
        for i, (a, b) in enumerate(ports):
            for j, (c, d) in enumerate(ports):
                for p, s in ((a, 1.0), (b, -1.0)):
                    for q, t in ((c, 1.0), (d, -1.0)):
                        matrix[self.place[p], self.place[q]] += s * t * block[i, j]

    def _amps(self, live: list[Branch], volts: ComplexArray) -> dict[Key, float]:
        amps: dict[Key, float] = {}
        for a, b, siemens, key in live:
            if key is not None:
                over = volts[self.place[a]] - volts[self.place[b]]
                amps[key] = max(amps.get(key, 0.0), abs(over * siemens))
        return amps


def _with(stance: Stance, pulled: frozenset[str]) -> Stance:
    return Stance(stance.opened, stance.stuck, stance.calls, pulled, stance.cold)


def _joined(unit: Wired) -> dict[str, str]:
    """Every terminal with one name for all that wires join to it."""
    above = {terminal: terminal for terminal in unit.terminals()}

    def top(terminal: str) -> str:
        while above[terminal] != terminal:
            terminal = above[terminal]
        return terminal

    for wire in unit.wires.values():
        above[top(wire["from"])] = top(wire["to"])
    return {terminal: top(terminal) for terminal in above}


def _branches(unit: Wired, name: str) -> Iterator[Branch]:
    part = unit.parts[name]
    kind = part["kind"]
    writer = _WRITERS.get(kind, _poles if kind in DEVICES else _nothing)
    for a, b, ohm, key in writer(name, part):
        yield f"{name}.{a}", f"{name}.{b}", 1.0 / ohm, key


Written = Iterator[tuple[str, str, complex, Key | None]]


def _poles(name: str, part: Mapping[str, Any]) -> Written:
    for pole in range(1, DEVICES[part["kind"]] + 1):
        yield f"line{pole}", f"load{pole}", CLOSED_OHM, (f"pole{pole}", name)


def _contactor(name: str, part: Mapping[str, Any]) -> Written:
    yield "L1", "T1", CLOSED_OHM, ("pulled", name)
    yield "L2", "T2", CLOSED_OHM, ("pulled", name) if part["kind"] == "contactor_2p" else None
    scale = (float(part.get("coil_volt", 24.0)) / 24.0) ** 2
    yield "coil1", "coil2", scale * (13.0 + 50.0j), None


def _relay(name: str, part: Mapping[str, Any]) -> Written:
    yield "common", "no", CLOSED_OHM, ("pulled", name)
    scale = (float(part.get("coil_volt", 24.0)) / 24.0) ** 2
    yield "coil1", "coil2", scale * (80.0 + 130.0j), None


def _motor(_: str, part: Mapping[str, Any]) -> Written:
    """Standing still: winding ohms and the leakage of both sides."""
    volt = float(part.get("rated_volt", 230.0))
    locked = float(part.get("locked_a", 80.0 if part["kind"] == "compressor" else 2.6))
    ohm = volt / locked
    yield "C", "R", ohm * (0.7 + 0.71j), None
    yield "C", "S", ohm * (1.6 + 1.5j), None


def _microfarad(uf: float) -> complex:
    return 0.2 + 1.0 / (1j * OMEGA * uf * 1e-6)


def _dual(_: str, part: Mapping[str, Any]) -> Written:
    yield "HERM", "C", _microfarad(float(part.get("herm_uf", 45.0))), None
    yield "FAN", "C", _microfarad(float(part.get("fan_uf", 5.0))), None


def _run(_: str, part: Mapping[str, Any]) -> Written:
    yield "1", "2", _microfarad(float(part.get("run_uf", 10.0))), None


def _start(_: str, part: Mapping[str, Any]) -> Written:
    yield "1", "2", _microfarad(float(part.get("start_uf", 189.0))), None
    yield "1", "2", 15_000.0 + 0j, None


def _heater(_: str, part: Mapping[str, Any]) -> Written:
    watt, volt = float(part.get("watt", 70.0)), float(part.get("volt", 240.0))
    yield "1", "2", complex(volt**2 / watt), None


def _heater_stat(name: str, _: Mapping[str, Any]) -> Written:
    yield "1", "2", CLOSED_OHM, ("cold", name)


def _switch(_: str, __: Mapping[str, Any]) -> Written:
    yield "1", "2", 0.03 + 0j, None


def _delay(name: str, _: Mapping[str, Any]) -> Written:
    yield "y_in", "c", 1500.0 + 0j, None
    yield "y_in", "y_out", 0.05 + 0j, ("call", name)


def _start_relay(_: str, __: Mapping[str, Any]) -> Written:
    yield "1", "2", 0.02 + 0j, None
    yield "2", "5", 10_000.0 + 15_000.0j, None


def _thermostat(name: str, _: Mapping[str, Any]) -> Written:
    yield "R", "Y", 0.05 + 0j, ("call", name)
    yield "R", "G", 0.05 + 0j, ("call", name)


def _nothing(_: str, __: Mapping[str, Any]) -> Written:
    yield from ()


_WRITERS: Mapping[str, Callable[[str, Mapping[str, Any]], Written]] = {
    "contactor_1p": _contactor,
    "contactor_2p": _contactor,
    "relay": _relay,
    "compressor": _motor,
    "fan_motor": _motor,
    "dual_capacitor": _dual,
    "run_capacitor": _run,
    "start_capacitor": _start,
    "crankcase_heater": _heater,
    "heater_thermostat": _heater_stat,
    "float_switch": _switch,
    "high_pressure_switch": _switch,
    "low_pressure_switch": _switch,
    "door_switch": _switch,
    "lv_fuse": _switch,
    "delay": _delay,
    "potential_relay": _start_relay,
    "thermostat": _thermostat,
}
