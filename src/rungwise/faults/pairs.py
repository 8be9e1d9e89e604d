"""A fault together with the second one that it brings about.

What the circuit itself brings about (a fuse behind a short, an overload behind a weak capacitor,
a high-pressure switch behind a fan that stands) is computed when the suspect is solved and needs
no pair.  Pairs stand here for three sorts:

- Wear makes the second fault: a loose joint burns the contact beside it.
- The circuit makes it too seldom: with a fan that stands the high-pressure switch opens first (on
  two units in three, the overload on one in twenty); where the switch comes back by itself again
  and again, the shell gets hot all the same. A start kit starts a compressor whose run section is
  weak, and on one unit in ten or twenty it then draws more than its overload bears.
- The second fault is what a technician finds when he comes: a breaker that an earthed winding has
  tripped an hour ago, which no meter can trip again; a pressure switch that is open still while
  the unit is made dead; a board that trips have locked.  There the answer is the cause, never the
  reset alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from rungwise.faults.pressures import ICED
from rungwise.faults.suspect import Suspect, repair_key, repair_steps, suspect_id
from rungwise.parts import (
    CONTROL_SIGNALS,
    HIGH_RESISTANCE,
    RUBBED,
    Control,
    Mode,
    Motor,
    Overcurrent,
    Poles,
    Reverses,
    Supply,
    conductors_of,
    part_of,
    split_end,
)
from rungwise.unit import LEGS, Part, Unit, Wire
from rungwise.wording import joined, mark, say


@dataclass(frozen=True, slots=True)
class PairRule:
    """Cause and effect suspects by id, the share of the cause's weight, and how it is put.

    found: whether it is the cause itself as it is found, so that the cause alone weighs less.
    """

    cause: str
    effect: str
    share: float
    effect_text: str
    both_repairs: bool = False
    then_text: str = ""
    found: bool = False


_HOT = mark("so the compressor overheats and its overload opens")
_OPENS = mark("so its own overload opens")
_HIGH = mark("so the head pressure rises and the high-pressure switch opens")
_LOW = mark("so on a call for heat the suction falls and the low-pressure switch opens")
_STILL = mark("and it is open still")
_LOCKS = mark("so a pressure switch opens and the board locks")
_LETS_GO = mark("so the board lets go each time that it has made")
_ICES = mark("so ice holds up the air, the suction falls and the control opens")
_LET = mark("the switch closes by itself once the pressure is back")
_BURNT = mark("so the contact beside it burns")

RUBBED_SHARE = 0.9
"""How often a power wire rubbed through to the cabinet has opened what feeds it when somebody
comes (common practice, from experience, no source)."""

PRESSED, LOCKED = 0.35, 0.5
"""How often a pressure switch that a fault opens is found open and still so when the unit has been
made dead, and how often a board that counts its trips is found locked (common practice, no
source)."""

OPENS_AT_ALL = {"low_charge": 0.6}
"""How often a cause opens its switch at all: a unit that has lost some of its charge runs on, and
cools little (engine: 11 of 18 specimens do)."""

EARTHED_HOT = 0.15
"""How often a motor with a winding to ground is found with its overload open from the heat (common
practice, no source)."""

IN_WINTER = 0.2
"""How often a fan outdoors that stands is found with the low-pressure switch open, of a unit that
takes up its heat outdoors: two calls of five are for heat, and of these half come while it is open
(common practice, no source)."""

DRAWS_TOO_MUCH = {"open": 0.1, "weak": 0.05}
"""How often a compressor that its kit starts all the same is found with its overload open, by how
far its run section has gone (engine: 4, 3 and 2 of 40 drawn units with a hard-start kit whose
section was open, nearly gone and weak)."""

LET_GO = 0.5
"""How often a short behind a board has its relay open again before a fuse melts (common practice,
no source)."""

MELTED_SHARE = 0.9
"""How often a short that only a call for heat feeds has melted the fuse when somebody comes (common
practice, no source)."""

HIGH, LOW = "high pressure", "low pressure"

_POWER = (*LEGS, "power", "heater", "indoor")


def with_pairs(unit: Unit, singles: Iterable[Suspect]) -> Iterator[Suspect]:
    """The suspects of a unit, then the pairs among them."""
    by_id = {suspect.id: suspect for suspect in singles}
    rules = (*_overheated(unit), *_kept_going(unit), *_earthed(unit),
             *_pressed(unit, by_id.values()), *_burnt(unit), *_opened_by(unit, by_id.values()),
             *_melted_in_winter(unit, by_id.values()), *_pulled_down(unit, by_id.values()),
             *_iced(unit), *_overdrawn(unit))  # fmt: skip
    rules = tuple(each for each in rules if each.cause in by_id and each.effect in by_id)
    for suspect in by_id.values():
        taken = sum(each.share for each in rules if each.found and each.cause == suspect.id)
        yield replace(suspect, weight=suspect.weight * (1.0 - taken))
    for rule in rules:
        yield _pair(by_id[rule.cause], by_id[rule.effect], rule)


def _overheated(unit: Unit) -> Iterator[PairRule]:
    """What stops an outdoor fan, its own ways before those of its capacitor's section."""
    for fan in unit.roles.outdoor_fans:
        for part, mode in _stopping(unit, fan):
            for compressor in unit.roles.compressors_with(fan) if mode.overheats else ():
                effect = f"{compressor}.overload_open"
                yield PairRule(f"{part}.{mode.name}", effect, mode.overheats, _HOT)


