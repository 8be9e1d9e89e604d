"""The three-wire thermostat on a freezer's coil: it ends the defrost, then holds the fans back.

One contact closes warm, at 50 °F, and ends the defrost before its backup time; the other closes
cold, at 25 °F, so that the fans wait until the coil has frozen what drips (a supplier's page).  A
heated coil comes warm in some 12 minutes and cold again in 3 to 10 (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.parts.element import both, contact, negate, value
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
from rungwise.parts.kind import Draw, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import CONTROL_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import Going, Rule, Seen, Wish
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import SWITCHES, UNSEEN_OF_A_SWITCH, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Words, told

WARMS_S, COOLS_S = 720.0, 240.0
"""From the start of the heat until the coil is warm, and from its end until it is cold again."""


@dataclass(frozen=True, slots=True)
class ThawRule(Rule):
    """State is 1 while the coil is warm: some minutes of heat bring it there, some of cold back.

    At rest it stays as it is: a coil that is looked at has just begun to thaw, or is cold.
    """

    order = 6
    watches = "pressure"
    opens = "never"
    pulls = False

    def at_once(self, _seen: Seen, /) -> None:
        """Heat takes its time."""

    def wait_s(self, _seen: Seen, /) -> None:
        """A defrost is looked at before it ends."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Come warm, or cold."""
        hot, warm = bool(seen.thaws()[0] > 0), bool(seen.values[self.state][0] > 0)
        if hot == warm:
            return None
        return Wish(float(hot), WARMS_S if hot else COOLS_S, by_then=True)


_READ = frozenset({"ohms", "volts", "drop"})
_REPLACE = Repair(
    "replace",
    "read both contacts with its leads off, cold and then warmed in a hand: the fans' closed "
    "cold, the other closed warm; replace it, flat on the coil where the old one sat",
    120.0,
    _READ,
)

_STEAM = Look(
    "steam", "steam", "is there steam in a defrost, or ice on the ceiling over the coil?",
    ("no", "steam or ice above it"),
)  # fmt: skip

KINDS = (
    PartKind(
        name="termination_stat",
        title="defrost termination and fan-delay thermostat",
        noun="coil thermostat",
        terminals=("com", "term", "fan"),
        parameters=(
            closed_contact(0.03, 1e-3, 1.0, 0.6, untold=1.0,
                           what="closed contact, its leads included"),
            handle("term_open", "never ends a defrost"),
            handle("fan_open", "never lets the fans run"),
        ),
        elements=(
            *contact("term", "com", "term", ohm=value("contact_ohm"),
                     closed=both(value("warm"), negate(value("term_open")))),
            *contact("fan", "com", "fan", ohm=value("contact_ohm"),
                     closed=both(negate(value("warm")), negate(value("fan_open")))),
        ),
        facets=(
            families("defrost thermostat"),
            Stand(top=("com",), bottom=("term", "fan"), rank=CONTROL_RANK),
            Symbol(
                (
                    Piece("term", ("com", "term"), ("thermal_switch",), ("term",), through=True),
                    Piece("fan", ("com", "fan"), ("thermal_switch",), ("fan",), through=True),
                )
            ),
            Words(
                "coil thermostat",
                "This thermostat ends the melting of ice and lets the fans wait for the cold.",
                {**told(FAILED, ("term_open", "fan_open")), "another_contact": SOMETHING},
            ),
            Probes(across=(("com", "fan"),)),
            Looks((_STEAM,)),
            Poles((Pole("com", "fan", "fan", "fan_open"),), moved_by="itself", at_rest="closed"),
            Terminals(dict.fromkeys(("com", "term", "fan"), ("lead",))),
            Label(unseen=UNSEEN_OF_A_SWITCH),
            Wear(SWITCHES, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Poles} | JOINTS | {MixedUp, Ratings},
        states=(
            State("warm", 0.0, "rule", "the coil is warm", "comes warm", "comes cold again"),
        ),
        rules=(ThawRule("warm", "fan"),),
        modes=(
            _REPLACE.mode("fan_open", "{noun} never lets the fans run", 15.0),
            _REPLACE.mode("term_open", "{noun} never ends a defrost", 10.0, signs={"steam": 0.8},
                          shown_by=_READ | {"look:steam"}),
            _REPLACE.another("contact", 0.6, Draw("contact_ohm", 30.0, 3000.0)),
        ),
    ),
)  # fmt: skip
