"""Disconnects beside the unit and service switches: pull-out, switch, with or without fuses."""

from __future__ import annotations

from typing import Literal

from rungwise.parts.caution import Caution
from rungwise.parts.element import Branch, Expr, both, contact, either, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Families,
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
from rungwise.parts.pictures import Sign, pole_symbol, poles_stand
from rungwise.parts.rule import FuseRule, Rule
from rungwise.parts.seen import Look, Looks, Probes, Stands
from rungwise.parts.trade import (
    SWITCHES,
    TORQUE,
    TORQUE_SOURCE,
    UNSEEN_OF_A_SWITCH,
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
_READ = frozenset({"volts", "drop", "ohms"})
_BURNT = _READ | {"look:burnt"}
_REPLACE_MINUTES = 90.0
_FUSE_MINUTES = 300.0
_CLOSE_MINUTES = 15.0

"""What is done, as a key and in words."""


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
        ohm=value(f"contact{pole}_ohm"),
        closed=_closed(pole, fused=fused),
    )


def _contact(pole: int, *, learned: bool) -> Parameter:
    return Parameter(
        f"contact{pole}_ohm",
        "Ω",
        0.001,
        1e-4,
        0.05,
        f"resistance of closed pole {pole}",
        tolerance=0.5,
        untold=1.1,
        spread_source="0.3 to 3 mΩ, rule of thumb",
        learned=learned,
    )


def _fuse(pole: int) -> Rule:
    return FuseRule(
        f"blown{pole}",
        f"pole{pole}",
        fast_amp=lambda p: 12.0 * p["fuse_a"],
        slow_amp=lambda p: 1.35 * p["fuse_a"],
        slow_s=200.0,
        rated_by="fuse_a",
    )


def _pole_open(pole: int, repair: Repair, *, fused: bool) -> Mode:
    if fused:
        return Mode(
            f"pole{pole}_open",
            f"{{noun}} fuse {pole} open",
            12.0,
            (Draw(f"open{pole}", 1, 1),),
            f"fuse{pole}",
            "read ohms to ground behind it first; then replace the fuse with the same amps and "
            "type, after finding its cause",
            behind="an overload or a short after it",
            signs={"burnt": 0.2},
            shown_by=_READ,
            is_effect=True,
            wrong_minutes=_FUSE_MINUTES,
            overdraws=LACKS_LEG,
        )
    return repair.mode(
        f"pole{pole}_open",
        f"{{title}} pole {pole} open",
        12.0,
        Draw(f"open{pole}", 1, 1),
        behind="a burnt or loose jaw",
        signs={"burnt": 0.5},
        overdraws=LACKS_LEG,
    )


JAW_WEIGHT = 8.0
"""Of a pole that heats: a jaw grows loose and burns before it passes nothing at all, so this comes
nearly as often as an open one (common practice, no source)."""


def _burnt(pole: int, repair: Repair, ohm: tuple[float, float], weight: float) -> Mode:
    return repair.mode(
        f"pole{pole}_burnt",
        f"{{title}} pole {pole} burnt, high resistance",
        weight,
        Draw(f"contact{pole}_ohm", *ohm),
        behind="a loose jaw, blade or screw that heats",
        signs={"burnt": 0.6},
        shown_by=_BURNT,
    )


def _worse(pole: int, repair: Repair, beyond_ohm: float = 20.0) -> Mode:
    """Worse than a burnt pole that is listed, which reaches up to `beyond_ohm`."""
    draw = Draw(f"contact{pole}_ohm", beyond_ohm, 50.0 * beyond_ohm)
    return repair.another(f"pole{pole}", 0.3, draw, noun="{title}")


def _out(weight: float) -> Mode:
    return Mode(
        "out",
        "{title} out or off",
        weight,
        (Draw("held_open", 1, 1),),
        "close",
        "ask why it was opened, then close the {title}",
        behind="a hand",
        shown_by=_SEEN,
        wrong_minutes=_CLOSE_MINUTES,
    )


