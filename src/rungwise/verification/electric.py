"""Electrical findings after a repair: figures made of several readings, against their limits."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from rungwise.circuit import FINE_VOLTS
from rungwise.diagnosis import CheckCard, coil_names, coil_volts_id, id_of
from rungwise.parts import Motor, end_mark
from rungwise.quantity import format_quantity
from rungwise.replacement import DEFINITION, NOT_ABOVE, derating, unbalance
from rungwise.unit import Unit, volts_told
from rungwise.verification import limits
from rungwise.verification.figures import (
    contact_spot_c,
    insulation_at_40_c,
    joint_watts,
    sag,
    source_ohm,
)
from rungwise.verification.finding import Finding, Level
from rungwise.verification.good_band import GoodBand, ReadingLevel
from rungwise.verification.proof_checks import GoodUnit
from rungwise.verification.sights import line_contactors
from rungwise.verification.start_story import SECONDS
from rungwise.verification.trade_limits import (
    TradeBands,
    coil_volt_of,
    copper_drop_v,
    judged_wires,
    trade_bands,
    wire_band,
)
from rungwise.wording import capital, joined, mark, measured, say

NOTED_UNBALANCE = 0.02

LEAST_AMP = 0.1
"""A wire that carries less on a call drops nothing worth judging, whatever its joints are."""

RATED_COIL = 1.10
"""Of its rated volts a coil takes for good (IEC 60947-4-1 8.2.1.2)."""


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
    good: GoodUnit,
    readings: Mapping[str, float],
    beside: Beside | None = None,
    bands: TradeBands | None = None,
    levels: Mapping[str, ReadingLevel] | None = None,
) -> tuple[Finding, ...]:
    """Every figure that the readings give.

    readings: by check id, in the check's unit. bands: the trade's limits of this unit, else they
    are worked out. levels: where a reading stands with what was read before it, by check id; else
    it stands alone. Raises ValueError for volts of none.
    """
    known = beside or Beside()
    limits_of = bands if bands is not None else bands_of(good, readings, timed=SECONDS in readings)
    told = _Told(good, readings, known, limits_of, levels or {})
    found = [*_supply(told), *_coil(told), *_amps(told), *_joints(told), *_insulation(told)]
    return (*found, *_unbalance(known.line_volts))


def bands_of(
    good: GoodUnit,
    readings: Mapping[str, float],
    outdoor_c: float | None = None,
    *,
    timed: bool = True,
) -> dict[str, GoodBand]:
    """The trade's limits of a unit's checks, its wires among them, by check id.

    readings: whose amps say what a wire carries; the solved good unit where nobody took them.
    outdoor_c, timed: as of `trade_bands`.
    """
    bands = trade_bands(good.unit, outdoor_c, timed=timed)
    for wire in judged_wires(good.unit):
        amp = readings.get(id_of("amps", wire.name))
        carried = good.middle_amps(wire.name) if amp is None else amp
        if carried >= LEAST_AMP:
            bands[id_of("drop", wire.name)] = wire_band(wire, carried)
    return bands


@dataclass(frozen=True, slots=True)
class _Told:
    """What all figures are made of."""

    good: GoodUnit
    readings: Mapping[str, float]
    beside: Beside
    bands: TradeBands
    levels: Mapping[str, ReadingLevel]

    def level(self, name: str, value: float) -> Level:
        """Where a reading stands by the trade's limits; "note" where there are none.

        A figure that stands alone has no second reading to wait for.
        """
        band = self.bands.get(name)
        if band is None:
            return "note"
        alone = band.level(value)
        return self.levels.get(name, "refuse" if alone == "again" else alone)

    def side(self, name: str, value: float) -> int:
        band = self.bands.get(name)
        return band.side(value) if band else 0

    def source(self, name: str) -> str:
        band = self.bands.get(name)
        return band.source if band else ""


def _supply(told: _Told) -> Iterator[Finding]:
    unit = told.good.unit
    pairs = [(p, *pair) for p, poles in line_contactors(unit) for pair in pairwise(poles.ends[:2])]
    for part, (one, one_load), (other, other_load) in pairs:
        name = id_of("volts", part.name, one, other)
        rest = id_of("volts", part.name, one, other, setting="standby")
        idle, running = told.readings.get(rest), told.readings.get(name)
        if running is not None and volts_told(unit.nameplate):
            yield _supply_volts(told, name, running)
        load = id_of("volts", part.name, one_load, other_load)
        behind = told.readings.get(load) if running is None else running
        if idle and behind is not None:
            amps = _line_amps(unit, f"{part.name}.{one}")
            amp = next((told.readings[it] for it in amps if it in told.readings), None)
            ends = (f"{part.name}.{one}", f"{part.name}.{other}")
            yield _sag(told.good, ends, idle, behind, amp)


def _supply_volts(told: _Told, name: str, running: float) -> Finding:
    band = told.bands[name]
    level = told.level(name, running)
    edge = mark(", at its limit") if level == "caution" else ""
    text = say(
        "Supply {format_quantity} running; the nameplate is {volts_told}, which runs on "
        "{least} to {most} V{edge}.",
        format_quantity=format_quantity(running, "V"),
        volts_told=volts_told(told.good.unit.nameplate),
        least=f"{band.least:.0f}",
        most=f"{band.most:.0f}",
        edge=edge,
    )
    return Finding("supply", running, "V", level, text, band.source, band.side(running), name)


def _sag(
    good: GoodUnit, ends: tuple[str, str], idle: float, running: float, amp: float | None
) -> Finding:
    share, (advice, source) = sag(idle, running), limits.BRANCH_DROP
    rest, call = good.volts("standby", *ends), good.volts("calling", *ends)
    usual = float(np.quantile((rest - call) / rest, 0.975))
    limit = max(advice, usual)
    text = say(
        "Sag {share}% from idle to running; a good unit on this supply has up to ",
        share=f"{100 * share:.1f}",
    )
    text += f"{100 * usual:.1f}%"
    if amp:
        text += say(
            "; source impedance {format_quantity}",
            format_quantity=format_quantity(source_ohm(idle, running, amp), "Ω"),
        )
    level: Level = "good" if share <= limit else "caution" if share <= 2.0 * limit else "refuse"
    return Finding("sag", 100 * share, "%", level, text + ".", source, int(share > limit))


def _coil(told: _Told) -> Iterator[Finding]:
    unit = told.good.unit
    for part, _ in line_contactors(unit):
        rated, coil = coil_volt_of(part), coil_names(unit, part)
        of = "" if len(coil) == 1 else say(" of the {title}", title=part.title)
        starting = id_of("volts", *coil, setting="starting")
        at = ((coil_volts_id(unit, part), mark("sealed")), (starting, mark("at the start")))
        for name, when in at:
            what = joined("", (when, of))
            volt = told.readings.get(name)
            if volt is None:
                continue
            share = volt / rated
            text = say(
                "Coil {what} {format_quantity}, {share}% of its ",
                what=what,
                format_quantity=format_quantity(volt, "V"),
                share=f"{100 * share:.0f}",
            )
            text += say("{rated} V; it must hold from 85%.", rated=f"{rated:.0f}")
            level = told.level(name, volt)
            level = "note" if level == "good" and share > RATED_COIL else level
            yield Finding(f"coil {what}", volt, "V", level, text, told.source(name),
                          told.side(name, volt), name)  # fmt: skip


def _amps(told: _Told) -> Iterator[Finding]:
    unit = told.good.unit
    roles = (("compressor", unit.roles.compressors, "RLA"), ("fan", unit.roles.outdoor_fans, "FLA"))
    each = (
        (role if len(parts) == 1 else unit.part(part).title, part, what)
        for role, parts, what in roles
        for part in parts
    )
    for role, part, what in each:
        motor = unit.kind_of(part).facet(Motor)
        rated = unit.part(part).values.get(motor.amps) if motor else None
        for wire, _ in unit.wires_at(f"{part}.{motor.common}")[:1] if motor and rated else ():
            name = id_of("amps", wire.name)
            amp = told.readings.get(name)
            if amp is None or rated is None or name not in told.bands:
                continue
            text = capital(say("{role} {amps}, ", role=mark(role), amps=format_quantity(amp, "A")))
            text += say(
                "{amp}% of its {what} of {format_quantity}",
                amp=f"{100 * amp / rated:.0f}",
                what=what,
                format_quantity=format_quantity(rated, "A"),
            )
            text += say("; good is {text}.", text=told.bands[name].text)
            yield Finding(f"{role} amps", amp, "A", told.level(name, amp), text,
                          told.source(name), told.side(name, amp), name)  # fmt: skip


def _joints(told: _Told) -> Iterator[Finding]:
    for name, drop in told.readings.items():
        card = told.good.cards.get(name)
        wire = _wire_of(told.good.unit, card) if card and _is_joint(card) else None
        if card is not None and wire is not None:
            amp = told.readings.get(id_of("amps", wire)) or told.good.middle_amps(wire)
            yield _joint(told, card, drop, amp)


def _is_joint(card: CheckCard) -> bool:
    """A drop of millivolts while the load runs; over a 24 V switch it says nothing of a joint."""
    return card.instrument == FINE_VOLTS.name and card.setting == "calling"


def _joint(told: _Told, card: CheckCard, drop: float, amp: float) -> Finding:
    """A drop at its amps: of a wire the copper's own share is taken off before it is judged hot."""
    name, wire = card.id, told.good.unit.wire_by_name.get(card.touches[0])
    own = min(copper_drop_v(wire, amp), drop) if wire is not None else 0.0
    watt = joint_watts(drop - own, amp)
    spot = contact_spot_c(drop, told.beside.around_c) if wire is None and drop < 0.4 else None
    text = say(
        "Drop {place}: {format_quantity} at ",
        place=_place(told.good.unit, card),
        format_quantity=format_quantity(drop, "V"),
    )
    text += f"{format_quantity(amp, 'A')}"
    text += (
        say(", {format_quantity} of it the copper's", format_quantity=format_quantity(own, "V"))
        if own > 0.0
        else ""
    )
    text += say(
        "; {format_quantity} in {it}, about ",
        format_quantity=format_quantity(watt, "W"),
        it=mark("its joints") if wire else mark("the contact"),
    )
    warms = measured(f"{limits.JOINT_KELVIN_PER_WATT * watt:.0f}", "K")
    text += say("{warms} of warming", warms=warms)
    if spot:
        text += say(", up to {heat} at its hottest spot", heat=measured(f"{spot:.0f}", "°C"))
    return Finding(name, watt, "W", told.level(name, drop), text + ".", told.source(name),
                   told.side(name, drop))  # fmt: skip


