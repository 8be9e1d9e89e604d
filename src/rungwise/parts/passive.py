"""Joining points with nothing inside: terminal board, splice, earth lug."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

from rungwise.parts.element import EARTH, Branch, fixed, value
from rungwise.parts.facets import (
    LOADS,
    SWITCHING,
    Conductor,
    Junction,
    MixedUp,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, handle
from rungwise.parts.pictures import PROTECTION_RANK, Piece, Stand, Symbol, joints
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import WIRING, Facet, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

_LACKS: frozenset[type[Facet]] = LOADS | SWITCHING | {Conductor, MixedUp, Ratings, Terminals}

_EITHER: frozenset[Literal["control", "field"]] = frozenset({"control", "field"})

SPLICE = "splice"
"""The kind of a point where leads are joined, whatever they carry."""


LEAKS = (
    Branch("leak", "Y", "C", value("leak_ohm"), closed=value("leaks")),
    Branch("feed_leak", "R", "C", value("feed_leak_ohm"), closed=value("feed_leaks")),
)
"""What water, soot, a loose strand or a burnt part lets through across two screws of a board."""

LEAKING = (
    Parameter("leak_ohm", "Ω", 20.0, 0.1, 1e6, "leak from Y to C", hidden=True),
    handle("leaks", "Y leaks to C on the board"),
    Parameter("feed_leak_ohm", "Ω", 2.0, 0.1, 1e6, "leak from R to C", hidden=True),
    handle("feed_leaks", "R leaks to C on the board"),
)

LEAK_WORDS: Mapping[str, Plain] = {
    **told(FAILED, ("leak", "feed_leak")),
    **told(SOMETHING, ("another_leak", "another_feed_leak")),
}

_OHMS = frozenset({"ohms"})
_DRIED = Repair("replace", "clean and dry the {noun}, or replace it", 90.0, _OHMS)


def leak_modes() -> Iterator[Mode]:
    """The ways of such a leak: one that pulls the volts down, and a slighter one.

    From R to C it blows the fuse before the board, or heats the transformer that has none.
    """
    leaks = (("", "Y", (1.0, 100.0), 3000.0, 0.6), ("feed_", "R", (0.3, 8.0), 300.0, 0.6))
    for lead, end, ohm, slight_ohm, weight in leaks:
        yield _DRIED.mode(
            f"{lead}leak",
            f"{{title}} leaks from {end} to C",
            weight,
            Draw(f"{lead}leaks", 1, 1),
            Draw(f"{lead}leak_ohm", *ohm),
            behind="water, soot or a loose strand across two screws",
        )
        yield _DRIED.another(
            f"{lead}leak",
            weight / 6.0,
            Draw(f"{lead}leaks", 1, 1),
            Draw(f"{lead}leak_ohm", ohm[1], slight_ohm),
            noun="{title}",
        )


def _board(name: str, title: str, more: tuple[str, ...] = ()) -> PartKind:
    """A strip of the 24 V circuit. more: its terminals beside those of a unit that only cools."""
    ends = ("R", "C", "Y", "G", *more)
    live = tuple((each, "C") for each in ends if each != "C")
    return PartKind(
        name,
        title,
        ends,
        LEAKING,
        LEAKS,
        (
            families("electronics", "board"),
            Stand(top=ends, both=True),
            joints(*ends),
            Words("control board", modes=LEAK_WORDS),
            Probes(in_circuit=live, apart=(("Y", "C"),), volts=live),
            Looks(light="board"),
            Junction(one_point=False, carries="control"),
            Label(),
            Wear(WIRING, one_of="control board", usual=not more),
            # Others make no difference to a call for cooling, or no other than an open Y.
            MixedUp(
                landed=(
                    ("Y", "C", _EITHER),
                    ("Y", "R", frozenset({"field"})),
                    ("Y", "G", frozenset({"control"})),
                    ("C", "R", frozenset({"field"})),
                    ("G", "Y", frozenset({"control"})),
                )
            ),
        ),
        _LACKS - {MixedUp},
        modes=tuple(leak_modes()),
        noun="board",
    )


KINDS = (
    _board("terminal_board", "control terminal board"),
    _board(
        "terminal_board_stages",
        "control terminal board",
        ("Y2", "O", "B", "W", "W2", "E"),
    ),
    PartKind(
        SPLICE,
        "splice",
        ("1",),
        (),
        (),
        (
            families("junction"),
            Stand(top=("1",), both=True),
            joints("1"),
            Words(purpose="A splice is where two wires are joined."),
            Probes(along_y=True),
            Looks(),
            Junction(one_point=True, carries="any", marked=False),
            Label(),
            Wear(WIRING),
        ),
        _LACKS,
    ),
    PartKind(
        "neutral_bar",
        "neutral bar",
        ("N",),
        (),
        (),
        (
            families("junction"),
            Stand(top=("N",), both=True, rank=PROTECTION_RANK),
            joints("N"),
            Words(),
            Probes(),
            Looks(),
            Junction(one_point=True, carries="neutral"),
            Label(),
            Wear(WIRING),
        ),
        _LACKS,
    ),
    PartKind(
        "earth_lug",
        "ground lug",
        ("E",),
        (),
        (Branch("bond", "E", EARTH, fixed(0.01)),),
        (
            families("junction"),
            Stand(top=("E",), both=True),
            Symbol((Piece("E", ("E",), ("earth",)),)),
            Words(),
            Probes(),
            Looks(),
            Junction(one_point=True, carries="ground"),
            Label(),
            Wear(WIRING),
        ),
        _LACKS,
    ),
)
