"""Disconnects beside the unit and service switches: pull-out, switch, with or without fuses."""

from __future__ import annotations

from rungwise.unit.element import Branch, Expr, both, contact, either, negate, value
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.unit.rule import FuseRule, Rule


def _closed(pole: int, *, fused: bool) -> Expr:
    conditions = [value("position"), negate(value("held_open")), negate(value(f"open{pole}"))]
    if fused:
        conditions.append(negate(value(f"blown{pole}")))
    return either(value(f"stuck{pole}"), both(*conditions))


def _pole(pole: int, *, fused: bool) -> tuple[Branch, Branch]:
    return contact(
        f"pole{pole}",
        f"line{pole}",
        f"load{pole}",
        ohm=value("contact_ohm"),
        closed=_closed(pole, fused=fused),
    )


def _fuse(pole: int) -> Rule:
    return FuseRule(
        f"blown{pole}",
        f"pole{pole}",
        fast_amp=lambda p: 12.0 * p["fuse_a"],
        slow_amp=lambda p: 1.35 * p["fuse_a"],
        slow_s=200.0,
    )


def _pole_mode(pole: int, what: str, weight: float, *, fused: bool) -> Mode:
    repair = (
        f"fuse{pole}",
        "replace the fuse with the same amps and type, after finding its cause",
    )
    return Mode(
        f"pole{pole}_open",
        f"{what} {pole} open",
        weight,
        (Draw(f"open{pole}", 1, 1),),
        repair[0] if fused else "replace",
        repair[1] if fused else "replace the disconnect or its pull-out head",
        behind="an overload or a short after it" if fused else "a burnt or loose jaw",
        signs={"burnt": 0.2},
    )


def _disconnect(
    name: str, title: str, *, fused: bool = False, poles: int = 2, out_weight: float = 16.0
) -> PartKind:
    numbers = range(1, poles + 1)
    pole_word = "disconnect fuse" if fused else "disconnect pole"
    fuse_parameters = (Parameter("fuse_a", "A", 35.0, 1, 200, "fuse rating"),) if fused else ()
    return PartKind(
        name=name,
        title=title,
        terminals=tuple(f"{side}{n}" for n in numbers for side in ("line", "load")),
        parameters=(
            Parameter("rating_a", "A", 60.0, 10, 200, "ampere rating"),
            *fuse_parameters,
            Parameter("contact_ohm", "Ω", 0.001, 1e-4, 0.05, "resistance of a closed pole"),
            handle("held_open", "pulled out or switched off, every pole"),
            *(handle(f"open{n}", f"pole {n} never conducts") for n in numbers),
            *(handle(f"stuck{n}", f"pole {n} never opens") for n in numbers),
        ),
        elements=tuple(element for n in numbers for element in _pole(n, fused=fused)),
        states=(
            State(
                "position",
                1.0,
                "position",
                "in or on (1), out or off (0)",
                "is closed",
                "is opened",
            ),
            *(
                State(f"blown{n}", 0.0, "rule", f"fuse {n} blown", f"fuse {n} blows")
                for n in numbers
                if fused
            ),
        ),
        rules=tuple(_fuse(n) for n in numbers) if fused else (),
        modes=(
            Mode(
                "out",
                f"{title} out or off",
                out_weight,
                (Draw("held_open", 1, 1),),
                "close",
                f"ask why it was opened, then close the {title}",
            ),
            *(_pole_mode(n, pole_word, 12.0, fused=fused) for n in numbers if poles > 1),
        ),
        isolates=tuple((f"stuck{n}", f"load{n}") for n in numbers),
    )


KINDS = (
    _disconnect("disconnect_pullout", "pull-out disconnect"),
    _disconnect("disconnect_switch", "switch disconnect"),
    _disconnect("disconnect_fused", "fused disconnect", fused=True),
    _disconnect("service_switch", "service switch", poles=1, out_weight=10.0),
)
