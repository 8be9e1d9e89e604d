"""What stands inside each kind of part, written into a netlist for given states."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from rungwise.other_world.house import House
from rungwise.other_world.netlist import GROUND, Netlist, Solved
from rungwise.unit import Part

__all__ = ["Stand", "motor_ports", "plunger_in", "solve_stand", "write_house"]

GAP_FARAD = 3e-12
OMEGA = 2.0 * math.pi * 60.0


@dataclass(slots=True)
class Stand:
    """How everything stands: the call, the isolating devices, leads off, and what has moved.

    lifted: ends of wires that are taken off, as (wire, "start" or "end").
    states: by (part, name): "in" of coils, "timed", "tripped", "blown1", "open" of pressure
    switches, "speed" of motors. bare: the windings of every motor are left out.
    """

    cools: bool = False
    isolated: bool = False
    lifted: frozenset[tuple[str, str]] = frozenset()
    chilled: bool = False
    states: dict[tuple[str, str], float] = field(default_factory=dict)
    bare: bool = False

    def state(self, part: str, name: str) -> float:
        """A state, 0 when nothing has moved it."""
        return self.states.get((part, name), 0.0)


@dataclass(frozen=True, slots=True)
class _Place:
    """One part being written: its values and where its terminals are."""

    net: Netlist
    house: House
    part: Part
    stand: Stand

    def node(self, terminal: str) -> str:
        return f"{self.part.name}.{terminal}"

    def value(self, name: str, default: float = 0.0) -> float:
        return self.house.value(self.part.name, name, default)

    def state(self, name: str) -> float:
        return self.stand.state(self.part.name, name)

    def ohm(self, name: str, a: str, b: str, ohm: float) -> None:
        far = b if b == GROUND else self.node(b)
        if math.isfinite(ohm):
            self.net.ohm(f"{self.part.name}.{name}", self.node(a), far, ohm)

    def contact(self, name: str, a: str, b: str, ohm: float, *, closed: bool) -> None:
        if closed:
            self.ohm(name, a, b, ohm + self.value(f"{name}_series"))
        self.net.farad(f"{self.part.name}.{name}_gap", self.node(a), self.node(b), GAP_FARAD)


def write_house(house: House, stand: Stand) -> Netlist:
    """The whole house as a netlist."""
    net = Netlist()
    for part in house.unit.parts:
        _WRITERS[part.kind](_Place(net, house, part, stand))
    _wires(net, house, stand)
    _cables(net, house)
    for node, farad in house.strays.items():
        net.farad(f"stray.{node}", node, GROUND, farad)
    for at, bridge in enumerate(house.bridges):
        net.ohm(f"bridge{at}", bridge.a, bridge.b, bridge.ohm)
    return net


def solve_stand(house: House, stand: Stand, omega_rad_per_s: float = OMEGA) -> Solved:
    """The house solved as it stands."""
    return write_house(house, stand).solve(omega_rad_per_s)


def _wires(net: Netlist, house: House, stand: Stand) -> None:
    for name, made in house.wires.items():
        start, end = f"{name}~start", f"{name}~end"
        if (name, "start") not in stand.lifted:
            net.ohm(f"{name}.tab1", made.start, start, made.start_ohm)
        if (name, "end") not in stand.lifted:
            net.ohm(f"{name}.tab2", made.end, end, made.end_ohm)
        if not made.open:
            net.ohm(f"{name}.copper", start, end, made.copper_ohm)
        net.farad(f"{name}.gap", start, end, GAP_FARAD)
        if math.isfinite(made.to_ground_ohm):
            net.ohm(f"{name}.rub", end, GROUND, made.to_ground_ohm)


def _cables(net: Netlist, house: House) -> None:
    for cable in house.unit.cables:
        farad = 0.5 * cable.length_m * house.cable_farad_per_m
        for i, first in enumerate(cable.wires):
            for end in ("start", "end"):
                net.farad(f"{first}.{end}_earth", f"{first}~{end}", GROUND, 0.25 * farad)
            for second in cable.wires[i + 1 :]:
                for end in ("start", "end"):
                    name = f"{first}+{second}.{end}"
                    net.farad(name, f"{first}~{end}", f"{second}~{end}", farad)


def _service(at: _Place) -> None:
    supply = at.house.supply
    second = supply.leg_volt * cmath.exp(1j * math.radians(supply.angle_deg))
    for leg, volt in ((1, complex(supply.leg_volt)), (2, second)):
        pole, drop = f"pole.L{leg}", f"pole.d{leg}"
        at.net.volt(f"pole.v{leg}", pole, "pole.N", volt)
        at.net.ohm(f"pole.r{leg}", pole, drop, supply.drop_ohm)
        if leg not in supply.lost:
            at.net.henry(f"pole.l{leg}", drop, at.node(f"L{leg}"), supply.drop_henry)
    at.net.ohm("pole.rods", "pole.N", GROUND, supply.rod_ohm)
    if math.isfinite(supply.neutral_ohm):
        at.net.ohm("pole.n", "pole.N", at.node("N"), supply.neutral_ohm)
    at.net.ohm("panel.bond", at.node("N"), GROUND, 1e-3)
    ends = {"1": at.node("L1"), "2": at.node("L2"), "N": at.node("N")}
    for pair, ohm in supply.loads_ohm.items():
        at.net.ohm(f"house.{pair}", ends[pair[0]], ends[pair[1]], ohm)


def _breaker(at: _Place) -> None:
    for pole in _poles(at.part):
        out = at.stand.isolated or at.value("off") or at.value("held_tripped")
        closed = not (out or at.state("tripped") or at.value(f"pole{pole}_dead"))
        ohm = at.value(f"pole{pole}_ohm")
        at.contact(f"pole{pole}", f"line{pole}", f"load{pole}", ohm, closed=closed)


def _disconnect(at: _Place) -> None:
    for pole in _poles(at.part):
        closed = not (at.stand.isolated or at.value("off") or at.state(f"blown{pole}"))
        closed = closed and not at.value(f"pole{pole}_dead")
        ohm = at.value(f"pole{pole}_ohm")
        at.contact(f"pole{pole}", f"line{pole}", f"load{pole}", ohm, closed=closed)


def _poles(part: Part) -> tuple[int, ...]:
    return (1,) if part.kind in ("breaker_1p", "service_switch") else (1, 2)


def plunger_in(house: House, part: str, stand: Stand) -> bool:
    """Whether a contactor's contacts are brought together."""
    pulled = stand.state(part, "in") and not house.value(part, "blocked")
    return bool(pulled or house.value(part, "welded"))


