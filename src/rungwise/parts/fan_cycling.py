"""The fan-cycling pressure switch: it keeps the outdoor fan off until the head pressure has risen.

On a cool day the fan stands 20 to 120 s and comes again, and that is right.  One kit opens below
250 psi and closes above 450 psi of R-410A, 10 psi either way (a supplier's page).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr, FloatArray, both, contact, either, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import in_line, series_switch
from rungwise.parts.rule import Going, Rule, Seen, Step, Wish
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import SWITCHES, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Words

ANY_PSI = 1.0
"""A head pressure that every unit which runs has."""


@dataclass(frozen=True, slots=True)
class CyclingRule(Rule):
    """State is 1 from where the head pressure has risen past `closes_psi` until it has fallen
    under `opens_psi`.

    Where the fan that it starts brings the pressure down again there is no rest: the fixed point
    then has it closed, which is the part of each turn that a meter waits for.
    """

    closes_psi: Expr
    opens_psi: Expr

    order = 6
    watches = "pressure"
    opens = "never"
    pulls = False

    def at_once(self, seen: Seen, /) -> Step | None:
        """Open where the compressor stands: its pressure goes."""
        runs = seen.pressed_s("high", np.asarray(ANY_PSI))
        if runs is None:
            return None
        opens = np.isinf(runs) & (seen.values[self.state] > 0)
        return Step(np.broadcast_to(opens, (seen.size,)), 0.0)

    def wait_s(self, seen: Seen, /) -> FloatArray | None:
        """Seconds of running until it closes."""
        wait = seen.pressed_s("high", self.closes_psi(seen.values))
        return None if wait is None else np.where(seen.values[self.state] == 0, wait, np.inf)

    def wish(self, seen: Seen, going: Going, /) -> Wish | None:
        """Close on the rise, open on the fall."""
        closed = bool(seen.values[self.state][0] > 0)
        psi = (self.opens_psi if closed else self.closes_psi)(seen.values)
        seconds = going.pressure_s("high", float(np.ravel(psi)[0]), rising=not closed)
        return None if np.isinf(seconds) else Wish(float(not closed), seconds, by_then=False)


_REPLACE = Repair(
    "replace",
    "with the gauge above its print read the volts across it: the line there is an open "
    "switch; replace it with the same pressures",
    90.0,
    frozenset({"volts", "ohms"}),
)

KINDS = (
    PartKind(
        name="fan_cycling_switch",
        title="fan-cycling pressure switch",
        terminals=("1", "2"),
        parameters=(
            Parameter("closes_psi", "psi", 450.0, 50, 650, "head pressure at which it closes",
                      tolerance=0.04, learned=False),
            Parameter("opens_psi", "psi", 250.0, 30, 600, "head pressure at which it opens",
                      tolerance=0.04, learned=False, moves_with="closes_psi"),
            closed_contact(0.03, 1e-3, 1.0, 0.6, untold=1.0),
            handle("held_open", "never closes"),
            handle("stuck", "never opens"),
        ),
        elements=contact(
            "contact", "1", "2", ohm=value("contact_ohm"),
            closed=either(both(value("risen"), negate(value("held_open"))), value("stuck")),
        ),
        facets=(
            families("high-pressure switch"),
            in_line(),
            series_switch("pressure_switch"),
            Words(
                "winter switch of the fan",
                "This switch lets the outdoor fan rest on cool days.",
                {"open": FAILED, "stuck": FAILED, "another_contact": SOMETHING},
            ),
            Probes(apart=(("1", "2"),), across=(("1", "2"),)),
            Looks(),
            Poles((Pole("1", "2", "contact", "held_open", stuck_handle="stuck"),),
                  moved_by="itself", at_rest="open"),
            Terminals(dict.fromkeys(("1", "2"), ("tab",))),
            Label(("closes_psi", "opens_psi"), unseen=("fitting", "refrigerant")),
            Ratings((Rating("closes_psi", Against.SETTING),)),
            Wear(SWITCHES, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Poles} | JOINTS | {MixedUp},
        states=(
            State("risen", 0.0, "rule", "the head pressure has risen", "closes", "opens again"),
        ),
        rules=(CyclingRule("risen", "contact", value("closes_psi"), value("opens_psi")),),
        modes=(
            _REPLACE.mode("open", "fan-cycling switch never closes: the outdoor fan stands", 6.0,
                          Draw("held_open", 1, 1)),
            _REPLACE.mode("stuck",
                          "fan-cycling switch never opens: the fan runs on cool days too", 4.0),
            _REPLACE.another("contact", 0.5, Draw("contact_ohm", 2.0, 1000.0),
                             noun="fan-cycling switch"),
        ),
    ),
)  # fmt: skip
