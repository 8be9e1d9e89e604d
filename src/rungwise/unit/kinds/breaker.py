"""Panel breakers: two poles for the outdoor circuit, one for the indoor circuit."""

from __future__ import annotations

from rungwise.unit.element import Branch, Expr, both, contact, either, negate, value
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.unit.rule import FuseRule


def _closed(pole: int) -> Expr:
    good = both(
        value("position"),
        negate(value("tripped")),
        negate(value("held_open")),
        negate(value(f"open{pole}")),
    )
    return either(value(f"stuck{pole}"), good)


def _pole(pole: int) -> tuple[Branch, Branch]:
    return contact(
        f"pole{pole}",
        f"line{pole}",
        f"load{pole}",
        ohm=value("contact_ohm"),
        closed=_closed(pole),
    )


def _trip(pole: int) -> FuseRule:
    return FuseRule(
        "tripped",
        f"pole{pole}",
        fast_amp=lambda p: 10.0 * p["rating_a"],
        slow_amp=lambda p: 1.3 * p["rating_a"],
        slow_s=150.0,
    )


def _pole_open(pole: int) -> Mode:
    return Mode(
        f"pole{pole}_open",
        f"breaker pole {pole} does not pass current",
        3.0,
        (Draw(f"open{pole}", 1, 1),),
        "replace",
        "replace the breaker",
    )


def _breaker(name: str, title: str, poles: int, rating_a: float, off_weight: float) -> PartKind:
    numbers = range(1, poles + 1)
    return PartKind(
        name=name,
        title=title,
        terminals=tuple(f"{side}{n}" for n in numbers for side in ("line", "load")),
        parameters=(
            Parameter("rating_a", "A", rating_a, 5, 125, "ampere rating"),
            Parameter("contact_ohm", "Ω", 0.002, 1e-4, 0.05, "resistance of a closed pole"),
            handle("held_open", "tripped or switched off, every pole"),
            *(handle(f"open{n}", f"pole {n} never conducts") for n in numbers),
            *(handle(f"stuck{n}", f"pole {n} never opens") for n in numbers),
        ),
        elements=tuple(element for n in numbers for element in _pole(n)),
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
            Mode(
                "off",
                "breaker tripped or off",
                off_weight,
                (Draw("held_open", 1, 1),),
                "reset",
                "find what tripped it, then reset the breaker once",
                behind="a short to earth or between legs, an overload, or a hand",
            ),
            *(_pole_open(n) for n in numbers if poles > 1),
        ),
        isolates=tuple((f"stuck{n}", f"load{n}") for n in numbers),
    )


KINDS = (
    _breaker("breaker_2p", "two-pole breaker", 2, 40.0, 35.0),
    _breaker("breaker_1p", "one-pole breaker", 1, 15.0, 15.0),
)
