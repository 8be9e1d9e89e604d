"""Which terminals a candidate keeps live, or lets go dead, with the thermostat off.

Loads may all do the same and a point still be live that was dead: a one-pole contactor holds its
T2 on a leg through the bar.  Whoever works on the unit next has to know.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.replacement.circuits import Specimen
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.trials import OFF
from rungwise.unit.element import EARTH

__all__ = ["LIVE_VOLT", "live_reasons"]

LIVE_VOLT = 50.0
"""A point over this against earth is live (NFPA 70E 110.4, from memory)."""


def live_reasons(found: Specimen, fitted: Specimen, pieces: tuple[str, ...]) -> Iterator[Reason]:
    """A caution for points that become live, a note for those that go dead."""
    before, after = _volts(found), _volts(fitted)
    both = [point for point in after if point in before]
    live = [p for p in both if after[p] > LIVE_VOLT >= before[p]]
    dead = [p for p in both if before[p] > LIVE_VOLT >= after[p]]
    if live:
        first = _first(live, pieces)
        yield Reason(
            Weight.CAUTION,
            "live.more",
            f"With the thermostat off {_named(live, first)} at {after[first]:.0f} V to earth; with "
            f"the part that comes out it is at {before[first]:.0f} V. Open the disconnect and "
            "prove it dead before work on it.",
            OFF.name,
            after[first],
            LIVE_VOLT,
            "V",
            "NFPA 70E 110.4, from memory",
        )
    if dead:
        first = _first(dead, pieces)
        yield Reason(
            Weight.NOTE,
            "live.fewer",
            f"With the thermostat off {_named(dead, first)} at {after[first]:.0f} V to earth "
            f"instead of {before[first]:.0f} V. The line side stays live.",
            OFF.name,
            after[first],
            LIVE_VOLT,
            "V",
            "from the solution",
        )


def _volts(specimen: Specimen) -> dict[str, float]:
    return {t: specimen.volt(OFF, t, EARTH) for t in specimen.unit.terminals()}


def _first(points: list[str], pieces: tuple[str, ...]) -> str:
    """A terminal of the candidate itself, if one is among them."""
    own = [point for point in points if point.partition(".")[0] in pieces]
    return (own or points)[0]


def _named(points: list[str], first: str) -> str:
    more = len(points) - 1
    behind = f" and {more} point{'s' if more > 1 else ''} joined to it" if more else ""
    return f"{first}{behind} {'is' if not more else 'are'}"
