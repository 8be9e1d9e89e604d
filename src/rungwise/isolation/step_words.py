"""What the steps of a plan say: each step's words from its typed readings."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from rungwise.isolation.discharge import EMPTY_VOLT, TOUCH_VOLT
from rungwise.isolation.readings import Group
from rungwise.isolation.shape import KNOWN_SOURCE, Failed, Reading
from rungwise.isolation.stored_energy import StoredCharge
from rungwise.isolation.wording import (
    list_words,
    pair_words,
    point_words,
    points_words,
    volts_words,
)
from rungwise.parts import EARTH, LIVE_VOLT, end_mark, part_of, terminal_of
from rungwise.quantity import format_quantity
from rungwise.unit import Unit
from rungwise.wording import capital, joined, mark, say

GROUND = mark("ground")
_BELOW = mark("below {limit} V {current}")


def group_words(unit: Unit, group: Group) -> tuple[str, ...]:
    """What is read where, and what is read only before it is touched."""
    told = readings_words(unit, group.always) if group.always else ()
    if group.if_touched:
        ends = points_words(unit, [reading.red for reading in group.if_touched])
        return (*told, say("To ground before you touch it: {ends}.", ends=ends))
    return told


def readings_words(
    unit: Unit, readings: Sequence[Reading], ground: str = GROUND
) -> tuple[str, ...]:
    """Terminals to ground by part, then those that are read to each other."""
    grounded = [reading.red for reading in readings if reading.black == EARTH]
    pairs = [reading for reading in readings if reading.black != EARTH]
    told = []
    if grounded:
        points = points_words(unit, grounded)
        told.append(say("To {ground}: {points}.", ground=ground, points=points))
    if pairs:
        told.append(say("To each other: {pairs}.", pairs=_pairs(unit, pairs)))
    return tuple(told)


def _pairs(unit: Unit, readings: Iterable[Reading]) -> str:
    """Pairs by what hangs together; every two of three or more terminals in one phrase."""
    told = []
    for some in _together(readings):
        ends = list(dict.fromkeys(end for each in some for end in (each.red, each.black)))
        every = len(ends) > 2 and len(some) == len(ends) * (len(ends) - 1) // 2
        if every and len({part_of(end) for end in ends}) == 1:
            told.append(say("{points}, every two", points=points_words(unit, ends)))
        else:
            told += [pair_words(unit, (each.red, each.black)) for each in some]
    return joined("; ", told)


def _together(readings: Iterable[Reading]) -> list[list[Reading]]:
    """Readings grouped so that no two groups share a terminal."""
    groups: list[tuple[set[str], list[Reading]]] = []
    for reading in readings:
        ends, some = {reading.red, reading.black}, [reading]
        for group in [each for each in groups if each[0] & ends]:
            groups.remove(group)
            ends, some = ends | group[0], [*group[1], *some]
        groups.append((ends, some))
    return [some for _, some in groups]


def dead_words(readings: Sequence[Reading]) -> str:
    """What dead readings must be."""
    limits = sorted({reading.below_v for reading in readings})
    below = mark("every one below {limit} V {current}") if len(readings) > 1 else _BELOW
    told = say(below, limit=f"{limits[0]:.0f}", current=readings[0].current)
    if limits[-1] >= LIVE_VOLT and len(limits) > 1:
        told = say(
            "{told}; control terminals may show the 24 V of a demand, never {limits} V",
            told=told,
            limits=f"{limits[-1]:.0f}",
        )
    elif len(limits) > 1:
        told = say(
            "{told}; control terminals below {limits} V", told=told, limits=f"{limits[-1]:.0f}"
        )
    return told


def source_words(unit: Unit, readings: Sequence[Reading]) -> tuple[str, ...]:
    """On what a meter is proved; nothing where that is brought along."""
    return () if readings[0].red == KNOWN_SOURCE else readings_words(unit, readings)


def live_words(readings: Sequence[Reading]) -> str:
    """What a proof of the meter must read."""
    if readings[0].red == KNOWN_SOURCE:
        return mark("its known volts")
    grounded = _volts_told(r.about_v for r in readings if r.black == EARTH)
    between = _volts_told(r.about_v for r in readings if r.black != EARTH)
    told = say("about {things} to ground", things=list_words(grounded, "or"))
    return (
        say(
            "{told}, about {things} to each other",
            told=told,
            things=list_words(between, "or"),
        )
        if between
        else told
    )


def _volts_told(volts: Iterable[float]) -> list[str]:
    """Each once, the lowest first."""
    return list(dict.fromkeys(map(volts_words, sorted(volts))))


def proof_words(readings: Sequence[Reading], verb: str) -> str:
    """How the meter is proved."""
    if readings[0].red == KNOWN_SOURCE:
        return say(
            "{verb}, low-impedance AC volts, on a source that you know is live:"
            " an outlet or a proving unit.",
            verb=verb,
        )
    return say("{verb}, low-impedance AC volts, on the line side, which is still live.", verb=verb)


def means_words(
    unit: Unit,
    titles: dict[str, str],
    readings: Sequence[Reading],
    volt: Callable[[str, str], float],
) -> str:
    """What a live reading among these means, by the failure that it shows; whole ones once.

    volt: between two points with every device closed. A grounded leg has none to ground, and is
    told by what it has to another.
    """
    where: dict[Failed, list[Reading]] = {}
    behind = {reading.red for reading in readings if reading.black == EARTH}
    for reading in readings:
        grounded = reading.black not in {EARTH, *behind} and not volt(reading.red, EARTH)
        if reading.black == EARTH or grounded:
            for failed in reading.shows if volt(reading.red, reading.black) else ():
                where.setdefault(failed, []).append(reading)
    told = []
    for failed, shown in where.items():
        if not failed.whole or len(failed.poles) == 1:
            about = volts_words(volt(shown[0].red, shown[0].black))
            at = list_words([_point_or_pair(unit, each) for each in shown])
            told.append(
                say(
                    "about {about} on {at}: {failed_words}",
                    about=about,
                    at=at,
                    failed_words=failed_words(titles, failed),
                )
            )
    return capital(joined("; ", told))


def _point_or_pair(unit: Unit, reading: Reading) -> str:
    one = point_words(unit, reading.red)
    return (
        one
        if reading.black == EARTH
        else say("{one} to {other}", one=one, other=point_words(unit, reading.black))
    )


def failed_words(titles: dict[str, str], failed: Failed) -> str:
    """A failure in words."""
    if failed.whole:
        return say("the {titles} does not open", titles=titles[failed.device])
    return say(
        "pole {poles} of the {titles} stays closed",
        poles=failed.poles[0],
        titles=titles[failed.device],
    )


def volts_of_charges(charges: Sequence[StoredCharge]) -> str:
    """How much each section may hold, and why so much."""
    told = []
    for charge in charges:
        ends = joined("-", [end_mark(terminal_of(end)) for end in charge.terminals])
        told.append(
            say(
                "{charge}, {ends}: up to {peak_v} V and {stored_j} J",
                charge=charge.title,
                ends=ends,
                peak_v=f"{charge.peak_v:.0f}",
                stored_j=f"{charge.stored_j:.1f}",
            )
        )
    return joined("; ", told)


def discharge_words(charges: Sequence[StoredCharge]) -> str:
    """How every capacitor is emptied, with the seconds of each."""
    told = []
    for charge in charges:
        part = charge.title
        ends = joined("-", [end_mark(terminal_of(end)) for end in charge.terminals])
        told.append(
            say(
                "{part}, {ends}: {ceil} s (from {peak_v} V below {touch_volt} V "
                "after {to_touch_s} s, below {empty_volt} V after {to_empty_s} s)",
                part=part,
                ends=ends,
                ceil=math.ceil(charge.bleed.to_empty_s),
                peak_v=f"{charge.peak_v:.0f}",
                touch_volt=f"{TOUCH_VOLT:.0f}",
                to_touch_s=f"{charge.bleed.to_touch_s:.1f}",
                empty_volt=f"{EMPTY_VOLT:.0f}",
                to_empty_s=f"{charge.bleed.to_empty_s:.1f}",
            )
        )
    strongest = max((charge.bleed.resistor for charge in charges), key=lambda r: r.rated_w)
    tool = say(
        "{ohms}, {watts} W resistor",
        ohms=format_quantity(strongest.resistance_ohm, "Ω"),
        watts=f"{strongest.rated_w:.0f}",
    )
    return say(
        "Discharge through a {tool} on insulated leads, held on for at "
        "least: {things}. Then for as long again between every other two of"
        " its terminals, and from each to a metal can. Never with a "
        "screwdriver.",
        tool=tool,
        things=joined("; ", told),
    )


NO_PROOF: str = mark(
    "Anything else: the meter, a lead or the ground point fails, or "
    "that leg is dead already. No reading of this place counts, and a "
    "leg that was dead before proves no device"
)
