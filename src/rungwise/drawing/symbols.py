"""The pieces that a ladder shows of each kind of part: terminals in a row, a symbol between two.

A part may stand in several places: a contactor's poles among the power, its coil in the control
circuit.  A kind that is not in the table is drawn as a box with all its terminals.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.parts import KINDS
from rungwise.unit.unit import Part, Unit

__all__ = ["Piece", "pieces_of"]


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a part.

    terminals: as ``part.terminal``, in a row. symbols: what lies between each two of them.
    elements: which element each symbol stands for, so that a mark finds its contact. through: a
    path that switches or protects, in line with its circuit. source: what feeds a circuit.
    forks: fed in the middle, gives to both ends. round: in a circle, as motors are. values: words
    beside each symbol, from the unit's own figures.
    """

    part: str
    name: str
    terminals: tuple[str, ...]
    symbols: tuple[str, ...] = ()
    elements: tuple[str, ...] = ()
    through: bool = False
    source: bool = False
    forks: bool = False
    round: bool = False
    values: tuple[str, ...] = ()
    aside: str = ""
    """What this piece of its part is, where the part stands in several places."""

    @property
    def joint(self) -> bool:
        """Whether it is one point with nothing inside."""
        return len(self.terminals) == 1

    @property
    def key(self) -> str:
        """Its name within the picture."""
        return f"{self.part}.{self.name}"


@dataclass(frozen=True, slots=True)
class _Shape:
    """A piece of every part of a kind; ``figures`` are the parameters told beside its symbols."""

    name: str
    terminals: tuple[str, ...]
    symbols: tuple[str, ...] = ()
    elements: tuple[str, ...] = ()
    through: bool = False
    source: bool = False
    forks: bool = False
    round: bool = False
    figures: tuple[str, ...] = ()
    aside: str = ""


def _poles(symbol: str, poles: int) -> tuple[_Shape, ...]:
    return tuple(
        _Shape(f"pole{n}", (f"line{n}", f"load{n}"), (symbol,), (f"pole{n}",), through=True)
        for n in range(1, poles + 1)
    )


def _contactor(second: str) -> tuple[_Shape, ...]:
    return (
        _Shape("pole1", ("L1", "T1"), ("contact",), ("pole1",), through=True),
        _Shape("pole2", ("L2", "T2"), (second,), ("pole2",), through=True),
        _Shape("coil", ("coil1", "coil2"), ("coil",), ("coil",), aside="coil"),
    )


def _switch(symbol: str) -> tuple[_Shape, ...]:
    return (_Shape("contact", ("1", "2"), (symbol,), ("contact",), through=True),)


def _joints(*terminals: str) -> tuple[_Shape, ...]:
    return tuple(_Shape(each, (each,)) for each in terminals)


_MOTOR = (
    _Shape("windings", ("R", "C", "S"), ("winding", "winding"), ("run", "start"), round=True),
)

_SHAPES: dict[str, tuple[_Shape, ...]] = {
    "service": tuple(_Shape(each, (each,), source=True) for each in ("L1", "L2", "N")),
    "breaker_2p": _poles("breaker", 2),
    "breaker_1p": _poles("breaker", 1),
    "disconnect_pullout": _poles("pullout", 2),
    "disconnect_switch": _poles("switch", 2),
    "disconnect_fused": _poles("fused_switch", 2),
    "service_switch": _poles("switch", 1),
    "contactor_1p": _contactor("bar"),
    "contactor_2p": _contactor("contact"),
    "compressor": _MOTOR,
    "fan_motor": _MOTOR,
    "crankcase_heater": (_Shape("element", ("1", "2"), ("heater",), figures=("watt",)),),
    "heater_thermostat": _switch("thermal_switch"),
    "dual_capacitor": (
        _Shape("sections", ("HERM", "C", "FAN"), ("capacitor", "capacitor"),
               figures=("herm_uf", "fan_uf")),
    ),
    "run_capacitor": (_Shape("run", ("1", "2"), ("capacitor",), figures=("run_uf",)),),
    "start_capacitor": (_Shape("start", ("1", "2"), ("capacitor",), figures=("start_uf",)),),
    "potential_relay": (
        _Shape("relay", ("1", "2", "5"), ("contact_nc", "coil"), ("contact", "coil")),
    ),
    "delay": (_Shape("delay", ("y_out", "y_in", "c"), ("contact", "timer"),
                     ("contact", "supply")),),
    "relay": (
        _Shape("contact", ("common", "no"), ("contact",), ("contact",), through=True,
               aside="contact"),
        _Shape("coil", ("coil1", "coil2"), ("coil",), ("coil",), aside="coil"),
    ),
    "float_switch": _switch("float_switch"),
    "high_pressure_switch": _switch("pressure_switch"),
    "low_pressure_switch": _switch("pressure_switch"),
    "door_switch": _switch("switch"),
    "lv_fuse": (_Shape("link", ("1", "2"), ("fuse",), ("link",), through=True,
                       figures=("rating_a",)),),
    "thermostat": (
        _Shape("contacts", ("Y", "R", "G"), ("thermal_switch", "thermal_switch"), ("y", "g"),
               through=True, forks=True),
    ),
    "transformer": (
        _Shape("primary", ("pri1", "pri2"), ("winding",), aside="primary"),
        _Shape("secondary", ("R", "C"), ("winding",), source=True, aside="secondary"),
    ),
    "terminal_board": _joints("R", "C", "Y", "G"),
    "splice": _joints("1"),
    "neutral_bar": _joints("N"),
    "earth_lug": (_Shape("E", ("E",), ("earth",)),),
}  # fmt: skip


def pieces_of(unit: Unit) -> tuple[Piece, ...]:
    """Every piece of every part of a unit, in the order of its file."""
    return tuple(piece for part in unit.parts for piece in _pieces(unit, part))


def _pieces(unit: Unit, part: Part) -> Iterator[Piece]:
    for shape in _SHAPES.get(part.kind) or (_box(part),):
        yield Piece(
            part.name,
            shape.name,
            tuple(f"{part.name}.{terminal}" for terminal in shape.terminals),
            shape.symbols,
            shape.elements or tuple("" for _ in shape.symbols),
            shape.through,
            shape.source,
            shape.forks,
            shape.round,
            tuple(_figure(unit, part, figure) for figure in shape.figures),
            shape.aside,
        )


def _box(part: Part) -> _Shape:
    terminals = KINDS[part.kind].terminals
    return _Shape("box", terminals, ("box",) * (len(terminals) - 1))


def _figure(unit: Unit, part: Part, name: str) -> str:
    parameter = unit.kind_of(part.name).parameter(name)
    return f"{part.values.get(name, parameter.default):g} {parameter.unit}"