def _place(unit: Unit, card: CheckCard) -> str:
    """Where a drop was measured: along a wire, or across two terminals of a part."""
    (block,) = card.touches
    if block in unit.wire_by_name:
        return say("along the {wire}", wire=unit.wire_title(unit.wire_by_name[block]))
    first, second = (end.removeprefix(f"{block}.") for end in (card.red, card.black))
    return say(
        "across {a} to {b} of the {part}",
        a=end_mark(first), b=end_mark(second), part=unit.part(block).title,
    )  # fmt: skip


def _insulation(told: _Told) -> Iterator[Finding]:
    for name, megohm in told.readings.items():
        card = told.good.cards.get(name)
        if card is None or card.quantity != "megohms":
            continue
        title = told.good.unit.part(*card.touches).title
        level, winding_c = told.level(name, megohm), told.beside.winding_c
        source = f"{told.source(name)}; {limits.INSULATION_BY_HEAT}"
        if math.isinf(megohm):
            text = say("Insulation of the {part}: OL, the best there is.", part=title)
            yield Finding(name, None, "MΩ", level, text, told.source(name))
        elif winding_c is None:
            text = say(
                "Insulation of the {part} {megohm} MΩ; hot windings read less.",
                part=title,
                megohm=f"{megohm:g}",
            )
            yield Finding(name, megohm, "MΩ", level, text, source, told.side(name, megohm))
        else:
            warm = insulation_at_40_c(megohm, winding_c)
            text = say(
                "Insulation of the {part} {megohm} MΩ at {heat}, {warm} MΩ at {usual}.",
                part=title,
                megohm=f"{megohm:g}",
                heat=measured(f"{winding_c:.0f}", "°C"),
                warm=f"{warm:.3g}",
                usual=measured("40", "°C"),
            )
            yield Finding(name, warm, "MΩ", level, text, source, told.side(name, megohm))


