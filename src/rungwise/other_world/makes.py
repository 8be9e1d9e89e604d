"""Values of a good house, drawn from what the trade finds in the field.

None of them is taken from the kinds' own spreads.  Ranges: coil 8 to 20 Ω by make, R to C 23 to
29 V, supply 197 to 253 V with 208 V sites, good contacts 1 to 10 mΩ, megohms from 20 to over
range, compressor amps 55 to 95% of RLA by the weather, fan 70 to 100% of FLA (common practice,
no source, unless a line says otherwise).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from rungwise.other_world.banks import bank_inside
from rungwise.other_world.box import BOX_DRAWS
from rungwise.other_world.draws import (
    Draw,
    Values,
    by_factor,
    drawn,
    evenly,
    log_between,
    near,
)
from rungwise.other_world.gas import GAS_DRAWS
from rungwise.other_world.guards import GUARD_DRAWS
from rungwise.other_world.house import House, Supply, Weather, WireMake
from rungwise.other_world.kinds import (
    COMPRESSORS,
    ONE_PHASE,
    SERVICES,
    SMALL,
    STAGED,
    THREE_LEGS,
)
from rungwise.other_world.labels import by_label
from rungwise.other_world.machines import Machine
from rungwise.other_world.makes_boards import BOARD_DRAWS, three_legs_of
from rungwise.other_world.makes_motors import compressor_of, fan_of
from rungwise.other_world.three_legs import ThreeLegs
from rungwise.unit import Part, Unit, Wire

COPPER_OHM_MM2_PER_M = 0.01724
"""At 20 °C (IEC 60028, from memory)."""


def good_house(unit: Unit, rng: np.random.Generator) -> House:
    """A house with nothing wrong."""
    values = {part.name: _part(part, rng) for part in unit.parts}
    by_label(unit, values)
    machines: dict[str, Machine | ThreeLegs] = {}
    for part in unit.parts_of_kind(*ONE_PHASE):
        kit = bool(unit.parts_of_kind("potential_relay")) and rng.random() < 0.6
        machines[part.name] = compressor_of(values[part.name], rng, needs_kit=kit)
    for part in unit.parts_of_kind(*SMALL):
        machines[part.name] = fan_of(values[part.name], rng)
    for part in unit.parts_of_kind(*THREE_LEGS):
        compresses = part.kind in COMPRESSORS
        machines[part.name] = three_legs_of(values[part.name], rng, compresses=compresses)
    supply = _supply(unit, rng)
    _on_its_tap(unit, values, supply)
    warm = float(np.clip(rng.normal(87, 9), 70, 110))
    heats = _can_heat(unit) and rng.random() < HEATING_SHARE
    cold = float(np.clip(rng.normal(46, 8), 30, 60)) if heats else warm
    return House(
        unit=unit,
        supply=supply,
        weather=Weather(outdoor_f=cold),
        values=values,
        machines=machines,
        wires={wire.name: _wire(wire, rng) for wire in unit.wires},
        strays={node: log_between(rng, 4e-12, 4e-11) for node in unit.terminals()},
        cable_farad_per_m=log_between(rng, 4e-11, 1.1e-10),
        found_tripped=bool(rng.random() < 0.6),
        found_pressed=bool(rng.random() < 0.35),
        still_hot=bool(rng.random() < 0.5),
        season="heat" if heats else "cool",
    )


def _can_heat(unit: Unit) -> bool:
    """Whether a thermostat that knows heat has a wire to ask for it by."""
    return any(unit.wires_at(f"{stat.name}.{end}")
               for stat in unit.parts_of_kind(*STAGED) for end in ("W", "W2"))  # fmt: skip


HEATING_SHARE = 0.4
"""Of the calls on a unit that also heats, those that come in the heating season."""


def _on_its_tap(unit: Unit, values: dict[str, Values], supply: Supply) -> None:
    """On two legs of a wye an air handler's 240 V transformer is landed on its 208 V tap."""
    if supply.angle_deg != TURNED_WYE or kind_of_supply(unit) != "service":
        return
    for part in unit.parts_of_kind("transformer"):
        if values[part.name]["primary_volt"] == HOUSE_VOLT:
            values[part.name]["tap"] = HOUSE_VOLT / 208.0


