"""The lockout relay: its coil lies over the whole chain of safeties, its contact in the chain.

While the chain is whole its coil has no volts.  A safety that opens leaves that coil in series with
the contactor's, whose few ohms keep little for themselves: the contactor drops, this relay pulls in
and opens the chain, and stays in although the safety closes again, until the call or the power is
taken away.  No rule says so; it comes of the ohms of both coils, in a few rounds of switching.
"""

from __future__ import annotations

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
from rungwise.parts.kind import Draw, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import SWITCHING_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTACT_A, CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

_CONTACT = frozenset({"drop", "volts", "ohms"})
_REPLACE = Repair(
    "replace",
    "with the call on, read its coil volts: about none while the chain is whole; replace the "
    "relay where its contact drops volts then, or where it does not lock with a safety open",
    90.0,
    frozenset({"ohms"}),
)

KINDS = (
    PartKind(
        name="lockout_relay",
        title="lockout relay",
        terminals=("coil1", "coil2", "com", "nc"),
        parameters=(
            Parameter("coil_volt", "V", 24.0, 20.0, 30.0, "rated coil volts"),
            Parameter("coil_ohm", "Ω", 300.0, 150.0, 1200.0, "coil resistance", 0.1, untold=0.6,
                      spread_source="250 to 1000 Ω, an impedance relay; rule of thumb"),
            Parameter("coil_henry", "H", 0.7, 0.0, 20.0, "coil inductance", 0.1, untold=0.6,
                      moves_with="coil_ohm"),
            closed_contact(0.01, 1e-4, 0.1, 0.5, untold=0.9),
            handle("coil_open", "coil open"),
            handle("contact_open", "contact does not carry"),
            handle("welded", "contact never opens"),
        ),
        elements=(
            Branch("coil", "coil1", "coil2", value("coil_ohm"), henry=value("coil_henry"),
                   closed=negate(value("coil_open"))),
            *contact(
                "contact",
                "com",
                "nc",
                ohm=value("contact_ohm"),
                closed=either(
                    value("welded"),
                    both(negate(value("locked")), negate(value("contact_open"))),
                ),
            ),
        ),
        facets=(
            families("relay"),
            Stand(("com",), ("nc",), left=("coil1", "coil2"), rank=SWITCHING_RANK,
                  mark="coil and contact"),
            Symbol(
                (
                    Piece("contact", ("com", "nc"), ("contact_nc",), ("contact",), through=True,
                          aside="contact"),
                    Piece("coil", ("coil1", "coil2"), ("coil",), ("coil",), aside="coil"),
                )
            ),
            Words(
                "lockout relay",
                "This relay keeps the unit off after one of its safeties has opened.",
                {
                    "contact_open": FAILED,
                    **told(Plain("The {noun} had ceased to guard the unit."),
                           ("coil_open", "welded")),
                    **told(SOMETHING, ("another_contact", "another_coil")),
                },
            ),
            Probes(apart=(("com", "nc"),), volts=(("com", "nc"),), conducts=True),
            Looks(),
            Poles(
                (Pole("com", "nc", "contact", "contact_open", stuck_handle="welded"),),
                moved_by="coil",
                at_rest="closed",
            ),
            Coil("coil", ("coil1", "coil2"), "locked", "coil_volt", "general purpose"),
            Label(("coil_volt",), figures=(CONTACT_A,), weighty=("coil_ohm",),
                  unseen=("whether its coil is made to lie in series with a contactor's",)),
            Ratings((Rating("coil_volt", Against.COIL_VOLTS),)),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Coil, Poles} | JOINTS | {MixedUp, Terminals},
        states=(
            State("locked", 0.0, "rule", "coil pulled in, chain open", "locks out", "lets go"),
        ),
        rules=(
            CoilRule(
                "locked",
                "coil",
                lambda p: 0.65 * p["coil_volt"],
                lambda p: 0.25 * p["coil_volt"],
            ),
        ),
        modes=(
            _REPLACE.mode("contact_open",
                          "{noun}'s contact burnt: the chain is open without a trip", 4.0,
                          shown_by=_CONTACT),
            _REPLACE.mode("coil_open", "{noun}'s coil open: a trip is not locked out", 2.0),
            _REPLACE.mode("welded", "{noun}'s contact welded: a trip is not locked out", 0.7),
            _REPLACE.another("contact", 0.6, Draw("contact_ohm", 0.5, 1000.0), shown_by=_CONTACT),
            _REPLACE.another("coil", 0.4, Draw("coil_ohm", 0.05, 0.3, "scale"),
                             Draw("coil_henry", 0.05, 0.3, "scale")),
        ),
    ),
)  # fmt: skip