def _unbalance(line_volts: Sequence[float]) -> Iterator[Finding]:
    if not line_volts:
        return
    share = unbalance(line_volts)
    factor = derating(share)
    may = (
        mark("no motor should run on it")
        if factor is None
        else say("a motor may give {factor}%", factor=f"{100 * factor:.0f}")
    )
    level: Level = "good" if share <= NOTED_UNBALANCE else "caution"
    level = "refuse" if share > NOT_ABOVE else level
    text = say("Unbalance {share}%: {may} of its rating.", share=f"{100 * share:.2f}", may=may)
    yield Finding("unbalance", 100 * share, "%", level, text, DEFINITION.text,
                  int(share > NOTED_UNBALANCE))  # fmt: skip


def _line_amps(unit: Unit, terminal: str) -> list[str]:
    feeds = [wire for wire, _ in unit.wires_at(terminal) if wire.carries == "L1"]
    return [id_of("amps", wire.name) for wire in feeds]


def _wire_of(unit: Unit, card: CheckCard) -> str | None:
    """The wire whose amps flow through a joint: the wire itself, or one at a contact's end."""
    (block,) = card.touches
    if block in unit.wire_by_name:
        return block
    carry = [wire for wire, _ in unit.wires_at(card.red) if wire.carries != "heater"]
    return carry[0].name if carry else None
