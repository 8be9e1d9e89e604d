"""The ways in which a compressor or a fan motor fails, listed ones and others.

A mode marked `known=False` stands for *another fault of this motor*: what a winding, a
connection inside the shell or the oil can do besides the listed ways.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from rungwise.parts.kind import Draw, Mode
from rungwise.parts.words import LeaveOff, Plain, Words, told

Phases = Literal[1, 3]

EARTHED_OHM = (0.5, 2e5)
"""A winding shorted to the shell, from a dead short to what a breaker holds (common practice)."""

LEAK_OHM = (2e5, 2e6)
"""Acid or moisture in the windings: below 2 MΩ a motor is watched or changed (common practice)."""

COMMON_OHM = (20.0, 500.0)
"""A burnt connection in a fan's common lead: it hums, or hardly turns (common practice)."""

INNER_OHM = (1.5, 60.0)
"""A burnt connection inside: the winding reads this many times its ohms (common practice)."""

TIGHT = (1.3, 2.2)
"""Load of a compressor that is tight, or pumps against liquid, over its usual one."""

NO_PUMPING = (0.3, 0.55)
"""Load of a compressor with broken valves or a worn scroll, over its usual one."""

DRAGGING = (1.4, 2.5)
"""Load of a fan with dry bearings, over its usual one."""

_AMPS = frozenset({"amps", "inrush"})
_OHMS = frozenset({"ohms"})
_GROUND = frozenset({"ohms", "megohms"})
_SHELL = frozenset({"ohms", "look:shell", "amps"})
# A rotor that stands draws locked amps as it hums; a good one shows them for an instant only, so
# the peak alone shows nothing.  That it stood is seen in amps held while it hums.
_HELD = frozenset({"held_amps"})
_BY_HAND = frozenset({"look:by_hand"})


@dataclass(frozen=True, slots=True)
class _Inside:
    """What a motor is wound of: leads that open, those fed past the overload, ways besides.

    earthed: name of the mode, its title, its share of all windings to ground, and what it sets.
    odd: name of the mode, its title, and what it makes of the parameter of those ohms.
    """

    leads: tuple[tuple[str, str], ...]
    fed: str
    earthed: tuple[tuple[str, str, float, tuple[Draw, ...]], ...]
    shorted: tuple[Draw, ...]
    odd: tuple[tuple[str, str, Draw], ...]


_NOT_OPEN = "out of its ohms, not open or grounded"
_CAPACITOR_RUN = _Inside(
    (("c", "common lead"), ("r", "run winding"), ("s", "start winding")),
    "R",
    # Two circuits and not one: from the run lead amps go past the overload and may trip the
    # breaker; to the start lead they go through the windings, and the overload opens first.
    (("earthed", "winding shorted to ground", 0.6, ()),
     ("start_earthed", "winding shorted to ground, toward its start lead", 0.4,
      (Draw("leaks_at_s", 1, 1),))),
    (Draw("turns", 0.35, 0.8),),
    (("other_run", f"run winding {_NOT_OPEN}", Draw("main_ohm", *INNER_OHM, "scale")),
     ("other_start", f"start winding {_NOT_OPEN}", Draw("aux_ohm", *INNER_OHM, "scale"))),
)  # fmt: skip
_THREE_LEGS = _Inside(
    tuple((f"t{n}", f"leg T{n}") for n in (1, 2, 3)),
    "T1 T2 T3",
    (("earthed", "winding shorted to ground", 1.0, ()),),
    # Of one leg, as it happens; the three are alike, so that T1 stands for each of them.
    (Draw("main_ohm", 0.45, 0.88, "scale"), Draw("shorted", 1, 1), Draw("short_share", 0.3, 0.85)),
    tuple((f"other_t{n}", f"leg T{n} {_NOT_OPEN}", Draw(f"t{n}_ohm", 0.15, 20.0))
          for n in (1, 2, 3)),
)  # fmt: skip
_INSIDE = {1: _CAPACITOR_RUN, 3: _THREE_LEGS}
"""By the number of phases."""


