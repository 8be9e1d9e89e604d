"""How a call unfolds: coils pull, motors come up, fuses melt, overloads and pressures open.

Each rule looks at the solved netlist and moves a state; the netlist is written and solved again
until nothing moves.  Quick things (coils, motors, instantaneous trips) settle first and make the
*starting* state; slow ones (thermal trips, overloads, pressures) make the *calling* one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from rungwise.other_world.box import move_box
from rungwise.other_world.feed import SPEED_STEP, MotorFeed
from rungwise.other_world.gas import flame_burns, move_gas
from rungwise.other_world.guards import move_guards
from rungwise.other_world.heat import Heat, air_indoors, heat_at_start, heats_of
from rungwise.other_world.house import House
from rungwise.other_world.kinds import BREAKERS, CONTACTORS, FUSED, MOTORS, PRESSED, THREE_LEGS
from rungwise.other_world.netlist import Solved
from rungwise.other_world.parts import plunger_in, poles_of, solve_stand
from rungwise.other_world.place import Stand
from rungwise.other_world.signals import SLOW, move_electronics, wanted_by_volts
from rungwise.unit import Part

MOST_ROUNDS = 30
CHATTER_FLIPS = 4
"""A coil that has let go and pulled this often neither holds nor stays out."""


@dataclass(slots=True)
class Settled:
    """Where it came to.

    chatters: coils without rest. inrush: amps of each wire as motors start. heats: the heat side of
    each compressor that turns, or as it starts.
    """

    house: House
    stand: Stand
    solved: Solved
    chatters: set[str] = field(default_factory=set)
    inrush: dict[str, float] = field(default_factory=dict)
    heats: dict[str, Heat] = field(default_factory=dict)

    @property
    def heat(self) -> Heat | None:
        """The heat side of the first compressor; None while it stands still."""
        return self.heats.get(self.house.compressor)

    def turns(self, motor: str) -> bool:
        """Whether a motor runs."""
        return self.stand.state(motor, "speed") != 0.0

    def wire_amp(self, wire: str) -> float:
        """Amps of a wire."""
        return abs(self.solved.ohm_amp(f"{wire}.copper"))


def overload_amp(settled: Settled, motor: str) -> float:
    """Amps by which a motor's overload is heated: of its common lead, or the most of three legs."""
    kind = settled.house.unit.part(motor).kind
    leads = ("lead1", "lead2", "lead3") if kind in THREE_LEGS else ("common",)
    return max(abs(settled.solved.ohm_amp(f"{motor}.{lead}")) for lead in leads)


def settle_quick(
    house: House, stand: Stand, heats: Mapping[str, Heat] | None = None, *, slow: bool = False
) -> Settled:
    """Coils, motors and instantaneous trips, from the given states on.

    slow: whether what takes half a minute to move has had its time.
    """
    flips: Counter[str] = Counter()
    started = {name: heat_at_start(house, name) for name in house.compressors}
    heats = started | dict(heats or {})
    settled = Settled(house, stand, solve_stand(house, stand), heats=heats)
    for _ in range(MOST_ROUNDS):
        closed = {name: plunger_in(house, name, settled.stand) for name in _contactors(house)}
        moved = _move_coils(settled, flips, slow=slow)
        if moved:
            settled.solved = solve_stand(house, settled.stand)
        for name, was in closed.items():
            if plunger_in(house, name, settled.stand) and not was:
                _catch_inrush(settled)
        moved = _move_motors(settled) or moved
        moved = move_electronics(settled.house, settled.stand, settled.solved) or moved
        moved = move_guards(settled.house, settled.stand, settled.solved) or moved
        moved = move_gas(settled.house, settled.stand, settled.solved) or moved
        moved = move_box(settled.house, settled.stand) or moved
        moved = _warm_assist(settled) or moved
        moved = _trip_at_once(settled) or moved
        if not moved:
            return settled
        settled.solved = solve_stand(house, settled.stand)
    return settled


def _contactors(house: House) -> list[str]:
    return [p.name for p in house.unit.parts if p.kind in CONTACTORS]


def _warm_assist(settled: Settled) -> bool:
    """A start assist that has carried its amps for a moment is hot; at rest it cools again."""
    moved = False
    for part in settled.house.unit.parts_of_kind("start_ptc"):
        hot = abs(settled.solved.volt(f"{part.name}.1", f"{part.name}.2")) > ASSIST_VOLT
        if hot and not settled.stand.state(part.name, "hot"):
            _set(settled.stand, part.name, "hot", 1.0)
            moved = True
    return moved


ASSIST_VOLT = 60.0


def _set(stand: Stand, part: str, name: str, to: float) -> None:
    stand.states[(part, name)] = to


