"""The guard of a unit with a mildly flammable refrigerant: a leak sensor and its board.

Times are seen on makers' sheets: an unplugged sensor acts after 15 s, and the unit stays stopped
with its blower on for 5 minutes past the alarm. What the sensor says on its data wire is no matter
of volts: it stands here as a loop that is right, open, or shorted. The rest is common practice, no
source.
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
    fixed,
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
from rungwise.parts.pictures import TWO_TABS, Piece, Stand, Symbol
from rungwise.parts.rule import BoolArray, DelayRule, Going, Rule, Seen, Step, Wish
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import CONTROLS, Facet, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, LeaveOff, Plain, Words, told

LEAST_SENSED, MOST_SENSED = 0.08, 0.6
"""Shares of the board's own volts between which its sensor is there and sees no leak."""


@dataclass(frozen=True, slots=True)
class LeakRule(Rule):
    """State is 1 while the `element` has volts outside the window of a sensor that is content.

    It comes `act_s` after they left the window, and stays `hold_s` after they are back.
    """

    supply: str
    act_s: Expr
    hold_s: Expr

    order = 4
    watches = "volts"
    opens = "never"
    pulls = False

    def _alarmed(self, seen: Seen) -> BoolArray:
        share = seen.volt(self.element) / np.maximum(seen.volt(self.supply), 1e-6)
        return np.asarray((share < LEAST_SENSED) | (share > MOST_SENSED))

    def at_once(self, seen: Seen, /) -> Step:
        """Be where the sensor says, as far as a solution at rest is concerned."""
        wanted = self._alarmed(seen)
        return Step(np.asarray(wanted != (seen.values[self.state] > 0)), np.asarray(wanted, float))

    def wait_s(self, seen: Seen, /) -> None:
        """At rest it has acted."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Act once the alarm has stood for its time, let go once it has been gone for its own."""
        alarmed = bool(np.ravel(self._alarmed(seen))[0])
        if alarmed == bool(seen.values[self.state][0] > 0):
            return None
        wait = (self.act_s if alarmed else self.hold_s)(seen.values)
        return Wish(float(alarmed), float(np.ravel(wait)[0]), by_then=True)


_STRIP = ("R", "C", "Yin", "Yout", "Gin", "Gout", "S", "SG")
_POWERED = both(value("awake"), negate(value("dead")))
_PASSES = both(_POWERED, negate(value("tripped")))
_LIGHT = frozenset({"look:light"})
_BOARD = Repair(
    "replace",
    "with R to C and its sensor right, a call at Yin and none at Yout is the board; replace it",
    150.0,
    frozenset({"volts", "drop", "ohms"}),
)


def _sensor_ohm(p: Lookup) -> FloatArray:
    return np.where(p["alarms"] > 0, 40.0, p["loop_ohm"])


def _board_facets() -> tuple[Facet, ...]:
    return (
        families("electronics", "board"),
        Stand(top=("Yin", "Gin", "R", "C"), bottom=("Yout", "Gout", "SG", "S")),
        Symbol(
            (
                Piece("y", ("Yin", "Yout"), ("contact_nc",), ("y",), through=True,
                      aside="Y, opens on a leak"),
                Piece("g", ("Gin", "Gout"), ("contact_nc",), ("g",), through=True,
                      aside="G"),
                Piece("forced", ("R", "Gout"), ("contact",), ("forced",), through=True,
                      aside="blower on, on a leak"),
                Piece("supply", ("R", "C"), ("box",), ("supply",), aside="electronics"),
                Piece("sense", ("S", "SG"), ("box",), ("sense",), aside="sensor's plug"),
            )
        ),
        Words(
            purpose="This board stops the unit and airs the room when refrigerant leaks.",
            modes={
                **told(FAILED, ("dead", "y_open")),
                **told(SOMETHING, ("another_contact",)),
            },
        ),
        Probes(volts=(("R", "C"), ("Yin", "C"), ("Yout", "C"), ("Gin", "C"), ("Gout", "C"))),
        Looks(),
        Poles(
            (
                Pole("Yin", "Yout", "y", "y_open"),
                Pole("Gin", "Gout", "g"),
                Pole("R", "Gout", "forced"),
            ),
            moved_by="itself", at_rest="closed",
        ),
        OpensOn("leaking refrigerant", ("Yin", "Yout")),
        Terminals(dict.fromkeys(_STRIP, ("tab",))),
        Label(),
        Wear(CONTROLS, usual=False),
    )  # fmt: skip