def _kept_going(unit: Unit) -> Iterator[PairRule]:
    """The ways of a run section whose compressor a start kit starts all the same."""
    kinds = [unit.kind_of(part.name) for part in unit.parts]
    kit = any(rule.waits_for_speed for kind in kinds for rule in kind.rules)
    for served in unit.roles.served if kit else ():
        section, part = served.section, served.capacitor
        for mode in unit.kind_of(part).modes if served.motor in unit.roles.compressors else ():
            changed = {edit.parameter for edit in mode.edits}
            gone = mode.name == section.open_mode
            weak = mode.known and section.microfarads in changed
            if section.purpose == "run" and (gone or weak):
                share = DRAWS_TOO_MUCH["open" if gone else "weak"]
                effect = f"{served.motor}.overload_open"
                yield PairRule(f"{part}.{mode.name}", effect, share, _HOT, found=True)


def _earthed(unit: Unit) -> Iterator[PairRule]:
    """A winding to ground, with the overload that its own heat has opened found open.

    The overload lets go before the breaker where the earth fault passes too little to trip it.
    """
    for part, _ in unit.having(Motor):
        modes = [mode.name for mode in unit.kind_of(part.name).modes]
        for earthed in (name for name in modes if name.endswith("earthed")):
            if "overload_open" in modes:
                effect = f"{part.name}.overload_open"
                yield PairRule(f"{part.name}.{earthed}", effect, EARTHED_HOT, _OPENS, found=True)


def _stopping(unit: Unit, fan: str) -> Iterator[tuple[str, Mode]]:
    """The ways of a fan, then those of its capacitor's section that leave it standing or slow."""
    yield from ((fan, mode) for mode in unit.kind_of(fan).modes)
    for served in unit.roles.sections_serving(fan):
        ways = (served.section.open_mode, served.section.weak_mode)
        modes = unit.kind_of(served.capacitor).modes
        yield from ((served.capacitor, mode) for mode in modes if mode.name in ways)


def _pressed(unit: Unit, singles: Iterable[Suspect]) -> Iterator[PairRule]:
    """What opens a pressure switch, with the switch found open, or with what its trips locked."""
    locks = [f"{part.name}.{mode.name}" for part in unit.parts
             for mode in unit.kind_of(part.name).modes if mode.left_by_trips]  # fmt: skip
    for fan in unit.roles.outdoor_fans:
        for cause, share in _stopping_air(unit, fan):
            for switch in _guards_of(unit, fan) if share else ():
                yield PairRule(
                    cause, f"{switch}.open", PRESSED * share, _HIGH, False, _LET, found=True
                )
            for lock in locks if share else ():
                yield PairRule(cause, lock, LOCKED * share, _LOCKS, found=True)
            for switch in _starved_in_winter(unit, fan) if share else ():
                yield PairRule(
                    cause, f"{switch}.open", IN_WINTER * share, _LOW, False, _LET, found=True
                )
    yield from _pressed_by(unit, singles, locks)


