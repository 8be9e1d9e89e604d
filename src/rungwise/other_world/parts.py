"""What stands inside each kind of part, written into a netlist for given states."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping

from rungwise.other_world.banks import write_corner, write_open_delta
from rungwise.other_world.box import BOX_WRITERS
from rungwise.other_world.gas import GAS_WRITERS
from rungwise.other_world.guards import GUARD_WRITERS
from rungwise.other_world.house import House
from rungwise.other_world.kinds import BREAKERS, CONTACTORS, ONE_PHASE, SMALL, THREE_LEGS
from rungwise.other_world.machines import Machine
from rungwise.other_world.netlist import GROUND, Netlist, Solved
from rungwise.other_world.parts_indoor import INDOOR_WRITERS
from rungwise.other_world.parts_outdoor import OUTDOOR_WRITERS, write_three_legs
from rungwise.other_world.place import GAP_FARAD, Place, Stand
from rungwise.other_world.three_legs import ThreeLegs
from rungwise.unit import Part, Unit

_SERVICE_LEGS = {
    "service_230": (("L", 1.0, 0.0),),
    "service_400y": (("L1", 1.0, 0.0), ("L2", 1.0, -120.0), ("L3", 1.0, 120.0)),
    "service_208y": (("L1", 1.0, 0.0), ("L2", 1.0, -120.0), ("L3", 1.0, 120.0)),
    "service_480y": (("L1", 1.0, 0.0), ("L2", 1.0, -120.0), ("L3", 1.0, 120.0)),
    "service_high_leg": (("L1", 1.0, 0.0), ("L2", math.sqrt(3), -90.0), ("L3", 1.0, 180.0)),
}
"""Where each leg stands about the neutral: its volts over a leg's, and its angle."""


def known(unit: Unit) -> bool:
    """Whether this world has something to stand inside every part of the unit."""
    return all(part.kind in _WRITERS for part in unit.parts)


def write_house(house: House, stand: Stand) -> Netlist:
    """The whole house as a netlist."""
    net = Netlist()
    for part in house.unit.parts:
        _WRITERS[part.kind](Place(net, house, part, stand))
    _wires(net, house, stand)
    _cables(net, house)
    for node, farad in house.strays.items():
        net.farad(f"stray.{node}", node, GROUND, farad)
    for at, bridge in enumerate(house.bridges):
        net.ohm(f"bridge{at}", bridge.a, bridge.b, bridge.ohm)
    return net


def solve_stand(house: House, stand: Stand, omega_rad_per_s: float | None = None) -> Solved:
    """The house solved as it stands, at its supply's frequency where no other is named."""
    omega = house.omega if omega_rad_per_s is None else omega_rad_per_s
    return write_house(house, stand).solve(omega)


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


def _service(at: Place) -> None:
    supply = at.house.supply
    house_legs = (("L1", 1.0, 0.0), ("L2", 1.0, supply.angle_deg))
    for leg, (end, share, angle) in enumerate(_SERVICE_LEGS.get(at.part.kind, house_legs), 1):
        turned = -angle if supply.turned else angle
        volt = share * supply.sag.get(leg, 1.0) * supply.leg_volt
        pole, drop = f"pole.L{leg}", f"pole.d{leg}"
        at.net.volt(f"pole.v{leg}", pole, "pole.N", cmath.rect(volt, math.radians(turned)))
        at.net.ohm(f"pole.r{leg}", pole, drop, supply.drop_ohm)
        if leg not in supply.lost:
            at.net.henry(f"pole.l{leg}", drop, at.node(end), supply.drop_henry)
    at.net.ohm("pole.rods", "pole.N", GROUND, supply.rod_ohm)
    if math.isfinite(supply.neutral_ohm):
        at.net.ohm("pole.n", "pole.N", at.node("N"), supply.neutral_ohm)
    at.net.ohm("panel.bond", at.node("N"), GROUND, 1e-3)
    only = "L" if at.part.kind == "service_230" else ""
    for pair, ohm in supply.loads_ohm.items():
        first, second = (at.node("N" if end == "N" else only or f"L{end}") for end in pair)
        at.net.ohm(f"house.{pair}", first, second, ohm)


def _breaker(at: Place) -> None:
    for pole in poles_of(at.part):
        out = at.stand.isolated or at.value("off") or at.value("held_tripped")
        closed = not (out or at.state("tripped") or at.value(f"pole{pole}_dead"))
        ohm = at.value(f"pole{pole}_ohm")
        at.contact(f"pole{pole}", f"line{pole}", f"load{pole}", ohm, closed=closed)