def compressor_modes(phases: Phases = 1) -> tuple[Mode, ...]:
    """Every way of the compressor; weights are common practice, no source."""
    weights = {"seized": 25.0, "open": 12.0, "earthed": 15.0, "shorted": 5.0, "other": 2.4}
    repair = ("replace", "replace the {noun}")
    return (
        Mode("seized", "{noun} seized", weights["seized"], (Draw("seized", 1, 1),), *repair,
             shown_by=_HELD, wrong_minutes=COMPRESSOR_MINUTES,
             opens_ahead=(0.1, _INSIDE[phases].fed)),
        *_windings(weights, COMPRESSOR_MINUTES, _INSIDE[phases], shorted_trips=0.2),
        _overload(2.0, COMPRESSOR_BEHIND),
        _overheated(),
        Mode("overload_weak", "{noun} overload opens at too few amps", 1.0,
             (Draw("trip_ratio", 0.45, 0.75, "scale"),), *repair,
             shown_by=frozenset({"amps"}), wrong_minutes=COMPRESSOR_MINUTES),
        Mode("tight", "{noun} tight or pumping liquid, too many amps", 5.0,
             (Draw("load_ratio", *TIGHT, "scale"),), *repair,
             behind="liquid in the shell, bad oil or a wrong charge",
             shown_by=_AMPS, wrong_minutes=COMPRESSOR_MINUTES),
        # Amps alone condemn no compressor: the same few come of a cool evening or a low charge.
        # A unit that runs and cools little is low on charge many times for each worn compressor.
        Mode("not_pumping", "{noun} runs without pumping, too few amps", 2.0,
             (Draw("load_ratio", *NO_PUMPING, "scale"),),
             "gauge", "put gauges on: low head with high suction at few amps is a {noun} that "
             "does not pump; low with low is the charge; replace it only on the first",
             behind="broken valves, a worn scroll or one that turns backwards",
             signs={"warm_line": 0.8}, shown_by=_AMPS, wrong_minutes=60.0),
    )  # fmt: skip


def fan_modes(phases: Phases = 1) -> tuple[Mode, ...]:
    """Every way of a fan motor and its wheel; weights are common practice, no source."""
    weights = {"seized": 40.0, "open": 18.0, "earthed": 2.0, "shorted": 5.0, "other": 1.5}
    repair = ("replace", "replace the {noun}")
    return (
        Mode("seized", "{noun} seized", weights["seized"], (Draw("seized", 1, 1),), *repair,
             shown_by=_BY_HAND, wrong_minutes=FAN_MINUTES, overheats=OVERHEATS,
             overdraws=TRIPS_GUARD),
        # On three legs a fan is large enough for its breaker to feel it.
        *_windings(weights, FAN_MINUTES, _INSIDE[phases], stops_air="s",
                   shorted_trips=0.2 if phases == 3 else 0.0),
        *((_bad_common(weights["other"] / 3),) if phases == 1 else ()),
        _overload(1.0, FAN_BEHIND),
        Mode("dragging", "{noun} drags in its bearings", 14.0,
             (Draw("load_ratio", *DRAGGING, "scale"),
              Draw("start_load_ratio", *STICKS, "scale")),
             *repair, signs={"stiff": 0.7}, shown_by=_BY_HAND | _AMPS, wrong_minutes=FAN_MINUTES,
             overheats=0.4 * OVERHEATS, overdraws=0.5 * TRIPS_GUARD),
        Mode("wheel_loose", "fan wheel loose on the shaft of the {noun}", 3.0,
             (Draw("load_ratio", 0.15, 0.4, "scale"), Draw("air_share", 0.02, 0.3)),
             "fasten", "set the wheel on its flat and tighten it, or replace it",
             shown_by=_BY_HAND | frozenset({"look:turns"}), wrong_minutes=45.0),
    )  # fmt: skip


def _bad_common(weight: float) -> Mode:
    return Mode(
        "other_common",
        "{noun} common lead burnt, not open",
        weight,
        (Draw("common_ohm", *COMMON_OHM),),
        "replace",
        "replace the {noun}",
        known=False,
        shown_by=_OHMS,
        wrong_minutes=FAN_MINUTES,
    )


STICKS = (1.2, 8.0)
"""Torque to move at all, over the usual one: at the upper end a fan that a push still starts does
not start by itself (common practice, no source)."""

OVERHEATS = 0.15
"""How often a fan that stands has opened the compressor's overload (common practice, no source).

Mostly the high-pressure switch opens first; where it comes back by itself again and again, the
shell gets hot all the same.
"""

TRIPS_GUARD = 0.9
"""How often a motor that stands under volts, or lacks a leg, has tripped the relay that guards it
by the time somebody comes (common practice, no source)."""

COMPRESSOR_MINUTES = 1800.0
FAN_MINUTES = 300.0
"""What a compressor and a fan motor in vain cost: price, time and refrigerant (no source)."""

COMPRESSOR_BEHIND = "a weak capacitor, a fan that does not turn, low charge or a dirty coil"
FAN_BEHIND = "worn bearings, a weak capacitor section or a blocked coil"