def _stopping_air(unit: Unit, fan: str) -> Iterator[tuple[str, float]]:
    """Suspects that stop an outdoor fan, by id, each with how often it stops the air.

    Its own leads too: off, they leave it standing.
    """
    yield from (
        (f"{part}.{mode.name}", _press_share(unit, part, mode))
        for part, mode in _stopping(unit, fan)
    )
    yield from (
        (f"{wire.name}.open", 1.0)
        for wire in unit.wires
        if fan in {part_of(wire.start), part_of(wire.end)}
    )


def _pressed_by(unit: Unit, singles: Iterable[Suspect], locks: Iterable[str]) -> Iterator[PairRule]:
    """What opens a switch while the circuit is whole, which is no way of the switch itself."""
    switches = (*unit.roles.opening_on(HIGH), *unit.roles.opening_on(LOW))
    for cause in singles:
        own = cause.block not in switches or cause.mode in {
            mode.name for mode in unit.kind_of(cause.block).modes
        }
        if not own:
            opens = OPENS_AT_ALL.get(cause.mode, 1.0)
            yield PairRule(
                cause.id, f"{cause.block}.open", PRESSED * opens, _STILL, False, _LET, found=True
            )
            for lock in locks:
                yield PairRule(cause.id, lock, LOCKED * opens, _LOCKS, found=True)


def _iced(unit: Unit) -> Iterator[PairRule]:
    """What keeps a box from its defrosts, with the ice that it leads to."""
    for part in unit.parts:
        for mode in unit.kind_of(part.name).modes:
            for switch in unit.roles.opening_on(LOW) if mode.ices else ():
                cause = f"{part.name}.{mode.name}"
                yield PairRule(cause, f"{switch}.{ICED}", mode.ices, _ICES, found=True)


def _overdrawn(unit: Unit) -> Iterator[PairRule]:
    """What makes a motor draw too much, with the relay that guards it found tripped."""
    kinds = {part.name: unit.kind_of(part.name) for part in unit.parts}
    ahead = [name for name, kind in kinds.items() if kind.isolates or kind.facet(Supply)]
    for guard, device in unit.having(Overcurrent):
        poles = kinds[guard.name].facet(Poles)
        apart = poles is None or not set(device.senses) & set(poles.ends)
        lines = [f"{guard.name}.{end}" for ends in device.senses for end in ends if apart]
        others = {part_of(wire.end if at == "start" else wire.start)
                  for line in lines for wire, at in unit.wires_at(line)}  # fmt: skip
        beside = sorted(others - {guard.name})
        guards = any(kinds[part].facet(Motor) for part in beside)
        for part in (*beside, *ahead) if guards else ():
            for mode in kinds[part].modes:
                if mode.overdraws:
                    told = {"part": guard.title, "pole": 1}
                    yield PairRule(
                        f"{part}.{mode.name}", f"{guard.name}.{device.found[0]}", mode.overdraws,
                        say(device.opened, **told),
                        then_text=say(device.put_right, **told), found=True,
                    )  # fmt: skip


def _guards_of(unit: Unit, fan: str) -> Iterator[str]:
    """The high-pressure switches of just what the fan cools; a fan over two circuits has none."""
    cooled = set(unit.roles.compressors_with(fan))
    for switch in unit.roles.opening_on(HIGH):
        if set(unit.roles.compressors_with(switch)) == cooled:
            yield switch


def _starved_in_winter(unit: Unit, fan: str) -> Iterator[str]:
    """The low-pressure switches of the circuits whose heat a fan outdoors takes up in winter."""
    compressors = unit.roles.compressors_with(fan) if unit.having(Reverses) else ()
    for switch in unit.roles.opening_on(LOW):
        if set(unit.roles.compressors_with(switch)) & set(compressors):
            yield switch


def _press_share(unit: Unit, part: str, mode: Mode) -> float:
    """How often a way of a fan or its section stops the air, against one that always does."""
    if mode.overheats:
        return 1.0
    weak = {served.section.weak_mode for served in unit.roles.served if served.capacitor == part}
    return 0.5 if mode.name in weak else 0.0