def _move_coils(settled: Settled, flips: Counter[str], *, slow: bool) -> bool:
    """Contactors, relays, boards, the delay and the start relay. True when one moved."""
    house, stand, moved = settled.house, settled.stand, False
    for part in house.unit.parts:
        if part.kind in SLOW and not slow:
            continue
        wanted = _wanted(settled, part.name, part.kind)
        if wanted is None or part.name in settled.chatters:
            continue
        name = "timed" if part.kind in ("delay", "delay_board") else "in"
        if bool(stand.state(part.name, name)) == wanted:
            continue
        flips[part.name] += 1
        if flips[part.name] > CHATTER_FLIPS:
            settled.chatters.add(part.name)
            wanted = False
        _set(stand, part.name, name, float(wanted))
        moved = True
    return moved


def _wanted(settled: Settled, part: str, kind: str) -> bool | None:
    """Whether a coil would hold at the volts that it now has; None for what has no coil."""
    house, solved = settled.house, settled.solved
    held = bool(settled.stand.state(part, "in"))
    if kind in CONTACTORS or kind == "relay":
        if house.value(part, "coil_open"):
            return False
        volt = abs(solved.volt(f"{part}.coil1", f"{part}.coil2"))
        weak = house.value(part, "pull_share", 1.0)
        limit = house.value(part, "drop_volt" if held else "pull_volt") / weak
        return volt >= limit
    if kind == "delay":
        return abs(solved.volt(f"{part}.y_in", f"{part}.c")) >= house.value(part, "pass_volt")
    if kind == "potential_relay":
        return _start_relay_pulled(settled, part, held=held)
    return wanted_by_volts(house, settled.solved, part, kind, held=held)


def _start_relay_pulled(settled: Settled, part: str, *, held: bool) -> bool:
    house = settled.house
    volt = abs(settled.solved.volt(f"{part}.2", f"{part}.5"))
    usual = house.value(house.compressor, "running_start_volt")
    pick = house.value(part, "pick_share") * usual
    return volt >= (house.value(part, "drop_volt") if held else pick)


def _catch_inrush(settled: Settled) -> None:
    """Amps of each wire with the rotors still: what a peak-hold clamp would catch."""
    still = replace(settled.stand, states=dict(settled.stand.states))
    for part in settled.house.unit.parts_of_kind(*MOTORS):
        still.states[(part.name, "speed")] = 0.0
    solved = solve_stand(settled.house, still)
    for wire in settled.house.wires:
        amp = abs(solved.ohm_amp(f"{wire}.copper"))
        settled.inrush[wire] = max(amp, settled.inrush.get(wire, 0.0))


def _move_motors(settled: Settled) -> bool:
    """Bring every motor to where its torque meets its load. True when one changed its speed."""
    feed = MotorFeed(settled)
    was = {name: settled.stand.state(name, "speed") for name in feed.motors}
    now = feed.speeds(was)
    if all(abs(now[name] - was[name]) <= SPEED_STEP for name in now):
        return False
    for name, speed in now.items():
        _set(settled.stand, name, "speed", speed)
    return True


def _trip_at_once(settled: Settled) -> bool:
    """Magnetic trips of breakers and fuses that melt within the first seconds."""
    house, moved = settled.house, False
    for part in house.unit.parts:
        limit = house.value(part.name, "rating")
        if part.kind in BREAKERS:
            poles = tuple(f"pole{pole}" for pole in poles_of(part))
            at_once = house.value(part.name, "magnet") * limit
            moved |= _trip(settled, part.name, poles, "tripped", at_once)
            moved |= _trip_residual(settled, part)
        elif part.kind in FUSED:
            for pole in poles_of(part):
                moved |= _trip(settled, part.name, (f"pole{pole}",), f"blown{pole}", 12.0 * limit)
        elif part.kind == "lv_fuse":
            moved |= _trip(settled, part.name, ("link",), "blown", 3.0 * limit)
    return moved


def _trip_residual(settled: Settled, part: Part) -> bool:
    """What flows out by its poles and does not come back by them flows to ground."""
    name = part.name
    if part.kind != "residual_breaker" or settled.stand.state(name, "tripped"):
        return False
    amp = abs(sum(settled.solved.ohm_amp(f"{name}.pole{pole}") for pole in poles_of(part)))
    if amp < settled.house.value(name, "residual_a"):
        return False
    _set(settled.stand, name, "tripped", 1.0)
    return True


def _trip(settled: Settled, part: str, ways: tuple[str, ...], name: str, limit: float) -> bool:
    amps = max(abs(settled.solved.ohm_amp(f"{part}.{way}")) for way in ways)
    if amps <= limit or settled.stand.state(part, name):
        return False
    _set(settled.stand, part, name, 1.0)
    return True