def _board() -> PartKind:
    ohm = value("contact_ohm")
    return PartKind(
        name="leak_board",
        title="leak-mitigation board",
        terminals=_STRIP,
        parameters=(
            Parameter("supply_ohm", "Ω", 180.0, 50.0, 1e5, "what its electronics draw", 0.2,
                      untold=0.8, learned=False),
            closed_contact(0.05, 1e-3, 1.0, 0.3, untold=0.8),
            Parameter("wakes_volt", "V", 15.0, 8.0, 22.0, "volts from which its electronics work",
                      0.35, learned=False, hidden=True, spread_source="by make (estimate)"),
            Parameter("act_s", "s", 15.0, 0.0, 60.0, "from a sensor gone to its alarm", 0.2,
                      learned=False, source="15 s, seen on a maker's sheet"),
            Parameter("hold_s", "s", 300.0, 60.0, 900.0, "from no alarm to a unit that may run",
                      0.05, learned=False, source="5 min, seen on a maker's sheet"),
            handle("dead", "passes nothing on and forces nothing"),
            handle("y_open", "contact of Y does not carry"),
        ),
        elements=(
            Branch("supply", "R", "C", value("supply_ohm")),
            Branch("feed", "R", "S", fixed(4700.0)),
            Branch("sense", "S", "SG", fixed(1e5)),
            Branch("ground", "SG", "C", fixed(0.01)),
            *contact("y", "Yin", "Yout", ohm=ohm, closed=both(_PASSES, negate(value("y_open")))),
            *contact("g", "Gin", "Gout", ohm=ohm, closed=_PASSES),
            *contact("forced", "R", "Gout", ohm=ohm, closed=both(_POWERED, value("tripped"))),
        ),
        facets=_board_facets(),
        lacks=LOADS | SWITCHING - {OpensOn, Poles} | JOINTS | {MixedUp, Ratings},
        states=(
            State("awake", 0.0, "rule", "its electronics have 24 V", "wakes", "goes dark"),
            State("tripped", 0.0, "rule", "it sees a leak, or no sensor",
                  "stops the unit and runs the blower", "lets the unit run again"),
        ),
        rules=(
            DelayRule("awake", "supply", value("wakes_volt"), fixed(0.5)),
            LeakRule("tripped", "sense", supply="supply", act_s=value("act_s"),
                     hold_s=value("hold_s")),
        ),
        modes=(
            _BOARD.mode("dead", "{noun} dead", 8.0, behind="a surge, low volts or water"),
            _BOARD.mode("y_open", "{noun} does not pass Y on", 4.0),
            _BOARD.another("contact", 0.5, Draw("contact_ohm", 2.0, 5e3)),
        ),
    )  # fmt: skip


_SENSOR = Repair(
    "replace",
    "seat its plug and dry its drip loop first; then replace the sensor, which has an end date",
    60.0,
    _LIGHT,
)


def _sensor() -> PartKind:
    return PartKind(
        name="leak_sensor",
        title="leak sensor",
        terminals=("1", "2"),
        parameters=(
            Parameter("loop_ohm", "Ω", 1200.0, 100.0, 1e5, "its loop while it sees no leak", 0.1,
                      untold=0.3, learned=False),
            handle("alarms", "says that refrigerant leaks"),
            handle("unplugged", "its plug is off or wet inside"),
        ),
        elements=(
            Branch("loop", "1", "2", _sensor_ohm, closed=negate(value("unplugged"))),
        ),
        facets=(
            families("electronics", "sensor"),
            TWO_TABS,
            Symbol((Piece("loop", ("1", "2"), ("box",), ("loop",)),)),
            Words(
                purpose="The sensor smells leaking refrigerant in the indoor unit.",
                modes={
                    "leak": Plain(
                        "The {noun} said that refrigerant leaks.",
                        "air the room, find the leak and repair it", LeaveOff.BREAKER,
                    ),
                    "fouled": Plain("The {noun} was dirty or wet, and raised a false alarm."),
                    "another_loop": SOMETHING,
                    "unplugged": Plain("The plug of the {noun} was off.", "seat its plug"),
                },
            ),
            Probes(),
            Looks(
                (
                    Look("alarm_code", "light",
                         "which code does the board's light show?", ("none", "a leak")),
                    Look("plug_code", "plug", "is its plug seated, dry and whole?",
                         ("it sits", "off or wet")),
                    Look("gas", "gas", "does a leak detector find refrigerant at the indoor unit?",
                         ("none", "refrigerant"), first=True),
                )
            ),
            Terminals(dict.fromkeys(("1", "2"), ("tab",)), reach_minutes=4.0),
            Label(),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING | JOINTS | {MixedUp, Ratings},
        modes=(
            Mode("leak", "refrigerant leaks, and the {noun} says so", 10.0,
                 (Draw("alarms", 1, 1),), "find_cause",
                 "it burns. Sniff low, air the room, no spark and no switching; then find "
                 "the leak and mend it: the guard does its job", signal="WARNING",
                 behind="a leak in the indoor coil or its fittings",
                 signs={"gas": 0.9, "alarm_code": 0.9}, shown_by=frozenset({"look:gas"}),
                 is_effect=True, wrong_minutes=20.0),
            _SENSOR.mode("fouled", "{noun} dirty, wet or at its end: a false alarm", 25.0,
                         Draw("alarms", 1, 1), behind="cleaner, silicone or water on it",
                         signs={"alarm_code": 0.9}),
            Mode("unplugged", "plug of the {noun} off or wet", 15.0,
                 (Draw("unplugged", 1, 1),), "harness", "seat its plug, dry it, make a drip loop",
                 signs={"plug_code": 0.85}, shown_by=frozenset({"look:plug"}), wrong_minutes=10.0),
            _SENSOR.another("loop", 0.6, Draw("loop_ohm", 5e3, 1e5)),
        ),
    )  # fmt: skip


KINDS = (_board(), _sensor())
