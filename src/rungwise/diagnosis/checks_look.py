"""Looks, listens and feels: nearly free, and made first.

A card's `quantity` is `look:` and what is looked at; `touches` are the parts and wires that
the eye, the ear or the hand is on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rungwise.circuit import call_for_heat, can_defrost
from rungwise.diagnosis.bench import Live
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks_eyes import eyes_first
from rungwise.diagnosis.large_line import (
    LINE_COLD,
    LINE_FROSTED,
    LINE_HOT,
    LINE_LIKE_AIR,
    LargeLine,
)
from rungwise.diagnosis.look_card import (
    DEAD,
    EYES,
    IDLE,
    IN_DEFROST,
    LOOKING,
    ON_CALL,
    ON_HEAT,
    look_check,
)
from rungwise.diagnosis.mark_looks import Mark, WhichSpot
from rungwise.diagnosis.visual_checks import (
    LIGHTING,
    AirCools,
    AirWarms,
    AllQuiet,
    CompressorSound,
    DeviceOpen,
    FlameWarms,
    HotShell,
    KeepsRunning,
    Lighting,
    MotorTurns,
    PlungerPosition,
    Pulls,
    Shifts,
    StandsInDefrost,
    TurnedByHand,
    TurnsOnHeat,
)
from rungwise.faults import WHOLE, is_field_wire, swaps, wire_weight
from rungwise.parts import (
    RUBBED,
    Burner,
    Caution,
    Coil,
    Defrosts,
    Heater,
    Ignites,
    Look,
    Looks,
    Motor,
    Reverses,
    Stages,
    part_of,
)
from rungwise.unit import Part, Unit, place_words
from rungwise.wording import mark, say

SOUNDS = ("running", mark("runs, then trips"), mark("hums and trips"), "silent")

BLADE = mark(
    "does the blade of the {part} turn freely by hand, power off and verified? (stiff counts as "
    "stuck)"
)
WHEEL = mark(
    "does the wheel of the {part} turn freely by hand, power off and verified? (stiff counts as "
    "stuck)"
)

HOT = Caution(
    "CAUTION", mark("hold the back of the hand an inch off, do not touch: dome and lines can burn.")
)


def look_checks(unit: Unit) -> Iterator[Check]:
    """Every look that the unit's parts offer."""
    yield from _running(unit)
    yield from eyes_first(unit)
    yield from _marks(unit)
    yield from _joints(unit)
    yield from _rubbed(unit)


def _running(unit: Unit) -> Iterator[Check]:
    fans = [unit.part(name) for name in _fans(unit)]
    for part in fans:
        choices = ("turning", mark("not turning"))
        title = say("with the thermostat calling, is the {part} turning?", part=part.title)
        look, on = MotorTurns(part.name), (part.name,)
        yield look_check("turns", title, choices, look, condition=ON_CALL, touches=on)
    yield from _on_heat(unit)
    yield from _turned_round(unit)
    yield from _cold_lines(unit)
    compressors = unit.roles.compressors
    for part in (unit.part(name) for name in compressors):
        what = part.title if len(compressors) > 1 else mark("compressor")
        title = say("with the thermostat calling, what does the {what} do?", what=what)
        sound, on = CompressorSound(part.name), (part.name,)
        yield look_check("sound", title, SOUNDS, sound, condition=ON_CALL, touches=on)
    for part, stages in unit.having(Stages):
        title = say(
            "do the amps of the {part} rise by a fifth to a half within 5 s of Y2?", part=part.title
        )
        shifts, on = Shifts(part.name, stages.high), (part.name,)
        choices = ("they rise", "they stay")
        yield look_check(
            "stage", title, choices, shifts, minutes=3.0,
            condition=ON_CALL, touches=on,
        )  # fmt: skip
    yield from _plungers(unit)
    yield from _by_touch(unit, fans)
    turning = {*unit.roles.compressors, *_fans(unit)}
    motors = [p.name for p in unit.parts if p.name in turning and p.place == "outdoor"]
    if motors:
        title = mark("does the outdoor unit stop when the thermostat is turned off?")
        keeps = KeepsRunning(tuple(motors))
        choices = ("stops", mark("keeps running"))
        yield look_check("idle", title, choices, keeps, condition=IDLE, touches=keeps.parts)
    coils = unit.having(Coil)
    relays = tuple(part.name for part, coil in coils if coil.duty == "general purpose")
    for part in fans:
        if part.place != "outdoor":
            auto = mark(", its fan on AUTO") if "fan" in unit.demands else ""
            title = say(
                "does the {part} stop when the thermostat is off{auto}?", part=part.title, auto=auto
            )
            keeps, touched = KeepsRunning((part.name,)), (part.name, *relays)
            choices = ("stops", mark("keeps running"))
            yield look_check("idle", title, choices, keeps, condition=IDLE, touches=touched)


