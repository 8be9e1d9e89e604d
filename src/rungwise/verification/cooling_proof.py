"""Refrigerant and air as proof that the unit cools, and where the figures are worth nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from rungwise.parts import PRACTICE
from rungwise.verification.air import MoistAir, capacity, expected_split_k
from rungwise.verification.finding import Finding, Level
from rungwise.verification.refrigerant import refrigerant, saturation_c, subcooling_k, superheat_k
from rungwise.wording import capital, in_both, joined, mark, say

Metering = Literal["fixed orifice", "expansion valve"]
ChargeState = Literal[
    "unknown",
    "as it should be",
    "low charge",
    "overcharge",
    "restriction",
    "low air flow",
    "low air flow, an overfeeding valve or a weak compressor",
]

RIVALS: ChargeState = "low air flow, an overfeeding valve or a weak compressor"

COLDEST_OUTDOORS_C = 18.0
"""Below this outdoors the head pressure is too low to judge a charge (common practice)."""

LEAST_RUN_MINUTES = 10.0
"""10 to 15 minutes until pressures and coil have settled (common practice, no source)."""

TOLERANCE_K = 2.8
"""5 °F either side of a target (common practice, no source)."""

VALVE_SUPERHEAT_K = (2.8, 11.1)
"""5 to 20 °F behind an expansion valve at the outdoor unit (common practice, no source)."""

USUAL_SUBCOOLING_K = 5.6
"""10 °F where the nameplate says nothing (common practice, no source)."""

FLOODING_K = 1.0
"""With less superheat liquid comes back to the compressor (common practice, no source)."""

CONDENSING_OVER_AIR_K, CONDENSING_MOST_K = (2.8, 16.7), 19.4
"""Condensing temperature over the outdoor air: 5 to 30 °F; over 35 °F refuses: a dirty coil, a dead
fan, air in the system, too much charge (common practice, no source)."""

NO_CONDENSER_K = 50.0
"""No unit that rejects its heat to the air condenses so far above it, in the cold neither, where
its fan waits: one of the two was misread (90 °F; common practice, no source)."""

EVAPORATING_C = (1.7, 12.8)
"""Evaporating temperature at work: 35 to 55 °F (common practice, no source)."""

ICE_C, EVAPORATING_MOST_C = 0.5, 18.3
"""Below the first, which is freezing and a gauge's error, the indoor coil ices; above the second,
65 °F, hardly anything is pumped (common practice, no source)."""

SPLIT_TOLERANCE_K = 2.5
SPLIT_K = (8.3, 13.9)
"""15 to 25 °F where nobody took the wet bulb: humid air lower, dry air higher (common practice, no
source)."""

LEAST_TARGET_K = 2.8

CAPACITY_SHARE, CAPACITY_STOPS = 0.80, (0.70, 1.30)
"""Of its rating: told under the first; far off, or more than there can be, beyond the second, since
the air flow is known to 10% at best (common practice, no source)."""

WETTER = 1.03
"""More water after the coil than before it, beyond what two wet bulbs err."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """Under what it was measured; None: not told.

    outdoor_c: dry bulb at the outdoor coil. run_minutes: since the start. outdoor_coil_wet: from
    rain or washing. pressure_pa: of the air.
    """

    outdoor_c: float | None = None
    run_minutes: float | None = None
    outdoor_coil_wet: bool = False
    pressure_pa: float = 101_325.0


@dataclass(frozen=True, slots=True)
class ChargeReadings:
    """Gauges and line temperatures; None: not taken. Pressures gauge psi.

    target_superheat_k, target_subcooling_k: from the unit's own label, if it has one.
    """

    refrigerant: str
    metering: Metering
    suction_psi: float | None = None
    suction_line_c: float | None = None
    liquid_psi: float | None = None
    liquid_line_c: float | None = None
    target_superheat_k: float | None = None
    target_subcooling_k: float | None = None


@dataclass(frozen=True, slots=True)
class AirReadings:
    """Air before and after the indoor coil; None: not taken. rated_w: the unit's cooling."""

    return_dry_c: float
    return_wet_c: float | None = None
    supply_dry_c: float | None = None
    supply_wet_c: float | None = None
    flow_m3_s: float | None = None
    rated_w: float | None = None


