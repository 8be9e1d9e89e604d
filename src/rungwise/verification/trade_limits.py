"""The trade's limits of a unit's checks, each by the check's id: what `good_band` is made of."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import combinations

import numpy as np

from rungwise.diagnosis import WARMS_ON, coil_names, coil_volts_id, id_of
from rungwise.parts import (
    CAPACITOR,
    COIL_OHM,
    CONTACT_DROP,
    INSULATION,
    KINDS,
    LOCKED_AMPS_SHARE,
    NEUTRAL_TO_GROUND,
    PLATE_SHARE_LOW,
    PRACTICE,
    R_TO_C_LEAST_V,
    R_TO_C_V,
    WIRE_DROP,
    Capacitor,
    Heater,
    Junction,
    Limit,
    Motor,
    Poles,
    Transformer,
    copper_ohm,
    typical_share_of_plate,
)
from rungwise.quantity import format_quantity
from rungwise.unit import Part, Unit, Wire, supply_range_v
from rungwise.verification import limits
from rungwise.verification.good_band import GoodBand, rounded_out
from rungwise.verification.start_story import SECONDS, seconds_band
from rungwise.wording import measured, say

TradeBands = Mapping[str, GoodBand]


NO_LOAD = ("bond", "bus")
"""What carries nothing that a joint could drop, or has no joint of its own."""

ABOVE_PLATE = 1.10
"""Over the plate by more than this share stops the proof (common practice, no source)."""

FAN_SHARE = (0.70, 1.05)
"""What an outdoor fan usually takes of its FLA (common practice, no source)."""

GROUND_OHM, GROUND_LEAST_OHM = 2e6, 5e5
"""Ohms to the cabinet by an ordinary ohmmeter: good from the first, stopped under the second
(common practice, no source)."""

MOST_OVER_MARK = 1.20
"""Microfarads this far over the mark are another can's (common practice, no source)."""

ANY_US_SUPPLY_V = (197.0, 253.0)
"""Single-phase supply of a unit whose plate nobody read (ANSI C84.1, from memory)."""

AT_THE_LIMIT_V = 1.0
"""Nearer than this to the end of the plate's range is told, and does not stop the proof."""

START_SHARE, START_STOPS_SHARE = 0.85, 0.70
"""Volts as it starts over the least volts running: below the first the supply is looked at, below
the second it stops the proof (common practice, no source)."""

IDLING_SHARE = 0.30
"""A motor that takes less of its plate does not run, or drives nothing (common practice)."""

COIL_HOLDS, COIL_MOST = 0.85, 1.20
"""Volts on a coil over its rating: IEC 60947-4-1 8.2.1.2, and an unloaded transformer's top."""

COIL_SHORTED_OHM, COIL_NEARLY_OPEN_OHM = 5.0, 40.0
R_TO_C_MOST_V = 32.0
HEATER_SHARE, HEATER_STOPS = (0.75, 1.25), (0.6, 1.5)
"""Amps over watts by volts: 208 V on a heater of 240 V takes 87%, and the element is made to
10%; beyond the second it is open, shorted or another's (common practice, no source)."""

HEATER_INSULATION = Limit(
    2.0, 0.5, "MΩ",
    "A heater's insulation has no upper limit; under 2 MΩ watch it, under 0.5 MΩ it is changed.",
    PRACTICE,
)  # fmt: skip
"""Megohms from a crankcase heater to the frame: its oxide draws moisture, and dries as it heats
(common practice, no source)."""


def trade_bands(
    unit: Unit, outdoor_c: float | None = None, *, timed: bool = True
) -> dict[str, GoodBand]:
    """By check id. outdoor_c: air at the outdoor coil, None where it was not told.

    timed: whether the seconds to the start are worked out, which takes half a second. What rests
    on a label has a band only where the unit file tells the label.
    """
    found: dict[str, GoodBand] = {}
    for part in unit.parts:
        found |= dict(_of_part(unit, part, outdoor_c))
    found |= dict(_insulation(unit))
    for part, junction in unit.having(Junction):
        if junction.carries == "neutral":
            found[id_of("volts", part.name, "earth")] = _most(NEUTRAL_TO_GROUND)
    seconds = seconds_band(unit) if timed else None
    if seconds is not None:
        low, high = max(seconds[0], 0.0), seconds[1]
        text = say("{low} to {high}", low=f"{low:.0f}", high=f"{high:.0f} s")
        found[SECONDS] = GoodBand(low, high, low, high, text, PRACTICE)
    return found


def coil_volt_of(part: Part) -> float:
    """Rated volts of a coil, the kind's own where the unit file does not say."""
    return part.number("coil_volt")


def judged_wires(unit: Unit) -> tuple[Wire, ...]:
    """The wires of which a drop is judged."""
    return tuple(wire for wire in unit.wires if wire.carries not in NO_LOAD)


