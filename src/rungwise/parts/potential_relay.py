"""The start relay of a hard-start kit: opens 1-2 when the winding's own volts have risen."""

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
from rungwise.parts.pictures import START_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Facet, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Words, told

_REPLACE = Repair(
    "replace",
    "replace the hard-start kit, {noun} and capacitor together",
    90.0,
    frozenset({"ohms", "drop", "inrush"}),
)

_LACKS: frozenset[type[Facet]] = LOADS | SWITCHING - {Coil, Poles} | JOINTS | {MixedUp}

KINDS = (
    PartKind(
        name="potential_relay",
        title="start relay",
        noun="relay",
        terminals=("1", "2", "5"),
        parameters=(
            Parameter(
                "pick_up_volt",
                "V",
                260.0,
                120,
                420,
                "coil volts that open contact 1-2",
                tolerance=0.08,
                untold=0.12,
                learned=False,
            ),
            Parameter(
                "drop_out_volt",
                "V",
                90.0,
                30,
                150,
                "coil volts at which it closes again",
                tolerance=0.15,
                untold=0.25,
                learned=False,
            ),
            Parameter(
                "coil_ohm",
                "Ω",
                10000.0,
                1000,
                50000,
                "coil 2-5 resistance",
                tolerance=0.1,
                untold=0.7,
                spread_source="5 to 20 kΩ by make, rule of thumb",
            ),
            Parameter(
                "coil_henry",
                "H",
                40.0,
                0.0,
                500.0,
                "coil 2-5 inductance",
                tolerance=0.1,
                untold=0.7,
                moves_with="coil_ohm",
            ),
            closed_contact(0.02, 1e-3, 0.2, 0.3, untold=0.8),
            handle("stuck", "contact never opens"),
            handle("never_in", "contact never closes"),
        ),
        elements=(
            *contact(
                "contact",
                "1",
                "2",
                ohm=value("contact_ohm"),
                closed=both(
                    either(value("stuck"), negate(value("pulled"))), negate(value("never_in"))
                ),
            ),
            Branch("coil", "2", "5", value("coil_ohm"), henry=value("coil_henry")),
        ),
        facets=(
            families("start kit"),
            Stand(("1", "2", "5"), turns=True, rank=START_RANK, mark="coil and contact"),
            Symbol((Piece("relay", ("1", "2", "5"), ("contact_nc", "coil"), ("contact", "coil")),)),
            Words(
                purpose="This relay takes the starting help away once the compressor turns.",
                modes={
                    **told(FAILED, ("stuck_in", "never_in")),
                    **told(SOMETHING, ("another_contact", "another_pick_up", "another_coil")),
                },
            ),
            Probes(apart=(("1", "2"), ("2", "5"))),
            Looks(),
            Poles(
                (Pole("1", "2", "contact", "never_in", stuck_handle="stuck"),),
                moved_by="coil",
                at_rest="closed",
            ),
            Terminals(dict.fromkeys(("1", "2", "5"), ("tab",) * 2)),
            Coil("coil", ("2", "5"), "pulled", volt="", duty="starting"),
            Label(("pick_up_volt",), weighty=("drop_out_volt",)),
            Ratings(
                (
                    Rating("pick_up_volt", Against.PICK_UP),
                    Rating("drop_out_volt", Against.DROP_OUT),
                )
            ),
            Wear(CONTROLS),
        ),
        lacks=_LACKS,
        states=(
            State("pulled", 0.0, "rule", "coil pulled, contact 1-2 open", "picks up", "drops out"),
        ),
        rules=(
            CoilRule(
                "pulled", "coil", value("pick_up_volt"), value("drop_out_volt"), by_speed=True
            ),
        ),
        modes=(
            _REPLACE.mode(
                "stuck_in",
                "{title} leaves the start capacitor in",
                6.0,
                Draw("stuck", 1, 1),
                shown_by=frozenset({"amps"}),
            ),
            _REPLACE.mode("never_in", "{title} never puts the start capacitor in", 8.0),
            _REPLACE.another("contact", 0.4, Draw("contact_ohm", 0.5, 1000.0), noun="{title}"),
            _REPLACE.another(
                "pick_up",
                0.6,
                Draw("pick_up_volt", 2.0, 4.0, "scale"),
                noun="{title}",
                shown_by=frozenset({"volts", "amps"}),
            ),
            _REPLACE.another(
                "coil",
                0.4,
                Draw("coil_ohm", 5.0, 1000.0, "scale"),
                Draw("coil_henry", 5.0, 1000.0, "scale"),
                noun="{title}",
                shown_by=frozenset({"ohms"}),
            ),
        ),
    ),
)