def _burnt(unit: Unit) -> Iterator[PairRule]:
    """A loose joint on a pole that carries a compressor's amps burns the contact beside it."""
    for part, poles in unit.having(Poles):
        for pole in poles.poles if part.name in unit.roles.contactors else ():
            for wire in _joints_beside(unit, part, (pole.line, pole.load)):
                cause, effect = f"{wire.name}.{HIGH_RESISTANCE}", f"{part.name}.{pole.burnt_mode}"
                yield PairRule(cause, effect, 1.0, _BURNT, both_repairs=True)


def _joints_beside(unit: Unit, part: Part, ends: tuple[str, str]) -> Iterator[Wire]:
    """The wires on a pole in which all of a compressor's amps flow: the supply's, and its own."""
    for end in ends:
        for wire, at in unit.wires_at(f"{part.name}.{end}"):
            other = part_of(wire.end if at == "start" else wire.start)
            if wire.carries in LEGS or other in unit.roles.compressors:
                yield wire


def _opened_by(unit: Unit, singles: Iterable[Suspect]) -> Iterator[PairRule]:
    """Breakers and fuses that a short behind them has opened, whatever the parts are called."""
    for cause in singles:
        wire = unit.wire_by_name.get(cause.block)
        if wire is not None and wire.carries in _POWER and cause.mode == RUBBED:
            yield from _opened(unit, cause.id, wire.start, RUBBED_SHARE, _POWER)
        if cause.block in unit.part_by_name:
            yield from _opened_behind(unit, cause)


def _opened_behind(unit: Unit, cause: Suspect) -> Iterator[PairRule]:
    """What a part's own short opens; of several leads any may be the one, each with its own fuse.

    A breaker that opens all its poles stands there once, for all of them.
    """
    share, terminals = _mode_of(unit, cause).opens_ahead
    leads = terminals.split()
    found: dict[str, PairRule] = {}
    for lead in leads if share else ():
        for carried in (_POWER, CONTROL_SIGNALS):
            start = f"{cause.block}.{lead}"
            for rule in _opened(unit, cause.id, start, share / len(leads), carried):
                known = found.get(rule.effect)
                total = rule.share + (known.share if known is not None else 0.0)
                found[rule.effect] = replace(known or rule, share=total)
    yield from found.values()


def _melted_in_winter(unit: Unit, singles: Iterable[Suspect]) -> Iterator[PairRule]:
    """Shorts of the wires that only a call for heat feeds, with what they have melted.

    The circuit's own course ends a call for cooling first, which such a short leaves alone; who
    comes after a call for heat finds the fuse open whatever he then asks for.
    """
    warm = {f"{part.name}.{end}" for part, control in unit.having(Control)
            for end in _heats_only(control)}  # fmt: skip
    for cause in singles:
        wires = [unit.wire_by_name.get(name) for name in conductors_of(cause.block)]
        for wire in wires if cause.mode in {"shorted", RUBBED} and all(wires) else ():
            others = {other.carries for other in wires if other is not None and other is not wire}
            if wire is not None and {wire.start, wire.end} & warm and others <= {"C"}:
                yield from _opened(unit, cause.id, wire.start, MELTED_SHARE, CONTROL_SIGNALS)


def _heats_only(control: Control) -> frozenset[str]:
    """The terminals that a call for heat feeds and none for cooling."""
    cools = [set(each.energizes) for name, each in control.demands.items() if "cool" in name]
    fed = set().union(*(each.energizes for each in control.demands.values()))
    return frozenset(fed - {"G"} - set().union(*cools)) if cools else frozenset()


def _pulled_down(unit: Unit, singles: Iterable[Suspect]) -> Iterator[PairRule]:
    """A short behind a board's output: its volts fall and it lets go, quicker than a fuse melts."""
    for part, poles in unit.having(Poles):
        left = [mode.name for mode in unit.kind_of(part.name).modes if mode.left_by_short]
        outs = {f"{part.name}.{pole.load}" for pole in poles.poles}
        for cause in singles if left else ():
            wire = unit.wire_by_name.get(cause.block)
            ends = {wire.start, wire.end} if wire and cause.mode == RUBBED else set()
            if cause.block in unit.part_by_name:
                share, terminals = _mode_of(unit, cause).opens_ahead
                starts = [f"{cause.block}.{each}" for each in terminals.split() if share]
                ends = {end for at in starts for end in _joined(unit, at, CONTROL_SIGNALS)}
            if ends & outs:
                yield PairRule(cause.id, f"{part.name}.{left[0]}", LET_GO, _LETS_GO, found=True)


