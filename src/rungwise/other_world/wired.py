"""A unit's description as plain tables, read from its file without the program's own reader.

Parts have a kind and a place, wires two ends; what a file changes in an arrangement is put on
top of it, and a changed description is written again as what differs.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any

from rungwise.unit import part_of

Table = dict[str, Any]

ARRANGEMENTS = ("one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side")

_TWO_POLES = ("line1", "load1", "line2", "load2")
_CONTACTOR = ("L1", "T1", "L2", "T2", "coil1", "coil2")
_MOTOR = ("C", "R", "S")
_SWITCH = ("1", "2")

DEVICES: Mapping[str, int] = {
    "breaker_2p": 2,
    "breaker_1p": 1,
    "disconnect_pullout": 2,
    "disconnect_switch": 2,
    "disconnect_fused": 2,
    "service_switch": 1,
}
"""Kinds that a person opens to take the supply away, with their poles."""

TERMINALS: Mapping[str, tuple[str, ...]] = {
    **{kind: _TWO_POLES[: 2 * poles] for kind, poles in DEVICES.items()},
    "service": ("L1", "L2", "N"),
    "contactor_1p": _CONTACTOR,
    "contactor_2p": _CONTACTOR,
    "compressor": _MOTOR,
    "fan_motor": _MOTOR,
    "dual_capacitor": ("C", "HERM", "FAN"),
    "run_capacitor": _SWITCH,
    "start_capacitor": _SWITCH,
    "crankcase_heater": _SWITCH,
    "heater_thermostat": _SWITCH,
    "lv_fuse": _SWITCH,
    "float_switch": _SWITCH,
    "high_pressure_switch": _SWITCH,
    "low_pressure_switch": _SWITCH,
    "door_switch": _SWITCH,
    "delay": ("y_in", "y_out", "c"),
    "potential_relay": ("1", "2", "5"),
    "relay": ("coil1", "coil2", "common", "no"),
    "transformer": ("pri1", "pri2", "R", "C"),
    "thermostat": ("R", "Y", "G"),
    "terminal_board": ("R", "C", "Y", "G"),
    "splice": ("1",),
    "neutral_bar": ("N",),
    "earth_lug": ("E",),
}


@dataclass
class Wired:
    """One description. arrangement: the shipped one that it starts from."""

    arrangement: str
    parts: dict[str, Table] = field(default_factory=dict)
    wires: dict[str, Table] = field(default_factory=dict)

    def copy(self) -> Wired:
        """The same, free to be damaged."""
        return deepcopy(self)

    def terminals(self, parts: Iterable[str] | None = None) -> list[str]:
        """Every `part.terminal`, or those of some parts."""
        names = self.parts if parts is None else parts
        return [f"{name}.{each}" for name in names for each in TERMINALS[self.parts[name]["kind"]]]

    def at(self, *places: str) -> list[str]:
        """The parts that sit at these places."""
        return [name for name, part in self.parts.items() if part["place"] in places]

    def of_kind(self, *kinds: str) -> list[str]:
        """The parts of these kinds."""
        return [name for name, part in self.parts.items() if part["kind"] in kinds]

    def devices(self) -> list[str]:
        """The parts that a person opens to take the supply away."""
        return self.of_kind(*DEVICES)

    def on(self, terminal: str) -> list[str]:
        """The wires that end on a terminal."""
        return [name for name, w in self.wires.items() if terminal in (w["from"], w["to"])]

    def loose(self) -> list[str]:
        """Wires of which an end is on no terminal."""
        known = set(self.terminals())
        return [name for name, w in self.wires.items() if not {w["from"], w["to"]} <= known]

    def take_part(self, name: str) -> None:
        """Take a part out with every wire on it."""
        del self.parts[name]
        for wire in [n for n, w in self.wires.items() if _on_part(w, name)]:
            del self.wires[wire]

    def add_part(self, name: str, kind: str, place: str, **values: Any) -> None:
        """Put a part in; nothing is wired to it yet."""
        self.parts[name] = {"kind": kind, "place": place, **values}

    def add_wire(self, name: str, a: str, b: str, awg: int = 10) -> None:
        """Put a wire in."""
        self.wires[name] = {"name": name, "from": a, "to": b, "colour": "black", "awg": awg,
                            "length_m": 1, "joints": ["screw", "screw"]}  # fmt: skip

    def toml(self) -> str:
        """The description as a unit file: what differs from its arrangement."""
        return "\n".join(_lines(self, wired(self.arrangement))) + "\n"


def _on_part(wire: Table, part: str) -> bool:
    return part in (part_of(wire["from"]), part_of(wire["to"]))


@cache
def wired(arrangement: str) -> Wired:
    """A shipped arrangement; copy it before changing it."""
    file = resources.files("rungwise.unit").joinpath("arrangements", f"{arrangement}.toml")
    told = tomllib.loads(file.read_text(encoding="utf-8"))
    base = wired(told["arrangement"]).copy() if "arrangement" in told else Wired(arrangement)
    base.arrangement = arrangement
    for gone in told.get("without", ()):
        base.parts.pop(gone, None)
        base.wires.pop(gone, None)
    for name, part in told.get("parts", {}).items():
        base.parts[name] = {**base.parts.get(name, {"place": "outdoor"}), **part}
    for wire in told.get("wires", ()):
        base.wires[wire["name"]] = {**base.wires.get(wire["name"], {}), **wire}
    return base


def _lines(now: Wired, base: Wired) -> Iterator[str]:
    yield f'arrangement = "{now.arrangement}"'
    gone = [n for n in base.parts if n not in now.parts]
    gone += [n for n in base.wires if n not in now.wires]
    if gone:
        yield f"without = {json.dumps(gone)}"
    for name, part in now.parts.items():
        changed = _changed(part, base.parts.get(name, {}))
        if changed:
            yield f"\n[parts.{name}]"
            yield from changed
    for name, wire in now.wires.items():
        changed = _changed(wire, base.wires.get(name, {}))
        if changed:
            yield f'\n[[wires]]\nname = "{name}"'
            yield from (line for line in changed if not line.startswith("name ="))


def _changed(now: Table, base: Table) -> list[str]:
    return [f"{key} = {_toml(value)}" for key, value in now.items() if base.get(key) != value]


def _toml(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)
