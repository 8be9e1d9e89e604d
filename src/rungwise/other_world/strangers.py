"""Faults that stand on no list: parts that do not belong, wires landed elsewhere, slow resistance.

Each is an edit of the house that a technician may meet; what would be right to name is the part
or the wire that was edited.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from rungwise.other_world.draws import log_between
from rungwise.other_world.fault import Change, Fault, set_to
from rungwise.other_world.house import Bridge, House
from rungwise.other_world.kinds import SERVICES, SMALL
from rungwise.unit import part_of


def strangers(house: House) -> list[Fault]:
    """Every stranger that this house may have."""
    makers = (_resistive, _wrong_part, _landed, _dragging, _leaking, _of_supply, _of_heat)
    return [fault for make in makers for fault in make(house)]


def _fault(
    name: str,
    weight: float,
    change: Change,
    right: set[str],
    *,
    faulty: set[str] | None = None,
    marks: Mapping[tuple[str, str], float] | None = None,
    causes: frozenset[str] = frozenset(),
) -> Fault:
    real = frozenset(right if faulty is None else faulty)
    return Fault(name, weight, change, frozenset(right), real, marks or {}, causes)


_RESISTIVE = {
    "breaker_2p": (("pole1_series", 0.4, 12.0), ("pole2_series", 0.4, 12.0)),
    "breaker_1p": (("pole1_series", 1.0, 60.0),),
    "disconnect_pullout": (("pole1_series", 0.4, 12.0), ("pole2_series", 0.4, 12.0)),
    "disconnect_switch": (("pole1_series", 0.4, 12.0), ("pole2_series", 0.4, 12.0)),
    "disconnect_fused": (("pole1_series", 0.4, 12.0), ("pole2_series", 0.4, 12.0)),
    "breaker_3p": tuple((f"pole{pole}_series", 0.4, 12.0) for pole in (1, 2, 3)),
    "disconnect_fused_3p": tuple((f"pole{pole}_series", 0.4, 12.0) for pole in (1, 2, 3)),
    "sequencer": (("contact_series", 0.5, 30.0),),
    "fan_board": (("work_series", 2.0, 60.0),),
    "delay_board": (("contact_series", 10.0, 300.0),),
    "defrost_board_o": (("call_series", 10.0, 300.0), ("fan_series", 20.0, 400.0)),
    "phase_monitor": (("contact_series", 10.0, 300.0),),
    "lockout_relay": (("contact_series", 10.0, 300.0),),
    "service_switch": (("pole1_series", 1.0, 60.0),),
    "door_switch": (("contact_series", 1.0, 300.0),),
    "float_switch": (("contact_series", 8.0, 400.0),),
    "high_pressure_switch": (("contact_series", 8.0, 400.0),),
    "low_pressure_switch": (("contact_series", 8.0, 400.0),),
    "thermostat": (("y_series", 8.0, 400.0),),
    "relay": (("contact_series", 2.0, 60.0),),
    "fan_motor": (("common_series", 40.0, 400.0),),
    "delay": (("contact_series", 10.0, 300.0),),
}
"""Contacts that have grown resistance, with its ends in Ω: enough to stop something."""


def _resistive(house: House) -> Iterator[Fault]:
    for part in house.unit.parts:
        for name, low, high in _RESISTIVE.get(part.kind, ()):
            marks = {("burnt", part.name): 0.5, ("smell", part.name): 0.4}
            change = set_to(part.name, name, low, high)
            yield _fault(f"{part.name}.{name}", 3.0, change, {part.name}, marks=marks)


def _wrong_part(house: House) -> Iterator[Fault]:
    work = {("recent_work", ""): 0.8}
    contactor = house.contactor
    rated = house.value(contactor, "plate_coil_volt")
    for volt, ohm in ((120.0, 330.0), (230.0, 1100.0)):
        if volt == rated:
            continue
        change = _other_coil(contactor, volt, ohm)
        yield _fault(f"{contactor}: a {volt:.0f} V coil", 6.0, change, {contactor}, marks=work)
    buzzing = set_to(contactor, "buzzes", 1.0, 1.0)
    yield _fault(f"{contactor}: buzzes at good volts", 8.0, buzzing, {contactor})
    capacitor = house.part_of("dual_capacitor")
    sections = (("herm_uf", (7.5, 10.0, 15.0, 80.0)), ("fan_uf", (2.0, 12.5, 15.0)))
    for name, sizes in sections if capacitor else ():
        change = _fitted(capacitor, name, sizes)
        yield _fault(f"{capacitor}: wrong {name}", 7.0, change, {capacitor}, marks=work)
    transformer = house.part_of("transformer", "transformer_taps")
    if transformer:
        tap = set_to(transformer, "tap", 0.5, 0.58)
        landed = {transformer, *({"tr_line", "tr_l1", "tr_l2"} & {*house.wires})}
        yield _fault(f"{transformer}: on its higher tap", 8.0, tap, landed, marks=work)
    relay = house.part_of("potential_relay")
    if relay:
        early = set_to(relay, "pick_share", 0.2, 0.35)
        yield _fault(f"{relay}: picks up too early", 5.0, early, {relay}, marks=work)


def _other_coil(part: str, volt: float, ohm: float) -> Change:
    def change(house: House, rng: np.random.Generator) -> None:
        own = house.values[part]
        share = volt / own["plate_coil_volt"]
        own["coil_ohm"] = ohm * float(rng.uniform(0.8, 1.25))
        own["sealed_ohm"] *= share**2
        own["pull_volt"] *= share
        own["drop_volt"] *= share

    return change


def _fitted(part: str, name: str, sizes: tuple[float, ...]) -> Change:
    def change(house: House, rng: np.random.Generator) -> None:
        size = sizes[int(rng.integers(len(sizes)))]
        house.values[part][name] = size * float(rng.uniform(0.97, 1.03))

    return change


_LANDINGS = (
    ("y_field", "end", "c_splice.1"),
    ("y_coil", "end", "contactor.coil2"),
    ("y_stat", "end", "board.G"),
    ("y_float", "start", "board.G"),
    ("g_stat", "end", "board.Y"),
    ("c_board", "end", "board.R"),
    ("c_field", "start", "board.R"),
    ("comp_s", "start", "capacitor.FAN"),
    ("fan_s", "start", "capacitor.HERM"),
    ("comp_r", "start", "contactor.L1"),
    ("comp_c", "start", "contactor.T1"),
    ("fan_r", "start", "contactor.T2"),
    ("fan_c", "start", "contactor.T1"),
    ("cap_c", "start", "contactor.T2"),
    ("cap_c", "start", "contactor.L1"),
    ("blower_r", "start", "blower_relay.common"),
    ("blower_cap_s", "end", "blower_capacitor.1"),
    ("whip_l2", "end", "contactor.T2"),
    ("heater_load", "start", "contactor.T2"),
    ("y_hp", "end", "high_pressure.2"),
    ("kit_2", "end", "capacitor.FAN"),
)
"""A wire's end on a terminal beside its own (common practice, no source)."""