TURNED_WYE, HOUSE_VOLT = 120.0, 240.0


def kind_of_supply(unit: Unit) -> str:
    """The kind of what comes to the building."""
    return next(part.kind for part in unit.parts_of_kind(*SERVICES))


def _supply(unit: Unit, rng: np.random.Generator) -> Supply:
    kind = kind_of_supply(unit)
    wye = rng.random() < 0.15
    leg = float(rng.uniform(117, 123) if wye else np.clip(rng.normal(121, 3.2), 112, 126.5))
    watts = {
        "1N": log_between(rng, 40, 3000),
        "2N": log_between(rng, 40, 3000),
        "12": log_between(rng, 20, 4000),
    }
    volts = {"1N": 120.0, "2N": 120.0, "12": 240.0}
    found = Supply(
        leg_volt=leg,
        angle_deg=120.0 if wye else 180.0,
        drop_ohm=log_between(rng, 0.015, 0.06),
        drop_henry=log_between(rng, 2e-5, 1e-4),
        neutral_ohm=log_between(rng, 0.02, 0.08),
        rod_ohm=log_between(rng, 8, 40),
        loads_ohm={pair: volts[pair] ** 2 / watt for pair, watt in watts.items()},
    )
    if kind == "service_230":
        return _one_leg(found, rng)
    return found if kind == "service" else _three_legged(found, kind, rng)


_LEG_VOLT = {"service_480y": 277.0, "service_corner": 240.0 / math.sqrt(3), "service_400y": 230.0}


def _one_leg(one: Supply, rng: np.random.Generator) -> Supply:
    """A leg and a neutral of 230 V: 207 to 253 V, mostly near its middle."""
    return replace(
        one,
        leg_volt=float(np.clip(rng.normal(232, 6), 210, 250)),
        drop_ohm=log_between(rng, 0.03, 0.25),
        drop_henry=log_between(rng, 3e-5, 3e-4),
        loads_ohm={"1N": 230.0**2 / log_between(rng, 60, 5000)},
    )


def _three_legged(one: Supply, kind: str, rng: np.random.Generator) -> Supply:
    """A supply of three legs: volts even to a percent or so, other loads on every pair."""
    leg = _LEG_VOLT.get(kind, 120.0)
    loads = {pair: leg**2 / log_between(rng, 100, 8000) for pair in ("1N", "2N", "3N")}
    loads |= {pair: 3.0 * leg**2 / log_between(rng, 100, 8000) for pair in ("12", "23", "13")}
    if kind in ("service_high_leg", "service_open_delta"):
        del loads["2N"]  # nobody lands 120 V loads on the high leg
    if kind == "service_corner":
        loads = {pair: ohm for pair, ohm in loads.items() if "N" not in pair}
    return replace(
        one,
        leg_volt=leg * float(rng.uniform(0.965, 1.035)),
        loads_ohm=loads,
        bank=bank_inside(rng) if kind == "service_open_delta" else {},
        sag={number: float(rng.normal(1.0, 0.004)) for number in (1, 2, 3)},
    )


def _wire(wire: Wire, rng: np.random.Generator) -> WireMake:
    millimeter = 0.127 * 92.0 ** ((36.0 - wire.awg) / 39.0)
    copper = COPPER_OHM_MM2_PER_M * wire.length_m / (0.25 * math.pi * millimeter**2)
    warm = rng.uniform(1.0, 1.2)
    crimps = log_between(rng, 3e-4, 3e-3)
    long = rng.uniform(0.6, 1.7) if wire.length_m > 3 else rng.uniform(0.8, 1.25)
    contacts = (log_between(rng, 3e-4, 4e-3), log_between(rng, 3e-4, 4e-3))
    return WireMake(wire.start, wire.end, copper * warm * long + crimps, *contacts)


