"""The low-pressure control that starts and stops a condensing unit by its suction pressure.

It closes on the rise and opens on the fall: opened because the box is cold and its liquid valve
shut, it does its job, and the unit that stands is right.  Cut-in and cut-out are set by hand; their
figures stand for the one refrigerant that all pressures are told of.  A unit pumps down in 10 to
60 s and starts 2 to 20 s after its valve has opened (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.caution import Caution
from rungwise.parts.element import both, contact, either, negate, value
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
from rungwise.parts.kind import Draw, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import in_line, series_switch
from rungwise.parts.pressure_rule import PressureRule
from rungwise.parts.rule import Going, Rule, Seen, Step, Wish
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import SWITCHES, UNSEEN_OF_A_SWITCH, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words
from rungwise.wording import mark

RISES_S = 8.0
"""From the opening of the valve until the suction has risen past the cut-in."""

PUMPS_DOWN_S = 30.0
"""From the shutting of the valve until the unit has drawn the suction down."""


@dataclass(frozen=True, slots=True)
class PumpDownRule(Rule):
    """State is 1 while the suction is pumped down: no liquid comes, and the unit has run it empty.

    It becomes 0 once a valve lets liquid through; a unit that stands pumps nothing down.
    """

    order = 6
    watches = "pressure"
    opens = "never"
    pulls = False

    def _wanted(self, seen: Seen) -> Step:
        now, fed = seen.values[self.state], seen.fed()
        empty = np.where(seen.pumps() > 0, 1.0, now)
        wanted = np.broadcast_to(np.where(fed > 0, 0.0, empty), (seen.size,))
        return Step(wanted != now, wanted)

    def at_once(self, seen: Seen, /) -> Step:
        """Where it comes to; the seconds count in the course of a call only."""
        return self._wanted(seen)

    def wait_s(self, _seen: Seen, /) -> None:
        """At rest it goes by the valve."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Rise or be drawn down."""
        step = self._wanted(seen)
        if not step.moves[0]:
            return None
        to = float(np.ravel(step.to)[0])
        return Wish(to, PUMPS_DOWN_S if to else RISES_S, by_then=True)


_READ = frozenset({"volts", "drop"})
_CAUSE = Repair(
    "find_cause",
    "measure the charge, and look at fans and ice in the box, before the control",
    20.0,
    _READ,
)
_SET = Repair(
    "set",
    "set cut-in and cut-out as the unit's label asks, by the gauge, not by its dial",
    20.0,
    _READ | {"look:setting"},
)
_GAUGE = Caution(
    "CAUTION",
    mark("refrigerant sprays and freezes: glasses and gloves; licensed work where required"),
)
_CONTROL = Repair(
    "replace",
    "with a gauge beside it read the pressure at which it clicks each way, and the volts "
    "across it; set it as the label asks, and replace it where it does not follow",
    90.0,
    _READ,
)

KINDS = (
    PartKind(
        name="suction_control",
        title="low-pressure control",
        noun="pressure control",
        terminals=("1", "2"),
        parameters=(
            Parameter("closes_psi", "psi", 43.0, 1.0, 300.0, "suction pressure of its cut-in",
                      tolerance=0.1, untold=0.2, learned=False),
            Parameter("opens_psi", "psi", 24.0, 0.5, 200.0, "suction pressure of its cut-out",
                      tolerance=0.1, untold=0.2, learned=False, moves_with="closes_psi"),
            closed_contact(0.03, 1e-3, 1.0, 0.6, untold=1.0,
                           what="closed contact, its leads included"),
            handle("held_open", "never closes"),
            handle("pressed_open", "found opened by its pressure"),
            handle("stuck", "never opens"),
        ),
        elements=contact(
            "contact", "1", "2", ohm=value("contact_ohm"),
            closed=either(
                both(negate(value("pumped_down")), negate(value("fallen")),
                     negate(value("held_open")), negate(value("pressed_open"))),
                value("stuck"),
            ),
        ),
        facets=(
            families("low-pressure switch"),
            in_line(),
            series_switch("pressure_switch"),
            Words(
                "pressure control",
                "This control starts the unit when the box wants cooling.",
                {
                    "set_wrong": Plain("The {noun} was set wrong.", "set it"),
                    "failed_open": FAILED,
                    "open": Plain("The pressure had fallen too low{stopped}.",
                                  "measure the refrigerant and find why the pressure fell"),
                    "stuck": FAILED,
                    "another_contact": SOMETHING,
                },
                opens_by_itself=True,
            ),
            Probes(across=(("1", "2"),)),
            Looks((
                Look("pressed", "gauge",
                     "a gauge on the suction side, the box calling: does it stand over the cut-in?",
                     ("over it", "under it"), held=("pumped_down", "fallen", "pressed_open"),
                     instrument=mark("gauge"), minutes=4.0, warnings=(_GAUGE,)),
                Look("scale", "setting",
                     "does its scale show cut-in and cut-out as the unit's label asks?",
                     ("as the label asks", "otherwise"), minutes=1.5),
            )),
            Poles((Pole("1", "2", "contact", "held_open", stuck_handle="stuck"),),
                  moved_by="itself", at_rest="open", asked=True),
            OpensOn("low pressure", ("1", "2")),
            Terminals(dict.fromkeys(("1", "2"), ("screw",))),
            Label(("closes_psi", "opens_psi"), unseen=UNSEEN_OF_A_SWITCH),
            Ratings((Rating("opens_psi", Against.SETTING),)),
            Wear(SWITCHES, usual=False),
        ),
        lacks=LOADS | SWITCHING - {OpensOn, Poles} | JOINTS | {MixedUp},
        states=(
            State("pumped_down", 1.0, "rule", "the suction is pumped down", "opens, pumped down",
                  "closes on the rise"),
            State("fallen", 0.0, "rule", "opened by a low suction", "opens", "closes again"),
        ),
        rules=(
            PumpDownRule("pumped_down", "contact"),
            PressureRule("fallen", "contact", "low", value("opens_psi"), value("closes_psi"),
                         "pressed_open"),
        ),
        modes=(
            _CAUSE.mode("open", "{title} open, as it should be", 8.0, Draw("pressed_open", 1, 1),
                        behind="low charge, no air over the coil or a coil of ice: it does its job",
                        signs={"ice": 0.3}, is_effect=True),
            _SET.mode("set_wrong", "{title} set so high that it never closes", 10.0,
                      Draw("held_open", 1, 1), behind="a hand that turned its screws",
                      signs={"recent_work": 0.5, "scale": 0.85}),
            _CONTROL.mode("failed_open", "{title} never closes", 5.0, Draw("held_open", 1, 1)),
            _CONTROL.mode("stuck", "{title} never opens: no end to the pump-down", 4.0,
                          shown_by=_READ | {"look:idle"}),
            _CONTROL.another("contact", 0.6, Draw("contact_ohm", 50.0, 5000.0), noun="{title}"),
        ),
    ),
)  # fmt: skip