def _on_heat(unit: Unit) -> Iterator[Check]:
    """What is seen and felt on a call for heat, where a unit can be asked for it."""
    if call_for_heat(unit.demands) is None:
        return
    outdoors = (*unit.roles.outdoor_fans, *unit.roles.compressors)
    by_refrigerant = outdoors if unit.having(Reverses) else ()
    for part in map(unit.part, (*unit.roles.indoor_blowers, *by_refrigerant)):
        title = say("with the thermostat calling for heat, is the {part} turning?", part=part.title)
        yield look_check(
            "turns_on_heat", title, ("turning", mark("not turning")),
            TurnsOnHeat(part.name), condition=ON_HEAT, touches=(part.name,),
        )  # fmt: skip
    elements = tuple(
        (part.name, heater.element, heater.watt)
        for part, heater in unit.having(Heater)
        if heater.warms == "air"
    )
    if elements:
        title = mark("how does the air at a register feel, three minutes after a call for heat?")
        yield look_check(
            "warm_air", title, ("warm", "lukewarm", "cold"), AirWarms(elements),
            minutes=4.0, condition=ON_HEAT, touches=tuple(name for name, _, _ in elements),
        )  # fmt: skip
        running = unit.roles.compressors
        if running:
            title = mark("how does the air at a register feel, some minutes into cooling?")
            yield look_check(
                "cool_air", title, ("cool", mark("warm or like the room")),
                AirCools(elements, running), minutes=4.0, condition=ON_CALL,
                touches=(*(name for name, _, _ in elements), *running),
            )  # fmt: skip
    yield from _lighting(unit)


def _lighting(unit: Unit) -> Iterator[Check]:
    """What a furnace is seen to do on a call for heat, and what air it then gives."""
    burners = tuple((part.name, burner.burns) for part, burner in unit.having(Burner))
    for part, board in unit.having(Ignites):
        title = mark("how far does the furnace get within two minutes of a call for heat?")
        touches = (part.name, *(name for name, _ in burners))
        yield look_check(
            "sequence", title, LIGHTING, Lighting(part.name, board, burners),
            minutes=3.0, condition=ON_HEAT, touches=touches, cautions=(AT_THE_GAS,),
        )  # fmt: skip
        title = mark("how does the air at a register feel, three minutes after a call for heat?")
        warms = FlameWarms(part.name, board.proved, unit.roles.indoor_blowers)
        yield look_check(
            "warm_air", title, ("warm", "cold"), warms,
            minutes=4.0, condition=ON_HEAT, touches=(part.name,),
        )  # fmt: skip


AT_THE_GAS = Caution(
    "WARNING",
    mark(
        "gas: smell first; where it smells of gas switch nothing, shut the "
        "cock, air the room, leave. No guard is joined across. Licensed gas"
        " work where required."
    ),
)

_LINES = (LINE_COLD, LINE_HOT, mark(LINE_LIKE_AIR))
_COLD_LINES = (LINE_COLD, mark(LINE_LIKE_AIR), mark(LINE_FROSTED))


def _cold_lines(unit: Unit) -> Iterator[Check]:
    """How the gas comes back, of each circuit of a unit that only cools rooms.

    It costs a hand on the line, and is what a technician feels first of a unit that runs. That of
    a box is read on the gauge, cold as all is in it.
    """
    parts = [unit.kind_of(part.name) for part in unit.parts]
    if unit.having(Reverses) or any(mode.ices for kind in parts for mode in kind.modes):
        return
    compressors = unit.roles.compressors
    _, words, condition = _SEASONS[0]
    for name in compressors:
        title = say("how is the large line at the outdoor unit {words}?", words=words)
        if len(compressors) > 1:
            title = say(
                "how is the large line of the {part} {words}?",
                part=unit.part(name).title, words=words,
            )  # fmt: skip
        yield look_check(
            "line", title, _COLD_LINES, LargeLine("", name, "calling", _COLD_LINES),
            minutes=1.0, condition=condition, touches=(name, WHOLE),
        )  # fmt: skip