def _disconnect(at: Place) -> None:
    """Also a block of fuses, which nobody pulls to make a unit dead."""
    isolated = at.stand.isolated and not at.part.kind.startswith("fuse_block")
    for pole in poles_of(at.part):
        closed = not (isolated or at.value("off") or at.state(f"blown{pole}"))
        closed = closed and not at.value(f"pole{pole}_dead")
        ohm = at.value(f"pole{pole}_ohm")
        at.contact(f"pole{pole}", f"line{pole}", f"load{pole}", ohm, closed=closed)


def poles_of(part: Part) -> tuple[int, ...]:
    """The poles of a breaker, disconnect, block of fuses or contactor, by number."""
    if part.kind in ("breaker_1p", "service_switch", "cord_outlet"):
        return (1,)
    return (1, 2, 3) if "_3p" in part.kind else (1, 2)


def plunger_in(house: House, part: str, stand: Stand) -> bool:
    """Whether a contactor's contacts are brought together."""
    pulled = stand.state(part, "in") and not house.value(part, "blocked")
    return bool(pulled or house.value(part, "welded"))


def _contactor(at: Place) -> None:
    closed = plunger_in(at.house, at.part.name, at.stand)
    for pole in poles_of(at.part):
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
    at.coil(ohm, reach * at.value("reactance_left", 1.0) / at.omega)
    at.ohm("coil_skin", "coil2", GROUND, at.value("insulation_ohm"))
    if at.part.kind.endswith("_aux"):
        aux = at.value("auxiliary_ohm")
        at.contact("rest", "21", "22", aux, closed=not (closed or at.value("rest_dead")))
        at.contact("work", "13", "14", aux, closed=closed)


def _relay(at: Place) -> None:
    at.coil(at.value("coil_ohm"), at.value("coil_henry"))
    closed = bool(at.state("in")) and not at.value("contact_dead")
    at.contact("contact", "common", "no", at.value("contact_ohm"), closed=closed)


def _overload_relay(at: Place) -> None:
    for number, (a, b) in enumerate((("1", "2"), ("3", "4"), ("5", "6")), 1):
        at.ohm(f"heater{number}", a, b, at.value("heater_ohm"))
    closed = not (at.state("tripped") or at.value("held_tripped") or at.value("contact_dead"))
    at.contact("contact", "95", "96", at.value("contact_ohm"), closed=closed)


def _transformer(at: Place) -> None:
    rated = at.value("primary_volt", 120.0)
    turns = at.value("open_volt") / (rated * at.value("coupling")) * at.value("tap", 1.0)
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


def _tapped_transformer(at: Place) -> None:
    """Its primary goes on past the line's lead, or ends before it, to the tap that is capped."""
    _transformer(at)
    rated, coupling = at.value("primary_volt", 208.0), at.value("coupling")
    beyond = at.value("plate_other_volt", 240.0) / rated - 1.0
    primary, winding = at.value("primary_henry"), f"{at.part.name}.lt"
    turns = at.value("open_volt") / (rated * coupling) * at.value("tap", 1.0)
    at.net.henry(winding, at.node("pri2"), at.node("tap"), primary * beyond**2)
    at.net.couple(f"{at.part.name}.lp", winding, coupling * primary * beyond)
    at.net.couple(f"{at.part.name}.ls", winding, coupling * primary * turns * beyond)


def motor_ports(house: House, motor: str) -> tuple[tuple[str, str], tuple[str, str]]:
    """Between which nodes a motor's two ports lie; an open winding hangs free.

    Main and auxiliary winding or, of three legs, the first and the second against the third.
    """
    if isinstance(house.machines[motor], ThreeLegs):
        return (f"{motor}~1", f"{motor}~3"), (f"{motor}~2", f"{motor}~3")
    inner = f"{motor}~x"
    run = f"{motor}.R" if not house.value(motor, "r_open") else f"{motor}~r"
    start = f"{motor}.S" if not house.value(motor, "s_open") else f"{motor}~s"
    return (run, inner), (start, inner)


def _motor(at: Place) -> None:
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
    if at.part.kind == "compressor_two_stage" and not at.value("coil_open"):
        at.ohm("solenoid", "sol1", "sol2", at.value("solenoid_ohm"))
    if at.part.kind == "fan_motor_taps":
        _slower_tap(at)
    machine = at.house.machines[name]
    at.net.ohm(f"{name}.core", run, inner, machine.core)
    if not at.stand.bare and isinstance(machine, Machine):
        machine.write(at.net, name, run, start, inner, at.state("speed"))