def settle_calling(started: Settled) -> Settled:
    """What the call comes to within the next quarter of an hour."""
    house = started.house
    stand = replace(started.stand, states=dict(started.stand.states))
    settled = Settled(house, stand, started.solved, set(started.chatters), started.inrush)
    for _ in range(MOST_ROUNDS):
        if _fan_let_in(settled):
            settled = settle_quick(house, settled.stand, settled.heats, slow=True)
        settled.heats = heats_of(settled)
        again = settle_quick(house, settled.stand, settled.heats, slow=True)
        again.chatters |= settled.chatters
        again.inrush = started.inrush
        settled = again
        settled.heats = heats_of(settled)
        if not _trip_slowly(settled):
            return settled
        settled.solved = solve_stand(house, settled.stand)
    return settled


def _fan_let_in(settled: Settled) -> bool:
    """A switch that holds the fan off closes as the pressure climbs, long before anything trips."""
    heat, moved = heats_of(settled).get(settled.house.compressor), False
    for part in settled.house.unit.parts_of_kind("fan_cycling_switch"):
        held = settled.stand.state(part.name, "in") > 0
        limit = settled.house.value(part.name, "opens_psig" if held else "closes_psig")
        closed = heat is not None and heat.head_psig > limit
        if closed != held:
            _set(settled.stand, part.name, "in", float(closed))
            moved = True
    return moved


def _trip_slowly(settled: Settled) -> bool:
    """The next slow thing that opens; one at a time, since each changes what the others feel."""
    return (
        any(_trip(settled, *way) for way in _early_trips(settled.house))
        or _pressures_open(settled)
        or _overloads_open(settled)
        or _limits_open(settled)
        or any(_trip(settled, *way) for way in _slow_trips(settled.house))
    )


_Way = tuple[str, tuple[str, ...], str, float]
"""A part, the ways in it that carry the amps, the state that they move, and from how many amps."""


def _early_trips(house: House) -> Iterator[_Way]:
    """Control fuses, and relays set to a motor's amps, which its own overload lets pass."""
    for part in house.unit.parts_of_kind("lv_fuse"):
        yield part.name, ("link",), "blown", 1.35 * house.value(part.name, "rating")
    for part in house.unit.parts_of_kind("overload_relay"):
        limit = house.value(part.name, "trips_at") * house.value(part.name, "rating")
        yield part.name, ("heater1", "heater2", "heater3"), "tripped", limit


def _slow_trips(house: House) -> Iterator[_Way]:
    for part in house.unit.parts_of_kind(*FUSED):
        for pole in poles_of(part):
            limit = 1.35 * house.value(part.name, "rating")
            yield part.name, (f"pole{pole}",), f"blown{pole}", limit
    for part in house.unit.parts_of_kind(*BREAKERS):
        poles = tuple(f"pole{pole}" for pole in poles_of(part))
        yield part.name, poles, "tripped", 1.3 * house.value(part.name, "rating")


def _limits_open(settled: Settled) -> bool:
    """A limit over an element that heats without enough air."""
    house, air = settled.house, air_indoors(settled)
    for part in house.unit.parts_of_kind("heat_limit"):
        name = part.name
        heats = abs(settled.solved.ohm_amp(f"{name}.contact")) > HEATING_AMP
        heats = heats or flame_burns(house, settled.stand)
        if heats and air < house.value(name, "opens_air") and not settled.stand.state(name, "open"):
            _set(settled.stand, name, "open", 1.0)
            return True
    return False


HEATING_AMP = 5.0


def _overloads_open(settled: Settled) -> bool:
    for part in settled.house.unit.parts_of_kind(*MOTORS):
        name = part.name
        if settled.stand.state(name, "tripped"):
            continue
        limit = settled.house.value(name, "trip_amps")
        if name in settled.heats and settled.turns(name):
            limit *= settled.heats[name].overload_share
        if overload_amp(settled, name) > limit:
            _set(settled.stand, name, "tripped", 1.0)
            _set(settled.stand, name, "speed", 0.0)
            return True
    return False


def _pressures_open(settled: Settled) -> bool:
    house = settled.house
    for part in house.unit.parts_of_kind(*PRESSED):
        heat = settled.heats.get(house.compressor_with(part.name))
        if heat is None:
            continue
        opens = house.value(part.name, "opens_psig")
        high = part.kind == "high_pressure_switch"
        past = heat.head_psig > opens if high else heat.suction_psig < opens
        if past and not settled.stand.state(part.name, "open"):
            _set(settled.stand, part.name, "open", 1.0)
            _lock(settled)
            return True
    return False


def _lock(settled: Settled) -> None:
    """A delay board that counts trips has locked by the time that somebody comes."""
    for part in settled.house.unit.parts_of_kind("delay_board"):
        if settled.house.value(part.name, "locks"):
            _set(settled.stand, part.name, "locked", 1.0)