def _part(part: Part, rng: np.random.Generator) -> Values:
    draw = _DRAWS.get(part.kind)
    return draw(rng) if draw else {}


def _contactor(rng: np.random.Generator) -> Values:
    sealed_va = rng.uniform(5, 11)
    return {
        "coil_ohm": float(rng.uniform(8, 20)),
        "sealed_ohm": 24.0**2 / sealed_va,
        "inrush_ratio": float(rng.uniform(1.9, 3.2)),
        "pull_volt": float(rng.uniform(14.5, 19.8)),
        "drop_volt": float(rng.uniform(6, 13)),
        "pole1_ohm": log_between(rng, 1e-3, 1e-2),
        "pole2_ohm": log_between(rng, 1e-3, 1e-2),
        "bar_ohm": log_between(rng, 1e-4, 6e-4),
        "insulation_ohm": log_between(rng, 3e7, 5e9),
    }


_LARGER_CONTACTOR = drawn(
    _contactor, pole3_ohm=by_factor(1e-3, 1e-2), auxiliary_ohm=by_factor(5e-3, 5e-2)
)
"""With a third pole or an auxiliary block."""

_TRANSFORMER = drawn(
    open_volt=evenly(25.2, 28.3),
    primary_ohm=evenly(7, 20),
    secondary_ohm=evenly(0.45, 1.3),
    primary_henry=evenly(3, 9),
    coupling=evenly(0.996, 0.9992),
    core_ohm=evenly(2500, 7000),
    insulation_ohm=by_factor(5e7, 5e9),
    tap=1.0,
)


def _dual(rng: np.random.Generator) -> Values:
    # Made to plus or minus 6%; one of four has aged to 90 to 97%, still good in the trade.
    aged = rng.uniform(0.92, 0.98) if rng.random() < 0.25 else 1.0
    return {
        "herm_uf": float(np.clip(rng.normal(1.0, 0.02), 0.945, 1.055)) * aged,
        "fan_uf": float(np.clip(rng.normal(1.0, 0.02), 0.945, 1.055)) * aged,
        "esr_ohm": log_between(rng, 0.05, 0.6),
        "insulation_ohm": log_between(rng, 1e8, 1e10),
    }


_SKIN = drawn(insulation_ohm=by_factor(2e7, 2e10), overload_ohm=by_factor(3e-3, 1.5e-2))
_COMPRESSOR_SKIN = drawn(
    _SKIN,
    lra=evenly(0.88, 1.08),
    trip_amps=evenly(1.18, 1.5),
    load_share=evenly(0.93, 1.07),
)


def _two_stages_skin(rng: np.random.Generator) -> Values:
    """A low stage of about two thirds; a solenoid of 32 to 60 Ω, of others 330 or 1640 Ω."""
    coil = float(rng.choice((rng.uniform(32, 60), rng.uniform(300, 360), rng.uniform(1500, 1780)),
                            p=(0.7, 0.15, 0.15)))  # fmt: skip
    return {
        **_COMPRESSOR_SKIN(rng),
        "low_share": float(rng.uniform(0.64, 0.76)),
        "solenoid_ohm": coil,
        "pull_volt": float(rng.uniform(9, 13)),
        "drop_volt": float(rng.uniform(3, 6)),
    }


def _poles(low: float, high: float, number: int = 2) -> Draw:
    """Closed contacts, or fuses in their jaws."""
    return drawn(**{f"pole{at}_ohm": by_factor(low, high) for at in range(1, number + 1)})


_SWITCH = drawn(contact_ohm=by_factor(5e-3, 0.15))
_MAGNET = drawn(magnet=evenly(7, 12))
_TWO_POLE_BREAKER = drawn(_MAGNET, _poles(5e-4, 4e-3))

