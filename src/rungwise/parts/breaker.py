"""Panel breakers: two or three poles for the outdoor circuit, one for the indoor circuit."""

from __future__ import annotations

from dataclasses import replace

from rungwise.parts.caution import Caution
from rungwise.parts.element import Branch, Expr, both, contact, either, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    MixedUp,
    Overcurrent,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import (
    LACKS_LEG,
    POWER_JOINT_OHM,
    Draw,
    Mode,
    Parameter,
    PartKind,
    State,
    handle,
)
from rungwise.parts.pictures import pole_symbol, poles_stand
from rungwise.parts.rule import FuseRule
from rungwise.parts.seen import Look, Looks, Probes, Stands
from rungwise.parts.trade import (
    SWITCHES,
    TORQUE,
    TORQUE_SOURCE,
    Against,
    Label,
    Rating,
    Ratings,
    Wear,
)
from rungwise.parts.ways import Repair
from rungwise.parts.words import SOMETHING, SWITCHED_OFF, LeaveOff, Plain, Words, told
from rungwise.wording import mark

_SEEN = frozenset({"look:device"})
_REPLACE = Repair("replace", "replace the {noun}", 120.0, frozenset({"volts", "drop", "ohms"}))
_ON_MINUTES = 15.0

_RESET_MINUTES = 600.0
"""A reset in vain may put a short on the line again."""

_RESET = Repair(
    "reset",
    "do not reset it yet. With it off, read ohms from each load terminal to ground "
    "and between them, and each motor winding to ground; find what tripped it; reset it once",
    _RESET_MINUTES,
    _SEEN,
)


def _closed(pole: int) -> Expr:
    good = both(
        value("position"),
        negate(value("tripped")),
        negate(value("held_open")),
        negate(value("held_tripped")),
        negate(value(f"open{pole}")),
    )
    return either(value(f"stuck{pole}"), good)


def _pole(pole: int) -> tuple[Branch, Branch]:
    return contact(
        f"pole{pole}",
        f"line{pole}",
        f"load{pole}",
        ohm=value(f"contact{pole}_ohm"),
        closed=_closed(pole),
    )


def _contact(pole: int, *, learned: bool) -> Parameter:
    return Parameter(
        f"contact{pole}_ohm",
        "Ω",
        0.002,
        1e-4,
        0.05,
        f"resistance of closed pole {pole} with its clip on the bus",
        tolerance=0.5,
        untold=0.9,
        spread_source="0.8 to 5 mΩ, rule of thumb",
        learned=learned,
    )


def _trip(pole: int) -> FuseRule:
    return FuseRule(
        "tripped",
        f"pole{pole}",
        fast_amp=lambda p: 10.0 * p["rating_a"],
        slow_amp=lambda p: 1.3 * p["rating_a"],
        slow_s=150.0,
        rated_by="rating_a",
    )


def _pole_modes(pole: int, *, of_two: bool) -> tuple[Mode, ...]:
    """Open alone (a breaker of one pole is then simply off), burnt, and worse than burnt."""
    ohm, (least, most) = f"contact{pole}_ohm", POWER_JOINT_OHM if of_two else (0.05, 5.0)
    burnt = _REPLACE.mode(
        f"pole{pole}_burnt",
        f"{{noun}} pole {pole} burnt, high resistance",
        3.0 if of_two else 1.5,
        Draw(ohm, least, most),
        behind="a loose clip on the bus or a loose load screw",
        signs={"smell": 0.6},
    )
    worse = _REPLACE.another(f"pole{pole}", 0.3, Draw(ohm, most, 1000.0))
    worse = replace(worse, signs=burnt.signs)
    return (_pole_open(pole), burnt, worse) if of_two else (burnt, worse)


def _pole_open(pole: int) -> Mode:
    return _REPLACE.mode(
        f"pole{pole}_open",
        f"{{noun}} pole {pole} does not pass current",
        3.0,
        Draw(f"open{pole}", 1, 1),
        overdraws=LACKS_LEG,
    )


def _opened(tripped: float, off: float) -> tuple[Mode, ...]:
    return (
        _RESET.mode(
            "tripped",
            "{noun} tripped, by what is not known",
            tripped,
            Draw("held_tripped", 1, 1),
            signal="WARNING",
            behind="a short to ground or between legs, an overload, or its own age",
            is_effect=True,
        ),
        Mode(
            "off",
            "{noun} switched off",
            off,
            (Draw("held_open", 1, 1),),
            "switch_on",
            "ask who switched it off and why, then switch the {noun} on",
            behind="a hand",
            shown_by=_SEEN,
            wrong_minutes=_ON_MINUTES,
        ),
    )