def _landed(house: House) -> Iterator[Fault]:
    terminals = set(house.unit.terminals())
    for name, end, to in _LANDINGS:
        if name not in house.wires or to not in terminals:
            continue
        was = getattr(house.wires[name], end)
        if was == to:
            continue
        right = {name, part_of(was), part_of(to)}
        right |= {f"{first}+{second}" for first, second in _pairs_with(house, name)}
        marks = {("recent_work", ""): 0.85}
        marks |= {("wires", block): 0.7 for block in right}
        change = _land(name, end, to)
        yield _fault(f"{name} landed on {to}", 2.5, change, right, faulty={name}, marks=marks)


def _pairs_with(house: House, name: str) -> Iterator[tuple[str, str]]:
    for cable in house.unit.cables:
        for i, first in enumerate(cable.wires):
            for second in cable.wires[i + 1 :]:
                if name in (first, second):
                    yield first, second


def _land(name: str, end: str, to: str) -> Change:
    def change(house: House, _: np.random.Generator) -> None:
        setattr(house.wires[name], end, to)

    return change


def _dragging(house: House) -> Iterator[Fault]:
    for part in house.unit.parts_of_kind(*SMALL, "blower_motor_3ph"):
        weight = 4.0 if part.place == "indoor" else 12.0
        marks = {("by_hand", part.name): 0.75, ("shell", part.name): 0.5}
        change = _drag(part.name, 2.0, 4.0)
        yield _fault(f"{part.name}: bearing drags", weight, change, {part.name}, marks=marks)
    compressor = house.compressor
    change = _drag(compressor, 1.5, 2.2)
    yield _fault(
        f"{compressor}: tight", 6.0, change, {compressor}, marks={("shell", compressor): 0.6}
    )


def _drag(part: str, low: float, high: float) -> Change:
    def change(house: House, rng: np.random.Generator) -> None:
        more, machine = log_between(rng, low, high), house.machines[part]
        more_start = more * float(rng.uniform(1.5, 3.0))
        house.machines[part] = replace(
            machine, need_w=more * machine.need_w, start_w=more_start * machine.start_w
        )

    return change


_LEAKS = (
    ("board.R", "board.Y", 1.0, 25.0, {"board", "thermostat", "r_stat+y_stat", "r_stat", "y_stat"}),
    ("board.Y", "board.C", 1.0, 9.0, {"board", "y_field+c_field", "y_field", "c_field", "y_float"}),
    ("board.R", "board.C", 0.5, 6.0, {"board", "r_board", "c_board"}),
    ("contactor.coil1", "contactor.coil2", 0.5, 6.0, {"contactor", "y_coil", "c_coil"}),
    ("contactor.L1", "contactor.T1", 6.0, 40.0, {"contactor"}),
    ("capacitor.HERM", "capacitor.FAN", 1.0, 150.0, {"capacitor"}),
)
"""Carbon tracks and pinched insulation: where, from and to Ω, and what names it."""


