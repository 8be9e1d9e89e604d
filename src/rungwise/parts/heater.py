"""The crankcase heater and, in some units, its thermostat."""

from __future__ import annotations

from dataclasses import replace

from rungwise.parts.element import (
    Branch,
    FloatArray,
    Lookup,
    both,
    contact,
    insulation,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Heater,
    MixedUp,
    OpensOn,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import LOAD_RANK, TWO_TABS, Piece, Symbol, in_line, series_switch
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTACT_A, HEATERS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, LeaveOff, Words


def _cold(p: Lookup) -> FloatArray:
    return (p["ambient_c"] < p["close_below_c"]).astype(float)


_REPLACE = Repair("replace", "replace the {noun}", 60.0, frozenset({"ohms", "amps"}))
_CONTACT = frozenset({"ohms", "volts", "drop"})

KINDS = (
    PartKind(
        name="crankcase_heater",
        title="crankcase heater",
        terminals=("1", "2"),
        parameters=(
            Parameter(
                "watt",
                "W",
                70.0,
                10,
                400,
                "rated power",
                tolerance=0.1,
                untold=0.45,
                spread_source="30 to 100 W by make, ±10% of the mark; rule of thumb",
            ),
            Parameter("volt", "V", 240.0, 100, 600, "rated volts"),
            Parameter("made_ratio", "", 1.0, 0.8, 1.2, "resistance over its rated value"),
            Parameter(
                "insulation_ohm",
                "Ω",
                2e8,
                1e3,
                1e12,
                "insulation to the shell",
                2.7,
                learned=False,
                spread_source="20 MΩ to beyond any meter is good (rule of thumb)",
            ),
            handle("open", "element open"),
        ),
        elements=(
            Branch(
                "element",
                "1",
                "2",
                lambda p: p["made_ratio"] * p["volt"] ** 2 / p["watt"],
                closed=negate(value("open")),
            ),
            insulation("insulation", "1", value("insulation_ohm")),
        ),
        facets=(
            families("heater"),
            replace(TWO_TABS, mark="heater", rank=LOAD_RANK),
            Symbol((Piece("element", ("1", "2"), ("heater",), figures=("watt",)),)),
            Words(
                "compressor's heater",
                "The heater keeps refrigerant out of the compressor's oil while it rests.",
                {
                    "open": FAILED,
                    "earthed": FAILED.staying_off(LeaveOff.BREAKER),
                    "another_watt": SOMETHING,
                },
            ),
            Probes(),
            Looks(),
            Heater("element", ("1", "2")),
            Label(("watt", "volt")),
            Ratings((Rating("watt", Against.WATTS), Rating("volt", Against.VOLTS))),
            Wear(HEATERS),
            Terminals(
                colors=dict.fromkeys(("1", "2"), ("orange", "black", "white")), reach_minutes=2.0
            ),
        ),
        lacks=LOADS - {Heater} | SWITCHING | JOINTS | {MixedUp},
        modes=(
            _REPLACE.mode("open", "{noun} open", 10.0),
            _REPLACE.mode(
                "earthed",
                "{noun} shorted to ground",
                2.0,
                Draw("insulation_ohm", 1.0, 1000.0),
                shown_by=frozenset({"ohms", "megohms"}),
                # As common as an hour ago for what is grounded hard; an element that tracks to
                # its shell through ohms leaves the breaker alone (common practice, no source).
                opens_ahead=(0.3, "1"),
            ),
            _REPLACE.another("watt", 0.5, Draw("watt", 0.2, 3.0, "scale")),
        ),
    ),
    PartKind(
        name="heater_thermostat",
        title="crankcase heater thermostat",
        terminals=("1", "2"),
        parameters=(
            Parameter("close_below_c", "°C", 15.0, -20, 50, "closes below this ambient", 0.0),
            closed_contact(0.03, 1e-3, 1.0, 0.6),
            handle("held_open", "never closes"),
        ),
        elements=contact(
            "contact",
            "1",
            "2",
            ohm=value("contact_ohm"),
            closed=both(_cold, negate(value("held_open"))),
        ),
        facets=(
            families("heater thermostat"),
            in_line(),
            series_switch("thermal_switch"),
            Words(
                "thermostat of the compressor's heater",
                modes={"open": FAILED, "another_contact": SOMETHING},
            ),
            Probes(),
            Looks(),
            Poles((Pole("1", "2", "contact", "held_open"),), moved_by="itself", at_rest="open"),
            OpensOn("warmth", ("1", "2")),
            Label(figures=(CONTACT_A,)),
            Ratings(
                (
                    Rating("close_below_c", Against.SETTING),
                    Rating(CONTACT_A.name, Against.HEATERS),
                )
            ),
            Wear(HEATERS),
        ),
        lacks=LOADS | SWITCHING - {OpensOn, Poles} | JOINTS | {MixedUp, Terminals},
        states=(State("ambient_c", 27.0, "ambient", "outdoor temperature"),),
        modes=(
            _REPLACE.mode(
                "open",
                "{noun} open",
                5.0,
                Draw("held_open", 1, 1),
                shown_by=_CONTACT,
            ),
            _REPLACE.another("contact", 0.2, Draw("contact_ohm", 2.0, 1000.0), shown_by=_CONTACT),
        ),
    ),
)
