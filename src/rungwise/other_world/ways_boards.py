"""Ways in which boards, electric heat, electronic motors, valves and three-phase parts fail.

Weights as in `ways` (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.other_world.fault import Way, earthed, flagged, scaled, set_to


def _plain(
    name: str,
    weight: float,
    flag: str = "",
    act: str = "",
    marks: Mapping[str, float] | None = None,
) -> Way:
    """A way that one flag of the part makes; of the way's own name where none is given."""
    return name, weight, lambda part: flagged(part, flag or name), act, marks or {}


_HEAT_PUMP_STAT = (
    _plain("setting", 27, "deaf", ":~replace", marks={"thermostat": 0.92}),
    _plain("dead", 18, "deaf", marks={"thermostat": 0.3}),
    _plain("set for the other valve", 15, "valve_wrong", ":~replace", marks={"recent_work": 0.5}),
)
_DEFROST = (
    _plain("call_dead", 5),
    _plain("valve_dead", 4),
    _plain("fan_dead", 10),
    _plain("heat_welded", 4),
)
_VALVE = (
    _plain("coil_open", 12),
    ("coil_shorted", 3, lambda p: scaled(p, "coil_ohm", 0.03, 0.1), "", {"smell": 0.3}),
    _plain("stuck over", 5, "stuck_over"),
    _plain("stuck back", 5, "stuck_back"),
)
_SWITCHED = (
    _plain("contact_dead", 30, marks={"browned": 0.3}),
    _plain("welded", 10, marks={"browned": 0.3}),
    _plain("coil_open", 8),
)


def _module(module: float, motor: float, signal: float) -> tuple[Way, ...]:
    return (
        _plain("module_dead", module),
        _plain("seized", motor, marks={"by_hand": 0.95}),
        _plain("signal_open", signal, act=":harness"),
        _plain("line_shorted", 0.25 * module, marks={"smell": 0.3}),
    )


def _legs(seized: float, opened: float, shell: float, shorted: float) -> tuple[Way, ...]:
    return (
        _plain("seized", seized, marks={"by_hand": 0.95, "shell": 0.8}),
        *(_plain(f"t{leg}_open", opened) for leg in (1, 2, 3)),
        ("earthed", shell, earthed, "", {"smell": 0.3}),
        ("turns_bridged", shorted, lambda p: set_to(p, "turns_bridged", 1.5, 8.0), "",
         {"smell": 0.3}),
    )  # fmt: skip


def _pole(pole: int, pitted: float, opened: float) -> tuple[Way, ...]:
    return (
        (f"pole{pole}_pitted", pitted, lambda p: set_to(p, f"pole{pole}_ohm", 0.05, 8.0), "",
         {"burnt": 0.7}),
        _plain(f"pole{pole}_dead", opened, marks={"burnt": 0.5}),
    )  # fmt: skip


BOARD_WAYS: Mapping[str, tuple[Way, ...]] = {
    "thermostat_stages": (
        _plain("setting", 27, "deaf", ":~replace", marks={"thermostat": 0.92}),
        _plain("dead", 18, "deaf", marks={"thermostat": 0.3}),
        _plain("gives no heat", 5, "heat_deaf"),
    ),
    "thermostat_heat_pump_o": _HEAT_PUMP_STAT,
    "thermostat_heat_pump_b": _HEAT_PUMP_STAT,
    "line_thermostat": (
        _plain("burnt", 20, "contact_dead"),
        _plain("setting", 15, "deaf", ":~replace", marks={"thermostat": 0.92}),
    ),
    "fan_board": (
        _plain("dead", 8, "input_dead"),
        _plain("work_dead", 20),
        _plain("rest_dead", 4),
        _plain("welded", 12),
    ),
    "sequencer": _SWITCHED,
    "heat_relay": _SWITCHED,
    "heating_element": (
        _plain("open", 20),
        ("earthed", 5, lambda p: set_to(p, "insulation_ohm", 0.5, 2e3), "", {}),
    ),
    "heat_limit": (_plain("failed open", 6, "held_open"),),
    "thermal_link": (_plain("melted", 8, "held_open"),),
    "electronic_fan_motor": _module(25, 8, 12),
    "electronic_tap_motor": _module(35, 10, 15),
    "airflow_fan_motor": _module(40, 10, 12),
    "condensate_pump": (
        _plain("dead", 20),
        _plain("slimed", 15, act=":~replace"),
        _plain("switch open", 3, "rest_dead"),
    ),
    "cord_outlet": (_plain("off", 10),),
    "delay_board": (_plain("dead", 15),),
    "start_ptc": (_plain("open", 10), _plain("shorted", 2)),
    "fan_cycling_switch": (_plain("stuck open", 6, "held_open"),),
    "defrost_board_o": _DEFROST,
    "defrost_board_b": _DEFROST,
    "demand_defrost_board": _DEFROST,
    "reversing_valve_cooling": _VALVE,
    "reversing_valve_heating": _VALVE,
    "overload_relay": (
        _plain("tripped once", 8, "held_tripped", ":~replace"),
        _plain("contact open", 3, "contact_dead"),
    ),
    "phase_monitor": (_plain("dead", 3),),
    "lockout_relay": (_plain("contact_dead", 4), _plain("coil_open", 2)),
    "fuse_block_2p": (_plain("pole1_dead", 6), _plain("pole2_dead", 6)),
    "breaker_3p": (
        _plain("off", 12, act=":~replace"),
        _plain("tripped once", 10, "held_tripped", ":~replace"),
        *(_plain(f"pole{pole}_dead", 3) for pole in (1, 2, 3)),
    ),
    "disconnect_fused_3p": (
        _plain("out", 12, "off", ":~replace"),
        *(_plain(f"pole{pole}_dead", 12, marks={"burnt": 0.3}) for pole in (1, 2, 3)),
    ),
    "contactor_3p": (
        _plain("coil_open", 22, marks={"smell": 0.2}),
        _plain("blocked", 18, marks={"debris": 0.8}),
        _plain("welded", 16, marks={"burnt": 0.5}),
        *(way for pole in (1, 2, 3) for way in _pole(pole, 15, 6)),
    ),
    "compressor_3ph": (
        *_legs(20, 4, 15, 4),
        _plain("overload_open", 16, "overload_held", ":~replace", marks={"shell": 0.95}),
    ),
    "blower_motor_3ph": _legs(25, 5, 3, 5),
}