def _windings(
    weights: Mapping[str, float],
    wrong: float,
    inside: _Inside,
    *,
    shorted_trips: float = 0.0,
    stops_air: str = "",
) -> tuple[Mode, ...]:
    """Open, earthed and shorted windings, and what they can do besides."""
    repair = ("replace", "replace the {noun}")
    opened = tuple(
        Mode(f"{lead}_open", f"{{noun}} {what} open", weights["open"] / 3,
             (Draw(f"{lead}_open", 1, 1),), *repair, shown_by=_OHMS, wrong_minutes=wrong,
             overheats=OVERHEATS if lead == stops_air else 0.0, overdraws=TRIPS_GUARD)
        for lead, what in inside.leads
    )  # fmt: skip
    earthed = tuple(
        Mode(name, f"{{noun}} {what}", share * weights["earthed"],
             (Draw("insulation_ohm", *EARTHED_OHM), *where), *repair,
             shown_by=_GROUND, wrong_minutes=wrong, opens_ahead=(0.6, inside.fed))
        for name, what, share, where in inside.earthed
    )  # fmt: skip
    odd = tuple(
        Mode(name, f"{{noun}} {what}", weights["other"] / 3, (draw,),
             *repair, known=False, shown_by=_OHMS, wrong_minutes=wrong)
        for name, what, draw in inside.odd
    )  # fmt: skip
    return (
        *opened,
        *earthed,
        Mode("turns_shorted", "{noun} winding has shorted turns", weights["shorted"],
             inside.shorted, *repair,
             shown_by=_OHMS, wrong_minutes=wrong, opens_ahead=(shorted_trips, inside.fed),
             overdraws=0.7 * TRIPS_GUARD),
        *odd,
        Mode("other_leak", "{noun} windings leak to ground", weights["other"] / 3,
             (Draw("insulation_ohm", *LEAK_OHM),), *repair, known=False,
             shown_by=frozenset({"megohms"}), wrong_minutes=wrong),
    )  # fmt: skip


def _overload(weight: float, behind: str) -> Mode:
    return Mode(
        "overload_open",
        "{noun} internal overload open, hot",
        weight,
        (Draw("overload_held", 1, 1),),
        "let_cool",
        "let the {noun} cool, then find what made it hot; it is not proved dead",
        behind=behind,
        signs={"hot_shell": 0.9, "coil_dirt": 0.35},
        shown_by=_SHELL,
        is_effect=True,
        wrong_minutes=30.0,
    )


def _overheated() -> Mode:
    """The same overload, opened again at usual amps because the shell is hot.

    It senses amps and heat together: a coil matted with dirt or a low charge lets it open without a
    fault of the compressor, far more often than it opens early by itself (common practice, no
    source).
    """
    held = _overload(5.0, COMPRESSOR_BEHIND)
    return replace(
        held,
        name="overload_hot",
        title="{noun} overload opens from heat, at usual amps",
        edits=(Draw("trip_ratio", 0.4, 0.75, "scale"), Draw("fouling", 0.2, 0.6)),
        signs={"hot_shell": 0.9, "coil_dirt": 0.6},
    )


_OPEN = {
    phases: (*(f"{lead}_open" for lead, _ in inside.leads), *(name for name, _, _ in inside.odd))
    for phases, inside in _INSIDE.items()
}
_TO_GROUND = {
    phases: (*(name for name, *_ in inside.earthed), "turns_shorted", "other_leak")
    for phases, inside in _INSIDE.items()
}
_TALK = "talk with you about the compressor"
_DEAD = Plain("The compressor had failed electrically.", _TALK)
_HOT = Plain(
    "The compressor had switched itself off, too hot.", "find what made the compressor hot"
)
_BURNT_FAN = Plain("The {noun} had failed electrically.")


def compressor_words(phases: Phases = 1) -> Words:
    """What a customer is told of a compressor and of each of its modes."""
    return Words(
        purpose="The compressor pumps the refrigerant that carries the heat out of the house.",
        modes={
            **told(_DEAD, (*_OPEN[phases], "overload_weak")),
            **told(_DEAD.staying_off(LeaveOff.BREAKER), _TO_GROUND[phases]),
            "seized": Plain("The compressor was stuck and could not turn.", _TALK),
            **told(_HOT, ("overload_open", "overload_hot")),
            "tight": Plain("The compressor ran too hard.", "find what makes it run hard"),
            "not_pumping": Plain("The compressor ran without pumping.", _TALK),
        },
    )


def fan_words(phases: Phases = 1) -> Words:
    """What a customer is told of a fan motor and of each of its modes."""
    return Words(
        purpose="The fan moves the air that takes up heat or carries it away.",
        modes={
            **told(_BURNT_FAN, (*_OPEN[phases], *(("other_common",) if phases == 1 else ()))),
            **told(_BURNT_FAN.staying_off(LeaveOff.BREAKER), _TO_GROUND[phases]),
            "seized": Plain("The {noun} was stuck and could not turn."),
            "overload_open": Plain(
                "The {noun} had switched itself off, too hot.", "find what made the motor hot"
            ),
            "dragging": Plain("The bearings of the {noun} were worn."),
            "wheel_loose": Plain(
                "The blade of the {noun} was loose on its shaft.", "fasten or replace the blade"
            ),
        },
    )