def target_superheat_k(indoor_wet_c: float, outdoor_dry_c: float) -> float | None:
    """Target superheat of a fixed orifice, K; None where no charge should be set by it.

    (3·WB - 80 - DB)/2 in °F, a fit of the charts that go round the trade: common practice, no
    source; the unit's own chart comes first. Below 5 °F the charts end.
    """
    wet_f, dry_f = (1.8 * each + 32.0 for each in (indoor_wet_c, outdoor_dry_c))
    target = (3.0 * wet_f - 80.0 - dry_f) / 2.0 / 1.8
    return target if target >= LEAST_TARGET_K else None


def worthless_because(conditions: Conditions) -> tuple[str, ...]:
    """Why no figure of the charge can be trusted under these conditions; empty: none told."""
    return tuple(_worthless(conditions))


def _worthless(conditions: Conditions) -> Iterator[str]:
    outdoor, run = conditions.outdoor_c, conditions.run_minutes
    if outdoor is not None and outdoor < COLDEST_OUTDOORS_C:
        yield say(
            "it is too cold outdoors ({degrees}; at least {degrees2})",
            degrees=_degrees(outdoor),
            degrees2=_degrees(18.0),
        )
    if run is not None and run < LEAST_RUN_MINUTES:
        yield say("it has run {run} minutes only; let it run 10 to 15", run=f"{run:.0f}")
    if conditions.outdoor_coil_wet:
        yield "the outdoor coil is wet; let it dry while the unit runs"


def charge_findings(
    told: ChargeReadings, conditions: Conditions, indoor_wet_c: float | None = None
) -> tuple[Finding, ...]:
    """Superheat and subcooling against their targets. Raises UnknownName, BadReading."""
    why = [*worthless_because(conditions), *_unbelievable(told, conditions)]
    found: list[Finding] = []
    if told.suction_psi is not None and told.suction_line_c is not None:
        air_pa = conditions.pressure_pa
        value = superheat_k(told.refrigerant, told.suction_psi, told.suction_line_c, air_pa)
        low, high, source = _superheat_band(told, conditions, indoor_wet_c)
        judged = _judged("superheat", value, low, high, source, why)
        floods = judged.level == "caution" and value < FLOODING_K
        found.append(replace(judged, level="refuse") if floods else judged)
    if told.liquid_psi is not None and told.liquid_line_c is not None:
        air_pa = conditions.pressure_pa
        value = subcooling_k(told.refrigerant, told.liquid_psi, told.liquid_line_c, air_pa)
        low, high, source = _subcooling_band(told)
        judged = _judged("subcooling", value, low, high, source, why)
        softer = told.metering == "fixed orifice" and judged.level == "refuse"
        # A fixed orifice is charged by superheat; its subcooling follows the weather.
        found.append(replace(judged, level="caution") if softer else judged)
    found += _temperatures(told, conditions, why)
    if why and not found:
        text = say("The gauges say nothing: {join}.", join=joined("; ", why))
        found.append(Finding("charge", None, "", "worthless", text, PRACTICE))
    return tuple(found)


def _temperatures(
    told: ChargeReadings, conditions: Conditions, why: list[str]
) -> Iterator[Finding]:
    """What condenses too hot over the air, and what evaporates so cold that it ices."""
    air_pa, outdoor = conditions.pressure_pa, conditions.outdoor_c
    if told.liquid_psi is not None and outdoor is not None:
        over = saturation_c(told.refrigerant, told.liquid_psi, "bubble", air_pa) - outdoor
        low, high = CONDENSING_OVER_AIR_K
        found = _judged("condensing over the outdoor air", over, low, high, PRACTICE, why)
        if found.level in ("caution", "refuse"):
            found = replace(found, level="refuse" if over > CONDENSING_MOST_K else "caution")
        yield found
    if told.suction_psi is not None:
        cold = saturation_c(told.refrigerant, told.suction_psi, "dew", air_pa)
        low, high = EVAPORATING_C
        level = _evaporating(cold, freezes=refrigerant(told.refrigerant).freezes)
        text = say(
            "Evaporating at {degrees}; good is {degrees2} to {degrees3}",
            degrees=_degrees(cold),
            degrees2=_degrees(low),
            degrees3=_degrees(high),
        )
        if cold < ICE_C:
            ices = level == "refuse"
            text += mark(", the coil will ice") if ices else mark(", unless it is a cooler's coil")
        text += "."
        if why:
            level, text = (
                "worthless",
                say("Evaporating at {degrees} says nothing yet.", degrees=_degrees(cold)),
            )
        side = int(cold > high) - int(cold < low)
        yield Finding("evaporating temperature", cold, "°C", level, text, PRACTICE, side)


