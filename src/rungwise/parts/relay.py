"""General-purpose relays: one normally open contact (the blower's), or one of two throws."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from rungwise.parts.element import Branch, both, contact, either, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Coil,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import SWITCHING_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTACT_A, CONTROLS, Against, Facet, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Words, told

_COIL = frozenset({"ohms"})
_CONTACT = frozenset({"ohms", "volts", "drop"})
_WELDED = _CONTACT | {"look:idle"}
_REPLACE = Repair(
    "replace",
    "read its coil ohms and the volts across its contact; replace the {noun}",
    90.0,
    _CONTACT,
)


def _listed(name: str, title: str, weight: float, draw: Draw, shown_by: frozenset[str]) -> Mode:
    return _REPLACE.mode(name, title, weight, draw, shown_by=shown_by)


_LACKS: frozenset[type[Facet]] = LOADS | SWITCHING - {Coil, Poles} | JOINTS | {Terminals}

_COIL_PARAMETERS = (
    Parameter("coil_volt", "V", 24.0, 5.0, 277.0, "rated coil volts"),
    Parameter(
        "coil_ohm",
        "Ω",
        80.0,
        5.0,
        5000.0,
        "coil resistance",
        tolerance=0.1,
        untold=0.7,
        spread_source="24 V relays of 40 to 160 Ω by make, rule of thumb",
    ),
    Parameter(
        "coil_henry",
        "H",
        0.35,
        0.0,
        50.0,
        "coil inductance",
        tolerance=0.1,
        untold=0.7,
        moves_with="coil_ohm",
    ),
    closed_contact(0.01, 1e-4, 0.1, 0.5, untold=0.9),
)

_IN = either(value("welded"), value("pulled"))
"""Where its armature is; a welded contact holds it."""


def _relay(name: str, title: str, *, throws: Literal[1, 2]) -> PartKind:
    """A relay; throws: whether it has a normally closed contact beside the open one."""
    both_ways = throws == 2
    return PartKind(
        name=name,
        title=title,
        noun="relay",
        terminals=("coil1", "coil2", "common", "no", *(("nc",) if both_ways else ())),
        parameters=(
            *_COIL_PARAMETERS,
            handle("coil_open", "coil open"),
            handle("contact_open", "contact does not carry"),
            handle("welded", "contact welded"),
            *((handle("nc_open", "normally closed contact does not carry"),) if both_ways else ()),
        ),
        elements=(
            Branch(
                "coil",
                "coil1",
                "coil2",
                value("coil_ohm"),
                henry=value("coil_henry"),
                closed=negate(value("coil_open")),
            ),
            *contact(
                "contact",
                "common",
                "no",
                ohm=value("contact_ohm"),
                closed=either(
                    value("welded"), both(value("pulled"), negate(value("contact_open")))
                ),
            ),
            *(_at_rest() if both_ways else ()),
        ),
        facets=_facets(both_ways=both_ways),
        lacks=_LACKS,
        states=(State("pulled", 0.0, "rule", "coil pulled in", "pulls in", "drops out"),),
        rules=(
            CoilRule(
                "pulled",
                "coil",
                lambda p: 0.7 * p["coil_volt"],
                lambda p: 0.3 * p["coil_volt"],
            ),
        ),
        modes=tuple(_modes(both_ways=both_ways)),
    )


def _facets(*, both_ways: bool) -> tuple[Facet, ...]:
    return (
        families("relay"),
        Stand(
            ("common",),
            ("no", "nc") if both_ways else ("no",),
            right=("coil1", "coil2"),
            rank=SWITCHING_RANK,
        ),
        Symbol(tuple(_pieces(both_ways=both_ways))),
        Words(
            modes={
                **told(FAILED, ("coil_open", "contact_open", "welded")),
                **(told(FAILED, ("nc_open",)) if both_ways else {}),
                **told(SOMETHING, ("another_contact", "another_coil")),
            }
        ),
        Probes(to_neutral=("no",), volts=(("common", "nc"),) if both_ways else ()),
        Looks(),
        Poles(
            (
                Pole("common", "no", "contact", "contact_open", stuck_handle="welded"),
                *((Pole("common", "nc", "rest", "nc_open"),) if both_ways else ()),
            ),
            moved_by="coil",
            at_rest="open",
        ),
        Coil("coil", ("coil1", "coil2"), "pulled", "coil_volt", "general purpose"),
        MixedUp(fed_for_ever=(("no", "common"),)),
        Label(figures=(CONTACT_A,)),
        Ratings(
            (
                Rating("coil_volt", Against.COIL_VOLTS),
                Rating(CONTACT_A.name, Against.RUNNING_MOTORS),
            )
        ),
        Wear(CONTROLS, one_of="relay", usual=not both_ways),
    )


def _at_rest() -> tuple[Branch, Branch]:
    """The normally closed contact."""
    rests = both(negate(_IN), negate(value("nc_open")))
    return contact("rest", "common", "nc", ohm=value("contact_ohm"), closed=rests)


def _pieces(*, both_ways: bool) -> Iterator[Piece]:
    if both_ways:
        yield Piece(
            "contact",
            ("no", "common", "nc"),
            ("contact", "contact_nc"),
            ("contact", "rest"),
            through=True,
            forks=True,
            aside="contact",
        )
    else:
        yield Piece(
            "contact", ("common", "no"), ("contact",), ("contact",), through=True, aside="contact"
        )
    yield Piece("coil", ("coil1", "coil2"), ("coil",), ("coil",), aside="coil")


def _modes(*, both_ways: bool) -> Iterator[Mode]:
    yield _listed("coil_open", "{noun} coil open", 3.0, Draw("coil_open", 1, 1), _COIL)
    yield _listed(
        "contact_open",
        "{noun} contact does not carry",
        4.0,
        Draw("contact_open", 1, 1),
        _CONTACT,
    )
    if both_ways:
        title = "{noun}'s normally closed contact does not carry"
        yield _listed("nc_open", title, 4.0, Draw("nc_open", 1, 1), _CONTACT)
    yield _listed("welded", "{noun} contact welded", 1.5, Draw("welded", 1, 1), _WELDED)
    yield _REPLACE.another("contact", 0.6, Draw("contact_ohm", 0.2, 1000.0))
    yield _REPLACE.another(
        "coil",
        0.4,
        Draw("coil_ohm", 0.05, 0.3, "scale"),
        Draw("coil_henry", 0.05, 0.3, "scale"),
        shown_by=_COIL,
    )


KINDS = (
    _relay("relay", "relay", throws=1),
    _relay("relay_two_throw", "relay with two throws", throws=2),
)
