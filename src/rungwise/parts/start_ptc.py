"""The PTC start assist: a resistance beside the run capacitor that takes itself out by its heat.

Cold it passes amps into the start winding; these heat it within a second to many times its ohms,
and it stays hot by what little it then passes.  After a stop it has to cool before it helps again.
Cold 15 to 75 Ω at 25 °C by make and 100 to 180% of its print, out within 0.25 to 1 s (a supplier's
data sheet and a training page); at least 3 min off before it works again (a maker's policy sheet).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Branch, Expr, FloatArray, Lookup, negate, value
from rungwise.parts.facets import JOINTS, LOADS, SWITCHING, MixedUp, Terminals, families
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.parts.pictures import START_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import COIL_S, LOST_SHARE, Going, Rule, Seen, Step, Wish
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Label, LabelFigure, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words

HEATS_VOLT = 50.0
"""Across it from here on it heats to its hot ohms; a motor's capacitor has 150 V and more."""


@dataclass(frozen=True, slots=True)
class SelfHeatRule(Rule):
    """State is 1 while the element's own heat has it at its hot ohms.

    It gets there `heats_s` after its volts came, and back `cools_s` after they went.
    """

    heats_s: Expr
    cools_s: Expr

    order = 4
    watches = "volts"
    opens = "never"
    pulls = False
    counts = True
    awaited = True

    @property
    def waits_for_speed(self) -> bool:
        """It is there for a start, and out as the rotor comes to speed."""
        return True

    def acts_at_volt(self, _values: Lookup, /) -> FloatArray:
        """Volts from which it heats."""
        return np.asarray(HEATS_VOLT)

    def at_once(self, seen: Seen, /) -> Step:
        """Be hot already, where it was found so."""
        found = (seen.values["held_hot"] > 0) & (seen.values[self.state] == 0)
        return Step(np.broadcast_to(found, (seen.size,)), 1.0)

    def wait_s(self, seen: Seen, /) -> FloatArray:
        """Seconds until it is hot, where it has volts."""
        heats = (seen.volt(self.element) >= HEATS_VOLT) & (seen.values[self.state] == 0)
        return np.where(heats, self.heats_s(seen.values), np.inf)

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Get hot, or cool."""
        volt = float(np.ravel(seen.volt(self.element))[0])
        if bool(self.at_once(seen).moves[0]):
            return Wish(1.0, COIL_S, by_then=True)
        if seen.values[self.state][0] > 0:
            cools = volt < LOST_SHARE * HEATS_VOLT and not seen.values["held_hot"]
            return Wish(0.0, _seconds(self.cools_s, seen), by_then=True) if cools else None
        if volt < HEATS_VOLT:
            return None
        return Wish(1.0, _seconds(self.heats_s, seen), by_then=True)

    def first_swing(self, state: FloatArray, _chatters: object, /) -> FloatArray:
        """Cold at the first swing of a start from rest."""
        return np.zeros_like(state)


def _seconds(told: Expr, seen: Seen) -> float:
    return float(np.ravel(told(seen.values))[0])


def _ohm(p: Lookup) -> FloatArray:
    return np.where(p["hot"] > 0, p["hot_ohm"], p["cold_ohm"])


_OHMS = frozenset({"ohms"})
_REPLACE = Repair(
    "replace",
    "let it cool 5 minutes, take one lead off and read it: 100 to 180% of its print is good; "
    "replace it",
    60.0,
    _OHMS,
)

KINDS = (
    PartKind(
        name="start_ptc",
        title="PTC start assist",
        terminals=("1", "2"),
        parameters=(
            Parameter("cold_ohm", "Ω", 35.0, 10.0, 150.0, "resistance cold",
                      tolerance=0.3, untold=0.6,
                      spread_source="100 to 180% of a print of 25 Ω, a training page"),
            Parameter("hot_ohm", "Ω", 35000.0, 5000.0, 1e6, "resistance at its heat",
                      tolerance=0.3, untold=0.6, learned=False),
            Parameter("heats_s", "s", 0.6, 0.1, 2.0, "time until it has taken itself out",
                      tolerance=0.3, learned=False),
            Parameter("cools_s", "s", 240.0, 60.0, 900.0, "time off before it helps again",
                      tolerance=0.25, learned=False),
            handle("open", "open or cracked"),
            handle("shorted", "stays at a few ohms, hot or not"),
            handle("held_hot", "still hot from the last start"),
        ),
        elements=(
            Branch("body", "1", "2", _ohm, closed=negate(value("open"))),
            Branch("short", "1", "2", lambda p: 0.0 * p["shorted"] + 3.0,
                   closed=value("shorted")),
        ),
        facets=(
            families("start kit"),
            Stand(top=("1", "2"), turns=True, rank=START_RANK),
            Symbol((Piece("body", ("1", "2"), ("box",), ("body",), figures=("cold_ohm",)),)),
            Words(
                "starting helper",
                "This part helps the compressor over its first second.",
                {
                    "open": FAILED,
                    "shorted": FAILED,
                    "still_hot": Plain(
                        "The {noun} was still hot from the start before.",
                        "keep it from starting again within five minutes",
                    ),
                    "another_ohm": SOMETHING,
                },
            ),
            Probes(apart=(("1", "2"),)),
            Looks(),
            Terminals(dict.fromkeys(("1", "2"), ("tab",)), reach_minutes=1.0),
            Label(
                ("rating_ohm",),
                (LabelFigure("rating_ohm", "Ω", 5, 150, "ohms printed on it"),),
                unseen=("duty", "a delay before each start, which it needs"),
            ),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING | JOINTS | {MixedUp, Ratings},
        states=(
            State("hot", 0.0, "rule", "hot, and out of the way",
                  "is hot and out of the way", "has cooled, and can help again"),
        ),
        rules=(SelfHeatRule("hot", "body", value("heats_s"), value("cools_s")),),
        modes=(
            _REPLACE.mode("open", "{noun} open or cracked", 10.0,
                          behind="short cycling without a delay"),
            Mode("still_hot", "{noun} still hot: started again within 3 minutes", 15.0,
                 (Draw("held_hot", 1, 1),), "find_cause",
                 "wait 5 minutes with the unit off and try again; it starts: find what makes it "
                 "start so often, and see that it has a time delay",
                 behind="short cycling, a hand at the thermostat, no delay", shown_by=_OHMS,
                 is_effect=True, wrong_minutes=10.0),
            _REPLACE.mode("shorted", "{noun} shorted: it never takes itself out", 2.0,
                          shown_by=_OHMS | {"amps"}),
            _REPLACE.another("ohm", 0.5, Draw("cold_ohm", 3.0, 100.0, "scale")),
        ),
    ),
)  # fmt: skip
