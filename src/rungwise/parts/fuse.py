"""The low-voltage fuse on the control transformer's secondary."""

from __future__ import annotations

from rungwise.parts.element import both, contact, negate, value
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
from rungwise.parts.pictures import Piece, Symbol, in_line
from rungwise.parts.rule import FuseRule
from rungwise.parts.seen import Looks, Probes, Stands
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import SOMETHING, Plain, Words
from rungwise.wording import mark

_READ = frozenset({"volts", "drop", "ohms"})

KINDS = (
    PartKind(
        name="lv_fuse",
        title="low-voltage fuse",
        noun="fuse",
        terminals=("1", "2"),
        parameters=(
            Parameter("rating_a", "A", 3.0, 0.5, 15, "fuse rating"),
            Parameter(
                "element_ohm",
                "Ω",
                0.03,
                0.001,
                0.5,
                "resistance of the fuse",
                tolerance=0.1,
                untold=0.8,
                learned=False,
            ),
            handle("held_open", "found blown"),
        ),
        elements=contact(
            "link",
            "1",
            "2",
            ohm=value("element_ohm"),
            closed=both(negate(value("blown")), negate(value("held_open"))),
        ),
        facets=(
            families("fuse", "control fuse"),
            in_line(),
            Symbol(
                (
                    Piece(
                        "link",
                        ("1", "2"),
                        ("fuse",),
                        ("link",),
                        through=True,
                        figures=("rating_a",),
                    ),
                )
            ),
            Words(
                "small fuse of the control circuit",
                "The small fuse guards the thermostat's circuit; something short blows it.",
                {
                    "blown": Plain("The {noun} had blown.", "find what blew it, then replace it"),
                    "another_holder": SOMETHING,
                },
            ),
            Probes(apart=(("1", "2"),), volts=(("1", "2"),), conducts=True),
            Looks(stands=Stands(("held_open", "blown"), ("good", "blown"), 2.5)),
            Poles((Pole("1", "2", "link"),), moved_by="itself", at_rest="closed"),
            Overcurrent(
                "melts",
                "rating_a",
                ("blown",),
                found=("blown",),
                opened=mark("so the {part} has blown"),
                put_right=mark("replace the {part}, same amps and type"),
            ),
            Label(("rating_a",), on_a_van=7),
            Ratings((Rating("rating_a", Against.OVERCURRENT),)),
            Wear(CONTROLS),
        ),
        lacks=LOADS | SWITCHING - {Overcurrent, Poles} | JOINTS | {MixedUp, Terminals},
        states=(State("blown", 0.0, "rule", "melted on overcurrent", "blows"),),
        rules=(
            FuseRule(
                "blown",
                "link",
                fast_amp=lambda p: 4.0 * p["rating_a"],
                slow_amp=lambda p: 1.35 * p["rating_a"],
                slow_s=5.0,
                rated_by="rating_a",
            ),
        ),
        modes=(
            Mode(
                "blown",
                "{title} blown, nothing shorted now",
                4.0,
                (Draw("held_open", 1, 1),),
                "replace",
                "read ohms from Y and from R to C first: under 5 Ω find the short; then replace "
                "the {noun}, same amps and type, and look for a short that comes and goes",
                behind="a short on Y, R or the coil, perhaps one that comes and goes",
                shown_by=_READ | {"look:device"},
                is_effect=True,
                wrong_minutes=60.0,
            ),
            Repair(
                "replace",
                "read the drop across it in its clips; clean or replace both",
                40.0,
                _READ,
            ).another("holder", 0.8, Draw("element_ohm", 1.0, 5e3), noun="{title} or its holder"),
        ),
    ),
)
