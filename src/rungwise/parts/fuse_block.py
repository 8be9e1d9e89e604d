"""Fuse blocks in the unit: two fuses ahead of a control transformer, three ahead of a motor."""

from __future__ import annotations

from rungwise.parts.element import Branch, both, contact, negate, value
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
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.parts.pictures import pole_symbol, poles_stand
from rungwise.parts.rule import FuseRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import SWITCHES, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import SOMETHING, LeaveOff, Plain, Words, told
from rungwise.wording import mark

_READ = frozenset({"volts", "drop", "ohms"})
_MINUTES = 60.0
_REPLACE = (
    "lock out and read ohms behind it, each fuse to ground and between them; find what blew "
    "it; replace the fuse, same amps, volts and class"
)


def _pole(n: int) -> tuple[Branch, Branch]:
    whole = both(negate(value(f"blown{n}")), negate(value(f"open{n}")))
    return contact(f"pole{n}", f"line{n}", f"load{n}", ohm=value(f"fuse{n}_ohm"), closed=whole)


def _rule(n: int) -> FuseRule:
    return FuseRule(
        f"blown{n}",
        f"pole{n}",
        fast_amp=lambda p: 15.0 * p["fuse_a"],
        slow_amp=lambda p: 1.35 * p["fuse_a"],
        slow_s=30.0,
        rated_by="fuse_a",
    )


def _modes(n: int) -> tuple[Mode, ...]:
    return (
        Repair(f"fuse{n}", _REPLACE, _MINUTES, _READ).mode(
            f"pole{n}_open",
            f"{{noun}}: fuse {n} blown, nothing shorted now",
            6.0,
            Draw(f"open{n}", 1, 1),
            behind="a shorted coil or transformer behind it, or its inrush and age",
            is_effect=True,
        ),
        Repair(
            f"fuse{n}",
            "read the drop across it in its clips; clean or replace both",
            _MINUTES,
            _READ,
        ).another(f"pole{n}", 0.4, Draw(f"fuse{n}_ohm", 30.0, 5e3)),
    )


def _block(name: str, title: str, poles: int, fuse_a: float, usual_ohm: float) -> PartKind:
    numbers = range(1, poles + 1)
    ends = tuple(f"{side}{n}" for n in numbers for side in ("line", "load"))
    return PartKind(
        name=name,
        title=title,
        terminals=ends,
        parameters=(
            Parameter("fuse_a", "A", fuse_a, 0.2, 100, "fuse rating"),
            *(Parameter(f"fuse{n}_ohm", "Ω", usual_ohm, 1e-4, 10.0, f"fuse {n} in its clips",
                        0.1, untold=0.8, learned=False) for n in numbers),
            *(handle(f"open{n}", f"fuse {n} found blown") for n in numbers),
        ),
        elements=tuple(branch for n in numbers for branch in _pole(n)),
        facets=(
            families("fuse"),
            poles_stand(poles),
            pole_symbol("fuse", poles),
            Words(
                "fuses in the unit",
                "These fuses guard a part of the unit; something short blows them.",
                {
                    **told(Plain("A fuse in the unit had blown.",
                                 "find what blew it, then replace it", LeaveOff.BREAKER),
                           (f"pole{n}_open" for n in numbers)),
                    **told(SOMETHING, (f"another_pole{n}" for n in numbers)),
                },
            ),
            Probes(apart=tuple((f"line{n}", f"load{n}") for n in numbers),
                   volts=tuple((f"line{n}", f"load{n}") for n in numbers), conducts=True),
            Looks(),
            Poles(
                tuple(Pole(f"line{n}", f"load{n}", f"pole{n}", f"open{n}") for n in numbers),
                moved_by="itself",
                at_rest="closed",
            ),
            Overcurrent(
                "melts",
                "fuse_a",
                tuple(f"blown{n}" for n in numbers),
                found=tuple(f"pole{n}_open" for n in numbers),
                opened=mark("so a fuse of the {part} has blown"),
                put_right=mark("replace fuse {pole} of the {part}, same amps and class"),
            ),
            Label(("fuse_a",), unseen=("class and volts of the fuse", "clips")),
            Ratings((Rating("fuse_a", Against.OVERCURRENT),)),
            Wear(SWITCHES, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Overcurrent, Poles} | JOINTS | {MixedUp, Terminals},
        states=tuple(
            State(f"blown{n}", 0.0, "rule", f"fuse {n} blown", f"fuse {n} blows") for n in numbers
        ),
        rules=tuple(_rule(n) for n in numbers),
        modes=tuple(mode for n in numbers for mode in _modes(n)),
    )  # fmt: skip


KINDS = (
    _block("fuse_block_2p", "control fuse block", 2, 1.0, 0.3),
    _block("fuse_block_3p", "three-pole fuse block", 3, 15.0, 0.008),
)
