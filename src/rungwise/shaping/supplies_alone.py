"""A unit that is like none that Rungwise knows: what is then still known, and what is not.

No model stands behind its loads, so nothing is found or proved. Its supplies can be told, and are
a circuit like any other: which device cuts which lead off, and what the leads must read, comes
from that circuit solved. The checks are those that hold for any part of a sort.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from rungwise.circuit import Condition, Plan, solve
from rungwise.errors import BadInput, UnknownName
from rungwise.files import Document
from rungwise.isolation import SupplyWay, point_words, supply_ways, volts_words
from rungwise.parts import (
    CAPACITOR,
    CONTACT_DROP,
    EARTH,
    INSULATION,
    LIVE_VOLT,
    R_TO_C_V,
    SUPPLY_SHARE,
    Junction,
)
from rungwise.unit import Unit, unit_from
from rungwise.wording import joined, mark, named, say

SUPPLIES = {
    "240": ("lead_240", mark("240 V, two hot wires from a disconnect")),
    "120": ("lead_120", mark("120 V, one hot wire and a neutral")),
    "24": ("lead_24", mark("24 V from another cabinet")),
}
"""What may come into the cabinet: its block of a unit, and its words."""

UNKNOWN = (
    mark("which demand runs which load, and how long silence is right"),
    mark("which contact cuts off what: an open contactor may leave one side of a load live"),
    mark("what stores a charge, and how long electronics keep theirs"),
    mark("which readings are good on its own boards and motors: its label and maker tell"),
    mark("whether anything else feeds it"),
)
"""What no answer about such a unit knows."""


@dataclass(frozen=True, slots=True)
class GenericCheck:
    """A check that holds for any part of its sort. power: "off" or "on"."""

    power: str
    title: str
    reads: str


@dataclass(frozen=True, slots=True)
class LeadVolts:
    """What stands between two leads of the cabinet, solved from the supplies, power on."""

    points: str
    volt: float


@dataclass(frozen=True)
class Unlike:
    """What can be said of a cabinet by its supplies alone.

    Attributes:
        ways: what each device cuts off, the one at the cabinet first.
        leads: what the leads read with power on; 0 after every device is open.
        steps: how it is made dead, in order; none of it says that nothing else feeds it.
        checks: what may be checked on any unit.
        unknown: what Rungwise does not know of it.
    """

    unit: Unit
    ways: tuple[SupplyWay, ...]
    leads: tuple[LeadVolts, ...]
    steps: tuple[str, ...]
    checks: tuple[GenericCheck, ...]
    unknown: tuple[str, ...] = UNKNOWN


def unlike(supplies: Collection[str]) -> Unlike:
    """What holds for a cabinet that these supplies feed (keys of `SUPPLIES`).

    Raises UnknownName for another one, BadInput for none: a lock-out needs every source by name.
    """
    if not supplies:
        raise BadInput(
            what=mark("It is not said what feeds the cabinet."),
            allowed=", ".join(SUPPLIES),
            next_step=mark("name every supply: follow each cable that comes in to where it starts"),
        )
    for name in supplies:
        if name not in SUPPLIES:
            raise UnknownName(what=mark("No such supply is known."), name=name, known=SUPPLIES)
    told = [key for key in SUPPLIES if key in supplies]
    unit = _leads_of(told)
    ways = tuple(each for each in supply_ways(unit) if _within_reach(unit, each))
    # Of two supplies nobody knows which legs they are on, so each is solved by itself.
    leads = tuple(lead for key in told for lead in _lead_volts(_leads_of([key])))
    return Unlike(unit, ways, leads, tuple(_steps(ways, leads)), tuple(_checks(leads)))


def _leads_of(supplies: Sequence[str]) -> Unit:
    blocks = ", ".join(f'"{SUPPLIES[each][0]}"' for each in supplies)
    title = "a cabinet of which only the supplies are known"
    text = f'title = "{title}"\nblocks = ["house_panel", {blocks}]\n'
    return unit_from(Document(text, file="the supplies"), name="unlike")


def _within_reach(unit: Unit, way: SupplyWay) -> bool:
    """Whether a device cuts off anything in the cabinet."""
    leads = {part.title for part in unit.parts if part.place == "outdoor"}
    return bool(leads & {*way.parts, *way.more})


def _lead_volts(unit: Unit) -> Iterator[LeadVolts]:
    """Volts of each two leads, and to ground of those that line volts reach, solved."""
    solution = solve(Plan(unit), Condition(mark("power on"), "off"))
    ends = [f"{part.name}.1" for part, _ in unit.having(Junction) if part.place == "outdoor"]
    for one, other in [*((end, EARTH) for end in ends), *combinations(ends, 2)]:
        volt = float(np.abs(solution.volt(one, other))[0])
        if other == EARTH and 1.0 < volt < LIVE_VOLT:
            continue  # a floating circuit shows any volts to ground
        points = say("{start} to {end}", start=point_words(unit, one), end=point_words(unit, other))
        yield LeadVolts(points, volt)


def _steps(ways: Sequence[SupplyWay], leads: Sequence[LeadVolts]) -> Iterator[str]:
    yield mark("Turn the thermostat or control off, and wait until it has run down.")
    for way in sorted(ways, key=lambda each: each.place == "panel"):
        off = joined("; ", [named(each) for each in way.parts])
        poles = mark("one pole") if way.poles == 1 else say("{count} poles", count=way.poles)
        yield say(
            "Open and lock the {title} ({poles}). It alone cuts off: {off}.",
            title=way.title,
            poles=poles,
            off=off,
        )
    known = max((each.volt for each in leads), default=0.0)
    yield say(
        "Prove the meter on a live source of about {volts_words}.", volts_words=volts_words(known)
    )
    yield (
        say(
            "Measure every lead and exposed terminal to ground, and each to every other "
            "one, also where no supply is thought to be. Any reading over {volts_words}, "
            "or any that does not fall away: another source. Keep out and find it.",
            volts_words=volts_words(LIVE_VOLT),
        )
    )
    yield mark("Call for every demand that the control has, and measure the same points again.")
    yield mark("Prove the meter on the live source once more. If it fails, no reading counts.")
    yield (
        mark(
            "Treat every capacitor and every board or motor with electronics as charged: wait as "
            "long as its label says, then measure across its terminals."
        )
    )


def _checks(leads: Sequence[LeadVolts]) -> Iterator[GenericCheck]:
    """Dead first; every figure from the limits that Rungwise holds any part to."""
    yield GenericCheck(
        "off",
        mark("Look: burnt ends, swollen cans, oil, water, blocked coil or filter"),
        mark("what is seen is repaired first"),
    )
    yield GenericCheck(
        "off", mark("Fuses and breakers, end to end"), mark("closed: near 0 Ω; OL is open")
    )
    yield GenericCheck("off", mark("Each capacitor, its leads off"), CAPACITOR.sentence)
    yield GenericCheck(
        "off",
        mark("Each motor winding, and each coil, its leads off"),
        mark("OL is open; near 0 Ω is shorted; else compare with its label"),
    )
    yield GenericCheck(
        "off",
        mark("Each load to ground, at 500 V DC where its maker allows it"),
        INSULATION.sentence,
    )
    low, high = SUPPLY_SHARE
    for each in leads:
        if each.volt > LIVE_VOLT:
            told = say(
                "{low} to {high}",
                low=volts_words(low * each.volt),
                high=volts_words(high * each.volt),
            )
            yield GenericCheck("on", say("Volts, {points}", points=each.points), told)
    if any(0.0 < each.volt < LIVE_VOLT for each in leads):
        told = say("{low} to {high}", low=volts_words(R_TO_C_V[0]), high=volts_words(R_TO_C_V[1]))
        yield GenericCheck("on", mark("24 V at its two leads"), told)
    yield GenericCheck(
        "on", mark("Across each contact that should be closed"), CONTACT_DROP.sentence
    )
    yield GenericCheck(
        "on", mark("Amps of each motor"), mark("at or below the figure on its own nameplate")
    )