def _turned_round(unit: Unit) -> Iterator[Check]:
    """Which way the refrigerant goes, call by call, and the fan in a forced defrost."""
    melts = can_defrost(unit)
    for part, _ in unit.having(Reverses):
        for compressor in unit.roles.compressors_with(part.name)[:1]:
            for setting, words, condition in _SEASONS[: 3 if melts else 2]:
                title = say("how is the large line at the outdoor unit {words}?", words=words)
                choices = (*_LINES, mark(LINE_FROSTED)) if setting == "calling" else _LINES
                look = LargeLine(part.name, compressor, setting, choices)
                yield look_check(
                    "line", title, choices, look,
                    minutes=2.0, condition=condition,
                    touches=(part.name, compressor, WHOLE), cautions=(HOT_LINE,),
                )  # fmt: skip
    turns_round = melts and bool(unit.having(Reverses))
    for name in unit.roles.outdoor_fans if turns_round else ():
        title = say(
            "does the {title} stand still in a forced defrost?", title=unit.part(name).title
        )
        boards = tuple(part.name for part, _ in unit.having(Defrosts))
        yield look_check(
            "defrost", title, ("stands", "turns"), StandsInDefrost(name),
            minutes=4.0, condition=IN_DEFROST, touches=boards,
        )  # fmt: skip


_SEASONS: tuple[tuple[Live, str, str], ...] = (
    ("calling", mark("ten minutes into a call for cooling"), ON_CALL),
    ("heating", mark("ten minutes into a call for heat"), ON_HEAT),
    ("defrosting", mark("in a forced defrost"), IN_DEFROST),
)

HOT_LINE = Caution(
    "CAUTION", mark("touch with the back of the hand and briefly: the large line can burn.")
)


def _fans(unit: Unit) -> list[str]:
    """Every fan and blower, in file order."""
    fans = {*unit.roles.outdoor_fans, *unit.roles.indoor_blowers}
    return [part.name for part in unit.parts if part.name in fans]


def _plunger(unit: Unit, part: Part) -> Check:
    main = part.name == unit.roles.main_contactor
    title = say("is the {main} pulled in?", main=mark("contactor") if main else part.title)
    look = PlungerPosition(part.name)
    choices = ("yes", "no", "chattering")
    on = (part.name,)
    return look_check("plunger", title, choices, look, minutes=1.0, condition=ON_CALL, touches=on)


def _plungers(unit: Unit) -> Iterator[Check]:
    """Each contactor's by itself, and by ear whether all are quiet."""
    parts = [part for part, _ in unit.roles.made_as_contactors]
    for part in parts:
        yield _plunger(unit, part)
    if parts:
        names = tuple(part.name for part in parts)
        title = mark("with the thermostat calling, does a contactor buzz or chatter?")
        yield look_check(
            "quiet", title, ("quiet", mark("one buzzes or chatters")), AllQuiet(names),
            minutes=1.0, condition=ON_CALL, touches=names,
        )  # fmt: skip


def _by_touch(unit: Unit, fans: Iterable[Part]) -> Iterator[Check]:
    for part in fans:
        outdoors = part.place == "outdoor"
        asked = BLADE if outdoors else WHEEL
        title = say(asked, part=part.title)
        minutes = 1.0 if outdoors else 3.0
        look = TurnedByHand(part.name)
        on = (part.name,)
        yield look_check(
            "by_hand", title, ("free", "stuck"), look,
            minutes=minutes, condition=DEAD, touches=on,
        )  # fmt: skip
    for part, _ in unit.having(Motor):
        title = say("{part}: is the shell hot, the back of your hand an inch off?", part=part.title)
        minutes = 0.5 if part.place == "outdoor" else 2.0
        hot, on = HotShell(part.name), (part.name,)
        yield look_check(
            "shell", title, (mark("not hot"), "hot"), hot,
            minutes=minutes, touches=on, cautions=(HOT,),
        )  # fmt: skip


_MARK_MINUTES = {"outdoor": 1.0, "disconnect": 1.0, "panel": 3.0}
"""Minutes to look at a part of a place; 2 elsewhere (common practice, no source)."""


