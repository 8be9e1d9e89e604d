"""The condensate pump: a small motor on a cord, and an overflow switch in the control circuit.

It pumps for seconds when its float has risen; where it does not, the water goes on to rise and its
switch opens.  Common practice, no source: 0.5 to 1.5 A, 10 to 30 s every 5 to 20 minutes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import (
    Branch,
    Expr,
    FloatArray,
    Lookup,
    both,
    contact,
    either,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    MixedUp,
    OpensOn,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import Piece, Stand, Symbol
from rungwise.parts.rule import LOST_SHARE, Going, Rule, Seen, Wish
from rungwise.parts.seen import Look, Looks, Probes, Stands
from rungwise.parts.trade import CONTROLS, Label, LabelFigure, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words


@dataclass(frozen=True, slots=True)
class OverflowRule(Rule):
    """State is 1 once the water has risen to the switch, `rises_s` after pumping has ended.

    It pumps while the element has `volts` and nothing `keeps` the water in; the unit is taken to
    give water all the while.  Where it pumps again the water is gone in `falls_s`.
    """

    volts: Expr
    keeps: Expr
    rises_s: Expr
    falls_s: float

    order = 6
    watches = "volts"
    opens = "for good"
    pulls = False

    def acts_at_volt(self, _values: Lookup, /) -> FloatArray:
        """It acts on volts that are missing."""
        return np.asarray(np.inf)

    def at_once(self, seen: Seen, /) -> None:
        """Water takes its time."""

    def _stands(self, seen: Seen) -> FloatArray:
        dead = seen.volt(self.element) < LOST_SHARE * self.volts(seen.values)
        return np.asarray(dead | (self.keeps(seen.values) > 0), float)

    def wait_s(self, seen: Seen, /) -> FloatArray:
        """Seconds until the pan has filled, where nothing is pumped."""
        fills = (self._stands(seen) > 0) & (seen.values[self.state] == 0)
        return np.where(fills, self.rises_s(seen.values), np.inf)

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Overflow, or be pumped out again."""
        stands, over = self._stands(seen)[0] > 0, seen.values[self.state][0] > 0
        if stands == over:
            return None
        wait = float(np.ravel(self.rises_s(seen.values))[0]) if stands else self.falls_s
        return Wish(float(stands), wait, by_then=True)


_KEEPS = either(value("dead"), value("slimed"))
_OPEN = either(value("over"), value("found_over"))
_OVER = Draw("found_over", 1, 1)
_POUR = Look(
    "pumps_not", "pump",
    "with 120 V at its cord pour a cup of water into it: does it run?",
    ("it runs", "it does not run"), first=True,
)  # fmt: skip
_WATER = Stands(("over", "found_over"), ("water low", "water high"), 2.0)
_SWITCH = frozenset({"volts", "drop", "ohms"})
_SEEN = _SWITCH | {"look:pump", "look:device"}
_MINUTES = 60.0


def _in_place(*, closes: bool) -> Expr:
    free = negate(value("switch_open"))
    return both(_OPEN, free) if closes else both(negate(_OPEN), free)