def _contactor(at: _Place) -> None:
    closed = plunger_in(at.house, at.part.name, at.stand)
    for pole in (1, 2):
        if pole == 2 and at.part.kind == "contactor_1p":
            at.ohm("bar", "L2", "T2", at.value("bar_ohm"))
            continue
        dead = bool(at.value(f"pole{pole}_dead"))
        ohm = at.value(f"pole{pole}_ohm")
        at.contact(f"pole{pole}", f"L{pole}", f"T{pole}", ohm, closed=closed and not dead)
    ohm, seated = at.value("coil_ohm"), at.value("sealed_ohm")
    reach = max(seated**2 - ohm**2, 1.0) ** 0.5
    if not closed:
        reach = max((seated / at.value("inrush_ratio")) ** 2 - ohm**2, 1.0) ** 0.5
    _coil(at, ohm, reach * at.value("reactance_left", 1.0) / OMEGA)
    at.ohm("coil_skin", "coil2", GROUND, at.value("insulation_ohm"))


def _coil(at: _Place, ohm: float, henry: float) -> None:
    if at.value("coil_open"):
        return
    middle = f"{at.part.name}~coil"
    at.net.ohm(f"{at.part.name}.coil", at.node("coil1"), middle, ohm)
    at.net.henry(f"{at.part.name}.coil_l", middle, at.node("coil2"), henry)


def _relay(at: _Place) -> None:
    _coil(at, at.value("coil_ohm"), at.value("coil_henry"))
    closed = bool(at.state("in")) and not at.value("contact_dead")
    at.contact("contact", "common", "no", at.value("contact_ohm"), closed=closed)


def _transformer(at: _Place) -> None:
    turns = at.value("open_volt") / (120.0 * at.value("coupling")) * at.value("tap", 1.0)
    primary = at.value("primary_henry")
    inner1, inner2 = f"{at.part.name}~p", f"{at.part.name}~s"
    if not at.value("primary_open"):
        at.ohm("core", "pri1", "pri2", at.value("core_ohm"))
        at.net.ohm(f"{at.part.name}.rp", at.node("pri1"), inner1, at.value("primary_ohm"))
    if not at.value("secondary_open"):
        at.net.ohm(f"{at.part.name}.rs", inner2, at.node("R"), at.value("secondary_ohm"))
    at.net.henry(f"{at.part.name}.lp", inner1, at.node("pri2"), primary)
    at.net.henry(f"{at.part.name}.ls", inner2, at.node("C"), primary * turns**2)
    at.net.couple(
        f"{at.part.name}.lp", f"{at.part.name}.ls", at.value("coupling") * primary * turns
    )
    if at.value("turns_shorted"):
        at.ohm("short", "R", "C", at.value("turns_shorted"))
    at.ohm("between", "pri2", "C", at.value("insulation_ohm"))


def motor_ports(house: House, motor: str) -> tuple[tuple[str, str], tuple[str, str]]:
    """Between which nodes a motor's main and auxiliary winding lie; an open one hangs free."""
    inner = f"{motor}~x"
    run = f"{motor}.R" if not house.value(motor, "r_open") else f"{motor}~r"
    start = f"{motor}.S" if not house.value(motor, "s_open") else f"{motor}~s"
    return (run, inner), (start, inner)


