"""What relays, boards and electronic motors do by the volts that they see."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from rungwise.other_world.kinds import ELECTRONIC
from rungwise.other_world.parts_indoor import LINES, SIGNALS

if TYPE_CHECKING:
    from rungwise.other_world.house import House
    from rungwise.other_world.netlist import Solved
    from rungwise.other_world.place import Stand

SLOW = ("sequencer",)
"""Kinds that a start of some seconds does not move."""

LINE_SHARE = 0.7
"""Of its rated line volts, from where an electronic motor works."""

VOLT_STEP = 0.5
PUMP_VOLT = 90.0
_THIRD = cmath.exp(2j * math.pi / 3.0)


def wanted_by_volts(
    house: House, solved: Solved, part: str, kind: str, *, held: bool
) -> bool | None:
    """Whether a part would hold at the volts that it now has; None for what has no rule here."""
    if kind == "phase_monitor":
        return _three_good_legs(house, solved, part)
    rule = _ACROSS.get(kind)
    if rule is None:
        return None
    first, second = rule
    volt = abs(solved.volt(f"{part}.{first}", f"{part}.{second}"))
    if house.value(part, "coil_open") or house.value(part, "input_dead"):
        return False
    if kind == "delay_board":
        fed = abs(solved.volt(f"{part}.R", f"{part}.C"))
        volt = min(volt, fed)
    pull = house.value(part, "pull_volt") or house.value(part, "pass_volt")
    return volt >= (house.value(part, "drop_volt", 0.6 * pull) if held else pull)


_ACROSS: Mapping[str, tuple[str, str]] = {
    "fan_board": ("G", "C"),
    "sequencer": ("H1", "H2"),
    "heat_relay": ("coil1", "coil2"),
    "lockout_relay": ("coil1", "coil2"),
    "delay_board": ("LP2", "C"),
    "reversing_valve_cooling": ("1", "2"),
    "reversing_valve_heating": ("1", "2"),
    "compressor_two_stage": ("sol1", "sol2"),
    "liquid_solenoid": ("1", "2"),
}
"""Terminals across which each works."""


def sequences(solved: Solved, part: str) -> tuple[float, float]:
    """Positive and negative sequence at three terminals L1, L2 and L3, volts leg to leg."""
    legs = [solved.volt(f"{part}.{leg}") for leg in ("L1", "L2", "L3")]
    lines = math.sqrt(3) / 3.0
    positive = lines * abs(legs[0] + _THIRD * legs[1] + _THIRD**2 * legs[2])
    return positive, lines * abs(legs[0] + _THIRD**2 * legs[1] + _THIRD * legs[2])


def _three_good_legs(house: House, solved: Solved, part: str) -> bool:
    """Positive sequence between its dials, little negative one beside it."""
    positive, negative = sequences(solved, part)
    least = house.value(part, "least") * house.value(part, "plate_least_volt")
    most = house.value(part, "most") * house.value(part, "plate_most_volt")
    return least < positive < most and negative < house.value(part, "unlike") * positive


def move_electronics(house: House, stand: Stand, solved: Solved) -> bool:
    """Bring every electronic motor and pump to what its line and signals ask for."""
    moved = False
    for part in house.unit.parts_of_kind(*ELECTRONIC):
        line = abs(solved.volt(f"{part.name}.L", f"{part.name}.N"))
        now = {"speed": _asked(house, solved, part.name, part.kind, line), "volt": line}
        for name, to in now.items():
            least = VOLT_STEP if name == "volt" else 0.0
            if abs(stand.state(part.name, name) - to) > least:
                stand.states[part.name, name] = to
                moved = True
    for part in house.unit.parts_of_kind("condensate_pump"):
        moved |= _pumped(house, stand, solved, part.name)
    return moved


def _asked(house: House, solved: Solved, part: str, kind: str, line: float) -> float:
    """Share of its air that it turns with; 0 where something keeps it from turning."""
    broken = ("module_dead", "seized", "signal_open", "winding_open", "line_shorted")
    if any(house.value(part, name) for name in broken):
        return 0.0
    if line < LINE_SHARE * house.value(part, "plate_rated_volt"):
        return 0.0
    common, least = f"{part}.{LINES.get(kind, 'C')}", house.value(part, "pass_volt")
    if kind == "airflow_fan_motor" and abs(solved.volt(f"{part}.R", common)) < least:
        return 0.0
    asked = [share for end, share in SIGNALS[kind]
             if abs(solved.volt(f"{part}.{end}", common)) > least]  # fmt: skip
    return max(asked, default=0.0)


def _pumped(house: House, stand: Stand, solved: Solved, part: str) -> bool:
    fed = abs(solved.volt(f"{part}.L", f"{part}.N")) > PUMP_VOLT
    pumps = fed and not house.value(part, "dead") and not house.value(part, "slimed")
    high = float(not pumps)
    if stand.state(part, "high") == high:
        return False
    stand.states[part, "high"] = high
    return True