def _evaporating(celsius: float, *, freezes: bool) -> Level:
    """freezes: whether the coil may be one of a cooler, which is built to freeze."""
    low, high = EVAPORATING_C
    if low <= celsius <= high:
        return "good"
    ices = celsius < ICE_C and not freezes
    return "refuse" if ices or celsius > EVAPORATING_MOST_C else "caution"


def gauges_again(told: ChargeReadings, conditions: Conditions) -> tuple[Finding, ...]:
    """Pressures and lines that cannot be so, to be read again. Raises UnknownName, BadReading."""
    why = joined("; ", _unbelievable(told, conditions))
    text = say("Read the gauges again: {why}.", why=why)
    return (Finding("gauges", None, "", "again", text, PRACTICE),) if why else ()


def together(findings: tuple[Finding, ...], metering: Metering) -> tuple[Finding, ...]:
    """What superheat and subcooling say together; nothing where they are good or not judged."""
    state = charge_state(findings, metering)
    if state in ("unknown", "as it should be"):
        return ()
    way = {-1: "low", 0: "good", 1: "high"}
    told = [f"{it.id} {way[it.side]}" for it in findings if it.id in ("superheat", "subcooling")]
    text = f"{' and '.join(told).capitalize()}: {state}."
    return (Finding("charge", None, "", "note", text, PRACTICE),)


def charge_state(findings: tuple[Finding, ...], metering: Metering) -> ChargeState:
    """What superheat and subcooling together say of the charge (common practice, no source).

    Behind an expansion valve the subcooling leads; with a fixed orifice the superheat does. One
    figure that is off by little, the other good, says nothing yet.
    """
    told = [each for each in findings if each.id in ("superheat", "subcooling")]
    off = [each for each in told if each.level in ("caution", "refuse")]
    one_slight = len(off) == 1 and off[0].level == "caution"
    sides = {
        each.id: 0 if one_slight else each.side
        for each in told
        if each.level in ("good", "caution", "refuse")
    }
    heat, cool = sides.get("superheat"), sides.get("subcooling")
    if heat is None and cool is None:
        return "unknown"
    if heat in (0, None) and cool in (0, None):
        return "as it should be"
    # Both low is not one thing: an overfeeding valve and a weak compressor read like little air.
    table: dict[tuple[int | None, int | None], ChargeState] = {
        (1, -1): "low charge", (1, 0): "restriction", (1, 1): "restriction",
        (-1, 1): "overcharge", (-1, 0): "low air flow", (-1, -1): RIVALS,
        (0, 1): "overcharge", (0, -1): "low charge", (None, -1): "low charge",
        (None, 1): "overcharge", (1, None): "low charge", (-1, None): "overcharge",
    }  # fmt: skip
    if metering == "fixed orifice" and heat == 0:
        return "as it should be"
    return table.get((heat, cool), "unknown")


def air_findings(told: AirReadings, conditions: Conditions) -> tuple[Finding, ...]:
    """Split and capacity, with what makes them worthless. Raises BadReading."""
    return tuple(_air(told, conditions))


