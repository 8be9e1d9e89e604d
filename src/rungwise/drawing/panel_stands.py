"""How each kind of part stands in a cabinet: which terminals above, below and at the sides.

As the parts are found in cabinets (common practice, no source).  A kind that is not named here
gets its terminals along the top.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["MIDDLE_RANK", "RANKS", "Stand", "stand_of"]


@dataclass(frozen=True, slots=True)
class Stand:
    """How a kind stands: terminals at each side; ``both``: top ones come again at the bottom."""

    top: tuple[str, ...] = ()
    bottom: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    right: tuple[str, ...] = ()
    both: bool = False
    turns: bool = False
    """Whether its terminals may also come in the reverse order."""


_TWO_POLES = Stand(top=("line1", "line2"), bottom=("load1", "load2"))
_ONE_POLE = Stand(top=("line1",), bottom=("load1",))
_SWITCH = Stand(top=("1",), bottom=("2",))
_CONTACTOR = Stand(top=("L1", "L2"), bottom=("T1", "T2"), right=("coil1", "coil2"))
_MOTOR = Stand(top=("C", "R", "S"), turns=True)
_TWO_TABS = Stand(top=("1", "2"), turns=True)

STANDS: dict[str, Stand] = {
    "breaker_2p": _TWO_POLES,
    "breaker_1p": _ONE_POLE,
    "disconnect_pullout": _TWO_POLES,
    "disconnect_switch": _TWO_POLES,
    "disconnect_fused": _TWO_POLES,
    "service_switch": _ONE_POLE,
    "door_switch": _SWITCH,
    "float_switch": _SWITCH,
    "high_pressure_switch": _SWITCH,
    "low_pressure_switch": _SWITCH,
    "heater_thermostat": _SWITCH,
    "lv_fuse": _SWITCH,
    "contactor_1p": _CONTACTOR,
    "contactor_2p": _CONTACTOR,
    "relay": Stand(top=("common",), bottom=("no",), right=("coil1", "coil2")),
    "delay": Stand(top=("y_in", "y_out", "c"), turns=True),
    "transformer": Stand(top=("pri1", "pri2"), right=("R", "C")),
    "dual_capacitor": Stand(top=("C", "HERM", "FAN"), turns=True),
    "run_capacitor": _TWO_TABS,
    "start_capacitor": _TWO_TABS,
    "crankcase_heater": _TWO_TABS,
    "potential_relay": Stand(top=("1", "2", "5"), turns=True),
    "compressor": _MOTOR,
    "fan_motor": _MOTOR,
    "splice": Stand(top=("1",), both=True),
    "neutral_bar": Stand(top=("N",), both=True),
    "earth_lug": Stand(top=("E",), both=True),
    "terminal_board": Stand(top=("R", "C", "Y", "G"), both=True),
    "service": Stand(bottom=("L1", "L2", "N")),
    "thermostat": Stand(bottom=("R", "Y", "G")),
}


RANKS: dict[str, int] = {
    "service": 0,
    "breaker_2p": 1,
    "breaker_1p": 1,
    "disconnect_pullout": 1,
    "disconnect_switch": 1,
    "disconnect_fused": 1,
    "service_switch": 1,
    "neutral_bar": 1,
    "door_switch": 2,
    "transformer": 2,
    "contactor_1p": 3,
    "contactor_2p": 3,
    "relay": 3,
    "dual_capacitor": 4,
    "run_capacitor": 4,
    "heater_thermostat": 4,
    "potential_relay": 5,
    "start_capacitor": 5,
    "compressor": 6,
    "fan_motor": 6,
    "crankcase_heater": 6,
}
"""How far down from the supply a part of line volts sits."""

MIDDLE_RANK = 4
"""Where a kind that is not named sits."""


def stand_of(kind: str, terminals: Sequence[str]) -> Stand:
    """How a part of this kind stands."""
    return STANDS.get(kind) or Stand(top=tuple(terminals), turns=True)
