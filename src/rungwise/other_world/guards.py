"""Leak guards, zone panels and the second stage of a compressor: inside, values, ways to fail.

A black box by its terminals each; what moves in them goes by the volts that they see.  Ranges,
times and weights are common practice, no source, unless a line says otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from rungwise.other_world.draws import Draw, Values, by_factor, drawn, evenly, log_between
from rungwise.other_world.fault import Way, flag_way
from rungwise.other_world.place import Place

if TYPE_CHECKING:
    from rungwise.other_world.house import House
    from rungwise.other_world.netlist import Solved
    from rungwise.other_world.place import Stand

ALIVE_VOLT = 15.0
CONTENT = (0.05, 0.6)
"""Shares of a leak board's own volts between which its sensor is there and sees no leak."""

RECTIFIER_VOLT = (1.5, 3.0)
"""What a plug with a rectifier takes of the volts that come in (suppliers' pages)."""


def _leak_board(at: Place) -> None:
    at.ohm("supply", "R", "C", at.value("supply_ohm"))
    at.ohm("feed", "R", "S", at.value("feed_ohm"))
    at.ohm("seen", "S", "SG", 2e5)
    at.ohm("back", "SG", "C", 0.02)
    awake = bool(at.state("awake")) and not at.value("dead")
    passes, ohm = awake and not at.state("alarm"), at.value("contact_ohm")
    at.contact("y", "Yin", "Yout", ohm, closed=passes and not at.value("y_dead"))
    at.contact("g", "Gin", "Gout", ohm, closed=passes)
    at.contact("forced", "R", "Gout", ohm, closed=awake and bool(at.state("alarm")))


def _leak_sensor(at: Place) -> None:
    if not at.value("unplugged"):
        at.ohm("loop", "1", "2", 60.0 if at.value("alarms") else at.value("loop_ohm"))


def _zone_panel(at: Place) -> None:
    at.ohm("supply", "24V", "24C", at.value("supply_ohm"))
    at.ohm("to_zone", "24V", "ZR", 0.03)
    at.ohm("damper_common", "24C", "DC", 0.03)
    for end in ("ZY", "ZG"):
        at.ohm(f"heard_{end}", end, "24C", at.value("input_ohm"))
    alive, ohm = not at.value("dead"), at.value("contact_ohm")
    cools, blows = (alive and bool(at.state(name)) for name in ("cools", "blows"))
    at.contact("y", "Req", "Yeq", ohm, closed=cools and not at.value("y_dead"))
    at.contact("g", "Req", "Geq", ohm, closed=blows)
    at.contact("damper", "24V", "DO", ohm, closed=cools or blows)


def _damper(at: Place) -> None:
    if not at.value("open"):
        at.ohm("motor", "1", "2", at.value("shorted") or at.value("motor_ohm"))


def _stage_plug(at: Place) -> None:
    """A drop of some volts whatever the amps: the amps that last flowed make its ohms."""
    if at.value("open"):
        return
    ohm = at.value("drop_volt") / max(at.state("amp"), 0.02)
    at.ohm("plus", "ac1", "p", 0.5 * ohm)
    at.ohm("minus", "n", "ac2", 0.5 * ohm)


GUARD_WRITERS: Mapping[str, Callable[[Place], None]] = {
    "leak_board": _leak_board,
    "leak_sensor": _leak_sensor,
    "zone_panel": _zone_panel,
    "damper": _damper,
    "stage_plug": _stage_plug,
}


GUARD_DRAWS: Mapping[str, Draw] = {
    # 3 to 5 VA for itself.
    "leak_board": drawn(
        supply_ohm=by_factor(110, 1000),
        feed_ohm=by_factor(3e3, 8e3),
        contact_ohm=by_factor(0.015, 0.2),
    ),
    "leak_sensor": drawn(loop_ohm=by_factor(800, 2000)),
    "zone_panel": drawn(
        supply_ohm=by_factor(70, 800),
        input_ohm=by_factor(1e3, 2e4),
        contact_ohm=by_factor(0.015, 0.2),
    ),
    # 3 to 10 VA at 24 V.
    "damper": drawn(motor_ohm=lambda rng: 24.0**2 / log_between(rng, 3, 10)),
    "stage_plug": drawn(drop_volt=evenly(*RECTIFIER_VOLT)),
}


def _short(part: str) -> Callable[[House, np.random.Generator], None]:
    def change(house: House, rng: np.random.Generator) -> None:
        house.values[part]["shorted"] = log_between(rng, 0.3, 2.5)

    return change


GUARD_WAYS: Mapping[str, tuple[Way, ...]] = {
    "leak_board": (flag_way("dead", 8, "dead"), flag_way("Y not passed on", 4, "y_dead")),
    "leak_sensor": (
        flag_way("a real leak", 10, "alarms", ":~replace", gas=0.92),
        flag_way("fouled", 25, "alarms"),
        flag_way("plug off", 15, "unplugged", ":~replace", plug=0.85),
    ),
    "zone_panel": (flag_way("dead", 6, "dead"), flag_way("Y not passed on", 8, "y_dead")),
    "damper": (flag_way("motor open", 6, "open"), ("motor shorted", 20.0, _short, "", {})),
    "stage_plug": (flag_way("rectifier open", 8, "open"),),
}


def move_guards(house: House, stand: Stand, solved: Solved) -> bool:
    """Bring each to what it sees. True when one moved."""
    moved = False
    for part in house.unit.parts_of_kind(*_MOVES):
        for name, to in _MOVES[part.kind](house, solved, part.name).items():
            if abs(stand.state(part.name, name) - to) > STEPS.get(name, 0.0):
                stand.states[part.name, name] = to
                moved = True
    return moved


STEPS = {"amp": 0.01}
"""How far a state that is no yes or no must be off to be moved."""


def _of_leak_board(_: House, solved: Solved, part: str) -> Values:
    fed = abs(solved.volt(f"{part}.R", f"{part}.C"))
    share = abs(solved.volt(f"{part}.S", f"{part}.SG")) / max(fed, 1e-6)
    awake = fed > ALIVE_VOLT
    return {"awake": float(awake),
            "alarm": float(awake and not CONTENT[0] < share < CONTENT[1])}  # fmt: skip


def _of_zone_panel(_: House, solved: Solved, part: str) -> Values:
    heard = {name: abs(solved.volt(f"{part}.{end}", f"{part}.24C")) > ALIVE_VOLT
             for name, end in (("cools", "ZY"), ("blows", "ZG"))}  # fmt: skip
    return {name: float(calls) for name, calls in heard.items()}


def _of_stage_plug(_: House, solved: Solved, part: str) -> Values:
    return {"amp": abs(solved.ohm_amp(f"{part}.plus"))}


_MOVES: Mapping[str, Callable[[House, Solved, str], Values]] = {
    "leak_board": _of_leak_board,
    "zone_panel": _of_zone_panel,
    "stage_plug": _of_stage_plug,
}