def _modes(poles: int, out_weight: float, *, fused: bool, head: bool) -> tuple[Mode, ...]:
    numbers = range(1, poles + 1)
    text = "replace the {title}" + (" or its pull-out head" if head else "")
    repair = Repair("replace", text, _REPLACE_MINUTES, _READ)
    if poles == 1:  # a switch in the 120 V line of a transformer and a blower
        burnt_ohm = (0.5, 1000.0)
        return (
            _out(out_weight),
            _burnt(1, repair, burnt_ohm, 2.0),
            _worse(1, repair, beyond_ohm=burnt_ohm[1]),
        )
    return (
        _out(out_weight),
        *(_pole_open(n, repair, fused=fused) for n in numbers),
        *(_burnt(n, repair, POWER_JOINT_OHM, JAW_WEIGHT) for n in numbers),
        *(_worse(n, repair) for n in numbers),
    )


def _fuses(numbers: range) -> Overcurrent:
    return Overcurrent(
        "melts",
        "fuse_a",
        tuple(f"blown{n}" for n in numbers),
        found=tuple(f"pole{n}_open" for n in numbers),
        opened=mark("so the fuse ahead of it has blown"),
        put_right=mark("replace fuse {pole} of the {part}, same amps and type"),
    )


def _lugs(poles: int) -> Terminals:
    ends = (f"{side}{n}" for side in ("line", "load") for n in range(1, poles + 1))
    return Terminals(dict.fromkeys(ends, ("lug",)))


def _label(poles: int, *, fused: bool) -> Label:
    return Label(
        ("rating_a", "fuse_a") if fused else ("rating_a",),
        (TORQUE,),
        TORQUE_SOURCE,
        stands_in="disconnect",
        unseen=("short-circuit rating", "enclosure", "lock") if poles > 1 else UNSEEN_OF_A_SWITCH,
    )


def _ratings(poles: int, *, fused: bool) -> Ratings:
    """One that opens a circuit is held against its loads, a switch indoors against its amps."""
    opens = Rating("rating_a", Against.CIRCUIT if poles > 1 else Against.CURRENT)
    return Ratings((opens, *((Rating("fuse_a", Against.OVERCURRENT),) if fused else ())))


LINE_SIDE = Caution(
    "DANGER",
    "with the head out the line side stays live: look from outside, reach in with nothing.",
)
TERMINALS = Caution(
    "DANGER", "behind the cover the line side stays live: look, reach in with nothing."
)


def _probes(*, fused: bool, poles: int) -> Probes:
    if poles == 1:
        return Probes(to_neutral=("line1", "load1"))
    poles_apart = tuple((f"line{n}", f"load{n}") for n in range(1, poles + 1))
    return Probes(apart=poles_apart) if fused else Probes()


def _looks(seen_open: str, *, fused: bool, poles: int) -> Looks:
    pulled = fused or seen_open == "head pulled out"
    where, warning = ("jaws or blades", LINE_SIDE) if pulled else ("its terminals", TERMINALS)
    burnt = Look("burnt", "burnt", f"are {where} burnt or brown?", ("no", "burnt"),
                 warnings=(warning,))  # fmt: skip
    answers = ("in", "out") if pulled else ("on", "off")
    return Looks((burnt,), Stands(("held_open",), answers, 0.5 if poles > 1 else 1.5))


def _family(*, fused: bool, poles: int) -> Families:
    if poles == 1:
        return families("service switch")
    return families("disconnect", "fuse") if fused else families("disconnect")


def _symbol(seen_open: str, *, fused: bool) -> Sign:
    if fused:
        return "fused_switch"
    return "pullout" if seen_open == "head pulled out" else "switch"