KINDS = (
    PartKind(
        name="condensate_pump",
        title="condensate pump",
        terminals=("L", "N", "com", "nc", "no"),
        parameters=(
            Parameter("rated_volt", "V", 120.0, 100, 250, "rated volts"),
            Parameter("rated_a", "A", 1.0, 0.2, 4, "amps while it pumps",
                      tolerance=0.3, untold=0.6, learned=False),
            Parameter("rises_s", "s", 1200.0, 60.0, 7200.0,
                      "time in which its tank overfills on a damp day", learned=False),
            closed_contact(0.05, 1e-3, 1.0, 0.3, untold=0.8, what="its switch, closed"),
            handle("dead", "does not pump"),
            handle("slimed", "pumps, and no water leaves"),
            handle("found_over", "water up to its switch"),
            handle("switch_open", "its switch never conducts"),
        ),
        elements=(
            # Between two runs it takes nothing to speak of; what its float switches is inside.
            Branch("standby", "L", "N", lambda p: 200.0 * p["rated_volt"] / p["rated_a"]),
            Branch("motor", "L", "N", lambda p: p["rated_volt"] / p["rated_a"],
                   closed=both(negate(value("low")), negate(value("dead")))),
            *contact("stops", "com", "nc", ohm=value("contact_ohm"),
                     closed=_in_place(closes=False)),
            *contact("warns", "com", "no", ohm=value("contact_ohm"),
                     closed=_in_place(closes=True)),
        ),
        facets=(
            families("float switch"),
            Stand(top=("L", "N"), bottom=("com", "nc", "no")),
            Symbol(
                (
                    Piece("motor", ("L", "N"), ("box",), ("motor",), aside="motor"),
                    Piece("switch", ("nc", "com", "no"), ("contact_nc", "contact"),
                          ("stops", "warns"), through=True, forks=True, aside="switch"),
                )
            ),
            Words(
                "drain pump",
                "The pump lifts the water of the indoor unit to the drain.",
                {
                    "dead": FAILED,
                    "slimed": Plain("The tube of the {noun} was blocked{stopped}.",
                                    "clean the {noun} and its tube"),
                    "switch_open": FAILED,
                    "another_switch": SOMETHING,
                },
                opens_by_itself=True,
            ),
            Probes(apart=(("com", "nc"),), volts=(("com", "nc"),), conducts=True,
                   to_neutral=("L",)),
            Looks((_POUR,), _WATER),
            Poles((Pole("com", "nc", "stops", "switch_open"),), moved_by="itself",
                  at_rest="closed"),
            OpensOn("water", ("com", "nc")),
            MixedUp(landed=(("nc", "no", frozenset({"control", "field"})),)),
            Terminals({"L": ("lead",), "N": ("lead",), "com": ("lead",), "nc": ("lead",),
                       "no": ("lead",)}),
            Label(
                ("rated_volt", "rated_a"),
                (LabelFigure("lift_ft", "", 1, 60, "feet that it lifts"),),
                unseen=("lift and flow", "tank size"),
            ),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING - {OpensOn, Poles} | JOINTS | {Ratings},
        states=(
            State("low", 1.0, "position", "its float down (1) or risen (0)", "has emptied its tank",
                  "pumps"),
            State("over", 0.0, "rule", "water up to its switch",
                  "overfills, and its switch opens", "is pumped out, and its switch closes"),
        ),
        rules=(
            OverflowRule("over", "standby", lambda p: 0.7 * p["rated_volt"], _KEEPS,
                         value("rises_s"), 60.0),
        ),
        modes=(
            Mode("dead", "{noun} dead", 20.0, (Draw("dead", 1, 1), _OVER), "replace",
                 "pour water into it with 120 V at its cord: where it does not run, replace the "
                 "pump", signs={"pumps_not": 0.95}, shown_by=_SEEN,
                 wrong_minutes=_MINUTES),
            Mode("slimed", "{noun}'s tube or check valve blocked with slime", 15.0,
                 (Draw("slimed", 1, 1), _OVER), "clear",
                 "clean tank, check valve and tube; pour water and see it leave",
                 behind="slime from the pan", shown_by=_SEEN, wrong_minutes=20.0),
            Mode("switch_open", "{noun}'s switch open without water", 3.0,
                 (Draw("switch_open", 1, 1),), "replace",
                 "with the tank empty read com to nc in ohms: open is the switch; replace the pump",
                 shown_by=_SWITCH, wrong_minutes=_MINUTES),
            Repair("replace", "replace the pump, or its switch", _MINUTES, _SWITCH).another(
                "switch", 0.4, Draw("contact_ohm", 2.0, 2e3)
            ),
        ),
    ),
)  # fmt: skip