def copper_drop_v(wire: Wire, amp: float) -> float:
    """Volts that the wire's own copper takes, warm as in a cabinet; its joints come on top."""
    told = {"length_m": np.asarray(wire.length_m), "awg": np.asarray(wire.awg)}
    return float(limits.WARM_COPPER * copper_ohm(told)) * amp


def wire_band(wire: Wire, amp: float) -> GoodBand:
    """The drop along a wire with its two joints, at the amps that it carries."""
    own = copper_drop_v(wire, amp)
    good, most = WIRE_DROP.watch + own, WIRE_DROP.change + own
    text = say("under {value}", value=format_quantity(rounded_out(good, 0.01, up=True), "V"))
    return GoodBand(-math.inf, good, -math.inf, most, text, WIRE_DROP.source)


def _of_part(unit: Unit, part: Part, outdoor_c: float | None) -> Iterator[tuple[str, GoodBand]]:
    kind = unit.kind_of(part.name)
    heater, motor, poles = kind.facet(Heater), kind.facet(Motor), kind.facet(Poles)
    capacitor = kind.facet(Capacitor)
    if poles is not None and part.name in unit.roles.contactors:
        yield from _contactor(unit, part, poles)
    elif capacitor is not None:
        yield from _capacitor(part, capacitor)
    elif (kind.facet(Transformer) or kind.facet(Junction)) and {"R", "C"} <= set(kind.terminals):
        yield from _low_volts(part)
    elif heater is not None:
        yield from _heater(unit, part, heater)
    elif motor is not None and part.place == "outdoor":
        yield from _motor(unit, part, motor, outdoor_c)


def _contactor(unit: Unit, part: Part, poles: Poles) -> Iterator[tuple[str, GoodBand]]:
    ends = poles.ends
    for one, other in ends:
        yield id_of("drop", part.name, one, other), _most(CONTACT_DROP)
    low, high = supply_range_v(unit.nameplate) or ANY_US_SUPPLY_V
    source = "NEMA MG 1-12.44; a nameplate of two voltages: ANSI C84.1 and AHRI 110"
    text = say("{low} to {high}", low=f"{low:.0f}", high=f"{high:.0f} V")
    line = GoodBand(low + AT_THE_LIMIT_V, high - AT_THE_LIMIT_V, low, high, text, source)
    least, stop = START_SHARE * low, START_STOPS_SHARE * low
    start = GoodBand(
        least,
        high,
        stop,
        math.inf,
        say("{low} to {high}", low=f"{least:.0f}", high=f"{high:.0f} V"),
        PRACTICE,
    )
    for (a, a_load), (b, b_load) in combinations(ends, 2):
        yield id_of("volts", part.name, a, b), line
        # behind closed contacts, whose own drop is hardly any
        yield id_of("volts", part.name, a_load, b_load), line
        yield id_of("volts", part.name, a, b, setting="standby"), line
        yield id_of("volts", part.name, a, b, setting="starting"), start
    for end in ends[0]:
        ground = GoodBand(GROUND_OHM, math.inf, GROUND_LEAST_OHM, math.inf,
                          say("{format_quantity} or more, or OL", format_quantity="2 MΩ"),
                          PRACTICE)  # fmt: skip
        yield id_of("ohms", part.name, end, "earth"), ground
    yield from _coil(unit, part)


def _coil(unit: Unit, part: Part) -> Iterator[tuple[str, GoodBand]]:
    rated = coil_volt_of(part)
    low, high = COIL_HOLDS * rated, COIL_MOST * rated
    source = "IEC 60947-4-1 8.2.1.2: 85 to 110% of rated coil volts; 120% unloaded is " + PRACTICE
    coil = coil_names(unit, part)
    for name in (coil_volts_id(unit, part), id_of("volts", *coil, setting="starting")):
        text = say("{low} to {high}", low=f"{low:.1f}", high=f"{high:.1f} V")
        yield name, GoodBand(low, high, low, math.inf, text, source)
    size = (rated / KINDS[part.kind].parameter("coil_volt").default) ** 2
    low, high, shorted, nearly_open = (
        size * ohm for ohm in (*COIL_OHM, COIL_SHORTED_OHM, COIL_NEARLY_OPEN_OHM)
    )
    text = say("{low} to {high} Ω, by make", low=f"{low:.3g}", high=f"{high:.3g}")
    yield id_of("ohms", *coil), GoodBand(low, high, shorted, nearly_open, text, PRACTICE)


def _capacitor(part: Part, capacitor: Capacitor) -> Iterator[tuple[str, GoodBand]]:
    for section in capacitor.sections:
        terminal, common = section.ends
        marked = part.values.get(section.microfarads)
        if marked is None or section.purpose != "run":
            continue
        low, high = CAPACITOR.watch * marked, (2.0 - CAPACITOR.watch) * marked
        text = say("{low} to {high}", low=f"{low:.3g}", high=f"{format_quantity(high, 'µF')}")
        ends = (low, high, CAPACITOR.change * marked, MOST_OVER_MARK * marked)
        source = CAPACITOR.source
        band = GoodBand(*ends, text, source)
        yield id_of("uf", part.name, terminal, common), band
        yield id_of("loaduf", part.name, terminal), band