_DRAWS: dict[str, Draw] = {
    **dict.fromkeys(("contactor_1p", "contactor_2p"), _contactor),
    **dict.fromkeys(("contactor_2p_aux", "contactor_3p", "contactor_3p_aux"), _LARGER_CONTACTOR),
    "relay": drawn(
        coil_ohm=evenly(40, 160),
        coil_henry=evenly(0.1, 0.6),
        pull_volt=evenly(13.5, 18.5),
        drop_volt=evenly(4, 10),
        contact_ohm=by_factor(3e-3, 4e-2),
    ),
    **dict.fromkeys(("transformer", "transformer_taps"), _TRANSFORMER),
    "dual_capacitor": _dual,
    "run_capacitor": drawn(
        run_uf=near(0.99, 0.025, 0.93, 1.055),
        esr_ohm=by_factor(0.1, 0.8),
        insulation_ohm=by_factor(1e8, 1e10),
    ),
    "start_capacitor": drawn(
        start_uf=evenly(189, 227), esr_ohm=by_factor(0.2, 1.2), bleed_ohm=evenly(12e3, 18e3)
    ),
    "potential_relay": drawn(
        coil_ohm=evenly(6e3, 16e3),
        coil_henry=evenly(15, 60),
        pick_share=evenly(0.72, 0.9),
        drop_volt=evenly(50, 115),
        contact_ohm=by_factor(0.005, 0.08),
    ),
    "delay": drawn(
        supply_ohm=by_factor(700, 5000),
        contact_ohm=by_factor(0.02, 0.4),
        pass_volt=evenly(14, 18),
    ),
    "fan_motor": _SKIN,
    # The lower speed's winding over volts by amps of the label.
    "fan_motor_taps": drawn(_SKIN, tap_ohm=evenly(0.02, 0.05), tap_reach=evenly(0.06, 0.12)),
    "compressor": _COMPRESSOR_SKIN,
    "compressor_two_stage": _two_stages_skin,
    **dict.fromkeys(("float_switch", "rollout_switch", "door_switch"), _SWITCH),
    "high_pressure_switch": drawn(_SWITCH, opens_psig=evenly(585, 650)),
    "low_pressure_switch": drawn(_SWITCH, opens_psig=evenly(22, 60)),
    "crankcase_heater": drawn(element_ohm=evenly(0.9, 1.1), insulation_ohm=by_factor(2e7, 1e10)),
    "heater_thermostat": drawn(_SWITCH, closes_f=evenly(50, 70)),
    "breaker_2p": _TWO_POLE_BREAKER,
    "breaker_1p": drawn(_MAGNET, _poles(2e-3, 1e-2)),
    "breaker_3p": drawn(_MAGNET, _poles(5e-4, 4e-3, 3)),
    # It may trip from half of its 30 mA on and must at the whole (IEC 61008-1, from memory).
    "residual_breaker": drawn(_TWO_POLE_BREAKER, residual_a=evenly(0.017, 0.029)),
    "overload_relay": drawn(
        heater_ohm=by_factor(3e-3, 4e-2),
        contact_ohm=by_factor(5e-3, 5e-2),
        trips_at=evenly(1.06, 1.19),
    ),
    **dict.fromkeys(
        ("service_switch", "cord_outlet", "disconnect_pullout", "disconnect_switch"),
        _poles(3e-4, 3e-3),
    ),
    "disconnect_switch_3p": _poles(3e-4, 3e-3, 3),
    "disconnect_fused": _poles(1.5e-3, 6e-3),
    "disconnect_fused_3p": _poles(1.5e-3, 6e-3, 3),
    "fuse_block_2p": _poles(0.1, 0.9),
    "lv_fuse": drawn(element_ohm=by_factor(0.02, 0.06)),
    "thermostat": drawn(contact_ohm=by_factor(0.01, 0.3)),
    **BOARD_DRAWS,
    **BOX_DRAWS,
    **GAS_DRAWS,
    **GUARD_DRAWS,
}
"""Kinds that are missing here have no values: splices, boards, lugs, bars and the service."""
