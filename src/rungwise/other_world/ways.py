"""Ways in which parts fail, as changes of a house: the known list of the trade.

Weights say how often a call has it, in no unit (common practice, no source; set for this world
alone).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from rungwise.other_world.box import BOX_WAYS
from rungwise.other_world.draws import log_between
from rungwise.other_world.fault import (
    Change,
    Fault,
    Way,
    earthed,
    flagged,
    scaled,
    set_to,
)
from rungwise.other_world.gas import GAS_WAYS
from rungwise.other_world.guards import GUARD_WAYS
from rungwise.other_world.house import Bridge, House
from rungwise.other_world.kinds import SERVICES, SMALL
from rungwise.other_world.ways_boards import BOARD_WAYS
from rungwise.unit import part_of


def _coil_shorted(part: str) -> Change:
    def change(house: House, rng: np.random.Generator) -> None:
        left = float(rng.uniform(0.06, 0.45))
        own = house.values[part]
        own["coil_ohm"] *= left
        own["sealed_ohm"] *= left * 0.6
        own["pull_share"] = 0.05

    return change


def _turns_shorted(part: str) -> Change:
    """Some turns of both windings gone: less ohms, less reactance, more amps."""

    def change(house: House, rng: np.random.Generator) -> None:
        left = float(rng.uniform(0.35, 0.75))
        machine = house.machines[part]
        house.machines[part] = machine.scaled(left**2)

    return change


def _switch(weight: float, name: str = "open", **marks: float) -> tuple[Way, ...]:
    return ((name, weight, lambda p: flagged(p, "held_open"), "", marks),)


def _motor(seized: float, opened: float, shell: float, shorted: float) -> tuple[Way, ...]:
    return (
        ("seized", seized, lambda p: flagged(p, "seized"), "", {"by_hand": 0.95, "shell": 0.8}),
        ("c_open", opened, lambda p: flagged(p, "c_open"), "", {}),
        ("r_open", opened, lambda p: flagged(p, "r_open"), "", {}),
        ("s_open", opened, lambda p: flagged(p, "s_open"), "", {"shell": 0.6}),
        ("earthed", shell, earthed, "", {"smell": 0.3}),
        ("turns_shorted", shorted, _turns_shorted, "", {"smell": 0.3}),
    )


def _section(name: str, weak: float, opened: float, shorted: float) -> tuple[Way, ...]:
    return (
        (f"{name}_weak", weak, lambda p: scaled(p, f"{name}_uf", 0.2, 0.82), "", {"bulged": 0.35}),
        (f"{name}_open", opened, lambda p: flagged(p, f"{name}_open"), "", {"bulged": 0.5}),
        (
            f"{name}_shorted",
            shorted,
            lambda p: set_to(p, f"{name}_shorted", 0.03, 1.5),
            "",
            {"bulged": 0.6},
        ),
    )


def _pole(pole: int) -> tuple[Way, ...]:
    return (
        (
            f"pole{pole}_pitted",
            22.0,
            lambda p: set_to(p, f"pole{pole}_ohm", 0.05, 8.0),
            "",
            {"burnt": 0.7},
        ),
        (f"pole{pole}_open", 9.0, lambda p: flagged(p, f"pole{pole}_dead"), "", {"burnt": 0.5}),
    )


_CONTACTOR: tuple[Way, ...] = (
    ("coil_open", 22.0, lambda p: flagged(p, "coil_open"), "", {"smell": 0.2}),
    ("coil_shorted", 9.0, _coil_shorted, "", {"burnt": 0.35, "smell": 0.4}),
    ("blocked", 18.0, lambda p: flagged(p, "blocked"), "", {"debris": 0.8}),
    ("welded", 16.0, lambda p: flagged(p, "welded"), "", {"burnt": 0.5}),
)

_COMPRESSOR: tuple[Way, ...] = (
    *_motor(22, 4, 14, 4),
    ("overload_open", 16.0, lambda p: flagged(p, "overload_held"), ":~replace", {"shell": 0.95}),
)

_WAYS: Mapping[str, tuple[Way, ...]] = {
    "dual_capacitor": (*_section("herm", 110, 60, 5), *_section("fan", 40, 35, 3)),
    "run_capacitor": _section("run", 9, 8, 1),
    "start_capacitor": (
        ("start_open", 10, lambda p: flagged(p, "start_open"), "", {"bulged": 0.6}),
        ("start_weak", 5, lambda p: scaled(p, "start_uf", 0.1, 0.4), "", {"bulged": 0.4}),
    ),
    "potential_relay": (
        ("stuck_in", 5, lambda p: flagged(p, "stuck"), "", {}),
        ("never_in", 9, lambda p: flagged(p, "never_in"), "", {}),
    ),
    "contactor_1p": (*_CONTACTOR, *_pole(1)),
    "contactor_2p": (*_CONTACTOR, *_pole(1), *_pole(2)),
    "compressor": _COMPRESSOR,
    "compressor_two_stage": (
        *_COMPRESSOR,
        ("solenoid open", 6.0, lambda p: flagged(p, "coil_open"), "", {}),
        ("stays in its low stage", 3.0, lambda p: flagged(p, "valve_stuck"), "", {}),
    ),
    "fan_motor": _motor(28, 5, 3, 4),
    "crankcase_heater": (("earthed", 3, lambda p: set_to(p, "insulation_ohm", 1, 800), "", {}),),
    **dict.fromkeys(
        ("transformer", "transformer_taps"),
        (
            ("primary_open", 10, lambda p: flagged(p, "primary_open"), "", {"burnt": 0.3}),
            ("secondary_open", 9, lambda p: flagged(p, "secondary_open"), "", {"burnt": 0.3}),
            ("shorted", 3, lambda p: set_to(p, "turns_shorted", 0.1, 1.5), "", {"burnt": 0.7}),
        ),
    ),
    "lv_fuse": _switch(14, "blown", device=1.0),
    "float_switch": (
        ("full pan", 42, lambda p: flagged(p, "held_open"), ":~replace", {"water": 0.93}),
        ("failed open", 5, lambda p: flagged(p, "held_open"), "", {"water": 0.05}),
    ),
    "high_pressure_switch": _switch(14),
    "low_pressure_switch": _switch(20),
    "door_switch": (
        ("door off", 15, lambda p: flagged(p, "held_open"), ":~replace", {"door": 0.93}),
        ("failed open", 3, lambda p: flagged(p, "held_open"), "", {}),
    ),
    "thermostat": (
        ("setting", 27, lambda p: flagged(p, "deaf"), ":~replace", {"thermostat": 0.92}),
        ("dead", 18, lambda p: flagged(p, "deaf"), "", {"thermostat": 0.3}),
    ),
    "delay": (("dead", 14, lambda p: flagged(p, "dead"), "", {}),),
    **BOARD_WAYS,
    **BOX_WAYS,
    **GAS_WAYS,
    **GUARD_WAYS,
    "relay": (
        ("coil_open", 4, lambda p: flagged(p, "coil_open"), "", {}),
        ("contact_dead", 5, lambda p: flagged(p, "contact_dead"), "", {}),
    ),
    "breaker_2p": (
        ("off", 12, lambda p: flagged(p, "off"), "", {}),
        ("tripped once", 10, lambda p: flagged(p, "held_tripped"), "", {}),
        ("pole1_dead", 4, lambda p: flagged(p, "pole1_dead"), "", {}),
        ("pole2_dead", 4, lambda p: flagged(p, "pole2_dead"), "", {}),
    ),
    "breaker_1p": (
        ("off", 7, lambda p: flagged(p, "off"), "", {}),
        ("tripped once", 7, lambda p: flagged(p, "held_tripped"), "", {}),
    ),
    "service_switch": (("off", 10, lambda p: flagged(p, "off"), "", {}),),
    "disconnect_pullout": (
        ("out", 12, lambda p: flagged(p, "off"), "", {}),
        ("pole1_dead", 8, lambda p: flagged(p, "pole1_dead"), "", {"burnt": 0.5}),
        ("pole2_dead", 8, lambda p: flagged(p, "pole2_dead"), "", {"burnt": 0.5}),
    ),
}
_ALIKE = {
    "disconnect_switch": "disconnect_pullout",
    "disconnect_fused": "disconnect_pullout",
    "contactor_2p_aux": "contactor_2p",
    "residual_breaker": "breaker_2p",
    "disconnect_switch_3p": "disconnect_fused_3p",
    "contactor_3p_aux": "contactor_3p",
    "fan_motor_taps": "fan_motor",
}


def known_faults(house: House) -> list[Fault]:
    """Every fault of the known list that this house may have."""
    return [*_of_parts(house), *_of_wires(house), *_of_cables(house), *_swapped(house),
            *_of_supply(house)]  # fmt: skip


def _of_parts(house: House) -> Iterator[Fault]:
    for part in house.unit.parts:
        rare = 0.25 if part.kind in SMALL and part.place == "indoor" else 1.0
        for name, weight, make, act, marks in _WAYS.get(_ALIKE.get(part.kind, part.kind), ()):
            yield Fault(
                f"{part.name}.{name}",
                weight * rare,
                make(part.name),
                frozenset({part.name + act}),
                frozenset() if act else frozenset({part.name}),
                {(thing, part.name): chance for thing, chance in marks.items()},
            )


CONTROL = ("R", "C", "Y", "G", "O", "B", "W", "W2", "Y2")
NO_FIELD = ("bus", "bond")


def _of_wires(house: House) -> Iterator[Fault]:
    """Joints that opened or grew resistance, and control wires rubbed through to the metal."""
    bonded = any(wire.carries == "bond" for wire in house.unit.wires)
    for wire in house.unit.wires:
        if wire.carries in NO_FIELD:
            continue
        control, name = wire.carries in CONTROL, wire.name
        far = 3.0 if wire.carries == "Y" else 1.0
        yield _of_wire(name, "open", 0.7 * far, _wire_open(name), {"joints": 0.5})
        # A joint heats with the square of its current: control wires seldom, heaters hardly.
        heat = 0.3 if control else 0.05 if wire.carries == "heater" else 2.2
        ends = (3.0, 90.0) if control else (0.15, 25.0)
        yield _of_wire(name, "resistive", heat, _wire_resists(name, *ends), {"joints": 0.7})
        if bonded and wire.carries in ("Y", "R"):
            yield _of_wire(name, "rubbed", 2.0, _wire_rubs(name), {"joints": 0.1})


def _of_wire(
    name: str, what: str, weight: float, change: Change, marks: Mapping[str, float]
) -> Fault:
    seen = {(thing, name): chance for thing, chance in marks.items()}
    return Fault(f"{name}.{what}", weight, change, frozenset({name}), frozenset({name}), seen)


def _wire_open(name: str) -> Change:
    def change(house: House, _: np.random.Generator) -> None:
        house.wires[name].open = True

    return change


def _wire_resists(name: str, low: float, high: float) -> Change:
    """In the crimp, which goes with the wire, or on the tab, which shows only while it is on."""

    def change(house: House, rng: np.random.Generator) -> None:
        made, ohm, spot = house.wires[name], log_between(rng, low, high), rng.random()
        made.copper_ohm += ohm if spot < 0.7 else 0.0
        made.start_ohm += ohm if 0.7 <= spot < 0.85 else 0.0
        made.end_ohm += ohm if spot >= 0.85 else 0.0

    return change


def _wire_rubs(name: str) -> Change:
    def change(house: House, rng: np.random.Generator) -> None:
        house.wires[name].to_ground_ohm = log_between(rng, 0.05, 1.5)

    return change


def _of_cables(house: House) -> Iterator[Fault]:
    for cable in house.unit.cables:
        for i, first in enumerate(cable.wires):
            for second in cable.wires[i + 1 :]:
                signals = {house.unit.wire_by_name[wire].carries for wire in (first, second)}
                weight = 18.0 if signals == {"Y", "C"} else 2.5
                blocks = frozenset({f"{first}+{second}", first, second})
                name = f"{first}+{second}"
                yield Fault(f"{name}.shorted", weight, _touch(first, second), blocks, blocks)


def _touch(first: str, second: str) -> Change:
    def change(house: House, rng: np.random.Generator) -> None:
        bridge = Bridge(f"{first}~end", f"{second}~end", log_between(rng, 0.03, 1.5))
        house.bridges.append(bridge)

    return change


_SWAPS = (
    ("capacitor.HERM", "capacitor.FAN"),
    ("capacitor.HERM", "capacitor.C"),
    ("capacitor.FAN", "capacitor.C"),
    ("compressor.R", "compressor.S"),
    ("compressor.C", "compressor.R"),
    ("compressor.C", "compressor.S"),
    ("compressor.T1", "compressor.T2"),
    ("blower.T1", "blower.T2"),
    ("blower.R", "blower.M"),
)


def _swapped(house: House) -> Iterator[Fault]:
    for first, second in _SWAPS:
        moves = [_first_on(house, terminal) for terminal in (first, second)]
        if all(name for name, _ in moves):
            part = part_of(first)
            names = frozenset({part, *(name for name, _ in moves)})
            yield Fault(
                f"swapped {first} and {second}",
                1.6,
                _swap(first, second),
                names,
                frozenset({part}),
                {("wires", part): 0.85, ("recent_work", ""): 0.7},
            )


def _first_on(house: House, terminal: str) -> tuple[str, str]:
    for name, made in house.wires.items():
        if terminal in (made.start, made.end):
            return name, "start" if made.start == terminal else "end"
    return "", ""


def _swap(first: str, second: str) -> Change:
    def change(house: House, _: np.random.Generator) -> None:
        (one, one_end), (two, two_end) = _first_on(house, first), _first_on(house, second)
        setattr(house.wires[one], one_end, second)
        setattr(house.wires[two], two_end, first)

    return change


def _of_supply(house: House) -> Iterator[Fault]:
    name = house.part_of(*SERVICES)
    blocks = frozenset({name})
    legs = {"service": 2, "service_230": 1}.get(house.unit.part(name).kind, 3)
    for leg in range(1, legs + 1):
        yield Fault(f"{name}.leg{leg}_lost", 4.0, _lose(leg), blocks, blocks)
    yield Fault(f"{name}.low_volts", 9.0, _sag, blocks, blocks)
    if legs == 3:
        for leg in range(1, legs + 1):
            yield Fault(f"{name}.leg{leg}_low", 2.7, _uneven(leg), blocks, blocks)
        work = {("recent_work", ""): 0.8}
        yield Fault(f"{name}.legs turned", 3.0, _turn, blocks, blocks, work)


def _lose(leg: int) -> Change:
    def change(house: House, _: np.random.Generator) -> None:
        house.supply.lost.add(leg)

    return change


def _uneven(leg: int) -> Change:
    def change(house: House, rng: np.random.Generator) -> None:
        house.supply.sag[leg] = float(rng.uniform(0.88, 0.96))

    return change


def _turn(house: House, _: np.random.Generator) -> None:
    house.supply.turned = True


def _sag(house: House, rng: np.random.Generator) -> None:
    house.supply.leg_volt *= float(rng.uniform(0.66, 0.84))