def _motor(at: _Place) -> None:
    name = at.part.name
    inner = f"{name}~x"
    closed = not (at.state("tripped") or at.value("c_open") or at.value("overload_held"))
    if closed:
        ohm = at.value("overload_ohm") + at.value("common_series")
        at.net.ohm(f"{name}.common", at.node("C"), inner, ohm)
    at.net.farad(f"{name}.common_gap", at.node("C"), inner, GAP_FARAD)
    skin = at.value("earthed_at")
    spot = {0.0: at.node("R"), 1.0: at.node("S"), 2.0: inner}[skin]
    at.net.ohm(f"{name}.skin", spot, GROUND, at.value("insulation_ohm"))
    (run, _), (start, _) = motor_ports(at.house, name)
    for lead, node in (("R", run), ("S", start)):
        if node != at.node(lead):
            at.net.farad(f"{name}.{lead}_gap", at.node(lead), node, GAP_FARAD)
    machine = at.house.machines[name]
    at.net.ohm(f"{name}.core", run, inner, machine.core)
    if not at.stand.bare:
        machine.write(at.net, name, run, start, inner, at.state("speed"))


def _heater(at: _Place) -> None:
    if not at.value("open"):
        at.ohm("element", "1", "2", at.value("element_ohm"))
    at.ohm("skin", "1", GROUND, at.value("insulation_ohm"))


def _heater_stat(at: _Place) -> None:
    cold = at.stand.chilled or at.house.weather.outdoor_f < at.value("closes_f")
    closed = cold and not at.value("held_open")
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)


def _switch(at: _Place) -> None:
    closed = not (at.value("held_open") or at.state("open"))
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)


def _section(at: _Place, name: str, a: str, b: str) -> None:
    middle = f"{at.part.name}~{name}"
    if not at.value(f"{name}_open"):
        at.net.ohm(f"{at.part.name}.{name}_esr", at.node(a), middle, at.value("esr_ohm"))
        at.net.farad(f"{at.part.name}.{name}", middle, at.node(b), 1e-6 * at.value(f"{name}_uf"))
    if at.value(f"{name}_shorted"):
        at.ohm(f"{name}_short", a, b, at.value(f"{name}_shorted"))


def _dual(at: _Place) -> None:
    _section(at, "herm", "HERM", "C")
    _section(at, "fan", "FAN", "C")
    at.ohm("skin", "C", GROUND, at.value("insulation_ohm"))


def _run(at: _Place) -> None:
    _section(at, "run", "2", "1")
    at.ohm("skin", "1", GROUND, at.value("insulation_ohm"))


def _start(at: _Place) -> None:
    _section(at, "start", "1", "2")
    at.ohm("bleed", "1", "2", at.value("bleed_ohm"))


def _start_relay(at: _Place) -> None:
    closed = bool(at.value("stuck")) or not (at.state("in") or at.value("never_in"))
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)
    middle = f"{at.part.name}~coil"
    at.net.ohm(f"{at.part.name}.coil", at.node("2"), middle, at.value("coil_ohm"))
    at.net.henry(f"{at.part.name}.coil_l", middle, at.node("5"), at.value("coil_henry"))


def _delay(at: _Place) -> None:
    at.ohm("supply", "y_in", "c", at.value("supply_ohm"))
    closed = bool(at.state("timed")) and not at.value("dead")
    at.contact("contact", "y_in", "y_out", at.value("contact_ohm"), closed=closed)


def _control_fuse(at: _Place) -> None:
    closed = not (at.state("blown") or at.value("held_open"))
    at.contact("link", "1", "2", at.value("element_ohm"), closed=closed)


def _thermostat(at: _Place) -> None:
    cools = at.stand.cools and not at.value("deaf")
    ohm = at.value("contact_ohm")
    at.contact("y", "R", "Y", ohm, closed=cools or bool(at.value("stuck")))
    at.contact("g", "R", "G", ohm, closed=at.stand.cools)


def _lug(at: _Place) -> None:
    at.ohm("bond", "E", GROUND, 0.01)


def _nothing(_: _Place) -> None:
    """A point where wires meet."""


_WRITERS: Mapping[str, Callable[[_Place], None]] = {
    "service": _service,
    "breaker_2p": _breaker,
    "breaker_1p": _breaker,
    "disconnect_pullout": _disconnect,
    "disconnect_switch": _disconnect,
    "disconnect_fused": _disconnect,
    "service_switch": _disconnect,
    "contactor_1p": _contactor,
    "contactor_2p": _contactor,
    "relay": _relay,
    "transformer": _transformer,
    "compressor": _motor,
    "fan_motor": _motor,
    "crankcase_heater": _heater,
    "heater_thermostat": _heater_stat,
    "float_switch": _switch,
    "high_pressure_switch": _switch,
    "low_pressure_switch": _switch,
    "door_switch": _switch,
    "dual_capacitor": _dual,
    "run_capacitor": _run,
    "start_capacitor": _start,
    "potential_relay": _start_relay,
    "delay": _delay,
    "lv_fuse": _control_fuse,
    "thermostat": _thermostat,
    "earth_lug": _lug,
    "splice": _nothing,
    "neutral_bar": _nothing,
    "terminal_board": _nothing,
}