_LABEL = Label(
    ("rating_a",),
    (TORQUE,),
    TORQUE_SOURCE,
    stands_in="breaker",
    unseen=("make for this panel", "interrupting rating", "GFCI or HACR marking"),
)


def _words(poles: int) -> Words:
    worn = Plain("The {noun} was worn out inside.")
    tripped = Plain("The {noun} had tripped.", "find what tripped it", LeaveOff.BREAKER)
    numbers = range(1, poles + 1)
    return Words(
        purpose="The breaker is the switch for this circuit in the house's panel.",
        modes={
            "tripped": tripped,
            "off": SWITCHED_OFF,
            **told(worn, (f"pole{n}_open" for n in numbers if poles > 1)),
            **told(worn.staying_off(LeaveOff.BREAKER), (f"pole{n}_burnt" for n in numbers)),
            **told(SOMETHING, (f"another_pole{n}" for n in numbers)),
        },
    )


HOT_BREAKER = Caution(
    "WARNING", "do not touch or reset a breaker that is hot or smells: open the one ahead of it."
)


_LOOKS = Looks(
    (
        Look(
            "smell",
            "smell",
            "heat or a burnt smell, the back of your hand an inch off?",
            ("no", "hot or smells"),
            warnings=(HOT_BREAKER,),
        ),
    ),
    Stands(("tripped", "held_open", "held_tripped"), ("on", "off", "tripped"), 3.0),
)


def _breaker(
    name: str, title: str, poles: int, rating_a: float, opened: tuple[float, float]
) -> PartKind:
    numbers, of_two = range(1, poles + 1), poles > 1
    return PartKind(
        name=name,
        title=title,
        noun="breaker",
        terminals=tuple(f"{side}{n}" for n in numbers for side in ("line", "load")),
        parameters=(
            Parameter("rating_a", "A", rating_a, 5, 125, "ampere rating"),
            *(_contact(n, learned=of_two) for n in numbers),
            handle("held_open", "switched off by hand, every pole"),
            handle("held_tripped", "found tripped, every pole"),
            *(handle(f"open{n}", f"pole {n} never conducts") for n in numbers),
            *(handle(f"stuck{n}", f"pole {n} never opens") for n in numbers),
        ),
        elements=tuple(element for n in numbers for element in _pole(n)),
        facets=(
            families("breaker") if poles > 1 else families("breaker", "one-pole breaker"),
            poles_stand(poles),
            pole_symbol("breaker", poles),
            _words(poles),
            Probes(),
            _LOOKS,
            Poles(
                tuple(
                    Pole(f"line{n}", f"load{n}", f"pole{n}", f"open{n}", stuck_handle=f"stuck{n}")
                    for n in numbers
                ),
                moved_by="hand",
                at_rest="closed",
                seen_open="handle",
            ),
            Overcurrent(
                "trips",
                "rating_a",
                ("tripped",),
                found=("tripped",) * poles,
                opened=mark("so the breaker has tripped"),
                put_right=mark("reset the {part} once"),
            ),
            _LABEL,
            Ratings((Rating("rating_a", Against.OVERCURRENT),)),
            Wear(SWITCHES, usual=poles < 3),
        ),
        lacks=LOADS | SWITCHING - {Overcurrent, Poles} | JOINTS | {MixedUp, Terminals},
        states=(
            State(
                "position",
                1.0,
                "position",
                "handle on (1) or off (0)",
                "is switched on",
                "is switched off",
            ),
            State("tripped", 0.0, "rule", "tripped on overcurrent", "trips"),
        ),
        rules=tuple(_trip(n) for n in numbers),
        modes=(
            *_opened(*opened),
            *(mode for n in numbers for mode in _pole_modes(n, of_two=of_two)),
        ),
    )


KINDS = (
    _breaker("breaker_2p", "two-pole breaker", 2, 40.0, (6.0, 12.0)),
    _breaker("breaker_3p", "three-pole breaker", 3, 40.0, (6.0, 12.0)),
    _breaker("breaker_1p", "one-pole breaker", 1, 15.0, (3.0, 5.0)),
)