def _air(told: AirReadings, conditions: Conditions) -> Iterator[Finding]:
    run = conditions.run_minutes
    too_soon = run is not None and run < LEAST_RUN_MINUTES
    why = (
        [say("it has run {run} minutes only; let it run 10 to 15", run=f"{run:.0f}")]
        if too_soon
        else []
    )
    if told.supply_dry_c is None:
        return
    split = told.return_dry_c - told.supply_dry_c
    yield from _impossible(told, conditions)
    if told.return_wet_c is None:
        found = _judged(
            "air split",
            split,
            *SPLIT_K,
            say("without the wet bulb, {PRACTICE}", PRACTICE=PRACTICE),
            why,
        )
        # Humidity alone moves it by some 5 K, so that it stops nothing by itself.
        yield replace(found, level="caution") if found.level == "refuse" else found
        return
    back = MoistAir.of(told.return_dry_c, told.return_wet_c, conditions.pressure_pa)
    target = expected_split_k(back, conditions.pressure_pa)
    source = "own energy balance at the usual air flow; its constants are common practice"
    low, high = target - SPLIT_TOLERANCE_K, target + SPLIT_TOLERANCE_K
    yield _judged("air split", split, low, high, source, why)
    if told.flow_m3_s is not None:
        yield from _capacity(told, back, conditions, why)


def _capacity(
    told: AirReadings, back: MoistAir, conditions: Conditions, why: list[str]
) -> Iterator[Finding]:
    if told.supply_dry_c is None or told.flow_m3_s is None:
        return
    if told.supply_wet_c is None:
        text = mark(
            "Total capacity says nothing: on a wet coil it needs the supply's wet bulb too."
        )
        yield Finding("total capacity", None, "W", "worthless", text, "energy balance")
        return
    supply = MoistAir.of(told.supply_dry_c, told.supply_wet_c, conditions.pressure_pa)
    if supply.ratio > WETTER * back.ratio:
        text = mark("Total capacity says nothing with a supply air that cannot be.")
        yield Finding("total capacity", None, "W", "worthless", text, "energy balance")
        return
    found = capacity(back, supply, told.flow_m3_s)
    share = (
        say(", {total_w}% of its rating", total_w=f"{100 * found.total_w / told.rated_w:.0f}")
        if told.rated_w
        else ""
    )
    said = say(
        "{kilowatt} in all, {kilowatt2} of it sensible{share}",
        kilowatt=_kilowatt(found.total_w),
        kilowatt2=_kilowatt(found.sensible_w),
        share=share,
    )
    level = "worthless" if why else _capacity_level(found.total_w, told.rated_w)
    text = say("Capacity {said}; as good as the air flow was measured (±10% at best).", said=said)
    text += say(" It says nothing yet: {join}.", join=joined("; ", why)) if why else ""
    source = "energy balance on humid air; 80 and 70% of the rating are common practice"
    yield Finding("total capacity", found.total_w, "W", level, text, source)


def _impossible(told: AirReadings, conditions: Conditions) -> Iterator[Finding]:
    """Supply air that no cooling coil makes of this return air."""
    if told.return_wet_c is None or told.supply_wet_c is None or told.supply_dry_c is None:
        return
    back = MoistAir.of(told.return_dry_c, told.return_wet_c, conditions.pressure_pa)
    supply = MoistAir.of(told.supply_dry_c, told.supply_wet_c, conditions.pressure_pa)
    if supply.ratio > WETTER * back.ratio:
        text = mark(
            "The supply air holds more water than the return air, which no cooling coil does: "
            "read both wet bulbs again."
        )
        yield Finding("supply air", None, "", "refuse", text, "balance of water")


def _capacity_level(total_w: float, rated_w: float | None) -> Level:
    if rated_w is None:
        return "note"
    share = total_w / rated_w
    low, high = CAPACITY_STOPS
    return "refuse" if not low <= share <= high else "caution" if share < CAPACITY_SHARE else "good"


def _superheat_band(
    told: ChargeReadings, conditions: Conditions, indoor_wet_c: float | None
) -> tuple[float | None, float | None, str]:
    target = told.target_superheat_k
    source = "the unit's own label"
    if target is None and told.metering == "expansion valve":
        return *VALVE_SUPERHEAT_K, say("expansion valve, {PRACTICE}", PRACTICE=PRACTICE)
    if target is None and indoor_wet_c is not None and conditions.outdoor_c is not None:
        target = target_superheat_k(indoor_wet_c, conditions.outdoor_c)
        source = say(
            "fixed orifice from indoor wet and outdoor dry bulb, {PRACTICE}", PRACTICE=PRACTICE
        )
    if target is None:
        return None, None, "no target: it needs the label, or indoor wet and outdoor dry bulb"
    return target - TOLERANCE_K, target + TOLERANCE_K, source