def _marks(unit: Unit) -> Iterator[Check]:
    for part, looks in unit.having(Looks):
        for seen in (each for each in looks.marks if not each.first):
            yield look_check(
                seen.thing,
                say("{part}: {question}", part=part.title, question=mark(seen.question)),
                seen.answers, _of_mark(part.name, seen),
                minutes=seen.minutes or _MARK_MINUTES.get(part.place, 2.0), touches=(part.name,),
                condition=ON_CALL if seen.pulled or seen.held else LOOKING,
                cautions=seen.warnings, instrument=seen.instrument or EYES,
            )  # fmt: skip
    for name in dict.fromkeys(_swapped_parts(unit)):
        yield _wires_as_drawn(unit, name)


def _of_mark(part: str, seen: Look) -> Pulls | DeviceOpen | Mark:
    """What shows the mark: a state of the part on a call, or the fault that carries its sign."""
    if seen.pulled:
        return Pulls(part, seen.pulled, seen.sign)
    return DeviceOpen(part, seen.held) if seen.held else Mark(seen.sign, frozenset({part}))


def _swapped_parts(unit: Unit) -> Iterator[str]:
    """Parts on whose terminals wires get mixed up."""
    for first, second, *_ in swaps(unit):
        yield from _parts_of((first, second))


def _wires_as_drawn(unit: Unit, part: str) -> Check:
    wires = [w.name for w in unit.wires if part in _parts_of((w.start, w.end))]
    on = (part, *wires)
    title = say("{title}: do its wires match the diagram?", title=unit.part(part).title)
    look = Mark("wrong_place", frozenset(on))
    choices = ("match", "differ")
    return look_check("wires", title, choices, look, minutes=3.0, touches=on)


_JOINT_MINUTES = {"outdoor": 4.0, "disconnect": 2.0, "indoor": 5.0, "panel": 6.0, "room": 3.0}
"""Minutes to look at and tug every joint of a place (common practice, no source)."""

_ON_THE_WAY = {"outdoor": ("outdoor", "disconnect")}
"""What is at hand once a place is dead: whoever pulled the disconnect holds its clips."""


def _joints(unit: Unit) -> Iterator[Check]:
    """One look over all joints and contacts of a place, as it is done once the panel is off."""
    for place, minutes in _JOINT_MINUTES.items():
        at_hand = _ON_THE_WAY.get(place, (place,))
        shares = {}
        for wire in filter(is_field_wire, unit.wires):
            ends = [unit.part(part).place for part in _parts_of((wire.start, wire.end))]
            share = sum(end in at_hand for end in ends) / len(ends)
            if share:
                shares[wire.name] = share
        parts = [part.name for part in unit.parts if part.place in at_hand and _browns(unit, part)]
        if shares:
            title = say(_SCORCHED[place in _ON_THE_WAY], place=place_words(place))
            signs = {**dict.fromkeys(shares, "browned"), **dict.fromkeys(parts, "burnt")}
            look = WhichSpot(signs, {**shares, **dict.fromkeys(parts, 1.0)}, place)
            yield look_check(
                "joints", title, ("none", *signs), look,
                minutes=minutes, condition=DEAD, touches=tuple(signs),
            )  # fmt: skip


_SCORCHED = (
    mark("{place}: which connection or contact is scorched, or loose when tugged?"),
    mark("{place} and disconnect: which connection or contact is scorched, or loose when tugged?"),
)


def _browns(unit: Unit, part: Part) -> bool:
    """Whether its kind is looked at for burnt contacts."""
    looks = unit.kind_of(part.name).facet(Looks)
    return looks is not None and any(each.thing == "burnt" for each in looks.marks)


def _rubbed(unit: Unit) -> Iterator[Check]:
    """One look along all wires that can rub through to metal."""
    wires = [wire.name for wire in unit.wires if wire_weight(unit, wire, RUBBED) > 0.0]
    if wires:
        look = WhichSpot(dict.fromkeys(wires, "rubbed"), dict.fromkeys(wires, 1.0))
        title = mark("which wire is rubbed through, chewed or pinched at an edge?")
        yield look_check(
            "rubbed", title, ("none", *wires), look, minutes=4.0, condition=DEAD,
            touches=tuple(wires),
        )  # fmt: skip


def _parts_of(terminals: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(part_of(terminal) for terminal in terminals))
