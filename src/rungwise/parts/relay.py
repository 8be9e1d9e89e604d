"""A general-purpose relay with one normally open contact (the indoor blower relay)."""

from __future__ import annotations

from rungwise.parts.element import Branch, both, contact, either, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Coil,
    Facet,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.parts.pictures import SWITCHING_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTACT_A, CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import another
from rungwise.parts.words import FAILED, SOMETHING, Words, told

_REPLACE = ("replace", "read its coil ohms and the volts across its contact; replace the relay")
_COIL = frozenset({"ohms"})
_CONTACT = frozenset({"ohms", "volts", "drop"})
_WELDED = _CONTACT | {"look:idle"}
_MINUTES = 90.0


def _listed(name: str, title: str, weight: float, draw: Draw, shown_by: frozenset[str]) -> Mode:
    return Mode(name, title, weight, (draw,), *_REPLACE, shown_by=shown_by, wrong_minutes=_MINUTES)


_LACKS: frozenset[type[Facet]] = LOADS | SWITCHING - {Coil, Poles} | JOINTS | {MixedUp, Terminals}

KINDS = (
    PartKind(
        name="relay",
        title="relay",
        terminals=("coil1", "coil2", "common", "no"),
        parameters=(
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
            Parameter(
                "contact_ohm",
                "Ω",
                0.01,
                1e-4,
                0.1,
                "closed contact",
                tolerance=0.5,
                untold=0.9,
                learned=False,
            ),
            handle("coil_open", "coil open"),
            handle("contact_open", "contact does not carry"),
            handle("welded", "contact welded"),
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
        ),
        facets=(
            families("relay"),
            Stand(("common",), ("no",), right=("coil1", "coil2"), rank=SWITCHING_RANK),
            Symbol(
                (
                    Piece(
                        "contact",
                        ("common", "no"),
                        ("contact",),
                        ("contact",),
                        through=True,
                        aside="contact",
                    ),
                    Piece("coil", ("coil1", "coil2"), ("coil",), ("coil",), aside="coil"),
                )
            ),
            Words(
                modes={
                    **told(FAILED, ("coil_open", "contact_open", "welded")),
                    **told(SOMETHING, ("another_contact", "another_coil")),
                }
            ),
            Probes(to_neutral=("no",)),
            Looks(),
            Poles(
                (Pole("common", "no", "contact", "contact_open", stuck_handle="welded"),),
                moved_by="coil",
                at_rest="open",
            ),
            Coil("coil", ("coil1", "coil2"), "pulled", "coil_volt", "general purpose"),
            Label(figures=(CONTACT_A,)),
            Ratings(
                (
                    Rating("coil_volt", Against.COIL_VOLTS),
                    Rating(CONTACT_A.name, Against.RUNNING_MOTORS),
                )
            ),
            Wear(CONTROLS),
        ),
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
        modes=(
            _listed("coil_open", "relay coil open", 3.0, Draw("coil_open", 1, 1), _COIL),
            _listed(
                "contact_open",
                "relay contact does not carry",
                4.0,
                Draw("contact_open", 1, 1),
                _CONTACT,
            ),
            _listed("welded", "relay contact welded", 1.5, Draw("welded", 1, 1), _WELDED),
            another(
                "contact",
                "relay",
                0.6,
                (Draw("contact_ohm", 0.2, 1000.0),),
                _REPLACE,
                _CONTACT,
                _MINUTES,
            ),
            another(
                "coil",
                "relay",
                0.4,
                (Draw("coil_ohm", 0.05, 0.3, "scale"), Draw("coil_henry", 0.05, 0.3, "scale")),
                _REPLACE,
                _COIL,
                _MINUTES,
            ),
        ),
    ),
)
