"""The steps of making a work zone dead, in order, each with what must be read."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Literal

from rungwise.isolation.cautions import Caution
from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.discharge import EMPTY_VOLT, TOUCH_VOLT
from rungwise.isolation.findings import Findings
from rungwise.isolation.lead_places import part_of
from rungwise.isolation.limits import DEAD_VOLT
from rungwise.isolation.order_of_work import rounds
from rungwise.isolation.probes import Pair
from rungwise.isolation.proving_check import ProvingCheck
from rungwise.isolation.stored_energy import StoredCharge
from rungwise.isolation.wording import (
    capital,
    list_words,
    pair_words,
    points_words,
    volts_words,
)
from rungwise.isolation.work_zone import ZONES
from rungwise.quantity import format_quantity
from rungwise.unit.element import EARTH

StepKind = Literal[
    "thermostat", "open", "lock", "prove meter", "measure", "confirm", "bleed", "empty"
]


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do at one place.

    ``must_read`` is what the meter must show before the next step, empty where none is used.
    ``else_means`` says what another reading tells.  ``pair`` is where the leads go.
    """

    number: int
    kind: StepKind
    place: str
    text: str
    must_read: str = ""
    else_means: str = ""
    pair: Pair | None = None
    cautions: tuple[Caution, ...] = ()


def work_steps(found: Findings) -> tuple[Step, ...]:
    """All steps, numbered from 1."""
    steps = (_thermostat(), *_rounds(found), *_bleeding(found))
    return tuple(replace(step, number=n) for n, step in enumerate(steps, start=1))


def _thermostat() -> Step:
    return Step(
        0, "thermostat", "room", "Turn the thermostat off. That ends the call; it isolates nothing."
    )


def _rounds(found: Findings) -> Iterator[Step]:
    """Devices opened at one place, then a session with the meter."""
    order = found.proof.order
    start = 0
    for end in sorted(set(rounds(order))):
        for at in range(start, end + 1):
            yield from _open_and_lock(found, order[at], at)
        checks = [check for check in found.proof.checks if start < check.stage <= end + 1]
        yield from _session(found, checks, stage=end, last=end == len(order) - 1)
        start = end + 1


def _open_and_lock(found: Findings, device: IsolatingDevice, at: int) -> Iterator[Step]:
    live = [p for p in found.still_live[at] if p.terminal in device.terminals]
    warned: tuple[Caution, ...] = ()
    if live:
        text = (
            f"Still live inside it: {points_words(found.unit, [p.terminal for p in live])}, "
            f"{volts_words(max(p.volt for p in live))} to earth. Keep hands and tools off."
        )
        warned = (Caution("DANGER", text),)
    yield Step(0, "open", device.place, f"Open the {device.title}.", cautions=warned)
    yield Step(0, "lock", device.place, f"Lock the {device.title} open and hang your tag on it.")


def _session(
    found: Findings, checks: Sequence[ProvingCheck], *, stage: int, last: bool
) -> Iterator[Step]:
    """Live-dead-live: prove the meter, measure, prove it again."""
    measures = [
        _measure(found, check) for check in sorted(checks, key=lambda c: _nearness(found, c))
    ]
    if last:
        measures += _confirmations(found)
    if measures:
        yield _prove(found, stage, measures[0].place, "Prove the meter")
        yield from measures
        yield _prove(found, stage, measures[-1].place, "Prove the meter again")


def _nearness(found: Findings, check: ProvingCheck) -> tuple[int, int]:
    """Far places first, so that the last measurement ends where the hands will be."""
    _, places, beside = ZONES[found.zone]
    nearest = (*reversed(beside), *places)
    return (nearest.index(check.place) if check.place in nearest else -1, check.stage)


