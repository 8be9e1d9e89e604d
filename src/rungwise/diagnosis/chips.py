"""The chips of a complaint, with the groups of suspects that each makes likelier or less likely.

Every figure is common practice, from experience, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import get_args

from rungwise.diagnosis.check_ids import look_id
from rungwise.parts import Family


@dataclass(frozen=True, slots=True)
class Group:
    """Suspects that a chip speaks of alike.

    id: within its chip. what: in a person's words. ratio: how much likelier the chip is said of
    them than of suspects in no group. families: of which the part must be of one, `ANY` for
    every part and `NO_PART` for what is none. modes: patterns of fault modes, of which one must
    fit. place: where the part is, "" for anywhere. known: whether only listed ways (true), or only
    unknown ones (false).
    """

    id: str
    what: str
    ratio: float
    families: frozenset[Family]
    modes: tuple[str, ...] = ("*",)
    place: str = ""
    known: bool | None = None


@dataclass(frozen=True, slots=True)
class Chip:
    """Something that customers say.

    title: on its key. usual: on what share of other calls. looks: things, or looks by their ids,
    that are looked at before a unit of which this was said is let go as a working one: what a
    customer saw or smelled is looked for where it comes from, however well all else reads.
    """

    id: str
    title: str
    usual: float
    groups: tuple[Group, ...]
    looks: frozenset[str] = frozenset()


ANY: frozenset[Family] = frozenset(get_args(Family))
NO_PART: frozenset[Family] = frozenset()
"""What is no part of the circuit: air flow, charge."""


def _of(*names: Family) -> frozenset[Family]:
    return frozenset(names)


def _looks(*things: str) -> frozenset[str]:
    return frozenset(things)


_SURGE = (
    Group("electronics", "delay, board or thermostat", 4.0, _of("electronics")),
    Group("thermostat", "the thermostat", 2.0, _of("thermostat")),
    Group("transformer", "the control transformer", 4.0, _of("transformer")),
    Group("supply", "the supply", 4.0, _of("supply")),
    Group("tripped", "a breaker", 3.0, _of("breaker")),
    Group("fuse", "a fuse", 3.0, _of("fuse")),
    Group("insulation", "a winding to ground or shorted", 2.0, _of("motor"),
          ("*earthed*", "turns_shorted*", "*leak*")),
    Group("capacitor", "a capacitor", 1.5, _of("capacitor")),
    Group("coil", "the contactor's coil", 1.5, _of("contactor"), ("coil*",)),
    Group("water", "the pan", 1.5, _of("float switch")),
)  # fmt: skip

_FILTER = (
    Group("door", "the blower door", 20.0, _of("door switch"), ("open*",)),
    Group("switched", "a switch left off", 6.0, _of("service switch")),
    Group("breaker", "the indoor breaker", 3.0, _of("one-pole breaker"), ("off*",)),
    Group("frozen", "low air flow", 0.4, NO_PART, ("frozen*",)),
    Group("outdoors", "parts outdoors", 0.7,
          _of("capacitor", "contactor", "compressor", "high-pressure switch")),
)  # fmt: skip

_AFTERNOONS = (
    Group("pressure", "the high-pressure switch", 5.0, _of("high-pressure switch")),
    Group("overload", "an overload", 4.0, _of("motor"), ("overload*",)),
    Group("dirt", "a dirty coil or low air flow", 4.0, ANY, ("*dirt*", "*fouled*", "*fouling*")),
    Group("drag", "a motor that drags", 3.0, _of("motor"), ("*drag*", "tight*")),
    Group("weak", "a weak capacitor", 3.0, _of("capacitor"), ("*_weak",)),
    Group("volts", "low supply volts", 3.0, _of("supply"), ("*low*", "*leg*")),
    Group("charge", "the charge", 2.0, ANY, ("*charge*",)),
    Group("joint", "a connection or contact that heats", 2.0,
          _of("wire", "contactor", "disconnect"),
          ("high_resistance*", "*pitted*", "*burnt*", "*worn*")),
    Group("hard", "what fails for good", 0.4,
          _of("wire", "control fuse", "transformer", "thermostat", "contactor", "disconnect"),
          ("open*", "blown*", "*_open", "dead*", "out*")),
)  # fmt: skip

_POWER_CUT = (
    Group("breaker", "a breaker", 3.0, _of("breaker")),
    Group("supply", "the supply", 3.0, _of("supply")),
    Group("thermostat", "the thermostat", 2.5, _of("thermostat")),
    Group("delay", "the delay", 2.0, _of("delay")),
    Group("transformer", "the control transformer or its fuse", 2.0,
          _of("transformer", "control fuse")),
    Group("restart", "a hot restart", 2.0, _of("compressor"), ("overload*", "seized*", "*start*")),
    Group("start", "what starts the compressor", 1.5,
          _of("start kit", "dual capacitor"), ("start*", "*_in", "herm*")),
)  # fmt: skip

_DIM = (
    Group("start", "what starts the compressor", 4.0, _of("start kit")),
    Group("seized", "a compressor that starts hard", 4.0, _of("compressor"),
          ("seized*", "*drag*", "tight*", "*start*", "another*")),
    Group("supply", "the supply", 4.0, _of("supply")),
    Group("capacitor", "the compressor's capacitor section", 3.0,
          _of("dual capacitor"), ("herm*",)),
    Group("joint", "a bad connection in the line", 1.5, _of("wire", "breaker", "disconnect"),
          ("high_resistance*", "*burnt*", "another*")),
    Group("silent", "what keeps the compressor from a start", 0.3,
          _of("thermostat", "float switch", "door switch", "control fuse", "transformer", "delay",
              "low-pressure switch", "service switch", "one-pole breaker")),
)  # fmt: skip

_TRIPS = (
    Group("tripped", "a tripped breaker", 6.0, _of("breaker"), ("tripped*",)),
    Group("earthed", "a winding or heater to ground, or shorted", 8.0,
          _of("motor", "heater"), ("*earthed*", "turns_shorted*", "*leak*")),
    Group("seized", "a motor that stands", 4.0, _of("motor"), ("seized*", "tight*", "*drag*")),
    Group("shorted", "a shorted capacitor", 6.0, _of("capacitor"), ("*shorted*",)),
    Group("weak", "the compressor's capacitor section", 2.0, _of("dual capacitor"), ("herm*",)),
    Group("breaker", "the breaker itself", 2.0, _of("breaker")),
    Group("rubbed", "a wire to the cabinet", 2.0, _of("wire"), ("rubbed*",)),
    Group("control", "the 24 V side alone", 0.3,
          _of("thermostat", "float switch", "door switch", "control fuse", "delay",
              "low-pressure switch", "high-pressure switch")),
)  # fmt: skip

_WORKED_ON = (
    Group("swapped", "wires on each other's terminals", 8.0, ANY, ("swapped*", "*_on_*",
          "*wrong*", "tap_*")),
    Group("unknown", "a way that is on no list", 3.0, ANY, known=False),
    Group("left_off", "a switch, breaker or disconnect left off", 3.0,
          _of("service switch", "disconnect", "breaker"), ("out*", "off*")),
    Group("door", "the blower door", 3.0, _of("door switch"), ("open*",)),
    Group("joint", "a connection left loose, or a wire pinched", 2.0, _of("wire", "cable")),
    Group("fuse", "the low-voltage fuse", 2.0, _of("control fuse")),
)  # fmt: skip

_WARM = (
    Group("refrigerant", "air flow, coil or refrigerant", 4.0, NO_PART),
    Group("heat_side", "the heat side", 3.0, ANY, ("*dirt*", "*foul*", "*charge*",
          "not_pumping*", "*frozen*")),
    Group("compressor", "the compressor", 2.0, _of("compressor")),
    Group("capacitor", "the run capacitor", 2.0, _of("dual capacitor", "start kit")),
    Group("dark", "what stops the blower too", 0.2,
          _of("transformer", "control fuse", "door switch", "service switch", "one-pole breaker")),
)  # fmt: skip

_NOISE = (
    Group("seized", "a motor that hums and stands", 5.0,
          _of("motor"), ("seized*", "tight*", "*drag*",
          "*loose*")),
    Group("start", "what starts the compressor", 3.0, _of("start kit")),
    Group("capacitor", "the run capacitor", 3.0, _of("run capacitor")),
    Group("hum", "a contactor that hums or chatters", 7.5,
          _of("contactor"), ("hums*", "chatters*")),
    Group("contactor", "the contactor", 2.0, _of("contactor")),
    Group("volts", "low volts", 2.0, _of("supply")),
    Group("joint", "a bad connection", 1.5, _of("wire"), ("high_resistance*",)),
    Group("silent", "what keeps it silent", 0.4,
          _of("thermostat", "control fuse", "door switch", "service switch", "breaker")),
)  # fmt: skip

_SMELL = (
    Group("transformer", "the control transformer", 4.0, _of("transformer")),
    Group("joint", "a connection that burns", 4.0, _of("wire"), ("high_resistance*", "open*")),
    Group("pole", "a burnt pole", 4.0, _of("breaker", "disconnect"),
          ("*burnt*", "pole*", "another*")),
    Group("motor", "a burnt winding", 4.0, _of("motor"), ("*earthed*", "turns_shorted*", "*leak*")),
    Group("contactor", "the contactor", 3.0, _of("contactor"),
          ("coil_shorted*", "*pitted*", "welded*", "*burnt*")),
    Group("capacitor", "a capacitor", 2.0, _of("capacitor")),
)  # fmt: skip

_ICE = (
    Group("frozen", "low air flow or a frozen coil", 15.0, NO_PART, ("frozen*",)),
    Group("defrost", "what melts the ice in a box", 12.0, _of("defrost timer", "defrost heater"),
          ("motor_open*", "heat_burnt*", "open*")),
    Group("charge", "a low charge", 8.0, ANY, ("low_charge*",)),
    Group("pressure", "the low-pressure switch", 4.0, _of("low-pressure switch")),
    Group("blower", "the blower", 6.0, _of("fan motor", "run capacitor", "relay"), place="indoor"),
    Group("never_stops", "a contactor that never drops out", 2.0, _of("contactor"), ("welded*",)),
)  # fmt: skip

_WATER = (
    Group("pan", "the pan and its float switch", 15.0, _of("float switch"), ("open*",)),
    Group("frozen", "a frozen coil that thaws", 4.0, NO_PART, ("frozen*",)),
    Group("wet", "a wet board or cable", 1.5, _of("control fuse", "cable", "transformer")),
)

_NO_HEAT = (
    Group("valve", "the reversing valve", 5.0, _of("reversing valve")),
    Group("changeover", "what tells it to heat", 4.0, ANY, ("valve_wrong*", "no_valve*",
          "valve_open*")),
    Group("strips", "the auxiliary heat", 3.0, _of("heater", "limit")),
    Group("defrost", "what melts the ice outdoors", 3.0,
          _of("defrost board", "defrost thermostat", "sensor")),
    Group("thermostat", "the thermostat", 1.5, _of("thermostat")),
)  # fmt: skip

_ICED_OUTDOORS = (
    Group("defrost", "what melts the ice outdoors", 12.0,
          _of("defrost board", "defrost thermostat", "sensor"),
          ("dead*", "never_closes*", "open*", "shorted*", "drifted*", "another*")),
    Group("fan", "the outdoor fan", 3.0, _of("fan motor"), place="outdoor"),
    Group("valve", "the reversing valve", 2.0, _of("reversing valve")),
    Group("charge", "a low charge", 3.0, ANY, ("low_charge*",)),
)  # fmt: skip

CHIPS = (
    Chip("after_storm", "After a storm", 0.08, _SURGE),
    Chip("filter_changed", "Filter was changed", 0.04, _FILTER, _looks("filter", "door")),
    Chip("afternoons_only", "Afternoons only", 0.1, _AFTERNOONS),
    Chip("after_power_cut", "After a power cut", 0.05, _POWER_CUT),
    Chip("lights_dim", "Lights dim at the start", 0.06, _DIM),
    Chip("breaker_trips", "Breaker trips", 0.06, _TRIPS),
    Chip("worked_on", "Somebody worked on it", 0.1, _WORKED_ON),
    Chip("warm_air", "Runs, but warm air", 0.2, _WARM, _looks("filter", "ice", "coil_dirt")),
    Chip("noise", "Hums, buzzes, clicks", 0.12, _NOISE),
    Chip(
        "smell",
        "Burnt smell",
        0.05,
        _SMELL,
        _looks("smell", look_id("joints", "outdoor"), look_id("joints", "indoor")),
    ),
    Chip("ice", "Ice", 0.04, _ICE, _looks("ice", "filter")),
    Chip("water", "Water", 0.05, _WATER, _looks("water", "ice")),
    Chip("no_heat", "Does not heat", 0.1, _NO_HEAT),
    Chip("iced_outdoors", "Block of ice outdoors", 0.03, _ICED_OUTDOORS, _looks("block")),
)
"""In the order in which they stand on a page."""
