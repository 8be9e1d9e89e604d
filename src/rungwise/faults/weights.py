"""How the trade's start weights are shared out over wires and joints.

All in parts per thousand of no-cool and poor-cool calls; common practice, from experience, no
source.  A shop's own closed calls are meant to relearn them.
"""

from __future__ import annotations

from rungwise.parts import CONTROL_SIGNALS, HIGH_RESISTANCE, part_of
from rungwise.unit import LEGS, Unit, Wire

JOINTS_OPEN = 25.0
JOINTS_HIGH = 60.0
Y_OPEN = 30.0
Y_TO_CABINET = 20.0
R_TO_CABINET = 8.0
Y_TO_C = 25.0
STAT_PAIR = 3.0
MISPLACED = 16.0
MISPLACED_CONTROL = 6.0
POWER_TO_CABINET = 8.0
LEAST_RUB_M = 1.0
WIRE_UNKNOWN = 0.2
NOTHING = 40.0

INDOOR_BLOWER_SHARE = 0.2
"""The blower's modes against the outdoor fan's: it is indoors and is called on less."""


JOINT_HEAT = {"R": 0.15, "Y": 0.15, "C": 0.15, "G": 0.15, "heater": 0.02}
"""How often a joint goes bad against one in a motor circuit, by what its wire carries.

A loose joint ruins itself by its own heat, which goes with the square of the current: joints that
carry a third of an ampere seldom do (common practice, no source).
"""

CONTROL_JOINT_OHM = (2.0, 60.0)
"""A bad joint that matters in a 24 V circuit, against 0.1 to 20 Ω in a motor circuit.

A coil of 14 Ω pulls in through 20 Ω more; only above that does the joint stop the cooling, and
a third of an ampere does not burn such a joint open.
"""


def is_field_wire(wire: Wire) -> bool:
    """Whether a technician would suspect this wire (the panel's own bus is left out)."""
    return wire.carries not in ("bus", "alternate", "bond")


def wire_weight(unit: Unit, wire: Wire, mode: str) -> float:
    """Weight of one wire's mode: its two joints' share, and the control wires' own."""
    field = [w for w in unit.wires if is_field_wire(w)]
    same = [w for w in field if w.carries == wire.carries]
    if mode == "open":
        own = Y_OPEN / len(same) if wire.carries == "Y" else 0.0
        return JOINTS_OPEN / len(field) + own
    if mode == HIGH_RESISTANCE:
        heat = {w.name: JOINT_HEAT.get(w.carries, 1.0) for w in field}
        return JOINTS_HIGH * heat[wire.name] / sum(heat.values())
    if mode.startswith("another_"):
        fits = "control" if wire.carries in CONTROL_SIGNALS else "power"
        return WIRE_UNKNOWN if mode == f"another_{fits}" else 0.0
    return _rubbed_weight(unit, wire, same)


def _rubbed_weight(unit: Unit, wire: Wire, same: list[Wire]) -> float:
    """Weight of a wire rubbed through: a control wire's is a short only where C is bonded."""
    control = {"Y": Y_TO_CABINET, "R": R_TO_CABINET}.get(wire.carries, 0.0)
    if control:
        return control / len(same) if earth_bonded(unit) else 0.0
    rubs = [w for w in unit.wires if rubs_on_metal(unit, w)]
    return POWER_TO_CABINET / len(rubs) if wire in rubs else 0.0


def rubs_on_metal(unit: Unit, wire: Wire) -> bool:
    """Whether a power wire lies where the outdoor unit shakes it against the cabinet."""
    ends = (wire.start, wire.end)
    outdoors = any(unit.part(part_of(end)).place == "outdoor" for end in ends)
    return outdoors and wire.carries in (*LEGS, "power") and wire.length_m >= LEAST_RUB_M


def pair_weight(unit: Unit, first: str, second: str) -> float:
    """Weight of two conductors of one cable touching."""
    carried = {unit.wire_by_name[first].carries, unit.wire_by_name[second].carries}
    return Y_TO_C if carried == {"Y", "C"} else STAT_PAIR


def earth_bonded(unit: Unit) -> bool:
    """Whether C is bonded to the cabinet, so that a rubbed control wire is a short."""
    return any(wire.carries == "bond" for wire in unit.wires)


def part_factor(unit: Unit, part: str, mode_weight: float) -> float:
    """A part's weight for a mode: indoor motors count for less than the outdoor ones."""
    indoors = part in unit.roles.indoor_blowers
    return mode_weight * (INDOOR_BLOWER_SHARE if indoors else 1.0)