def _prove(found: Findings, stage: int, place: str, verb: str) -> Step:
    """On a line side that is still live near ``place``, which proves the earth point as well."""
    near = {place, *(ZONES[found.zone][2] if place in ZONES[found.zone][1] else ())}
    devices = {
        device.terminals: device.place for device in found.proof.order if device.place in near
    }
    text = f"{verb}, in low-impedance AC volts, on a known live source"
    for point in found.still_live[stage]:
        for terminals, at in devices.items():
            if point.terminal in terminals:
                pair = (point.terminal, EARTH)
                text = f"{text}: {pair_words(found.unit, pair)}."
                reads = f"about {volts_words(point.volt)}"
                return Step(0, "prove meter", at, text, reads, _NO_PROOF, pair)
    text = f"{text}: a live outlet or a proving unit."
    return Step(0, "prove meter", place, text, "its known volts", _NO_PROOF)


_NO_PROOF = "Anything else means: the meter, a lead or the earth point fails; no reading counts"


def _measure(found: Findings, check: ProvingCheck) -> Step:
    by_volts: dict[str, list[str]] = {}
    for reading in check.live:
        if reading.sure:
            by_volts.setdefault(volts_words(reading.volt), []).append(reading.failure.title)
    means = [f"about {volts} means: {list_words(titles)}" for volts, titles in by_volts.items()]
    return Step(
        0,
        "measure",
        check.place,
        f"Measure {pair_words(found.unit, check.pair)}.",
        must_read=_dead_words(),
        else_means=capital("; ".join(means)),
        pair=check.pair,
    )


def _confirmations(found: Findings) -> list[Step]:
    """Each leg to earth, then leg to leg, where the hands will be: beyond the fewest checks."""
    pairs: list[Pair] = [*((leg, EARTH) for leg in found.legs), *combinations(found.legs, 2)]
    return [
        Step(
            0,
            "confirm",
            found.unit.part(part_of(pair[0])).place,
            f"Just before you touch anything, measure {pair_words(found.unit, pair)}.",
            must_read=_dead_words(),
            pair=pair,
        )
        for pair in pairs
    ]


def _dead_words() -> str:
    return f"below {DEAD_VOLT:.0f} V AC"


def _bleeding(found: Findings) -> Iterator[Step]:
    for charge in found.stored:
        yield _bleed(found, charge)
        yield Step(
            0,
            "empty",
            charge.place,
            f"Measure {pair_words(found.unit, charge.terminals)} in DC volts.",
            must_read=f"below {EMPTY_VOLT:.0f} V DC",
            else_means="More means: hold the resistor on again",
            pair=charge.terminals,
        )


def _bleed(found: Findings, charge: StoredCharge) -> Step:
    resistor, bled = charge.bleed.resistor, charge.bleed
    tool = f"{format_quantity(resistor.resistance_ohm, 'Ω')}, {resistor.rated_w:.0f} W resistor"
    text = (
        f"Bleed {pair_words(found.unit, charge.terminals)}: hold the {tool} on insulated leads "
        f"across it for {math.ceil(bled.to_empty_s)} s or more. From {charge.peak_v:.0f} V it is "
        f"below {TOUCH_VOLT:.0f} V after {bled.to_touch_s:.1f} s, below {EMPTY_VOLT:.0f} V after "
        f"{bled.to_empty_s:.1f} s."
    )
    return Step(
        0, "bleed", charge.place, text, pair=charge.terminals, cautions=_bleed_notes(charge)
    )


def _bleed_notes(charge: StoredCharge) -> tuple[Caution, ...]:
    notes: list[Caution] = []
    if charge.beside:
        notes.append(Caution("NOTICE", f"The {list_words(charge.beside, 'and')} empties with it."))
    if charge.own_bleed_s is not None:
        text = (
            f"Its own resistor brings it to {TOUCH_VOLT:.0f} V in {charge.own_bleed_s:.1f} s if it "
            "is whole. Do not count on it."
        )
        notes.append(Caution("WARNING", text))
    if not charge.bleed.resistor_bears_it:
        watts = f"{charge.bleed.first_w:.0f} W at first"
        notes.append(Caution("CAUTION", f"The resistor is overloaded, {watts}, and gets hot."))
    return tuple(notes)
