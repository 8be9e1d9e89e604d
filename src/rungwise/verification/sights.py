"""What a proof has to have seen before it says that the unit does its work, and what it did not.

A fixed list, made of what the unit has: the start and the stop, volts under load, amps of both
motors, microfarads of each section, the drop across the contacts, the heater, and the cooling.
Whatever was repaired, a second fault left in is found by these. A few more are asked for on the
way, where a minute finds what those cannot; without them the proof says that they were not
measured.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from rungwise.diagnosis import (
    HEAT_SIGNALS,
    IN_DEFROST,
    ON_HEAT,
    WARMS_ON,
    CheckCard,
    Word,
    coil_names,
    coil_volts_id,
    id_of,
    look_id,
)
from rungwise.parts import Capacitor, Coil, Defrosts, Heater, Motor, Poles, Reverses
from rungwise.unit import Part, Unit
from rungwise.verification.masked_faults import Hidden
from rungwise.wording import mark, say

RUNS_ON = look_id("idle")
WAYS_ALONG: tuple[Word, ...] = ("drop", "wire")
"""The look at the outdoor unit as the thermostat is turned off."""

JOINTS_AT = {"outdoor": "outdoors", "disconnect": mark("at the disconnect"), "indoor": "indoors"}


@dataclass(frozen=True, slots=True)
class Sight:
    """One thing to have seen.

    checks: ids, any of which shows it, or all of them together by `every`. needed: whether it
    belongs to the list. core: whether nothing at all is proved without it, even where it cannot
    be reached. asked: whether it is asked for, needed or not. apart: whether one of its checks
    says nothing about another.
    """

    name: str
    checks: tuple[str, ...] = ()
    needed: bool = True
    core: bool = False
    asked: bool = True
    every: bool = False
    apart: bool = False

    def seen_by(self, taken: Collection[str]) -> bool:
        """Whether these checks show it."""
        shown = [each in taken for each in self.checks]
        return all(shown) if self.every else any(shown)


@dataclass(frozen=True, slots=True)
class Unseen:
    """A sight that was not had. why: "" where it is still to come, else why it cannot be had."""

    sight: Sight
    why: str = ""

    @property
    def withholds(self) -> bool:
        """Whether the proof waits for it."""
        return self.sight.needed and (not self.why or self.sight.core)

    @property
    def text(self) -> str:
        """In words."""
        return f"{self.sight.name} ({self.why})" if self.why else self.sight.name


COOLING = Sight(mark("air split or charge with the outdoor air"))
CHARGE = Sight(mark("refrigerant charge"), needed=False, asked=False)


def sights_of(unit: Unit, known: Collection[str]) -> tuple[Sight, ...]:
    """What the circuit of a unit has to show. known: ids of the checks that there are."""
    found = (
        replace(each, checks=tuple(it for it in each.checks if it in known))
        for each in _sights(unit)
    )
    return tuple(each for each in found if each.checks)


def at_the_start(card: CheckCard) -> bool:
    """Whether anyone sees or hears it at the start and at the stop; no proof without it."""
    return card.thing in ("turns", "sound") or card.id == RUNS_ON


def outdoor_looks(unit: Unit) -> dict[str, str]:
    """The looks at what turns outdoors, by id, each with what is seen where it runs."""
    compressors = {look_id(name): "running" for name in unit.roles.compressors}
    return compressors | {look_id(name): "turning" for name in unit.roles.outdoor_fans}


def unseen_of(
    sights: Collection[Sight], taken: Collection[str], out_of_reach: Collection[str] = ()
) -> tuple[Unseen, ...]:
    """Those that the checks taken do not show. out_of_reach: ids of what cannot be made."""
    left = [each for each in sights if not each.seen_by(taken)]
    return tuple(
        Unseen(each, mark("could not be reached") if set(each.checks) <= set(out_of_reach) else "")
        for each in left
    )


def _sights(unit: Unit) -> Iterator[Sight]:
    roles = unit.roles
    turning = {mark("compressor"): roles.compressors, mark("fan"): roles.outdoor_fans,
               mark("blower"): roles.indoor_blowers}  # fmt: skip
    for what, names in turning.items():
        for name in names:
            title = what if len(names) == 1 else unit.part(name).title
            yield Sight(say("{title}'s start", title=title), (look_id(name),), core=True)
    yield Sight(mark("stop"), (RUNS_ON,), core=True)
    for name in roles.indoor_blowers:
        title = mark("blower") if len(roles.indoor_blowers) == 1 else unit.part(name).title
        yield Sight(say("{title}'s stop", title=title), (look_id(name, "idle"),), needed=False)
    yield from _on_heat(unit)
    for place, where in JOINTS_AT.items():
        yield Sight(
            say("a look at the joints {where}", where=where),
            (look_id("joints", place),),
            needed=False,
        )
    for part, poles in line_contactors(unit):
        yield from _contactor(unit, part, poles)
    for part in unit.parts:
        yield from _of_part(unit, part)
    yield from _told(unit)


def _on_heat(unit: Unit) -> Iterator[Sight]:
    """What a unit that heats shows on a call for heat, and in a defrost it is forced to.

    Which way the refrigerant goes is felt at the large line, once each way.
    """
    for name in unit.roles.indoor_blowers:
        yield Sight(say("{title}'s start on a call for heat", title=unit.part(name).title),
                    (look_id(name, "heat"),))  # fmt: skip
    yield Sight(
        mark("warm air at a register on a call for heat"), (look_id("warm-air"),), needed=False
    )
    for part, _ in unit.having(Reverses):
        for before, call in (((), "cooling"), (("heat",), "heat")):
            line = (look_id(*before, part.name, "line"),)
            yield Sight(say("the large line on a call for {call}", call=call), line)
        for name in unit.roles.outdoor_fans:
            stands = (look_id("defrost", name), look_id("defrost", part.name, "line"))
            yield Sight(
                say("a forced defrost, by the {title}", title=unit.part(name).title),
                stands,
                apart=True,
            )
    for part, _ in unit.having(Defrosts):
        heat = tuple(
            id_of("volts", part.name, signal, "C", setting="defrosting") for signal in HEAT_SIGNALS
        )
        title = say("the heat that the {part} asks for in a defrost", part=part.title)
        yield Sight(title, heat, needed=False)


def _told(unit: Unit) -> Iterator[Sight]:
    """What nobody asks for, and what the proof says was not measured."""
    pairs = [it for each in unit.cables for it in combinations(each.wires, 2)]
    found = {
        say("insulation of the {p} by megohms", p=p.title): [id_of("insulation", p.name)]
        for p, _ in unit.having(Motor)
    }
    found |= {
        mark("drop or ohms along each wire"): [
            id_of(way, wire.name) for way in WAYS_ALONG for wire in unit.wires
        ],
        mark("ohms from wire to wire of the cables"): [id_of("pair", *pair) for pair in pairs],
    }
    for name, checks in found.items():
        yield Sight(name, tuple(checks), needed=False, asked=False, every=True, apart=True)


def own_sights(
    unit: Unit, cards: Collection[CheckCard], hidden: Collection[Hidden]
) -> Iterator[Sight]:
    """What shows directly that each part or wire that was repaired now does its work.

    cards: of every check there is. hidden: what may hide behind the repair.
    """
    blocks: dict[str, frozenset[str]] = {}
    for each in hidden:
        if each.why == "recurs":
            told = blocks.get(each.suspect.block, frozenset())
            blocks[each.suspect.block] = told | each.suspect.shown_by
    titles = {part.name: part.title for part in unit.parts}
    titles |= {wire.name: unit.wire_title(wire) for wire in unit.wires}
    for block, shown_by in blocks.items():
        shown = [it for it in cards if block in it.touches and it.quantity in shown_by]
        had: set[tuple[str, ...]] = set()
        for call, core in _CALLS_OF_ITS_OWN.items():
            shows = tuple(it.id for it in shown if call in ("", it.condition))
            if shows and shows not in had:
                had.add(shows)
                when = _WHEN.get(call, "")
                name = say(
                    "own reading of the {get}, which was repaired{when}",
                    get=titles.get(block, block),
                    when=when,
                )
                yield Sight(name, shows, core=core, apart=True)


_CALLS_OF_ITS_OWN = {"": True, ON_HEAT: True, IN_DEFROST: False}
"""Whatever shows the repaired part; what works on a call for heat is seen on one, and in a defrost
what works in one. A day may be too warm to force a defrost: the rest is proved without it."""

_WHEN = {ON_HEAT: mark(", on a call for heat"), IN_DEFROST: mark(", in a forced defrost")}


def line_contactors(unit: Unit) -> Iterator[tuple[Part, Poles]]:
    """The contactors of a unit's motors outdoors, each with its poles."""
    for part, poles in unit.having(Poles):
        if part.name in unit.roles.contactors:
            yield part, poles


