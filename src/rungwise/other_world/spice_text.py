"""The netlist as text for ngspice, and ngspice's own solution of it."""

from __future__ import annotations

import math
import re
from pathlib import Path
from tempfile import TemporaryDirectory

from rungwise.errors import CircuitError
from rungwise.other_world.netlist import GROUND, LEAK_SIEMENS, Netlist
from rungwise.other_world.parts import write_house
from rungwise.other_world.visit import Visit
from rungwise.spice_run import run_ngspice

_PRINTED = re.compile(r"v\(n(\d+)\)\s*=\s*(\S+),(\S+)", re.IGNORECASE)


def deck(netlist: Netlist, hz: float, title: str = "a house of the other world") -> str:
    """The netlist at one frequency, nodes numbered in the order of `Netlist.nodes`."""
    numbers = {name: f"n{at}" for at, name in enumerate(netlist.nodes())} | {GROUND: "0"}
    lines = [title, *_passive(netlist, numbers), *_active(netlist, numbers)]
    lines += [f"rleak{at} n{at} 0 {1.0 / LEAK_SIEMENS:.6g}" for at in range(len(numbers) - 1)]
    printed = [f"print v(n{at})" for at in range(len(numbers) - 1)]
    run = [".control", "set numdgt=12", f"ac lin 1 {hz} {hz}", *printed, "quit", ".endc", ".end"]
    return "\n".join([*lines, *run, ""])


def apart_volt(visit: Visit) -> float:
    """The most by which ngspice and our own solution differ at any point, calling or standing, V.

    Raises MissingProgram, CircuitError.
    """
    apart = 0.0
    for settled in (visit.calling, visit.standby):
        found = node_volts(write_house(visit.house, settled.stand), visit.house.unit.hz)
        apart = max(apart, *(abs(volt - settled.solved.volt(at)) for at, volt in found.items()))
    return apart


def _passive(netlist: Netlist, numbers: dict[str, str]) -> list[str]:
    lines = []
    sorts = (("r", netlist.resistors), ("c", netlist.capacitors), ("l", netlist.inductors))
    for letter, elements in sorts:
        for at, (_, a, b, value) in enumerate(elements):
            lines.append(f"{letter}{at} {numbers[a]} {numbers[b]} {value:.12g}")
    coils = {name: (at, henry) for at, (name, _, _, henry) in enumerate(netlist.inductors)}
    for at, (first, second, henry) in enumerate(netlist.mutuals):
        (i, own), (j, other) = coils[first], coils[second]
        lines.append(f"k{at} l{i} l{j} {henry / math.sqrt(own * other):.15g}")
    return lines


def _active(netlist: Netlist, numbers: dict[str, str]) -> list[str]:
    lines, sensed = [], {}
    for at, (name, a, b, volt) in enumerate(netlist.sources):
        sensed[name] = f"v{at}"
        degrees = math.degrees(math.atan2(volt.imag, volt.real))
        lines.append(f"v{at} {numbers[a]} {numbers[b]} dc 0 ac {abs(volt):.12g} {degrees:.12g}")
    for at, (_, a, b, source, ohm) in enumerate(netlist.transfers):
        lines.append(f"h{at} {numbers[a]} {numbers[b]} {sensed[source]} {ohm:.12g}")
    return lines


def node_volts(netlist: Netlist, hz: float) -> dict[str, complex]:
    """Volts of every node as ngspice finds them. Raises MissingProgram, CircuitError."""
    with TemporaryDirectory(prefix="rungwise-") as folder:
        Path(folder, "house.cir").write_text(deck(netlist, hz), encoding="utf-8")
        run = run_ngspice(Path(folder), "house.cir")
    nodes = netlist.nodes()
    found = {
        nodes[int(at)]: complex(float(real), float(imaginary))
        for at, real, imaginary in _PRINTED.findall(run.stdout)
    }
    if len(found) != len(nodes):
        raise CircuitError(
            f"ngspice solved {len(found)} of {len(nodes)} nodes: {run.stderr[-400:]}"
        )
    return found