def _leaking(house: House) -> Iterator[Fault]:
    known = {*house.values, *house.wires}
    terminals = set(house.unit.terminals())
    for a, b, low, high, right in _LEAKS:
        if not {a, b} <= terminals:
            continue
        named = {block for block in right if block in known or "+" in block}
        change = _bridge(a, b, low, high)
        marks = {("burnt", part_of(a)): 0.5}
        yield _fault(f"leak from {a} to {b}", 3.0, change, named, marks=marks)


def _bridge(a: str, b: str, low: float, high: float) -> Change:
    def change(house: House, rng: np.random.Generator) -> None:
        house.bridges.append(Bridge(a, b, log_between(rng, low, high)))

    return change


def _of_supply(house: House) -> Iterator[Fault]:
    name = house.part_of(*SERVICES)
    neutral = {name, *({"indoor_neutral"} & {*house.wires})}
    yield _fault("lost neutral", 8.0, _lose_neutral, neutral, faulty={name})
    long_run = {*_legs_of_run(house), name}
    yield _fault("both legs of the run resistive", 4.0, _long_run, long_run)


def _lose_neutral(house: House, rng: np.random.Generator) -> None:
    """The legs share 240 V by the loads that happen to be on: make them uneven."""
    house.supply.neutral_ohm = float("inf")
    if set(house.supply.loads_ohm) != {"1N", "2N", "12"}:
        return  # one leg, or three whose loads are uneven as they come
    heavy, light = ("1N", "2N") if rng.random() < 0.5 else ("2N", "1N")
    house.supply.loads_ohm[heavy] = 120.0**2 / float(rng.uniform(1500, 3000))
    house.supply.loads_ohm[light] = 120.0**2 / float(rng.uniform(100, 500))


def _long_run(house: House, rng: np.random.Generator) -> None:
    more = log_between(rng, 0.5, 2.5)
    for name in _legs_of_run(house):
        house.wires[name].copper_ohm += more * float(rng.uniform(0.8, 1.2))


def _legs_of_run(house: House) -> list[str]:
    """A run that is too thin is so in every leg that it has."""
    return [name for name in ("run_l1", "run_l2", "run_l3") if name in house.wires]


_LOW_SIDE = ("low_pressure_switch", "suction_control")
"""What the suction opens."""


def _looked_into(house: House, switch: str) -> set[str]:
    """What may be done on a switch that its pressure opens: no new one, nor another setting."""
    if not switch:
        return set()
    settable = house.unit.part(switch).kind == "suction_control"
    return {f"{switch}:find_cause" if settable else f"{switch}:~replace"}


def _of_heat(house: House) -> Iterator[Fault]:
    """The circuit is whole: air or charge keep it from cooling."""
    high, low = house.part_of("high_pressure_switch"), house.part_of(*_LOW_SIDE)
    compressor = house.compressor
    elsewhere = {"unit:look_elsewhere", "unit:~replace"}
    cool = f"{compressor}:~replace"
    yield _fault(
        "dirty outdoor coil",
        14.0,
        _dirty,
        {f"{high}:~replace", cool, *elsewhere},
        faulty=set(),
        marks={("coil_dirt", ""): 0.9, ("shell", compressor): 0.5},
        causes=frozenset({"coil_dirt"}),
    )
    lows = [part.name for kind in _LOW_SIDE for part in house.unit.parts_of_kind(kind)]
    for switch in lows or [""]:
        yield _fault(
            f"low charge {house.unit.part(switch).circuit}".rstrip() if switch else "low charge",
            20.0 / max(len(lows), 1),
            _leaks_out(house.unit.part(switch).circuit if switch else ""),
            {*_looked_into(house, switch), *elsewhere},
            faulty=set(),
            marks={("ice", ""): 0.3},
            causes=frozenset({"ice"}),
        )
    limits = house.unit.parts_of_kind("heat_limit")
    yield _fault(
        "clogged filter",
        10.0,
        _clogged,
        {*_looked_into(house, low), *(f"{limit.name}:~replace" for limit in limits), *elsewhere},
        faulty=set(),
        marks={("filter", ""): 0.95, ("ice", ""): 0.8},
        causes=frozenset({"filter", "ice"}),
    )


def _dirty(house: House, rng: np.random.Generator) -> None:
    house.weather.coil_clean = float(rng.uniform(0.15, 0.4))
    house.weather.outdoor_f = float(rng.uniform(85, 108))


def _leaks_out(circuit: str) -> Change:
    """One circuit's charge gone in part."""

    def change(house: House, rng: np.random.Generator) -> None:
        house.weather.charges[circuit] = float(rng.uniform(0.05, 0.5))

    return change


def _clogged(house: House, rng: np.random.Generator) -> None:
    house.weather.indoor_air = float(rng.uniform(0.04, 0.25))
