"""Gas furnaces: a board that lights the gas and runs the air, an inducer with its switch, a burner.

What is read on a call for heat is read while the board tries to light, or once the flame burns.
Ranges and weights are common practice, no source, unless a line says otherwise; gas, draft and
combustion are flags.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from rungwise.other_world.draws import Draw, Values, by_factor, drawn, log_between
from rungwise.other_world.fault import Way, flag_way
from rungwise.other_world.netlist import GROUND
from rungwise.other_world.place import Place

if TYPE_CHECKING:
    from rungwise.other_world.house import House
    from rungwise.other_world.netlist import Solved
    from rungwise.other_world.place import Stand

SEES_VOLT, LINE_VOLT = 15.0, 80.0
FLAME = (0.03, 0.75)
"""Shares of the line's volts at the flame rod between which there is a flame; it rectifies, and
some microamperes of it stand here as ohms."""

VALVE_VOLT, GLOWS_A = 17.0, 0.7


def _board(at: Place) -> None:
    for name, a, b in (("to_xf", "L1", "XF"), ("to_r", "24V", "R"), ("to_c", "COM", "C"),
                       ("to_lim", "24V", "LIM1"), ("to_ps", "LIM2", "PS1")):  # fmt: skip
        at.ohm(name, a, b, 0.01)
    at.ohm("supply", "24V", "COM", at.value("supply_ohm"))
    for end in ("Y", "G", "W"):
        at.ohm(f"heard_{end}", end, "C", at.value("input_ohm"))
    for end in ("LIM2", "PS2"):
        at.ohm(f"heard_{end}", end, "COM", at.value("input_ohm"))
    at.ohm("rod_feed", "L1", "FS", 5e6)
    at.ohm("rod_seen", "FS", "COM", 5e7)
    welded = bool(at.value("welded"))
    cools = welded or _makes(at, "cool_air", "cool_dead")
    heats = _makes(at, "heat_air", "heat_dead") and not cools
    for name, a, b, closed in (
        ("cool", "L1", "COOL", cools),
        ("heat", "L1", "HEAT", heats),
        ("induce", "L1", "IND", _makes(at, "inducing", "inducer_dead")),
        ("ignite", "L1", "HSI", _makes(at, "glowing", "igniter_dead")),
        ("gas", "PS2", "MV", _makes(at, "gas", "gas_dead")),
    ):
        at.contact(name, a, b, at.value("contact_ohm"), closed=closed)


def _makes(at: Place, state: str, broken: str) -> bool:
    return bool(at.state(state)) and not at.value(broken)


def _inducer(at: Place) -> None:
    if not at.value("winding_open"):
        middle = f"{at.part.name}~winding"
        at.net.ohm(f"{at.part.name}.winding", at.node("1"), middle, at.value("winding_ohm"))
        at.net.henry(f"{at.part.name}.winding_l", middle, at.node("2"),
                     at.value("winding_reach") / at.omega)  # fmt: skip
    draws = bool(at.state("draws")) and not at.value("blocked") and not at.value("switch_open")
    closed = draws or bool(at.value("switch_stuck"))
    at.contact("switch", "com", "no", at.value("contact_ohm"), closed=closed)


def _burner(at: Place) -> None:
    if not at.value("igniter_open"):
        at.ohm("igniter", "I1", "I2", at.value("igniter_ohm"))
    if not at.value("valve_open"):
        middle = f"{at.part.name}~valve"
        at.net.ohm(f"{at.part.name}.valve", at.node("MV"), middle, at.value("valve_ohm"))
        at.net.henry(f"{at.part.name}.valve_l", middle, at.node("C"),
                     at.value("valve_reach") / at.omega)  # fmt: skip
    if at.state("flame") and not at.value("rod_dirty"):
        at.ohm("flame", "FS", GROUND, at.value("flame_ohm"))


GAS_WRITERS: Mapping[str, Callable[[Place], None]] = {
    "furnace_board": _board,
    "draft_inducer": _inducer,
    "gas_burner": _burner,
}


def _draw_inducer(rng: np.random.Generator) -> Values:
    """0.7 to 2 A at 120 V."""
    whole, share = 120.0 / log_between(rng, 0.7, 2.0), float(rng.uniform(0.6, 0.85))
    return {"winding_ohm": share * whole, "winding_reach": (1.0 - share**2) ** 0.5 * whole,
            "contact_ohm": log_between(rng, 0.01, 0.15)}  # fmt: skip


def _draw_burner(rng: np.random.Generator) -> Values:
    """An igniter of 37 to 90 Ω cold (suppliers' pages), a valve of 0.2 to 0.5 A."""
    whole, share = 24.0 / log_between(rng, 0.2, 0.5), float(rng.uniform(0.5, 0.9))
    return {"igniter_ohm": float(rng.uniform(37, 90)), "valve_ohm": share * whole,
            "valve_reach": (1.0 - share**2) ** 0.5 * whole,
            "flame_ohm": log_between(rng, 2e6, 1e7)}  # fmt: skip


GAS_DRAWS: Mapping[str, Draw] = {
    "furnace_board": drawn(
        supply_ohm=by_factor(70, 700),
        input_ohm=by_factor(1e3, 2e4),
        contact_ohm=by_factor(3e-3, 4e-2),
    ),
    "draft_inducer": _draw_inducer,
    "gas_burner": _draw_burner,
}


GAS_WAYS: Mapping[str, tuple[Way, ...]] = {
    "furnace_board": (
        flag_way("dead", 12, "dead"),
        flag_way("cooling relay", 12, "cool_dead"),
        flag_way("cooling relay welded", 4, "welded"),
        flag_way("heating relay", 4, "heat_dead"),
        flag_way("no volts for the inducer", 4, "inducer_dead"),
        flag_way("no volts for the igniter", 4, "igniter_dead"),
        flag_way("no volts for the valve", 3, "gas_dead"),
        flag_way("sees no flame", 3, "deaf"),
    ),
    "draft_inducer": (
        flag_way("does not turn", 12, "winding_open", ":replace"),
        flag_way("vent blocked", 20, "blocked", ":find_cause", vent=0.65),
        flag_way("draft switch", 10, "switch_open", ":switch", tube=0.4),
    ),
    "gas_burner": (
        flag_way("igniter cracked", 40, "igniter_open", ":replace", igniter=0.7),
        flag_way("rod coated", 45, "rod_dirty", ":clean", rod=0.6),
        flag_way("valve coil open", 8, "valve_open", ":valve"),
        flag_way("no gas", 15, "no_gas", ":find_cause", gas_cock=0.7),
    ),
    "rollout_switch": (flag_way("failed open", 3, "held_open"),),
}


def flame_burns(house: House, stand: Stand) -> bool:
    """Whether a furnace burns and its board sees it."""
    boards = house.unit.parts_of_kind("furnace_board")
    return any(stand.state(part.name, "proved") for part in boards)


def how_far_it_lights(house: House, stand: Stand, solved: Solved, board: str) -> int:
    """0 nothing, 1 the inducer, 2 the igniter glows, 3 a flame that is not seen, 4 it burns on."""
    if stand.state(board, "proved"):
        return 4
    burner, inducer = house.part_of("gas_burner"), house.part_of("draft_inducer")
    if stand.state(burner, "flame"):
        return 3
    if abs(solved.ohm_amp(f"{burner}.igniter")) > GLOWS_A:
        return 2
    return int(stand.state(inducer, "draws") > 0)


def move_gas(house: House, stand: Stand, solved: Solved) -> bool:
    """Bring board, inducer and burner to what they see. True when one moved."""
    moved = False
    for kind, rule in _MOVES.items():
        for part in house.unit.parts_of_kind(kind):
            for name, to in rule(house, stand, solved, part.name).items():
                if bool(stand.state(part.name, name)) != to:
                    stand.states[part.name, name] = float(to)
                    moved = True
    return moved


def _of_board(house: House, stand: Stand, solved: Solved, part: str) -> dict[str, bool]:
    def there(a: str, b: str) -> bool:
        return abs(solved.volt(f"{part}.{a}", f"{part}.{b}")) > SEES_VOLT

    line = abs(solved.volt(f"{part}.L1", f"{part}.COM"))
    share = abs(solved.volt(f"{part}.FS", f"{part}.COM")) / max(line, 1e-6)
    alive = there("24V", "COM") and not house.value(part, "dead")
    burns = line > LINE_VOLT and FLAME[0] < share < FLAME[1]
    proved = alive and burns and not house.value(part, "deaf")
    loop, draft = there("LIM2", "COM"), there("PS2", "COM")
    inducing = alive and there("W", "C") and loop
    inducing = inducing and (bool(stand.state(part, "inducing")) or not draft)
    chain = inducing and draft
    return {
        "inducing": inducing,
        "glowing": chain and not proved,
        "gas": chain,
        "proved": proved and chain,
        "heat_air": alive and (proved or not loop),
        "cool_air": alive and (there("Y", "C") or there("G", "C")),
    }


def _of_inducer(_: House, __: Stand, solved: Solved, part: str) -> dict[str, bool]:
    fed = abs(solved.volt(f"{part}.1", f"{part}.2")) > LINE_VOLT
    return {"draws": fed and abs(solved.ohm_amp(f"{part}.winding")) > 0.1}


def _of_burner(house: House, stand: Stand, solved: Solved, part: str) -> dict[str, bool]:
    opened = abs(solved.volt(f"{part}.MV", f"{part}.C")) > VALVE_VOLT
    opened = opened and not (house.value(part, "valve_open") or house.value(part, "no_gas"))
    hot = abs(solved.ohm_amp(f"{part}.igniter")) > GLOWS_A or bool(stand.state(part, "flame"))
    return {"flame": opened and hot}


_MOVES: Mapping[str, Callable[[House, Stand, Solved, str], dict[str, bool]]] = {
    "furnace_board": _of_board,
    "draft_inducer": _of_inducer,
    "gas_burner": _of_burner,
}
