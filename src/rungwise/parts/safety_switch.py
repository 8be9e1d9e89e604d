"""Normally closed switches in series: float, high pressure, low pressure, blower door.

An open switch is mostly right: water stands in the pan, the pressure really is high or low, the
door is off.  That (mode `open`) is kept apart from a switch that is open without a reason
(`failed_open`), and from a contact that has gone bad (`resistive`).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from rungwise.parts.element import Expr, FloatArray, both, contact, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Family,
    MixedUp,
    OpensOn,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import ICES, Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import CONTROL_RANK, MIDDLE_RANK, Sign, in_line, series_switch
from rungwise.parts.pressure_rule import PressureRule
from rungwise.parts.rule import Going, Rule, Seen, Wish
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import SWITCHES, UNSEEN_OF_A_SWITCH, Label, Ratings, Wear
from rungwise.parts.words import FAILED, LeaveOff, Plain, Words

RESISTIVE_OHM = (0.5, 1000.0)
"""A contact that has gone bad and is not open (common practice, no source)."""

SWITCH_MINUTES = 90.0
"""What a switch changed in vain costs: part, brazing or a drain left blocked (no source)."""

_DIRECT = frozenset({"volts", "drop", "ohms"})


HEATS_AMP = 3.0
"""Amps through a limit above which its element heats; one in a control circuit carries less."""

OPENS_S = 45.0
COOLS_S = 240.0
"""Seconds until it opens without air, and until it closes again (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class HotAirRule(Rule):
    """State becomes 1 where less than `least_air` moves over heat.

    Heat: `element` carries its amps, or a furnace burns on.

    `least_air`: share of the full air. It closes again as it cools, and opens again.
    """

    least_air: Expr

    order = 6
    watches = "air"
    opens = "until cool"
    pulls = False

    def at_once(self, seen: Seen, /) -> None:
        """Heat takes its time."""

    def _grows_hot(self, seen: Seen) -> FloatArray:
        short = seen.indoor_air() < self.least_air(seen.values)
        heats = (seen.amp(self.element) > HEATS_AMP) | (seen.burns() > 0)
        return np.asarray(heats & short)

    def wait_s(self, seen: Seen, /) -> FloatArray:
        """Seconds until it opens."""
        waits = self._grows_hot(seen) & (seen.values[self.state] == 0)
        return np.where(waits, OPENS_S, np.inf)

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Open, or close again."""
        if np.ravel(seen.values[self.state])[0] > 0:
            return Wish(0.0, COOLS_S, by_then=True)
        return Wish(1.0, OPENS_S, by_then=True) if np.ravel(self._grows_hot(seen))[0] else None


@dataclass(frozen=True, slots=True)
class _Pressure:
    """At which gauge pressures a switch opens and closes, psi of R-410A.

    610 opens and 420 closes on the high side, 50 and 95 on the low one, are usual; for another
    refrigerant they are others, at about the same saturation temperatures (from memory).
    """

    side: Literal["high", "low"]
    opens_psi: float
    closes_psi: float
    spread: float

    def parameters(self) -> tuple[Parameter, ...]:
        """Both pressures as parameters; what is usual by make is no unit's own."""
        source = "set by make; rule of thumb"
        return (
            Parameter("opens_psi", "psi", self.opens_psi, 1.0, 700.0, "pressure at which it opens",
                      self.spread, learned=False, hidden=True, spread_source=source, common=True),
            Parameter("closes_psi", "psi", self.closes_psi, 1.0, 700.0,
                      "pressure at which it closes again",
                      self.spread, learned=False, hidden=True, spread_source=source,
                      moves_with="opens_psi"),
            handle("pressed_open", "found opened by its pressure"),
        )  # fmt: skip

    def rule(self) -> PressureRule:
        """How the switch follows the pressure."""
        return PressureRule(
            "opened", "contact", self.side, value("opens_psi"), value("closes_psi"), "pressed_open"
        )


@dataclass(frozen=True, slots=True)
class _Sort:
    """A sort of switch: what makes it open, how often that and how often itself is the fault."""

    name: str
    family: Family
    probes: Probes
    looks: Looks
    what: Literal["high pressure", "low pressure", "water", "door", "hot air"]
    title: str
    right: float
    bad: float
    find_text: str
    replace_text: str
    behind: str
    symbol: Sign
    purpose: str
    right_told: Plain
    seen: frozenset[str] = frozenset()
    signs: dict[str, float] = field(default_factory=dict)
    ices: float = 0.0
    pressure: _Pressure | None = None
    by_air: bool = False
    rank: int = MIDDLE_RANK
    contact_ohm: float = 0.03

    @property
    def opens_by_itself(self) -> bool:
        """Whether the circuit's own heat side or air opens it."""
        return self.by_air or self.pressure is not None

    def rules(self) -> tuple[Rule, ...]:
        """How it follows the pressure or the air; nothing tells how water or a door moves it."""
        if self.by_air:
            return (HotAirRule("opened", "contact", value("least_air")),)
        return () if self.pressure is None else (self.pressure.rule(),)


ELEMENT_CONTACT_OHM = 0.008
"""Of what carries the amps of a heating element: at 20 A a contact of 0.03 Ω would burn (common
practice, no source)."""

_TABS = Terminals(dict.fromkeys(("1", "2"), ("tab",)))


def _switch(sort: _Sort) -> PartKind:
    closed = [value("position"), negate(value("held_open"))]
    if sort.pressure is not None:
        closed.append(negate(value("pressed_open")))
    if sort.opens_by_itself:
        closed.append(negate(value("opened")))
    return PartKind(
        name=sort.name,
        title=sort.title,
        noun="switch",
        terminals=("1", "2"),
        parameters=(
            closed_contact(sort.contact_ohm, 1e-3, 1.0, 1.2,
                           what="closed contact, its leads included"),
            *(() if sort.pressure is None else sort.pressure.parameters()),
            *((_LEAST_AIR,) if sort.by_air else ()),
            handle("held_open", "open"),
        ),
        elements=contact("contact", "1", "2", ohm=value("contact_ohm"), closed=both(*closed)),
        facets=(
            families(sort.family),
            in_line(sort.rank),
            series_switch(sort.symbol),
            Words(
                purpose=sort.purpose,
                modes={
                    "open": sort.right_told,
                    "failed_open": FAILED,
                    "resistive": Plain("The {noun} had a bad contact."),
                },
                opens_by_itself=True,
            ),
            sort.probes,
            sort.looks,
            Poles(
                (Pole("1", "2", "contact", "held_open"),), moved_by="itself", at_rest="closed"
            ),
            OpensOn(sort.what, ("1", "2")),
            Label(unseen=UNSEEN_OF_A_SWITCH),
            Wear(SWITCHES, usual=sort.what != "hot air"),
            *(() if sort.pressure is None else (_TABS,)),
        ),
        lacks=LOADS
        | SWITCHING - {OpensOn, Poles}
        | JOINTS
        | {MixedUp, Ratings}
        | ({Terminals} if sort.pressure is None else set()),
        states=(
            State("position", 1.0, "position", "closed (1) or open (0)", "closes", "opens"),
            *((_OPENED,) if sort.opens_by_itself else ()),
        ),
        rules=sort.rules(),
        modes=_modes(sort),
    )  # fmt: skip


_OPENED = State("opened", 0.0, "rule", "opened by what it watches", "opens", "closes again")
_LEAST_AIR = Parameter("least_air", "", 0.4, 0.05, 0.9, "share of the air below which it opens",
                       0.4, learned=False, hidden=True)  # fmt: skip


def _modes(sort: _Sort) -> tuple[Mode, ...]:
    held = (Draw("held_open", 1, 1),)
    pressed = held if sort.pressure is None else (Draw("pressed_open", 1, 1),)
    return (
        Mode("open", "{title} open, as it should be", sort.right, pressed, "find_cause",
             sort.find_text, behind=sort.behind, signs=sort.signs, shown_by=_DIRECT | sort.seen,
             is_effect=True, wrong_minutes=20.0),
        # The same answer as an open switch that is right: the gauge or the pan tells them apart.
        Mode("failed_open", "{title} bad, open without a reason", sort.bad, held,
             "find_cause", sort.replace_text, signs={"ice": 0.8} if sort.ices else {},
             shown_by=_DIRECT, is_effect=sort.pressure is not None, wrong_minutes=SWITCH_MINUTES,
             ices=sort.ices),
        Mode("resistive", "{title} with a bad contact, not open", 0.15 * sort.bad,
             (Draw("contact_ohm", *RESISTIVE_OHM),), "find_cause", sort.replace_text, known=False,
             shown_by=_DIRECT, wrong_minutes=SWITCH_MINUTES),
    )  # fmt: skip


_CONTROL = Probes(apart=(("1", "2"),), volts=(("1", "2"),), conducts=True)
_OUTDOORS = replace(_CONTROL, along_y=True)
_LINE = Probes(apart=(("1", "2"),), drops=True, to_neutral=("1", "2"))
_HOT_LINE = Probes(apart=(("1", "2"),), drops=True, on="heat")
_PAN = Looks((Look("water", "water", "water in the drain pan?", ("dry", "water"), first=True),))
_DOOR = Looks(
    (
        Look("door_off", "door", "is the blower door in place?", ("in place", "not in place"),
             first=True),
    )
)  # fmt: skip

KINDS = tuple(
    _switch(sort)
    for sort in (
        _Sort(
            "float_switch", "float switch", _CONTROL, _PAN, "water",
            "condensate float switch", 50.0, 5.0,
            "clear the drain and empty the pan; replace the {noun} only if it stays open when dry",
            "replace the float {noun}, which stays open with the pan dry",
            "a blocked condensate drain: the switch does its job",
            "float",
            "The float switch stops the unit before water runs over in the pan.",
            Plain("Water had backed up in the drain pan{stopped}.",
                  "clear the drain and empty the pan"),
            frozenset({"look:water"}), {"water": 0.9},
        ),
        _Sort(
            "high_pressure_switch", "high-pressure switch", _OUTDOORS, Looks(), "high pressure",
            "high-pressure switch", 3.0, 6.0,
            "find the high pressure (dirty coil, fan not turning, overcharge) before the {noun}",
            "replace the {title}, which is open at a pressure below its reset point",
            "a dirty coil, a fan that does not turn or an overcharge: it does its job",
            "pressure_switch",
            "This switch stops the unit while the pressure is too high.",
            Plain("The pressure had risen too high{stopped}.", "find why the pressure rose"),
            signs={"coil_dirt": 0.6},
            pressure=_Pressure("high", 610.0, 420.0, 0.08),
        ),
        _Sort(
            "low_pressure_switch", "low-pressure switch", _OUTDOORS, Looks(), "low pressure",
            "low-pressure switch", 8.0, 8.0,
            "measure the charge and find the leak or restriction before the {noun}",
            "replace the {title}, which is open at a pressure above its reset point",
            "low charge, a restriction or no indoor air: it does its job",
            "pressure_switch",
            "This switch stops the unit while the pressure is too low.",
            Plain("The pressure had fallen too low{stopped}.",
                  "measure the refrigerant and find why the pressure fell"),
            signs={"ice": 0.3, "filter": 0.3},
            pressure=_Pressure("low", 50.0, 95.0, 0.3),
        ),
        _Sort(
            "door_switch", "door switch", _LINE, _DOOR, "door",
            "blower-compartment door switch", 15.0, 3.0,
            "refit the blower door; replace the {noun} only if it stays open with the door in "
            "place",
            "replace the door {noun}, which stays open with the door in place",
            "a door that is off or does not press it",
            "switch",
            "The door switch stops the indoor unit while its door is off.",
            Plain("The door of the indoor unit was not in place{stopped}.",
                  "put the door back so that it presses the switch"),
            frozenset({"look:door"}), {"door_off": 0.9}, rank=CONTROL_RANK,
        ),
        _Sort(
            "heat_limit", "limit", _HOT_LINE, Looks(), "hot air", "heat limit", 14.0, 6.0,
            "find the missing air (filter, blower, closed registers) before the limit",
            "replace the limit, which is open though the air is cool, same degrees",
            "a dirty filter, a blower that stands or closed registers: it does its job",
            "thermal_switch",
            "The limit stops the heat while its air is too hot.",
            Plain("The heat had grown too hot{stopped}.", "find why too little air went through"),
            signs={"filter": 0.5},
            by_air=True,
            contact_ohm=ELEMENT_CONTACT_OHM,
        ),
        _Sort(
            "thermal_link", "limit", _HOT_LINE, Looks(), "hot air", "thermal link", 4.0, 4.0,
            "find why the limit before it did not stop the heat, then replace the link: it "
            "opens once and never closes",
            "replace the {title}, same degrees and amps, and prove that the limit opens",
            "a limit that did not open, and no air: it does its job",
            "fuse",
            "The link melts when all else has failed to stop the heat.",
            Plain("The last guard of the heat had melted.", "find why, then replace it"),
            rank=MIDDLE_RANK,
            contact_ohm=ELEMENT_CONTACT_OHM,
        ),
        _Sort(
            "defrost_limit", "limit", _HOT_LINE, Looks(), "hot air", "defrost limit", 6.0, 6.0,
            "find why the defrost did not end (timer, its termination) before the limit",
            "replace the limit, which is open though the coil is cold, same degrees",
            "a defrost that nothing ended: it does its job",
            "thermal_switch",
            "The limit stops the melting heat before the coil grows too hot.",
            Plain("The melting heat had grown too hot{stopped}.", "find why it was not ended"),
            ices=ICES,
            contact_ohm=ELEMENT_CONTACT_OHM,
        ),
        _Sort(
            "rollout_switch", "limit", _HOT_LINE, Looks(), "hot air", "rollout switch", 6.0, 3.0,
            "find why the flame left its place (blocked flue or exchanger, a crack in it), and "
            "leave the gas shut until that is mended; only then push its button; licensed gas "
            "work where required",
            "replace the {title}, same degrees, once nothing else is found",
            "a blocked flue, a blocked or cracked heat exchanger: it does its job",
            "thermal_switch",
            "This switch stops the furnace when its flame leaves the place where it should burn.",
            Plain("The flame had left its place{stopped}.",
                  "find why, and mend that before it burns again", LeaveOff.BREAKER),
            rank=MIDDLE_RANK,
        ),
    )
)  # fmt: skip
