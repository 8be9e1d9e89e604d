"""Electric heat of an air handler: elements in the air stream, and what switches them.

The numbers are common practice, no source, where none stands beside them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from rungwise.parts.element import Branch, both, contact, either, insulation, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Coil,
    Heater,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import ICES, Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import LOAD_RANK, SWITCHING_RANK, TWO_TABS, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule, Rule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.slow_actuator import SlowActuatorRule
from rungwise.parts.trade import (
    CONTACT_A,
    CONTROLS,
    HEATERS,
    Against,
    Facet,
    Label,
    Rating,
    Ratings,
    Wear,
)
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, LeaveOff, Plain, Words, told

_COIL = frozenset({"ohms"})
_CONTACT = frozenset({"ohms", "volts", "drop"})
_MINUTES = 120.0

_NO_AIR = "heat without air: a dirty filter or a dead blower"
_ELEMENT = Repair(
    "replace",
    "replace the {noun}, same watts and volts, and find why it failed",
    _MINUTES,
    frozenset({"ohms", "amps"}),
)


def _element(
    name: str, title: str, watt: float, purpose: str, warms: Literal["air", "ice"]
) -> PartKind:
    melts = warms == "ice"
    return PartKind(
        name=name,
        title=title,
        terminals=("1", "2"),
        parameters=(
            Parameter("watt", "W", watt, 500, 20000, "rated power", tolerance=0.1, untold=0.2,
                      spread_source="±10% of the plate's amps is good; rule of thumb"),
            Parameter("volt", "V", 240.0, 100, 600, "rated volts"),
            Parameter("made_ratio", "", 1.0, 0.8, 1.2, "resistance over its rated value"),
            Parameter("insulation_ohm", "Ω", 1e8, 1e3, 1e12, "insulation to the frame", 3.6,
                      learned=False,
                      spread_source="1 or 2 MΩ in damp air to beyond any meter (rule of thumb)"),
            handle("open", "element broken"),
        ),
        elements=(
            Branch("element", "1", "2", lambda p: p["made_ratio"] * p["volt"] ** 2 / p["watt"],
                   closed=negate(value("open"))),
            insulation("insulation", "2", value("insulation_ohm")),
        ),
        facets=(
            families("heater", *(("defrost heater",) if melts else ())),
            replace(TWO_TABS, mark="heater", rank=LOAD_RANK),
            Symbol((Piece("element", ("1", "2"), ("heater",), figures=("watt",)),)),
            Words(
                title,
                purpose,
                {
                    "open": Plain("A {noun} was broken."),
                    "earthed": FAILED.staying_off(LeaveOff.BREAKER),
                    "another_watt": SOMETHING,
                },
            ),
            Probes(on="heat"),
            Looks(),
            Heater("element", ("1", "2"), warms=warms),
            Label(("watt", "volt")),
            Ratings((Rating("watt", Against.WATTS), Rating("volt", Against.VOLTS))),
            Wear(HEATERS, usual=False),
            Terminals(
                dict.fromkeys(("1", "2"), ("tab",)),
                colors=dict.fromkeys(("1", "2"), ("black", "red")), reach_minutes=8.0,
            ),
        ),
        lacks=LOADS - {Heater} | SWITCHING | JOINTS | {MixedUp},
        change_minutes=(60.0, 60.0),
        modes=(
            _ELEMENT.mode("open", "{noun} broken", 20.0, behind="" if melts else _NO_AIR,
                          signs={"ice": 0.8} if melts else {}, ices=ICES if melts else 0.0),
            _ELEMENT.mode("earthed", "{noun} touches its frame", 5.0,
                          Draw("insulation_ohm", 0.1, 1000.0),
                          behind="a broken coil that sags against the frame",
                          shown_by=frozenset({"ohms", "megohms"}), opens_ahead=(0.5, "2")),
            _ELEMENT.another("watt", 0.5, Draw("watt", 0.2, 0.7, "scale")),
        ),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Switch:
    """What switches elements: its coil's terminals, its poles, and how its coil moves them.

    weights: of contacts that never close, that are welded, and of an open coil, common practice.
    """

    name: str
    title: str
    coil: tuple[str, str]
    poles: tuple[tuple[str, str], ...]
    coil_ohm: tuple[float, str]
    timing: tuple[Parameter, ...]
    rule: Rule
    weights: tuple[float, float, float]
    purpose: str
    state: State

    @property
    def replace(self) -> Repair:
        """The repair of each of its faults."""
        return Repair(
            "replace",
            "on a call for heat read its coil's volts, then volts across each contact: 240 V "
            "with 24 V on the coil is an open one; replace the {noun}",
            _MINUTES,
            _COIL,
        )

    def element(self, number: int) -> str:
        """The element of a pole, counted from 0."""
        return f"contact{number + 1}"


def _switch(sort: _Switch) -> PartKind:
    poles = list(enumerate(sort.poles))
    return PartKind(
        name=sort.name,
        title=sort.title,
        terminals=(*sort.coil, *(end for ends in sort.poles for end in ends)),
        parameters=(
            Parameter("coil_volt", "V", 24.0, 5.0, 277.0, "rated coil volts"),
            Parameter("coil_ohm", "Ω", sort.coil_ohm[0], 5.0, 5000.0, "coil resistance",
                      tolerance=0.15, untold=0.9, spread_source=sort.coil_ohm[1]),
            closed_contact(0.004, 1e-4, 0.1, 0.5, untold=0.9),
            *sort.timing,
            handle("coil_open", "coil open"),
            handle("contact_open", "contacts never close"),
            handle("welded", "contact welded"),
        ),
        elements=(
            Branch("coil", *sort.coil, value("coil_ohm"), closed=negate(value("coil_open"))),
            *(
                branch
                for at, ends in poles
                for branch in contact(
                    sort.element(at), *ends, ohm=value("contact_ohm"),
                    closed=either(
                        value("welded"), both(value(sort.rule.state), negate(value("contact_open")))
                    ),
                )
            ),
        ),
        facets=_switch_facets(sort),
        lacks=LOADS | SWITCHING - {Coil, Poles} | JOINTS | {MixedUp, Terminals},
        states=(sort.state,),
        rules=(sort.rule,),
        modes=_switch_modes(sort),
    )  # fmt: skip


def _switch_facets(sort: _Switch) -> tuple[Facet, ...]:
    poles = list(enumerate(sort.poles))
    return (
        families("relay"),
        Stand(
            tuple(one for one, _ in sort.poles), tuple(other for _, other in sort.poles),
            right=sort.coil, rank=SWITCHING_RANK,
        ),
        Symbol(
            (
                *(
                    Piece(sort.element(at), ends, ("contact",), (sort.element(at),),
                          through=True, aside="contact")
                    for at, ends in poles
                ),
                Piece("coil", sort.coil, ("coil",), ("coil",), aside="coil"),
            )
        ),
        Words(
            purpose=sort.purpose,
            modes={
                **told(FAILED, ("coil_open", "contact_open")),
                "welded": Plain(
                    "The {noun} was stuck, so that the heat stayed on.", off=LeaveOff.BREAKER
                ),
                **told(SOMETHING, ("another_contact", "another_coil")),
            },
        ),
        Probes(drops=True, on="heat"),
        Looks(),
        Poles(
            tuple(
                Pole(*ends, sort.element(at), "contact_open", stuck_handle="welded")
                for at, ends in poles
            ),
            moved_by="coil", at_rest="open",
        ),
        Coil("coil", sort.coil, sort.rule.state, "coil_volt", "general purpose"),
        Label(figures=(CONTACT_A,)),
        Ratings(
            (Rating("coil_volt", Against.COIL_VOLTS), Rating(CONTACT_A.name, Against.HEATERS))
        ),
        Wear(CONTROLS, usual=False),
    )  # fmt: skip


def _switch_modes(sort: _Switch) -> tuple[Mode, ...]:
    never, welded, coil = sort.weights
    return (
        sort.replace.mode("contact_open", "{noun} does not make", never,
                          shown_by=_CONTACT | {"amps"}, signs={"browned": 0.3}),
        sort.replace.mode("welded", "{noun} welded, its heat never goes off", welded,
                          shown_by=_CONTACT | {"amps"}),
        sort.replace.mode("coil_open", "coil of the {noun} open", coil),
        sort.replace.another("contact", 0.6, Draw("contact_ohm", 0.05, 100.0), shown_by=_CONTACT),
        sort.replace.another("coil", 0.4, Draw("coil_ohm", 0.1, 0.4, "scale")),
    )  # fmt: skip


def _seconds(name: str, default: float, most: float, what: str) -> Parameter:
    return Parameter(
        name, "s", default, 0.0, most, what, tolerance=0.5, untold=0.9, learned=False,
        source="windows printed on such parts, H1-20 C40-110 or H30-110 C1-45",
    )  # fmt: skip


KINDS = (
    _element("heating_element", "heating element", 5000.0,
             "The element heats the air of the house, as the wires of a toaster do.", "air"),
    _element("defrost_heater", "defrost heater", 2000.0,
             "The heater melts the ice off the cold coil of a freezer.", "ice"),
    _switch(
        _Switch(
            "sequencer", "sequencer", ("H1", "H2"), (("M1", "M2"),),
            (60.0, "5 to 10 VA each; about 20 Ω is told too, weakly; rule of thumb"),
            (
                _seconds("on_s", 15.0, 300.0, "from volts on its heater to contacts that make"),
                _seconds("off_s", 60.0, 300.0, "from no volts to contacts that part"),
            ),
            SlowActuatorRule(
                "warm", "coil", volts=lambda p: 0.75 * p["coil_volt"], delay_s=value("on_s"),
                off_s=value("off_s"),
            ),
            (30.0, 10.0, 8.0),
            "The sequencer switches the heat on step by step, so that not all comes at once.",
            State("warm", 0.0, "rule", "its bimetal is warm", "closes", "opens"),
        )
    ),
    _switch(
        _Switch(
            "heat_relay", "heat relay", ("coil1", "coil2"), (("1", "2"), ("3", "4")),
            (80.0, "24 V relays of 40 to 160 Ω by make, rule of thumb"),
            (),
            CoilRule(
                "pulled", "coil", lambda p: 0.75 * p["coil_volt"], lambda p: 0.3 * p["coil_volt"]
            ),
            (12.0, 6.0, 5.0),
            "The heat relay switches both wires of a heating element.",
            State("pulled", 0.0, "rule", "coil pulled in", "pulls in", "drops out"),
        )
    ),
)  # fmt: skip
