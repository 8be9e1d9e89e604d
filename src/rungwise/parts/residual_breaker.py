"""The breaker that trips on what flows to ground: 30 mA, as the rules of many places ask outdoors.

It may trip from half its rating on and must at the whole of it, within 0.3 s (IEC 61008-1 and
61009-1; check your own copy).  What leaks past it is found with every load lifted and megohms read
one by one; a neutral that touches the protective conductor behind it trips it at the next load.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from rungwise.parts.breaker import KINDS as BREAKERS
from rungwise.parts.element import Expr, FloatArray, negate, value
from rungwise.parts.kind import Draw, Mode, Parameter, handle
from rungwise.parts.rule import MELT_S, BoolArray, Going, Rule, Seen, Step, Wish
from rungwise.parts.seen import Look, Looks
from rungwise.parts.words import FAILED, Words

RESIDUAL_A = "trip_a"
"""The parameter of the residual amps at which a device trips, by which it is known."""

(_BREAKER,) = (kind for kind in BREAKERS if kind.name == "breaker_2p")


@dataclass(frozen=True, slots=True)
class ResidualRule(Rule):
    """State becomes 1 for good where the amps through `element` and `other` do not cancel.

    `least_a`: the residual amps from which it trips; `able`: 0 where it no longer does.
    """

    other: str
    least_a: Expr
    able: Expr

    order = 1
    watches = "volts"
    opens = "for good"
    pulls = False

    def _trips(self, seen: Seen) -> BoolArray:
        residual = seen.residual_amp((self.element, self.other))
        over = (residual >= self.least_a(seen.values)) & (self.able(seen.values) > 0)
        return np.asarray(over & (seen.values[self.state] == 0))

    def at_once(self, seen: Seen, /) -> Step:
        """Trip where it is closed and something leaks past it."""
        return Step(np.broadcast_to(self._trips(seen), (seen.size,)), 1.0)

    def wait_s(self, seen: Seen, /) -> None:
        """It takes no time to speak of."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Trip a moment later."""
        return Wish(1.0, MELT_S, by_then=True) if np.ravel(self._trips(seen))[0] else None

    def acts_at_volt(self, _values: object, /) -> FloatArray:
        """No volts move it."""
        return np.asarray(np.inf)


_TEST = Look(
    "no_trip", "test_button", "does it trip when its test button is pushed?",
    ("it trips", "it stays on"),
)  # fmt: skip


def _looks() -> Iterator[Looks]:
    for facet in _BREAKER.facets:
        if isinstance(facet, Looks):
            yield replace(facet, marks=(*facet.marks, _TEST))


def _words() -> Iterator[Words]:
    purpose = "This breaker also switches off where current finds a way to ground."
    for facet in _BREAKER.facets:
        if isinstance(facet, Words):
            told = {**facet.modes, "test_dead": FAILED}
            yield replace(facet, noun="residual-current breaker", purpose=purpose, modes=told)


_ABLE = negate(value("deaf"))

KINDS = (
    replace(
        _BREAKER,
        name="residual_breaker",
        title="residual-current breaker, 30 mA",
        parameters=(
            *_BREAKER.parameters,
            Parameter(RESIDUAL_A, "A", 0.022, 0.003, 0.5, "residual amps at which it trips", 0.25,
                      learned=False, source="15 to 30 of 30 mA, IEC 61008-1; check your own copy"),
            handle("deaf", "does not trip on what leaks"),
        ),
        facets=(
            *(f for f in _BREAKER.facets if not isinstance(f, Looks | Words)),
            *_looks(),
            *_words(),
        ),
        rules=(
            *_BREAKER.rules,
            ResidualRule("tripped", "pole1", "pole2", value(RESIDUAL_A), _ABLE),
        ),
        modes=(
            *_BREAKER.modes,
            Mode("test_dead", "residual-current {noun} no longer trips on its test button", 1.0,
                 (Draw("deaf", 1, 1),), "replace",
                 "replace it: the protection of whoever touches the unit is gone",
                 signal="WARNING", signs={"no_trip": 0.95},
                 shown_by=frozenset({"look:test_button"}), wrong_minutes=120.0),
        ),
    ),
)  # fmt: skip
