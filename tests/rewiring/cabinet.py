"""Arrangement (a), its yardstick, and wirings that every fitter knows, shared by the tests."""

from __future__ import annotations

from functools import cache

from rungwise.rewiring.comparison import Comparison
from rungwise.rewiring.consequence import Consequence, consequences
from rungwise.rewiring.wirings import Wiring
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement

WIRINGS: dict[str, Wiring] = {
    "HERM and FAN": {
        "comp_s": ("capacitor.FAN", "compressor.S"), "fan_s": ("capacitor.HERM", "fan.S")
    },
    "run and start": {
        "comp_r": ("contactor.T1", "compressor.S"), "comp_s": ("capacitor.HERM", "compressor.R")
    },
    "coil leads": {
        "y_coil": ("low_pressure.2", "contactor.coil2"),
        "c_coil": ("c_splice.1", "contactor.coil1"),
    },
    "leg on the coil": {"whip_l1": ("disconnect.load1", "contactor.coil1")},
    "leg past the pole": {"whip_l1": ("disconnect.load1", "contactor.T1")},
    "leg on the heater": {"whip_l1": ("disconnect.load1", "heater.1")},
    "both legs on one lug": {"whip_l1": ("disconnect.load1", "contactor.L2")},
    "safety bridged": {"y_hp": ("y_splice.1", "high_pressure.2")},
    "start wire off": {"comp_s": None},
    "fan on HERM": {"fan_s": ("capacitor.HERM", "fan.S")},
    "fan on the bar": {"fan_c": ("contactor.L2", "fan.C")},
    "heater turned": {
        "heater_line": ("contactor.T1", "heater.1"), "heater_load": ("contactor.L1", "heater.2")
    },
    "end for end": {
        "whip_l1": ("disconnect.load1", "contactor.T1"),
        "heater_line": ("contactor.T1", "heater.1"),
        "comp_r": ("contactor.L1", "compressor.R"),
        "cap_c": ("contactor.L1", "capacitor.C"),
        "heater_load": ("contactor.L1", "heater.2"),
        "whip_l2": ("disconnect.load2", "contactor.T2"),
        "comp_c": ("contactor.L2", "compressor.C"),
        "fan_c": ("contactor.L2", "fan.C"),
    },
}  # fmt: skip
"""What was mixed up, and where the wires then end."""

HARMLESS = {"coil leads", "fan on the bar", "heater turned", "end for end"}


@cache
def unit() -> Unit:
    """Arrangement (a)."""
    return arrangement("one_pole_heater")


@cache
def yardstick() -> Yardstick:
    """What it is meant to do."""
    return Yardstick(unit())


@cache
def compared() -> Comparison:
    """All of `WIRINGS` in one batch."""
    return yardstick().compare(list(WIRINGS.values()))


def does(name: str) -> dict[str, Consequence]:
    """The consequences of a wiring by part, the worst of each."""
    found: dict[str, Consequence] = {}
    at = list(WIRINGS).index(name)
    for each in consequences(compared(), yardstick().situations, at):
        found.setdefault(each.part, each)
    return found