def _slower_tap(at: Place) -> None:
    """The winding of the lower speed, in series and by itself: what it reads unused is not told."""
    middle = f"{at.part.name}~tap"
    at.net.ohm(f"{at.part.name}.tap", at.node("M"), middle, at.value("tap_ohm"))
    at.net.henry(f"{at.part.name}.tap_l", middle, at.node("R"), at.value("tap_reach") / at.omega)


def _heater(at: Place) -> None:
    if not at.value("open"):
        at.ohm("element", "1", "2", at.value("element_ohm"))
    at.ohm("skin", "1", GROUND, at.value("insulation_ohm"))


def _heater_stat(at: Place) -> None:
    cold = at.stand.chilled or at.house.weather.outdoor_f < at.value("closes_f")
    closed = cold and not at.value("held_open")
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)


def _switch(at: Place) -> None:
    closed = not (at.value("held_open") or at.state("open"))
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)


def _section(at: Place, name: str, a: str, b: str) -> None:
    middle = f"{at.part.name}~{name}"
    if not at.value(f"{name}_open"):
        at.net.ohm(f"{at.part.name}.{name}_esr", at.node(a), middle, at.value("esr_ohm"))
        at.net.farad(f"{at.part.name}.{name}", middle, at.node(b), 1e-6 * at.value(f"{name}_uf"))
    if at.value(f"{name}_shorted"):
        at.ohm(f"{name}_short", a, b, at.value(f"{name}_shorted"))


def _dual(at: Place) -> None:
    _section(at, "herm", "HERM", "C")
    _section(at, "fan", "FAN", "C")
    at.ohm("skin", "C", GROUND, at.value("insulation_ohm"))


def _run(at: Place) -> None:
    _section(at, "run", "2", "1")
    at.ohm("skin", "1", GROUND, at.value("insulation_ohm"))


def _start(at: Place) -> None:
    _section(at, "start", "1", "2")
    at.ohm("bleed", "1", "2", at.value("bleed_ohm"))


def _start_relay(at: Place) -> None:
    closed = bool(at.value("stuck")) or not (at.state("in") or at.value("never_in"))
    at.contact("contact", "1", "2", at.value("contact_ohm"), closed=closed)
    middle = f"{at.part.name}~coil"
    at.net.ohm(f"{at.part.name}.coil", at.node("2"), middle, at.value("coil_ohm"))
    at.net.henry(f"{at.part.name}.coil_l", middle, at.node("5"), at.value("coil_henry"))


def _delay(at: Place) -> None:
    at.ohm("supply", "y_in", "c", at.value("supply_ohm"))
    closed = bool(at.state("timed")) and not at.value("dead")
    at.contact("contact", "y_in", "y_out", at.value("contact_ohm"), closed=closed)


def _control_fuse(at: Place) -> None:
    closed = not (at.state("blown") or at.value("held_open"))
    at.contact("link", "1", "2", at.value("element_ohm"), closed=closed)


def _thermostat(at: Place) -> None:
    cools = at.stand.call == "cool"
    ohm = at.value("contact_ohm")
    heard = cools and not at.value("deaf")
    at.contact("y", "R", "Y", ohm, closed=heard or bool(at.value("stuck")))
    at.contact("g", "R", "G", ohm, closed=cools)


def _lug(at: Place) -> None:
    at.ohm("bond", "E", GROUND, 0.01)


def _nothing(_: Place) -> None:
    """A point where wires meet."""


_WRITERS: Mapping[str, Callable[[Place], None]] = {
    **dict.fromkeys(("service", *_SERVICE_LEGS), _service),
    "service_corner": write_corner,
    "service_open_delta": write_open_delta,
    **dict.fromkeys(BREAKERS, _breaker),
    **dict.fromkeys(
        ("disconnect_pullout", "disconnect_switch", "disconnect_fused", "disconnect_fused_3p",
         "disconnect_switch_3p", "fuse_block_2p", "service_switch", "cord_outlet"),
        _disconnect,
    ),
    **dict.fromkeys(CONTACTORS, _contactor),
    "relay": _relay,
    "overload_relay": _overload_relay,
    "transformer": _transformer,
    "transformer_taps": _tapped_transformer,
    **dict.fromkeys((*ONE_PHASE, *SMALL), _motor),
    **dict.fromkeys(THREE_LEGS, write_three_legs),
    "crankcase_heater": _heater,
    "heater_thermostat": _heater_stat,
    "float_switch": _switch,
    "rollout_switch": _switch,
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
    **dict.fromkeys(
        ("splice", "neutral_bar", "terminal_board", "terminal_board_stages"), _nothing
    ),
    **BOX_WRITERS,
    **GAS_WRITERS,
    **GUARD_WRITERS,
    **INDOOR_WRITERS,
    **OUTDOOR_WRITERS,
}  # fmt: skip
