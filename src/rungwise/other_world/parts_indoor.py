"""What stands inside the parts of air handlers with boards, electric heat or electronic blowers."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from rungwise.other_world.kinds import ELECTRONIC, STAGED
from rungwise.other_world.netlist import GROUND
from rungwise.other_world.place import Place

POWER_FACTOR = 0.55
"""Of a motor with electronics (0.5 to 0.6 on makers' sheets; from memory)."""

SIGNALS: Mapping[str, tuple[tuple[str, float], ...]] = {
    "electronic_fan_motor": (("signal", 1.0),),
    "electronic_tap_motor": (("4", 1.0), ("3", 0.85), ("1", 0.5)),
    "airflow_fan_motor": (("Y", 1.0), ("W", 0.9), ("G", 0.5)),
}
"""Signals of a motor with electronics and the share of its air that each asks for."""

LINES = {"electronic_fan_motor": "common"}
"""Where its signals return; "C" of most."""

_CALLS = {
    "thermostat_stages": {"cool": "Y Y2 G", "heat": "W W2"},
    "thermostat_heat_pump_o": {"": "O", "cool": "Y G O", "heat": "Y G W2"},
    "thermostat_heat_pump_b": {"cool": "Y G", "heat": "Y G W2 B"},
}
"""Which terminals are joined to R (common practice, no source)."""

_ENDS = {
    "thermostat_stages": ("Y", "Y2", "G", "W", "W2"),
    "thermostat_heat_pump_o": ("Y", "Y2", "G", "O", "W2", "E"),
    "thermostat_heat_pump_b": ("Y", "Y2", "G", "B", "W2", "E"),
}


def _staged(at: Place) -> None:
    joined = set(_CALLS[at.part.kind].get(at.stand.call, "").split())
    if at.value("deaf"):
        joined -= {"Y", "Y2", "W"}
    if at.value("heat_deaf"):
        joined -= {"W", "W2"}
    if at.value("valve_wrong"):
        joined ^= {"O", "B"} & set(_ENDS[at.part.kind])
    at.ohm("electronics", "R", "C", at.value("electronics_ohm"))
    for end in _ENDS[at.part.kind]:
        at.contact(end.lower(), "R", end, at.value("contact_ohm"), closed=end in joined)


def _line_thermostat(at: Place) -> None:
    closed = at.stand.call == "cool" and not at.value("deaf") and not at.value("contact_dead")
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)


def _fan_board(at: Place) -> None:
    at.ohm("input", "G", "C", at.value("input_ohm"))
    pulled, ohm = bool(at.state("in")), at.value("contact_ohm")
    work = bool(at.value("welded")) or (pulled and not at.value("work_dead"))
    rest = not pulled and not at.value("welded") and not at.value("rest_dead")
    at.contact("work", "COM", "NO", ohm, closed=work)
    at.contact("rest", "COM", "NC", ohm, closed=rest)


def _sequencer(at: Place) -> None:
    at.coil(at.value("coil_ohm"), 1e-4, "H1", "H2")
    closed = bool(at.value("welded")) or (bool(at.state("in")) and not at.value("contact_dead"))
    at.contact("contact", "M1", "M2", at.value("contact_ohm"), closed=closed)


def _heat_relay(at: Place) -> None:
    at.coil(at.value("coil_ohm"), at.value("coil_henry"))
    pulled = bool(at.state("in"))
    for pole, (a, b) in (("1", ("1", "2")), ("2", ("3", "4"))):
        welded = bool(at.value("welded"))
        closed = welded or (pulled and not at.value("contact_dead"))
        at.contact(f"way{pole}", a, b, at.value("contact_ohm"), closed=closed)


def _element(at: Place) -> None:
    if not at.value("open"):
        at.ohm("element", "1", "2", at.value("element_ohm"))
    at.ohm("skin", "2", GROUND, at.value("insulation_ohm"))


def _cutout(at: Place) -> None:
    closed = not (at.value("held_open") or at.state("open"))
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)


def _electronic(at: Place) -> None:
    """Line volts feed a rectifier: so many watts whatever the volts, at a power factor of its own.

    The volts that it saw when it was last solved make its ohms.
    """
    common = LINES.get(at.part.kind, "C")
    at.ohm("standby", "L", "N", at.value("idle_ohm"))
    for end, _ in SIGNALS[at.part.kind]:
        if not at.value("signal_open"):
            at.ohm(f"signal_{end}", end, common, at.value("signal_ohm"))
    if at.part.kind == "airflow_fan_motor":
        at.ohm("feed", "R", "C", at.value("feed_ohm"))
        _pins(at)
    at.ohm("skin", "L", GROUND, at.value("insulation_ohm"))
    if at.value("line_shorted"):
        at.ohm("short", "L", "N", 0.05)
    share = at.state("speed")
    if share and not at.stand.isolated:
        whole = (at.state("volt") or at.value("plate_rated_volt")) ** 2
        whole /= at.value("watt") * share**2.0
        middle = f"{at.part.name}~drive"
        at.net.ohm(f"{at.part.name}.drive", at.node("L"), middle, POWER_FACTOR**2 * whole)
        reach = POWER_FACTOR * math.sqrt(1.0 - POWER_FACTOR**2) * whole
        at.net.henry(f"{at.part.name}.drive_l", middle, at.node("N"), reach / at.omega)


def _pins(at: Place) -> None:
    """The motor's own three pins, which the module is taken off."""
    star = f"{at.part.name}~star"
    for pin in ("p1", "p2", "p3"):
        if not (at.value("winding_open") and pin == "p1"):
            at.net.ohm(f"{at.part.name}.{pin}", at.node(pin), star, at.value("winding_ohm"))
    at.net.ohm(f"{at.part.name}.shell", star, GROUND, at.value("shell_ohm"))


def _pump(at: Place) -> None:
    """Its floats see the water rise where it does not pump; a motor at rest draws nothing."""
    high = bool(at.state("high"))
    ohm = at.value("contact_ohm")
    at.contact("rest", "com", "nc", ohm, closed=not high and not at.value("rest_dead"))
    at.contact("work", "com", "no", ohm, closed=high)
    at.ohm("electronics", "L", "N", 3e5)


INDOOR_WRITERS: Mapping[str, Callable[[Place], None]] = {
    **dict.fromkeys(STAGED, _staged),
    "line_thermostat": _line_thermostat,
    "fan_board": _fan_board,
    "sequencer": _sequencer,
    "heat_relay": _heat_relay,
    "heating_element": _element,
    "heat_limit": _cutout,
    "thermal_link": _cutout,
    **dict.fromkeys(ELECTRONIC, _electronic),
    "condensate_pump": _pump,
}