def _mode_of(unit: Unit, cause: Suspect) -> Mode:
    """The kind's mode behind a suspect; one that is no mode of a kind opens nothing."""
    modes = {mode.name: mode for mode in unit.kind_of(cause.block).modes}
    return modes.get(cause.mode, _NO_MODE)


_NO_MODE = Mode("", "", 0.0, (), "", "")


def _opened(
    unit: Unit, cause: str, terminal: str, share: float, carried: tuple[str, ...]
) -> Iterator[PairRule]:
    """What opens ahead of `terminal`: a fuse where there is one, else the breaker."""
    ahead = list(_ahead(unit, terminal, carried))
    melting = [each for each in ahead if each[1].how == "melts"]
    for part, device, pole in melting[-1:] or ahead:
        named = {"part": part.title, "pole": pole + 1}
        yield PairRule(
            cause,
            f"{part.name}.{device.found[pole]}",
            share,
            say(device.opened, **named),
            then_text=say(device.put_right, **named),
        )


def _ahead(
    unit: Unit, terminal: str, carried: tuple[str, ...]
) -> Iterator[tuple[Part, Overcurrent, int]]:
    """Devices, each with its pole, met on the way from `terminal` back to the supply."""
    behind = {
        f"{part.name}.{pole.load}": (part, unit.kind_of(part.name).facet(Overcurrent), at)
        for part, poles in unit.having(Poles)
        for at, pole in enumerate(poles.poles)
    }
    found, todo = {terminal}, [terminal]
    while todo:
        at = todo.pop()
        if at in behind:
            part, device, pole = behind[at]
            if device is not None:
                yield part, device, pole
        new = [end for end in dict.fromkeys(_joined(unit, at, carried)) if end not in found]
        found.update(new)
        todo += new


def _joined(unit: Unit, terminal: str, carried: tuple[str, ...]) -> Iterator[str]:
    """Terminals that such a wire or a contact joins to this one.

    From the line side of a fuse or breaker nothing leads on: what it guards is another branch.
    """
    for wire, end in unit.wires_at(terminal):
        if wire.carries in carried:
            yield wire.end if end == "start" else wire.start
    part, own = split_end(terminal)
    poles = unit.kind_of(part).facet(Poles)
    guards = unit.kind_of(part).facet(Overcurrent)
    for ends in guards.senses if guards is not None else ():
        yield from (f"{part}.{other}" for other in ends if own in ends and other != own)
    if poles is None or (guards is not None and own in {pole.line for pole in poles.poles}):
        return
    for ends in [(pole.line, pole.load) for pole in poles.poles] + [poles.bar or ("", "")]:
        if own in ends:
            yield from (f"{part}.{other}" for other in ends if other != own)


def _told(effect: Suspect) -> str:
    """What puts the effect right, its signal word first where it has one."""
    if effect.signal is None:
        return effect.repair_text
    return joined(": ", (effect.signal, effect.repair_text))


def _pair(cause: Suspect, effect: Suspect, rule: PairRule) -> Suspect:
    repair = cause.repair
    then = rule.then_text or _told(effect)
    text = say("{cause}; then: {then}", cause=cause.repair_text, then=then)
    if rule.both_repairs:
        repair = repair_key(*repair_steps(cause.repair), *repair_steps(effect.repair))
    return replace(
        cause,
        id=suspect_id(*cause.steps, *effect.steps),
        title=joined(", ", (cause.title, rule.effect_text)),
        mode=f"{cause.mode}>{effect.mode}",
        edits=(*cause.edits, *effect.edits),
        weight=cause.weight * rule.share,
        repair=repair,
        repair_text=text,
        effect=rule.effect_text,
        cause_of=effect.id,
        signs={**effect.signs, **cause.signs},
        repair_minutes=cause.repair_minutes + effect.repair_minutes,
    )