def _words(poles: int, *, fused: bool) -> Words:
    burnt = Plain("The {noun} was burnt or worn inside.", off=LeaveOff.BREAKER)
    outdoors = poles > 1
    which = "switch with fuses" if fused else "switch"
    numbers = [f"pole{n}" for n in range(1, poles + 1)]
    return Words(
        "disconnect beside the outdoor unit" if outdoors else "",
        f"The disconnect is the {which} beside the outdoor unit."
        if outdoors
        else "The service switch is the one beside the indoor unit.",
        {
            "out": SWITCHED_OFF,
            **told(burnt, (f"{each}_burnt" for each in numbers)),
            **told(burnt, (f"{each}_open" for each in numbers if outdoors)),
            **told(SOMETHING, (f"another_{each}" for each in numbers)),
        },
    )


_POSITION = State(
    "position", 1.0, "position", "in or on (1), out or off (0)", "is closed", "is opened"
)


def _disconnect(
    name: str,
    title: str,
    seen_open: Literal["head pulled out", "blades"] = "blades",
    *,
    fused: bool = False,
    poles: int = 2,
    out_weight: float = 16.0,
    usual: bool = True,
) -> PartKind:
    numbers = range(1, poles + 1)
    fuse_parameters = (Parameter("fuse_a", "A", 35.0, 1, 200, "fuse rating"),) if fused else ()
    return PartKind(
        name=name,
        title=title,
        noun="disconnect" if fused else "",
        terminals=tuple(f"{side}{n}" for n in numbers for side in ("line", "load")),
        parameters=(
            Parameter("rating_a", "A", 60.0, 10, 200, "ampere rating"),
            *fuse_parameters,
            *(_contact(n, learned=poles > 1) for n in numbers),
            handle("held_open", "pulled out or switched off, every pole"),
            *(handle(f"open{n}", f"pole {n} never conducts") for n in numbers),
            *(handle(f"stuck{n}", f"pole {n} never opens") for n in numbers),
        ),
        elements=tuple(element for n in numbers for element in _pole(n, fused=fused)),
        facets=(
            _family(fused=fused, poles=poles),
            poles_stand(poles),
            pole_symbol(_symbol(seen_open, fused=fused), poles),
            _words(poles, fused=fused),
            _probes(fused=fused, poles=poles),
            _looks(seen_open, fused=fused, poles=poles),
            Poles(
                tuple(
                    Pole(f"line{n}", f"load{n}", f"pole{n}", f"open{n}", stuck_handle=f"stuck{n}")
                    for n in numbers
                ),
                moved_by="hand",
                at_rest="closed",
                seen_open=seen_open,
            ),
            *((_fuses(numbers),) if fused else ()),
            *((_lugs(poles),) if poles > 1 else ()),
            _label(poles, fused=fused),
            _ratings(poles, fused=fused),
            Wear(SWITCHES, one_of="disconnect" if poles > 1 else "", usual=usual),
        ),
        lacks=LOADS
        | SWITCHING - {Overcurrent, Poles}
        | JOINTS
        | {MixedUp}
        | (set() if fused else {Overcurrent})
        | (set() if poles > 1 else {Terminals}),
        states=(
            _POSITION,
            *(
                State(f"blown{n}", 0.0, "rule", f"fuse {n} blown", f"fuse {n} blows")
                for n in numbers
                if fused
            ),
        ),
        rules=tuple(_fuse(n) for n in numbers) if fused else (),
        modes=_modes(poles, out_weight, fused=fused, head=seen_open == "head pulled out"),
    )


KINDS = (
    _disconnect("disconnect_pullout", "pull-out disconnect", "head pulled out"),
    _disconnect("disconnect_switch", "switch disconnect"),
    _disconnect("disconnect_fused", "fused disconnect", fused=True),
    _disconnect("disconnect_switch_3p", "three-pole switch disconnect", poles=3),
    _disconnect("disconnect_fused_3p", "three-pole fused disconnect", poles=3, fused=True),
    _disconnect("service_switch", "service switch", poles=1, out_weight=10.0),
    _disconnect(
        "cord_outlet", "outlet with ground-fault trip", poles=1, out_weight=10.0, usual=False
    ),
)
