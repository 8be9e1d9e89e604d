"""Walk-in coolers and freezers: a box with timer and valve, a unit that its suction starts.

No wire joins the two: an open valve lets the suction rise, the control closes, the unit starts; a
shut one is pumped down.  No house makes a defrost; one that has made none for days has a coil of
ice.  Ranges and weights are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from rungwise.other_world.draws import Draw, Values, by_factor, drawn, evenly, log_between
from rungwise.other_world.fault import Way, flag_way, scaled
from rungwise.other_world.place import Place

if TYPE_CHECKING:
    from rungwise.other_world.house import House
    from rungwise.other_world.place import Stand

TURNS_SHARE = 0.5
"""Of synchronous speed, from which a compressor draws gas."""

OVER_CUT_IN = 1.35
"""Suction of a warm box with a full charge, over the cut-in that the unit's label asks for."""


def _timer(at: Place) -> None:
    if not at.value("motor_open"):
        at.ohm("motor", "2", "N", at.value("motor_ohm"))
    at.ohm("release", "3", "X", at.value("release_ohm"))
    heats, ohm = bool(at.value("stuck_in")), at.value("contact_ohm")
    at.contact("cooling", "2", "4", ohm, closed=not heats and not at.value("cooling_dead"))
    at.contact("heat", "2", "3", ohm, closed=heats and not at.value("heat_dead"))


def _solenoid(at: Place) -> None:
    at.coil(at.value("coil_ohm"), at.value("coil_reach") / at.omega, "1", "2")


def _control(at: Place) -> None:
    closed = bool(at.state("in")) and not at.state("open") and not at.value("held_open")
    closed = closed or bool(at.value("stuck"))
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)


def _coil_stat(at: Place) -> None:
    """On a cold coil, which it is but in a defrost."""
    ohm = at.value("contact_ohm")
    at.contact("fan", "com", "fan", ohm, closed=not at.value("fan_open"))
    at.contact("term", "com", "term", ohm, closed=False)


def _heater(at: Place) -> None:
    if not at.value("open"):
        at.ohm("element", "1", "2", at.value("element_ohm"))


def _limit(at: Place) -> None:
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=not at.value("held_open"))


BOX_WRITERS: Mapping[str, Callable[[Place], None]] = {
    "defrost_timer": _timer,
    "liquid_solenoid": _solenoid,
    "suction_control": _control,
    "termination_stat": _coil_stat,
    "defrost_heater": _heater,
    "defrost_limit": _limit,
}


def _draw_solenoid(rng: np.random.Generator) -> Values:
    """10 to 15 VA, 0.5 to 2 kΩ, at 240 V."""
    whole, ohm = 240.0**2 / float(rng.uniform(10, 15)), log_between(rng, 500, 2000)
    return {"coil_ohm": ohm, "coil_reach": math.sqrt(whole**2 - ohm**2),
            "pull_volt": float(rng.uniform(0.5, 0.75)), "drop_volt": 0.3}  # fmt: skip


_CONTACT = drawn(contact_ohm=by_factor(5e-3, 0.15))

BOX_DRAWS: Mapping[str, Draw] = {
    "defrost_timer": drawn(
        motor_ohm=by_factor(4e3, 3e4),
        release_ohm=by_factor(2e3, 1.5e4),
        contact_ohm=by_factor(3e-3, 4e-2),
    ),
    "liquid_solenoid": _draw_solenoid,
    # Set by a hand near what the label asks for.
    "suction_control": drawn(contact_ohm=by_factor(5e-3, 0.1), opens_psig=evenly(0.88, 1.12)),
    "termination_stat": _CONTACT,
    "defrost_heater": drawn(element_ohm=evenly(0.93, 1.07)),
    "defrost_limit": _CONTACT,
}


def _iced(name: str, weight: float, flag: str, **marks: float) -> Way:
    """No defrost for days: the coil is a block of ice, and little air gets through."""

    def made(part: str) -> Callable[[House, np.random.Generator], None]:
        def change(house: House, rng: np.random.Generator) -> None:
            house.values[part][flag] = 1.0
            house.weather.indoor_air = float(rng.uniform(0.05, 0.3))
            house.marks["ice", ""] = 0.92

        return change

    return name, weight, made, "", marks


BOX_WAYS: Mapping[str, tuple[Way, ...]] = {
    "defrost_timer": (
        _iced("clock stands", 20, "motor_open", dial=0.97),
        flag_way("stuck in a defrost", 12, "stuck_in", dial=0.9),
        flag_way("contact 2-4 burnt", 8, "cooling_dead"),
    ),
    "liquid_solenoid": (
        flag_way("coil open", 20, "coil_open"),
        ("coil shorted", 3.0, lambda p: scaled(p, "coil_ohm", 0.003, 0.02), "", {"smell": 0.4}),
        flag_way("stuck shut", 6, "stuck_shut"),
        flag_way("stuck open", 5, "stuck_open"),
        flag_way("leaks", 15, "leaks"),
    ),
    "suction_control": (
        flag_way("set too high", 10, "held_open", ":set", recent_work=0.6, setting=0.85),
        flag_way("never closes", 5, "held_open", ":replace"),
        flag_way("never opens", 4, "stuck", ":replace"),
    ),
    "termination_stat": (flag_way("fans not let in", 15, "fan_open"),),
    "defrost_heater": (_iced("open", 25, "open"),),
    "defrost_limit": (_iced("failed open", 6, "held_open"),),
}


def box_suction_psig(house: House) -> float:
    """Suction of a warm box with a full charge, by its control; 0 of what cools a house."""
    control = house.part_of("suction_control")
    return OVER_CUT_IN * house.value(control, "plate_closes_psi") if control else 0.0


def move_box(house: House, stand: Stand) -> bool:
    """Bring the control to the suction. True when it moved.

    A shut valve lets nothing in; what has come in is drawn down by a compressor that turns.
    """
    moved = False
    pumps = any(abs(stand.state(name, "speed")) > TURNS_SHARE for name in house.compressors)
    for part in house.unit.parts_of_kind("suction_control"):
        full = bool(stand.state(part.name, "in")) and not pumps
        fed = float(_liquid_comes(house, stand) or full)
        if stand.state(part.name, "in") != fed:
            stand.states[part.name, "in"] = fed
            moved = True
    return moved


def _liquid_comes(house: House, stand: Stand) -> bool:
    """Whether a valve lets liquid through."""
    for part in house.unit.parts_of_kind("liquid_solenoid"):
        name = part.name
        lifted = bool(stand.state(name, "in")) and not house.value(name, "stuck_shut")
        if lifted or house.value(name, "stuck_open"):
            return True
    return False