def _subcooling_band(told: ChargeReadings) -> tuple[float | None, float | None, str]:
    if told.target_subcooling_k is not None:
        target, source = told.target_subcooling_k, "the unit's own label"
        return target - 0.6 * TOLERANCE_K, target + 0.6 * TOLERANCE_K, source
    return USUAL_SUBCOOLING_K - TOLERANCE_K, USUAL_SUBCOOLING_K + TOLERANCE_K, PRACTICE


def _unbelievable(told: ChargeReadings, conditions: Conditions) -> Iterator[str]:
    suction, liquid = told.suction_psi, told.liquid_psi
    if suction is not None and liquid is not None and liquid <= suction:
        yield mark(
            "the liquid side does not stand above the suction side: swapped hoses, or no pumping"
        )
    if suction is not None and told.suction_line_c is not None:
        heat = superheat_k(told.refrigerant, suction, told.suction_line_c, conditions.pressure_pa)
        if heat < -1.0:
            yield mark("the suction line is colder than the gas in it can be: gauge or thermometer")
    if liquid is not None:
        condensing = saturation_c(told.refrigerant, liquid, "bubble", conditions.pressure_pa)
        if conditions.outdoor_c is not None and condensing < conditions.outdoor_c:
            yield mark("it would condense below the outdoor air: gauge, or the wrong refrigerant")
        if conditions.outdoor_c is not None and condensing - conditions.outdoor_c > NO_CONDENSER_K:
            yield say(
                "it would condense {kelvin} over the outdoor air of {degrees}, which no unit does: "
                "gauge, thermometer, or the point in one of the two numbers",
                kelvin=_kelvin(condensing - conditions.outdoor_c),
                degrees=_degrees(conditions.outdoor_c),
            )
        if told.liquid_line_c is not None and condensing - told.liquid_line_c < -1.0:
            yield mark(
                "the liquid line is hotter than the liquid in it can be: gauge or thermometer"
            )


_TITLES = {
    "superheat": mark("superheat"),
    "subcooling": mark("subcooling"),
    "condensing over the outdoor air": mark("condensing over the outdoor air"),
    "air split": mark("air split"),
}
"""Of findings, by their ids."""


def _judged(
    name: str, value: float, low: float | None, high: float | None, source: str, why: list[str]
) -> Finding:
    said = joined(" ", (capital(_TITLES[name]), _kelvin(value)))
    if why:
        text = say("{said} says nothing: {join}.", said=said, join=joined("; ", why))
        return Finding(name, value, "K", "worthless", text, source)
    if low is None or high is None:
        return Finding(name, value, "K", "note", joined("", (said, ".")), source)
    beyond = max(low - value, value - high, 0.0)
    middle = 0.5 * (high - low)
    level: Level = "good" if beyond == 0.0 else "caution" if beyond <= middle else "refuse"
    text = say(
        "{said}; good is {kelvin} to {kelvin2}",
        said=said,
        kelvin=_kelvin(max(low, 0.0)),
        kelvin2=_kelvin(high),
    )
    side = int(value > high) - int(value < low)
    where = {-1: mark(", too low"), 0: "", 1: mark(", too high")}[side]
    return Finding(name, value, "K", level, joined("", (text, where, ".")), source, side)


def _kelvin(value: float) -> str:
    return in_both(f"{value:.1f} K", f"{1.8 * value:.0f} °F")


def _degrees(celsius: float) -> str:
    return in_both(f"{celsius:.0f} °C", f"{1.8 * celsius + 32.0:.0f} °F", "{si}, {us}")


def _kilowatt(watt: float) -> str:
    return in_both(f"{watt / 1e3:.1f} kW", f"{watt / 0.29307107:.0f} Btu/h")
