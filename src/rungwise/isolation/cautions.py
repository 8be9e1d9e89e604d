"""Cautions with the signal words of ANSI Z535, each with the figures of this very circuit.

DANGER: will kill or injure badly; WARNING: could; CAUTION: could injure lightly; NOTICE: no
injury (ANSI Z535.4-2007, 4.14).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from rungwise.isolation.findings import Findings
from rungwise.isolation.lead_places import part_of
from rungwise.isolation.limits import DEAD_VOLT, LIVE_VOLT
from rungwise.isolation.live_points import LivePoint
from rungwise.isolation.stored_energy import HIGH_LEG_VOLT
from rungwise.isolation.wording import (
    list_words,
    pair_words,
    place_words,
    points_words,
    volts_words,
)
from rungwise.isolation.work_zone import ZONES, zone_title

Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
SIGNALS: tuple[Signal, ...] = ("DANGER", "WARNING", "CAUTION", "NOTICE")


@dataclass(frozen=True, slots=True)
class Caution:
    """A signal word and what it warns of."""

    signal: Signal
    text: str


def cautions(found: Findings) -> tuple[Caution, ...]:
    """Everything to know before the work begins, worst first."""
    said = (
        *_live_after(found),
        *_failed(found),
        *_unproved(found),
        *_panel(found),
        *_live_before(found),
        *_traps(found),
        *_stored(found),
        *_welded(found),
        *_moving(found),
        *_low_voltage(found),
        *_always(),
    )
    return tuple(sorted(said, key=lambda caution: SIGNALS.index(caution.signal)))


def _terminals(points: tuple[LivePoint, ...]) -> list[str]:
    return [point.terminal for point in points]


def _live_after(found: Findings) -> Iterator[Caution]:
    if found.live_after:
        points = points_words(found.unit, _terminals(found.live_after))
        yield Caution(
            "DANGER",
            f"With every device of this plan open these points stay live: {points}. Keep out "
            "until the supply is cut before the panel.",
        )


def _failed(found: Findings) -> Iterator[Caution]:
    for device in found.failed:
        yield Caution(
            "DANGER",
            f"The {device.title} is known not to open in every pole. This plan counts on it for "
            "nothing; mend it before anyone relies on it.",
        )


def _unproved(found: Findings) -> Iterator[Caution]:
    unproved = [failure.title for failure in found.proof.unproved]
    if unproved:
        yield Caution(
            "DANGER",
            f"No measurement can show it now if {list_words(unproved)}: the supply there is dead, "
            "bypassed or broken, and may come back. Count on none of them.",
        )


def _panel(found: Findings) -> Iterator[Caution]:
    still = found.still_live[-1] if found.still_live else ()
    if not still:
        return
    unit = found.unit
    supply = [t for t in _terminals(still) if _is_supply(found, t)]
    rest = Counter(unit.part(part_of(t)).place for t in _terminals(still) if t not in supply)
    others = [f"{many} points in the {place_words(place)}" for place, many in rest.items()]
    words = list_words([points_words(unit, supply), *others], "and")
    yield Caution("DANGER", f"To the end these stay live: {words}. Keep their covers on.")


def _is_supply(found: Findings, terminal: str) -> bool:
    """Whether a terminal is the service's or an isolating device's."""
    part = part_of(terminal)
    return found.unit.part(part).kind == "service" or bool(found.unit.kind_of(part).isolates)


def _live_before(found: Findings) -> Iterator[Caution]:
    live = _terminals(found.live_before)
    if not live:
        return
    contactors = {part.name for part in found.unit.parts if part.kind.startswith("contactor")}
    lugs = [point for point in live if part_of(point) in contactors]
    among = f", among them {points_words(found.unit, lugs)}" if lugs else ""
    yield Caution(
        "DANGER",
        f"Thermostat off is not dead: {len(live)} points in the {zone_title(found.zone)} are "
        f"live above {LIVE_VOLT:.0f} V{among}.",
    )


def _traps(found: Findings) -> Iterator[Caution]:
    for trap in found.proof.traps[:1]:
        yield Caution(
            "WARNING",
            f"0 V from leg to leg proves nothing. When {trap.failure.title}, "
            f"{pair_words(found.unit, trap.legs)} reads {volts_words(trap.line_to_line_volt)} "
            f"with {volts_words(max(trap.to_earth_volt))} to earth on a leg. Measure each leg to "
            "earth.",
        )


def _stored(found: Findings) -> Iterator[Caution]:
    for charge in found.stored:
        leads = list_words([t.rpartition(".")[2] for t in charge.terminals], "to")
        yield Caution(
            "WARNING",
            f"The {charge.title}, {leads}, may hold up to {charge.peak_v:.0f} V DC and "
            f"{charge.stored_j:.1f} J after the power is off (worst case: {charge.highest_when}, "
            f"{2 * HIGH_LEG_VOLT:.0f} V supply).",
        )


def _welded(found: Findings) -> Iterator[Caution]:
    for part in found.unit.parts:
        if part.kind.startswith("contactor") and found.known_fault.get((part.name, "welded")):
            yield Caution(
                "WARNING",
                f"The {part.title} is welded: the motors start the moment power comes back, with "
                "no call.",
            )


def _moving(found: Findings) -> Iterator[Caution]:
    fans = found.unit.parts_of_kind("fan_motor")
    near = [part.title for part in fans if part.place in ZONES[found.zone][1]]
    if near:
        yield Caution("WARNING", f"Wait until the {list_words(near, 'and')} stands still.")


def _low_voltage(found: Findings) -> Iterator[Caution]:
    if found.low_voltage:
        most = max(point.loaded_volt for point in found.low_voltage)
        parts = [found.unit.part(part_of(t)).title for t in _terminals(found.low_voltage)]
        yield Caution(
            "CAUTION",
            f"Control volts come from the indoor unit: {volts_words(most)} on the "
            f"{list_words(list(dict.fromkeys(parts)), 'and')} whenever the thermostat calls, as "
            "long as the indoor circuit is on.",
        )


def _always() -> Iterator[Caution]:
    yield Caution(
        "WARNING",
        "A non-contact tester is a hint, never a proof. Prove with a contact meter of category "
        f"III in low-impedance AC volts: below {DEAD_VOLT:.0f} V is dead. An ordinary volts range "
        "shows ghosts.",
    )
    yield Caution(
        "WARNING",
        "Earth is bare metal of the cabinet, the same in every reading. Metal that is not earthed "
        "makes a live point read dead: it must read a known live leg as live.",
    )
    yield Caution(
        "NOTICE",
        (
            "Follow local codes and the rules of your employer; licensed practice where required. "
            "Order of proof: live-dead-live, NFPA 70E 120.5 (2018 and 2021 editions, from memory)."
        ),
    )
