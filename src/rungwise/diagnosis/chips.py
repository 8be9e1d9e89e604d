"""The chips of a complaint, with the groups of suspects that each makes likelier or less likely.

Every figure is common practice, from experience, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["CHIPS", "Chip", "Group"]


@dataclass(frozen=True, slots=True)
class Group:
    """Suspects that a chip speaks of alike.

    id: within its chip. what: in a person's words. ratio: how much likelier the chip is said of
    them than of suspects in no group. kinds, modes: patterns of part kinds and fault modes, of
    which one must fit; ``unit`` is the kind of what is no part. part: pattern of the part's name,
    "" for any. known: whether only listed ways (true), or only unknown ones (false).
    """

    id: str
    what: str
    ratio: float
    kinds: tuple[str, ...]
    modes: tuple[str, ...] = ("*",)
    part: str = ""
    known: bool | None = None


@dataclass(frozen=True, slots=True)
class Chip:
    """Something that customers say. title: on its key. usual: on what share of other calls."""

    id: str
    title: str
    usual: float
    groups: tuple[Group, ...]


BREAKERS = ("breaker_*",)
MOTORS = ("compressor", "fan_motor")
CAPACITORS = ("dual_capacitor", "run_capacitor", "start_capacitor")
CONTACTORS = ("contactor_*",)
DISCONNECTS = ("disconnect_*",)
NO_PART = ("unit",)

_SURGE = (
    Group("electronics", "delay, board or thermostat", 4.0, ("delay", "terminal_board")),
    Group("thermostat", "the thermostat", 2.0, ("thermostat",)),
    Group("transformer", "the control transformer", 4.0, ("transformer",)),
    Group("supply", "the supply", 4.0, ("service",)),
    Group("tripped", "a breaker", 3.0, BREAKERS),
    Group("fuse", "a fuse", 3.0, ("lv_fuse", "disconnect_fused")),
    Group("insulation", "a winding to ground or shorted", 2.0, MOTORS,
          ("earthed*", "turns_shorted*", "*leak*")),
    Group("capacitor", "a capacitor", 1.5, CAPACITORS),
    Group("coil", "the contactor's coil", 1.5, CONTACTORS, ("coil*",)),
    Group("water", "the pan", 1.5, ("float_switch",)),
)  # fmt: skip

_FILTER = (
    Group("door", "the blower door", 20.0, ("door_switch",), ("open*",)),
    Group("switched", "a switch left off", 6.0, ("service_switch",)),
    Group("breaker", "the indoor breaker", 3.0, ("breaker_1p",), ("off*",)),
    Group("frozen", "low air flow", 0.4, NO_PART, ("frozen*",)),
    Group("outdoors", "parts outdoors", 0.7,
          (*CAPACITORS, *CONTACTORS, "compressor", "high_pressure_switch")),
)  # fmt: skip

_AFTERNOONS = (
    Group("pressure", "the high-pressure switch", 5.0, ("high_pressure_switch",)),
    Group("overload", "an overload", 4.0, MOTORS, ("overload*",)),
    Group("dirt", "a dirty coil or low air flow", 4.0, ("*",), ("*dirt*", "*fouled*", "*fouling*")),
    Group("drag", "a motor that drags", 3.0, MOTORS, ("*drag*", "tight*")),
    Group("weak", "a weak capacitor", 3.0, CAPACITORS, ("*_weak",)),
    Group("volts", "low supply volts", 3.0, ("service",), ("*low*", "*leg*")),
    Group("charge", "the charge", 2.0, ("*",), ("*charge*",)),
    Group("joint", "a joint or contact that heats", 2.0, ("wire", *CONTACTORS, *DISCONNECTS),
          ("high_resistance*", "*pitted*", "*burnt*", "*worn*")),
    Group("hard", "what fails for good", 0.4,
          ("wire", "lv_fuse", "transformer", "thermostat", *CONTACTORS, *DISCONNECTS),
          ("open*", "blown*", "*_open", "dead*", "out*")),
)  # fmt: skip

_POWER_CUT = (
    Group("breaker", "a breaker", 3.0, BREAKERS),
    Group("supply", "the supply", 3.0, ("service",)),
    Group("thermostat", "the thermostat", 2.5, ("thermostat",)),
    Group("delay", "the delay", 2.0, ("delay",)),
    Group("transformer", "the control transformer or its fuse", 2.0, ("transformer", "lv_fuse")),
    Group("restart", "a hot restart", 2.0, ("compressor",), ("overload*", "seized*", "*start*")),
    Group("start", "what starts the compressor", 1.5,
          ("start_capacitor", "potential_relay", "dual_capacitor"), ("start*", "*_in", "herm*")),
)  # fmt: skip

_DIM = (
    Group("start", "what starts the compressor", 4.0, ("start_capacitor", "potential_relay")),
    Group("seized", "a compressor that starts hard", 4.0, ("compressor",),
          ("seized*", "*drag*", "tight*", "*start*", "another*")),
    Group("supply", "the supply", 4.0, ("service",)),
    Group("capacitor", "the compressor's capacitor section", 3.0, ("dual_capacitor",), ("herm*",)),
    Group("joint", "a bad joint in the line", 1.5, ("wire", *BREAKERS, *DISCONNECTS),
          ("high_resistance*", "*burnt*", "another*")),
    Group("silent", "what keeps the compressor from a start", 0.3,
          ("thermostat", "float_switch", "door_switch", "lv_fuse", "transformer", "delay",
           "low_pressure_switch", "service_switch", "breaker_1p")),
)  # fmt: skip

_TRIPS = (
    Group("tripped", "a tripped breaker", 6.0, BREAKERS, ("tripped*",)),
    Group("earthed", "a winding or heater to ground, or shorted", 8.0,
          (*MOTORS, "crankcase_heater"), ("earthed*", "turns_shorted*", "*leak*")),
    Group("seized", "a motor that stands", 4.0, MOTORS, ("seized*", "tight*", "*drag*")),
    Group("shorted", "a shorted capacitor", 6.0, CAPACITORS, ("*shorted*",)),
    Group("weak", "the compressor's capacitor section", 2.0, ("dual_capacitor",), ("herm*",)),
    Group("breaker", "the breaker itself", 2.0, BREAKERS),
    Group("rubbed", "a wire to the cabinet", 2.0, ("wire",), ("rubbed*",)),
    Group("control", "the 24 V side alone", 0.3,
          ("thermostat", "float_switch", "door_switch", "lv_fuse", "delay",
           "low_pressure_switch", "high_pressure_switch")),
)  # fmt: skip

_WORKED_ON = (
    Group("swapped", "wires on each other's terminals", 8.0, ("*",), ("swapped*", "*_on_*",
          "*wrong*", "tap_*")),
    Group("unknown", "a way that is on no list", 3.0, ("*",), known=False),
    Group("left_off", "a switch, breaker or disconnect left off", 3.0,
          ("service_switch", *DISCONNECTS, *BREAKERS), ("out*", "off*")),
    Group("door", "the blower door", 3.0, ("door_switch",), ("open*",)),
    Group("joint", "a joint left loose, or a wire pinched", 2.0, ("wire", "cable_pair")),
    Group("fuse", "the low-voltage fuse", 2.0, ("lv_fuse",)),
)  # fmt: skip

_WARM = (
    Group("refrigerant", "air flow, coil or refrigerant", 4.0, NO_PART),
    Group("heat_side", "the heat side", 3.0, ("*",), ("*dirt*", "*foul*", "*charge*",
          "not_pumping*", "*frozen*")),
    Group("compressor", "the compressor", 2.0, ("compressor",)),
    Group("capacitor", "the run capacitor", 2.0, ("dual_capacitor", "start_capacitor",
          "potential_relay")),
    Group("dark", "what stops the blower too", 0.2,
          ("transformer", "lv_fuse", "door_switch", "service_switch", "breaker_1p")),
)  # fmt: skip

_NOISE = (
    Group("seized", "a motor that hums and stands", 5.0, MOTORS, ("seized*", "tight*", "*drag*",
          "*loose*")),
    Group("start", "what starts the compressor", 3.0, ("start_capacitor", "potential_relay")),
    Group("capacitor", "the run capacitor", 3.0, ("dual_capacitor", "run_capacitor")),
    Group("hum", "a contactor that hums or chatters", 7.5, CONTACTORS, ("hums*", "chatters*")),
    Group("contactor", "the contactor", 2.0, CONTACTORS),
    Group("volts", "low volts", 2.0, ("service",)),
    Group("joint", "a bad joint", 1.5, ("wire",), ("high_resistance*",)),
    Group("silent", "what keeps it silent", 0.4,
          ("thermostat", "lv_fuse", "door_switch", "service_switch", *BREAKERS)),
)  # fmt: skip

_SMELL = (
    Group("transformer", "the control transformer", 4.0, ("transformer",)),
    Group("joint", "a joint that burns", 4.0, ("wire",), ("high_resistance*", "open*")),
    Group("pole", "a burnt pole", 4.0, (*BREAKERS, *DISCONNECTS),
          ("*burnt*", "pole*", "another*")),
    Group("motor", "a burnt winding", 4.0, MOTORS, ("earthed*", "turns_shorted*", "*leak*")),
    Group("contactor", "the contactor", 3.0, CONTACTORS,
          ("coil_shorted*", "*pitted*", "welded*", "*burnt*")),
    Group("capacitor", "a capacitor", 2.0, CAPACITORS),
)  # fmt: skip

_ICE = (
    Group("frozen", "low air flow or a frozen coil", 15.0, NO_PART, ("frozen*",)),
    Group("charge", "a low charge", 8.0, ("*",), ("low_charge*",)),
    Group("pressure", "the low-pressure switch", 4.0, ("low_pressure_switch",)),
    Group("blower", "the blower", 6.0, ("fan_motor", "run_capacitor", "relay"), part="blower*"),
    Group("never_stops", "a contactor that never lets go", 2.0, CONTACTORS, ("welded*",)),
)  # fmt: skip

_WATER = (
    Group("pan", "the pan and its float switch", 15.0, ("float_switch",), ("open*",)),
    Group("frozen", "a frozen coil that thaws", 4.0, NO_PART, ("frozen*",)),
    Group("wet", "a wet board or cable", 1.5, ("lv_fuse", "cable_pair", "transformer")),
)

CHIPS = (
    Chip("after_storm", "After a storm", 0.08, _SURGE),
    Chip("filter_changed", "Filter was changed", 0.04, _FILTER),
    Chip("afternoons_only", "Afternoons only", 0.1, _AFTERNOONS),
    Chip("after_power_cut", "After a power cut", 0.05, _POWER_CUT),
    Chip("lights_dim", "Lights dim at the start", 0.06, _DIM),
    Chip("breaker_trips", "Breaker trips", 0.06, _TRIPS),
    Chip("worked_on", "Somebody worked on it", 0.1, _WORKED_ON),
    Chip("warm_air", "Runs, but warm air", 0.2, _WARM),
    Chip("noise", "Hums, buzzes, clicks", 0.12, _NOISE),
    Chip("smell", "Burnt smell", 0.05, _SMELL),
    Chip("ice", "Ice", 0.04, _ICE),
    Chip("water", "Water", 0.05, _WATER),
)
"""In the order in which they stand on a page."""