def _low_volts(part: Part) -> Iterator[tuple[str, GoodBand]]:
    low, high = R_TO_C_V
    band = GoodBand(
        low,
        high,
        R_TO_C_LEAST_V,
        R_TO_C_MOST_V,
        say("{low} to {high}", low=f"{low:g}", high=f"{high:g} V"),
        PRACTICE,
    )
    for setting in ("calling", "standby"):
        yield id_of("volts", part.name, "R", "C", setting=setting), band


def _heater(unit: Unit, part: Part, heater: Heater) -> Iterator[tuple[str, GoodBand]]:
    watt = part.values.get(heater.watt)
    volt = part.number(heater.volt)
    one, other = heater.ends
    if watt is None:
        return
    ohm = volt**2 / watt
    low, high, least, most = (ohm / each for each in (*HEATER_SHARE[::-1], *HEATER_STOPS[::-1]))
    text = say("{low} to {high}", low=f"{low:.0f}", high=f"{high:.0f} Ω")
    yield id_of("ohms", part.name, one, other), GoodBand(low, high, least, most, text, PRACTICE)
    if heater.warms == "oil" and unit.roles.opening_on("warmth"):
        return  # it may hold the heater off, and nobody can say
    low, high = (share * watt / volt for share in HEATER_SHARE)
    least, most = (share * watt / volt for share in HEATER_STOPS)
    text = say("{low} to {high}", low=f"{low:.2f}", high=f"{high:.2f} A")
    for wire, _ in unit.wires_at(f"{part.name}.{one}"):
        yield (
            id_of("amps", wire.name, setting=WARMS_ON[heater.warms]),
            GoodBand(low, high, least, most, text, PRACTICE),
        )


def _motor(
    unit: Unit, part: Part, motor: Motor, outdoor_c: float | None
) -> Iterator[tuple[str, GoodBand]]:
    rated, locked = part.values.get(motor.amps), part.values.get(motor.locked_amps)
    compressor = part.name in unit.roles.compressors
    for wire, _ in unit.wires_at(f"{part.name}.{motor.common}")[:1]:
        if rated is not None:
            yield id_of("amps", wire.name), _running_amps(rated, outdoor_c, compressor=compressor)
        if locked is not None and compressor:
            low, high = (share * locked for share in LOCKED_AMPS_SHARE)
            text = say("about its LRA of {locked} A for under a second", locked=f"{locked:g}")
            yield (
                id_of("amps", wire.name, setting="inrush"),
                GoodBand(low, high, 0.0, math.inf, text, PRACTICE),
            )


def _running_amps(rated: float, outdoor_c: float | None, *, compressor: bool) -> GoodBand:
    """The plate is the ceiling; what is usual beneath it is told, and stops nothing."""
    usual = typical_share_of_plate(outdoor_c) if compressor else FAN_SHARE
    low, high = (f"{share * rated:.3g}" for share in usual)
    air = ""
    if compressor and outdoor_c is not None:
        air = say(" at {heat}", heat=measured(f"{1.8 * outdoor_c + 32.0:.0f}", "°F"))
    plate = "RLA" if compressor else "FLA"
    text = say(
        "up to its {plate} of {rated} A; {low} to {high} A is usual{air}",
        plate=plate,
        rated=f"{rated:g}",
        low=low,
        high=high,
        air=air,
    )
    most = 1.0 if compressor else FAN_SHARE[1]
    source = say(
        "the nameplate as the ceiling; usual amps and 10% over it: {PRACTICE}", PRACTICE=PRACTICE
    )
    return GoodBand(
        PLATE_SHARE_LOW * rated,
        most * rated,
        IDLING_SHARE * rated,
        ABOVE_PLATE * rated,
        text,
        source,
    )


def _insulation(unit: Unit) -> Iterator[tuple[str, GoodBand]]:
    for part in unit.parts:
        kind = unit.kind_of(part.name)
        heats = kind.facet(Heater) is not None
        if kind.facet(Motor) is None and not heats:
            continue
        limit = HEATER_INSULATION if heats else INSULATION
        text = say("{watch} MΩ or more; OL is the best there is", watch=f"{limit.watch:g}")
        band = GoodBand(limit.watch, math.inf, limit.change, math.inf, text, limit.source)
        yield id_of("insulation", part.name), band


def _most(limit: Limit) -> GoodBand:
    """What may only be too much."""
    text = say("under {value}", value=f"{limit.watch:g} {limit.unit}")
    return GoodBand(-math.inf, limit.watch, -math.inf, limit.change, text, limit.source)
