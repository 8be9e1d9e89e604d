"""The time-delay board of an outdoor unit: it waits after every stop, and locks after trips.

A black box by its terminals: R and C feed it, a call comes in at Y and goes by the loops of both
pressure switches to its own relay, and so to CC.  One make differs from the next in its times.
"""

from __future__ import annotations

import numpy as np

from rungwise.parts.element import (
    Branch,
    FloatArray,
    Lookup,
    both,
    contact,
    either,
    fixed,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    Timer,
    families,
)
from rungwise.parts.kind import (
    Draw,
    Mode,
    Parameter,
    PartKind,
    State,
    board_input,
    closed_contact,
    handle,
)
from rungwise.parts.off_delay import CallSeenRule, OffDelayRule, TriesRule
from rungwise.parts.pictures import Piece, Stand, Symbol
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

SEES_VOLT = 16.0
"""Volts at which the board works and sees a call (common practice, no source)."""

_READ = frozenset({"volts", "drop"})
_REPLACE = Repair(
    "replace",
    "wait out 6 minutes with Y on, then read R to C, Y to C and CC to C: the first two there "
    "and CC dead, with both pressure switches closed, is the board; replace it",
    120.0,
    _READ,
)
_STRIP = ("R", "Y", "HP1", "HP2", "LP1", "LP2", "CC", "C")


def _not_locked(p: Lookup) -> FloatArray:
    return np.asarray(p["tries"] < p["tries_allowed"], float)


_CLOSED = either(
    value("stuck"),
    both(
        value("ready"),
        _not_locked,
        negate(value("dead")),
        negate(value("held_locked")),
        negate(value("held_waiting")),
    ),
)


_SEES = fixed(SEES_VOLT)

KINDS = (
    PartKind(
        name="delay_board",
        title="time-delay board",
        terminals=_STRIP,
        parameters=(
            Parameter("off_delay_s", "s", 300.0, 30.0, 900.0,
                      "time that it waits after a stop or a power cut",
                      tolerance=0.2, learned=False),
            Parameter("tries_allowed", "", 3.0, 2.0, 5.0,
                      "trips of a pressure switch in one call after which it locks"),
            Parameter("supply_ohm", "Ω", 600.0, 50.0, 1e5, "what its electronics draw",
                      tolerance=0.1, untold=0.8, learned=False),
            board_input("what its inputs draw"),
            closed_contact(0.05, 1e-3, 1.0, 0.3, untold=0.8, what="its relay's closed contact"),
            handle("dead", "never passes a call on"),
            handle("stuck", "its relay never opens"),
            handle("held_locked", "locked by trips of an earlier call"),
            handle("held_waiting", "waits since its volts fell as its relay closed"),
        ),
        elements=(
            Branch("supply", "R", "C", value("supply_ohm")),
            Branch("asked", "Y", "C", value("input_ohm")),
            Branch("call", "LP2", "C", value("input_ohm")),
            Branch("to_high", "Y", "HP1", fixed(0.01)),
            Branch("to_low", "HP2", "LP1", fixed(0.01)),
            *contact("relay", "LP2", "CC", ohm=value("contact_ohm"), closed=_CLOSED),
        ),
        facets=(
            families("electronics", "delay", "board"),
            Stand(left=_STRIP, mark="clock"),
            Symbol(
                (
                    Piece("to_high", ("Y", "HP1"), ("bar",), ("to_high",), through=True),
                    Piece("to_low", ("HP2", "LP1"), ("bar",), ("to_low",), through=True),
                    Piece("relay", ("LP2", "CC"), ("contact",), ("relay",), through=True,
                          aside="relay"),
                    Piece("supply", ("R", "C"), ("timer",), ("supply",), aside="electronics"),
                )
            ),
            Words(
                "time-delay board",
                "This board keeps the compressor from starting again too soon.",
                {
                    "dead": FAILED,
                    "stuck": FAILED,
                    "lets_go": Plain("The {noun} let go each time that it had made.",
                                     "find what takes too much behind it"),
                    "locked": Plain(
                        "The {noun} had locked the unit after several stops.",
                        "find what stopped it, then let it start again",
                    ),
                    **told(SOMETHING, ("another_relay", "another_supply")),
                },
            ),
            Probes(volts=(("R", "C"), ("Y", "C"), ("LP2", "C"), ("CC", "C"))),
            Looks(
                (
                    Look("waits_not", "restart",
                         "take Y off for 10 s and give it back: does the board wait?",
                         ("it waits", "starts at once")),
                    Look("lock_light", "light", "does the board's light show a lock?",
                         ("no lock", "a lock")),
                )
            ),
            Poles((Pole("LP2", "CC", "relay", stuck_handle="stuck"),),
                  moved_by="itself", at_rest="closed"),
            Terminals({**dict.fromkeys(_STRIP, ("tab",)), "C": ("tab",) * 3, "R": ("tab",) * 2}),
            Timer("Y", "CC", "C", "off_delay_s"),
            Label(),
            Ratings((Rating("off_delay_s", Against.TIME),)),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Poles, Timer} | JOINTS | {MixedUp},
        states=(
            State("ready", 1.0, "rule", "it may start", "has waited, and may start",
                  "begins to wait: no start for its time"),
            State("called", 0.0, "rule", "it has passed a call on"),
            State("tries", 0.0, "rule", "trips of a pressure switch in this call",
                  "counts a stop by a pressure switch", "forgets the stops"),
        ),
        rules=(
            TriesRule("tries", "call", supply="supply", volts=_SEES, called="called",
                      asked="asked", held_by="held_locked"),
            OffDelayRule("ready", "call", supply="supply", volts=_SEES, called="called",
                         delay_s=value("off_delay_s")),
            CallSeenRule("called", "call", supply="supply", volts=_SEES, passes=_CLOSED),
        ),
        modes=(
            _REPLACE.mode("dead", "{noun} does not pass the call on", 15.0,
                          behind="a surge, low volts or water"),
            _REPLACE.mode("stuck", "{noun} does not wait: its relay is stuck in", 3.0,
                          signs={"waits_not": 0.95}, shown_by=frozenset({"look:restart"})),
            Mode("locked", "{noun} locked after trips of a pressure switch", 6.0,
                 (Draw("held_locked", 1, 1),), "find_cause",
                 "take Y or R off for 10 s: it starts again; then find which pressure switch "
                 "opened, and why, before it is left to run",
                 behind="high or low pressure: the board does its job",
                 signs={"lock_light": 0.8}, shown_by=frozenset({"look:light"}),
                 is_effect=True, left_by_trips=True, wrong_minutes=20.0),
            Mode("lets_go", "{noun} lets go as soon as it makes: too many amps behind it",
                 1.0, (Draw("held_waiting", 1, 1),), "find_cause",
                 "with R off read the ohms from CC to C: a few ohms are a shorted coil or wire, "
                 "and no fault of the board",
                 behind="a shorted contactor coil, or its wire on metal",
                 shown_by=_READ, is_effect=True, left_by_short=True, wrong_minutes=20.0),
            _REPLACE.another("relay", 0.5, Draw("contact_ohm", 2.0, 5e3)),
            _REPLACE.another("supply", 0.3, Draw("supply_ohm", 0.5, 40.0),
                             shown_by=frozenset({"ohms", "amps", "volts"})),
        ),
    ),
)  # fmt: skip
