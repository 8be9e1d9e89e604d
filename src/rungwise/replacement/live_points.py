"""Which terminals a candidate keeps live, or lets go dead, with the thermostat off.

Loads may all do the same and a point still be live that was dead: a one-pole contactor holds its
T2 on a leg through the bar.  Whoever works on the unit next has to know.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.parts.element import EARTH
from rungwise.parts.limits import LIVE_VOLT
from rungwise.replacement.circuits import Specimen
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.trials import OFF

__all__ = ["LIVE_VOLT", "live_reasons"]


def live_reasons(found: Specimen, fitted: Specimen, pieces: tuple[str, ...]) -> Iterator[Reason]:
    """A caution for points that become live, a note for those that go dead."""
    before, after = _volts(found), _volts(fitted)
    both = [point for point in after if point in before]
    live = [p for p in both if after[p] > LIVE_VOLT >= before[p]]
    dead = [p for p in both if before[p] > LIVE_VOLT >= after[p]]
    if live:
        own = _own(live, pieces)
        yield Reason(
            Weight.CAUTION,
            "live.more",
            f"With the thermostat off {_named(live, own)} at {after[own[0]]:.0f} V to earth; with "
            f"the part that comes out {before[own[0]]:.0f} V. Open the disconnect and prove it "
            "dead before work on it.",
            OFF.name,
            after[own[0]],
            LIVE_VOLT,
            "V",
            "NFPA 70E 110.4; check your own copy",
        )
    if dead:
        own = _own(dead, pieces)
        yield Reason(
            Weight.NOTE,
            "live.fewer",
            f"With the thermostat off {_named(dead, own)} at {after[own[0]]:.0f} V to earth "
            f"instead of {before[own[0]]:.0f} V. The line side stays live.",
            OFF.name,
            after[own[0]],
            LIVE_VOLT,
            "V",
            "from the solution",
        )


def _volts(specimen: Specimen) -> dict[str, float]:
    return {t: specimen.volt(OFF, t, EARTH) for t in specimen.unit.terminals()}


def _own(points: list[str], pieces: tuple[str, ...]) -> list[str]:
    """The candidate's own terminals among the points, or else the first of them."""
    own = [point for point in points if point.partition(".")[0] in pieces]
    return own or points[:1]


def _named(points: list[str], own: list[str]) -> str:
    more = len(points) - len(own)
    told = " and ".join(own)
    if more:
        told += f", and {more} point{'s' if more > 1 else ''} behind,"
    return f"{told} {'is' if len(points) == 1 else 'are'}"
