"""What stands inside outdoor boards, start assists, valves and the parts of three phases."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from rungwise.other_world.netlist import GROUND
from rungwise.other_world.place import GAP_FARAD, Place
from rungwise.other_world.three_legs import ThreeLegs

SENSING_OHM = 3e5
"""Of each leg of a phase monitor to its inner star (order of magnitude, no source)."""


def write_three_legs(at: Place) -> None:
    """A motor of three legs; its overload sits at the star and opens all three."""
    name = at.part.name
    opened = bool(at.state("tripped") or at.value("overload_held"))
    points = (f"{name}~1", f"{name}~2", f"{name}~3")
    for leg, point in enumerate(points, 1):
        if not (opened or at.value(f"t{leg}_open")):
            at.net.ohm(f"{name}.lead{leg}", at.node(f"T{leg}"), point, at.value("overload_ohm"))
        at.net.farad(f"{name}.lead{leg}_gap", at.node(f"T{leg}"), point, GAP_FARAD)
    spot = f"T{1 + int(at.value('earthed_at')) % 3}"
    at.ohm("skin", spot, GROUND, at.value("insulation_ohm"))
    if at.value("turns_bridged"):
        at.net.ohm(f"{name}.bridged", points[0], points[1], at.value("turns_bridged"))
    machine = at.house.machines[name]
    if not isinstance(machine, ThreeLegs):
        return  # a description that calls one motor by another's kind
    for first, second in ((0, 1), (1, 2), (2, 0)):
        at.net.ohm(f"{name}.core{first}", points[first], points[second], machine.core)
    if not at.stand.bare:
        machine.write(at.net, name, points, at.state("speed"))


def _phase_monitor(at: Place) -> None:
    star = f"{at.part.name}~star"
    for leg in ("L1", "L2", "L3"):
        at.net.ohm(f"{at.part.name}.{leg}", at.node(leg), star, SENSING_OHM)
    closed = bool(at.state("in")) and not at.value("dead")
    at.contact("contact", "com", "no", at.value("contact_ohm"), closed=closed)


def _lockout(at: Place) -> None:
    at.coil(at.value("coil_ohm"), at.value("coil_henry"))
    closed = not (at.state("in") or at.value("contact_dead"))
    at.contact("contact", "com", "nc", at.value("contact_ohm"), closed=closed)


def _delay_board(at: Place) -> None:
    at.ohm("supply", "R", "C", at.value("supply_ohm"))
    at.ohm("asked", "Y", "C", at.value("input_ohm"))
    at.ohm("to_high", "Y", "HP1", 0.02)
    at.ohm("to_low", "HP2", "LP1", 0.02)
    at.ohm("sensed", "LP2", "C", at.value("input_ohm"))
    closed = bool(at.state("timed")) and not at.value("dead") and not at.state("locked")
    at.contact("contact", "LP2", "CC", at.value("contact_ohm"), closed=closed)


def _start_ptc(at: Place) -> None:
    if at.value("open"):
        return
    hot = at.state("hot") and not at.value("shorted") and not at.stand.isolated
    at.ohm("pill", "1", "2", at.value("hot_ohm") if hot else at.value("cold_ohm"))


def _fan_cycling(at: Place) -> None:
    closed = bool(at.state("in")) and not at.value("held_open")
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)


def _defrost_board(at: Place) -> None:
    """Between two defrosts: Y goes on to the contactor, O or B to the valve, the fan is on."""
    valve, ohm = "B" if at.part.kind.endswith("_b") else "O", at.value("contact_ohm")
    at.ohm("supply", "R", "C", at.value("supply_ohm"))
    at.ohm("asked", "Y", "C", at.value("input_ohm"))
    at.contact("call", "Y", "CC", ohm, closed=not at.value("call_dead"))
    at.contact("valve", valve, "RV", ohm, closed=not at.value("valve_dead"))
    at.contact("heat", "R", "W2", ohm, closed=bool(at.value("heat_welded")))
    at.contact("fan", "OF1", "OF2", 0.3 * ohm, closed=not at.value("fan_dead"))
    for first, second in _SENSED.get(at.part.kind, (("DFT1", "DFT2"),)):
        at.ohm(f"feed_{first}", "R", first, at.value("sense_ohm"))
        at.ohm(f"back_{second}", second, "C", ohm)


_SENSED = {"demand_defrost_board": (("COIL1", "COIL2"), ("AIR1", "AIR2"))}


def _valve(at: Place) -> None:
    at.coil(at.value("coil_ohm"), at.value("coil_reach") / at.omega, "1", "2")


COIL_BELOW_F = 13.0
"""A coil that takes up heat lies so far below the air (common practice, no source)."""


def _cold_stat(at: Place) -> None:
    """A thermostat that closes in the cold: on a coil that does not run cold, or in the air."""
    felt = at.house.weather.outdoor_f
    if at.part.kind == "defrost_thermostat" and at.stand.call == "heat":
        felt -= COIL_BELOW_F
    cold = at.stand.chilled or felt < at.value("closes_f")
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=cold)


def _sensor(at: Place) -> None:
    """10 kΩ at 77 °F, by the usual table of such sensors (77 °F 10.0, 50 °F 20.0 kΩ)."""
    kelvin = (at.house.weather.outdoor_f - 32.0) / 1.8 + 273.15
    ohm = 1e4 * math.exp(3965.0 * (1.0 / kelvin - 1.0 / 298.15))
    at.ohm("bead", "1", "2", at.value("ratio", 1.0) * ohm)


OUTDOOR_WRITERS: Mapping[str, Callable[[Place], None]] = {
    "phase_monitor": _phase_monitor,
    "lockout_relay": _lockout,
    "delay_board": _delay_board,
    "start_ptc": _start_ptc,
    "fan_cycling_switch": _fan_cycling,
    **dict.fromkeys(("defrost_board_o", "defrost_board_b", "demand_defrost_board"), _defrost_board),
    "reversing_valve_cooling": _valve,
    "reversing_valve_heating": _valve,
    "defrost_thermostat": _cold_stat,
    "outdoor_thermostat": _cold_stat,
    "sensor_10k": _sensor,
}