def _contactor(unit: Unit, part: Part, poles: Poles) -> Iterator[Sight]:
    name, title = part.name, part.title
    ends = poles.ends
    ground = (id_of("ohms", name, ends[0][1], "earth"),)
    yield Sight(say("ground of all behind the {title}", title=title), ground, needed=False)
    across = [(one[side], two[side]) for side in (0, 1) for one, two in combinations(ends, 2)]
    loaded = tuple(id_of("volts", name, a, b) for a, b in across)
    yield Sight(say("volts under load at the {title}", title=title), loaded)
    idle = tuple(
        id_of("volts", name, a, b, setting="standby") for a, b in across[: len(across) // 2]
    )
    yield Sight(say("volts at rest at the {title}", title=title), idle, needed=False)
    coil = coil_names(unit, part)
    of = "" if len(coil) == 1 else say(" of the {title}", title=title)
    yield Sight(say("volts on the coil{of}", of=of), (coil_volts_id(unit, part),), needed=False)
    for number, pole in enumerate(poles.poles, start=1):
        drop = (id_of("drop", name, pole.line, pole.load),)
        yield Sight(
            say("drop across contact {number} of the {title}", number=number, title=title), drop
        )


def _of_part(unit: Unit, part: Part) -> Iterator[Sight]:
    name, kind = part.name, unit.kind_of(part.name)
    motor, heater, coil = kind.facet(Motor), kind.facet(Heater), kind.facet(Coil)
    if motor is not None and part.place == "outdoor":
        lead = unit.wires_at(f"{name}.{motor.common}")[:1]
        yield Sight(
            say("amps of the {part}", part=part.title),
            tuple(id_of("amps", wire.name) for wire, _ in lead),
        )
    capacitor = kind.facet(Capacitor)
    for section in capacitor.sections if capacitor is not None else ():
        terminal, other = section.ends
        named = f" {terminal}" if capacitor is not None and len(capacitor.sections) > 1 else ""
        checks = (id_of("loaduf", name, terminal), id_of("uf", name, terminal, other))
        outdoors = part.place == "outdoor" and section.purpose == "run"
        yield Sight(
            say("microfarads of the {part}{named}", part=part.title, named=named),
            checks,
            needed=outdoors,
        )
    poles = kind.facet(Poles)
    if coil is not None and coil.duty == "starting":
        for pole in poles.poles if poles is not None else ():
            rest = (id_of("ohms", name, pole.line, pole.load),)
            yield Sight(say("contact of the {part} at rest", part=part.title), rest, needed=False)
    if heater is not None:
        yield from _heater(unit, part, heater)


def _heater(unit: Unit, part: Part, heater: Heater) -> Iterator[Sight]:
    """Its amps at rest; where a thermostat may hold it off, its ohms, and amps as the day allows.

    What leaks on the line side of an open contactor does not show behind it.
    """
    name, (one, other) = part.name, heater.ends
    warm = WARMS_ON[heater.warms]
    feeds = [wire.name for wire, _ in unit.wires_at(f"{name}.{one}")]
    amps = tuple(id_of("amps", wire, setting=warm) for wire in feeds)
    if heater.warms == "air":
        yield Sight(say("amps of the {part}, called for heat", part=part.title), amps)
    elif heater.warms == "ice":
        yield Sight(say("amps of the {part} in a defrost", part=part.title), amps)
    elif unit.roles.opening_on("warmth"):
        yield Sight(say("ohms of the {part}", part=part.title), (id_of("ohms", name, one, other),))
        yield Sight(
            say("ground of the {part}", part=part.title), (id_of("insulation", name),), needed=False
        )
        yield Sight(
            say("the {part} at work on a cold day", part=part.title),
            amps,
            needed=False,
            asked=False,
        )
    else:
        yield Sight(say("amps of the {part}, thermostat off", part=part.title), amps)
