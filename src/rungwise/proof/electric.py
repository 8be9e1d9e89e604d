"""Electrical findings after a repair: figures made of several readings, against their limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.proof import limits
from rungwise.proof.figures import (
    contact_spot_c,
    insulation_at_40_c,
    joint_watts,
    sag,
    source_ohm,
)
from rungwise.proof.finding import Finding, Level
from rungwise.proof.own_checks import GoodUnit
from rungwise.quantity import format_quantity
from rungwise.replacement.nec.unbalance import DEFINITION, NOT_ABOVE, derating, unbalance
from rungwise.unit.unit import Part, Unit

__all__ = ["Beside", "electric_findings"]

NOTED_UNBALANCE = 0.02
JOINT_KELVIN_PER_WATT = 15.0
"""How much warmer a push-on or lug gets for each watt in it (order of magnitude, no source)."""

HIGH_COIL = 1.20
"""An unloaded 24 V transformer gives up to this share of its rating (common practice)."""


@dataclass(frozen=True, slots=True)
class Beside:
    """What is known beside the readings.

    line_volts: the three line-to-line volts of a three-phase supply. winding_c: of the windings
    when their insulation was measured. around_c: air around the joints.
    """

    line_volts: tuple[float, ...] = ()
    winding_c: float | None = None
    around_c: float = 35.0


def electric_findings(
    good: GoodUnit, readings: Mapping[str, float], beside: Beside | None = None
) -> tuple[Finding, ...]:
    """Every figure that the readings give.

    readings: by check id, in the check's unit. Raises ValueError for volts of none.
    """
    known = beside or Beside()
    found = [*_supply(good, readings), *_coil(good, readings), *_amps(good.unit, readings)]
    found += [*_joints(good, readings, known), *_insulation(readings, known)]
    return (*found, *_unbalance(known.line_volts))


def _supply(good: GoodUnit, readings: Mapping[str, float]) -> Iterator[Finding]:
    for part in _contactors(good.unit):
        idle = readings.get(f"idle-volts-{part.name}-L1-L2")
        running = readings.get(f"volts-{part.name}-L1-L2")
        rated = good.unit.nameplate.get("volt")
        if running is not None and isinstance(rated, float | int):
            yield _supply_volts(running, float(rated))
        if idle and running is not None:
            amp = next((readings[it] for it in _line_amps(good.unit, part) if it in readings), None)
            yield _sag(good, part, idle, running, amp)


def _supply_volts(running: float, rated: float) -> Finding:
    low, high, source = limits.SUPPLY
    share = running / rated
    text = (
        f"{format_quantity(running, 'V')} running, {100 * share:.0f} % of the plate's {rated:.0f} V"
    )
    level: Level = "good" if low <= share <= high else "refuse"
    return Finding(
        "supply", running, "V", level, f"Supply {text}.", source, _side(share, low, high)
    )


def _sag(good: GoodUnit, part: Part, idle: float, running: float, amp: float | None) -> Finding:
    share, (advice, source) = sag(idle, running), limits.BRANCH_DROP
    ends = (f"{part.name}.L1", f"{part.name}.L2")
    rest, call = good.volts("standby", *ends), good.volts("calling", *ends)
    usual = float(np.quantile((rest - call) / rest, 0.975))
    limit = max(advice, usual)
    text = f"Sag {100 * share:.1f} % from idle to running; a good unit on this supply has up to "
    text += f"{100 * usual:.1f} %"
    if amp:
        text += f"; source impedance {format_quantity(source_ohm(idle, running, amp), 'Ω')}"
    level: Level = "good" if share <= limit else "caution" if share <= 2.0 * limit else "refuse"
    return Finding("sag", 100 * share, "%", level, f"{text}.", source, int(share > limit))


def _coil(good: GoodUnit, readings: Mapping[str, float]) -> Iterator[Finding]:
    low, high, source = limits.COIL_HOLDS
    for part in _contactors(good.unit)[:1]:
        rated = float(good.bench.plan.defaults[(part.name, "coil_volt")])
        for name, what in (("volts-coil", "sealed"), ("start-volts-coil", "at the start")):
            if name not in readings:
                continue
            share = readings[name] / rated
            level: Level = "refuse" if share < low else "good"
            level = "note" if high < share <= HIGH_COIL else level
            level = "caution" if share > HIGH_COIL else level
            text = (
                f"Coil {what} {format_quantity(readings[name], 'V')}, {100 * share:.0f} % of its "
            )
            text += f"{rated:.0f} V; it must hold from 85 %."
            side = _side(share, low, HIGH_COIL)
            yield Finding(f"coil {what}", readings[name], "V", level, text, source, side)


def _amps(unit: Unit, readings: Mapping[str, float]) -> Iterator[Finding]:
    for name, key, what in (("compressor", "rla_a", "RLA"), ("fan", "fan_fla_a", "FLA")):
        rated = unit.nameplate.get(key)
        if name not in unit.part_by_name or not isinstance(rated, float | int):
            continue
        for wire, _ in unit.wires_at(f"{name}.C")[:1]:
            amp = readings.get(f"amps-{wire.name}")
            if amp is None:
                continue
            share = amp / float(rated)
            text = f"{name.capitalize()} {format_quantity(amp, 'A')}, {100 * share:.0f} % of its "
            text += f"{what} of {format_quantity(float(rated), 'A')}."
            level: Level = "good" if share <= 1.0 else "caution" if share <= 1.15 else "refuse"
            side = int(share > 1.0)
            yield Finding(f"{name} amps", amp, "A", level, text, "the nameplate; 15 % over it as "
                          "the limit is common practice, no source", side)  # fmt: skip


def _joints(good: GoodUnit, readings: Mapping[str, float], beside: Beside) -> Iterator[Finding]:
    for name, drop in readings.items():
        if not name.startswith("drop-"):
            continue
        wire = _wire_of(good.unit, name.removeprefix("drop-"))
        if wire is not None:
            amp = readings.get(f"amps-{wire}") or float(np.median(good.amps(wire)))
            yield _joint(name, _place(good.unit, name), (drop, amp), beside.around_c)


def _joint(name: str, place: str, taken: tuple[float, float], around_c: float) -> Finding:
    (most_w, source), (most_k, _) = limits.JOINT_WATTS, limits.JOINT_RISE_K
    drop, amp = taken
    watt = joint_watts(drop, amp)
    rise = JOINT_KELVIN_PER_WATT * watt
    spot = contact_spot_c(drop, around_c) if drop < 0.4 else None
    hot = f"; if it is all in one contact, up to {spot:.0f} °C at its hottest spot" if spot else ""
    text = f"Drop {place}: {format_quantity(drop, 'V')} at {format_quantity(amp, 'A')} is "
    text += f"{format_quantity(watt, 'W')}, about {rise:.0f} K of warming{hot}."
    level: Level = "good" if watt <= most_w else "caution" if rise <= most_k else "refuse"
    return Finding(name, watt, "W", level, text, f"{source}; {limits.JOINT_RISE_K[1]}",
                   int(watt > most_w))  # fmt: skip


def _place(unit: Unit, name: str) -> str:
    """Where a drop was measured: along a wire, or across two terminals of a part."""
    found = name.removeprefix("drop-")
    if found in unit.wire_by_name:
        return f"along the {unit.wire_by_name[found].title}"
    part, first, second = found.rsplit("-", 2)
    return f"across {first} to {second} of the {unit.part(part).title}"


def _insulation(readings: Mapping[str, float], beside: Beside) -> Iterator[Finding]:
    for name, megohm in readings.items():
        if not name.startswith("insulation-"):
            continue
        part = name.removeprefix("insulation-")
        if beside.winding_c is None:
            text = f"Insulation of the {part} {megohm:g} MΩ; without its temperature only a trend."
            yield Finding(name, megohm, "MΩ", "note", text, limits.INSULATION)
            continue
        warm = insulation_at_40_c(megohm, beside.winding_c)
        least = 1.0 + 0.24
        level: Level = "good" if warm >= least else "caution"
        text = f"Insulation of the {part} {megohm:g} MΩ at {beside.winding_c:.0f} °C is {warm:.3g} "
        text += f"MΩ at 40 °C; kV + 1 is {least:.2f} MΩ."
        yield Finding(name, warm, "MΩ", level, text, limits.INSULATION, -int(warm < least))


def _unbalance(line_volts: Sequence[float]) -> Iterator[Finding]:
    if not line_volts:
        return
    share = unbalance(line_volts)
    factor = derating(share)
    may = (
        "no motor should run on it" if factor is None else f"a motor may give {100 * factor:.0f} %"
    )
    level: Level = "good" if share <= NOTED_UNBALANCE else "caution"
    level = "refuse" if share > NOT_ABOVE else level
    text = f"Unbalance {100 * share:.2f} %: {may} of its rating."
    yield Finding("unbalance", 100 * share, "%", level, text, DEFINITION.text,
                  int(share > NOTED_UNBALANCE))  # fmt: skip


def _contactors(unit: Unit) -> tuple[Part, ...]:
    return unit.parts_of_kind("contactor_1p", "contactor_2p")


def _line_amps(unit: Unit, part: Part) -> list[str]:
    feeds = [wire for wire, _ in unit.wires_at(f"{part.name}.L1") if wire.carries == "L1"]
    return [f"amps-{wire.name}" for wire in feeds]


def _wire_of(unit: Unit, name: str) -> str | None:
    """The wire whose amps flow through a joint: the wire itself, or one at a contact's end."""
    if name in unit.wire_by_name:
        return name
    for part in unit.parts:
        if name.startswith(f"{part.name}-"):
            first = name.removeprefix(f"{part.name}-").partition("-")[0]
            wires = unit.wires_at(f"{part.name}.{first}")
            carry = [w for w, _ in wires if w.carries != "heater"]
            return carry[0].name if carry else None
    return None


def _side(share: float, low: float, high: float) -> int:
    return int(share > high) - int(share < low)
