"""What anyone sees and hears at the start and at the stop, before anything is opened.

The customer tells it, a call begins with it, and no proof stands without it. Which looks these
are follows from what the unit's motors drive, not from what they are called.
"""

from __future__ import annotations

from collections.abc import Iterable

from rungwise.diagnosis.fault_table import CheckCard
from rungwise.unit import Unit


def start_looks(unit: Unit, cards: Iterable[CheckCard]) -> tuple[CheckCard, ...]:
    """Outdoor fans, compressors, blowers, what a contactor lets hear, and whether all stops."""
    found = [card for card in cards if is_seen_at_start(unit, card)]
    return tuple(sorted(found, key=lambda card: _place(unit, card)))


def is_seen_at_start(unit: Unit, card: CheckCard) -> bool:
    """Whether a check is one of these looks."""
    return card.thing in ("turns", "sound", "quiet") or is_stop(unit, card)


def is_stop(unit: Unit, card: CheckCard) -> bool:
    """Whether it is the look at the outdoor unit as the thermostat is turned off."""
    return card.thing == "idle" and not set(card.touches) & set(unit.roles.indoor_blowers)


def _place(unit: Unit, card: CheckCard) -> int:
    if card.thing == "turns":
        return 0 if set(card.touches) <= set(unit.roles.outdoor_fans) else 2
    return {"sound": 1, "quiet": 3}.get(card.thing, 4)
