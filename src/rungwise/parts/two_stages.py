"""The compressor with two stages: a solenoid on direct current holds it in the high one.

Its coil has 32 to 60 Ω with one supplier, 330 or 1640 Ω with others, so that the unit's own print
decides; it lives behind a rectifier in its plug, 1.5 to 3 V under the 18 to 28 V of alternating
current that come in (suppliers' pages).  Direct volts stand here for what they do: the plug takes a
share of the volts, and what is left holds the coil.  Amps rise by 20 to 45% into the high stage.
What the stage does to pressures is not judged.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from rungwise.parts.element import (
    Branch,
    Element,
    FloatArray,
    Lookup,
    Machine,
    both,
    fixed,
    insulation,
    negate,
    value,
)
from rungwise.parts.facets import JOINTS, LOADS, SWITCHING, MixedUp, Terminals, families
from rungwise.parts.heat_facets import Stages
from rungwise.parts.kind import Draw, Parameter, PartKind, State, handle
from rungwise.parts.motor import KINDS as MOTORS
from rungwise.parts.motor import pumping_nm
from rungwise.parts.pictures import LOAD_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Facet, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

(_ONE_STAGE,) = (kind for kind in MOTORS if kind.name == "compressor")

PULLS_VOLT, LETS_GO_VOLT = 13.0, 5.0
"""Direct volts at which the solenoid lifts, under the 15 V of its print, and lets go (common
practice, no source)."""

_HIGH = both(value("lifted"), negate(value("valve_stuck")))
_OHMS = frozenset({"ohms"})
_SHIFTS = frozenset({"look:stage"})
_REPLACE = Repair("replace", "replace the {noun}", 600.0, _OHMS)


@dataclass(frozen=True, slots=True)
class SolenoidRule(CoilRule):
    """A coil that moves no contact: what it lifts is inside the compressor."""

    counts = True


def _staged_nm(p: Lookup) -> FloatArray:
    return np.asarray(pumping_nm(p) * np.where(_HIGH(p) > 0, 1.0, p["low_share"]))


def _inside() -> tuple[Element, ...]:
    wound = (
        replace(each, rated_nm=_staged_nm) if isinstance(each, Machine) else each
        for each in _ONE_STAGE.elements
    )
    coil = Branch("solenoid", "sol1", "sol2", value("coil_ohm"), closed=negate(value("coil_open")))
    return (*wound, coil, insulation("coil_insulation", "sol1", value("good_insulation_ohm")))


def _words() -> Words:
    plain = next(facet for facet in _ONE_STAGE.facets if isinstance(facet, Words))
    stays = Plain("The second stage of the {noun} did not come.")
    return replace(plain, modes={**plain.modes, **told(stays, ("coil_open", "valve_stuck")),
                                 "another_coil": SOMETHING})  # fmt: skip


def _terminals() -> Terminals:
    plain = next(facet for facet in _ONE_STAGE.facets if isinstance(facet, Terminals))
    return replace(plain, places={**plain.places, "sol1": ("tab",), "sol2": ("tab",)})


_OWN: tuple[Facet, ...] = (
    Stand(("C", "R", "S", "sol1", "sol2"), turns=True, rank=LOAD_RANK, mark="compressor"),
    Symbol(
        (
            Piece("windings", ("R", "C", "S"), ("winding", "winding"), ("run", "start"),
                  round=True),
            Piece("solenoid", ("sol1", "sol2"), ("coil",), ("solenoid",), aside="second stage"),
        )
    ),
    Probes(apart=(("sol1", "sol2"),)),
    _words(),
    _terminals(),
    Stages(_HIGH),
)  # fmt: skip

_MODES = (
    _REPLACE.mode("coil_open", "solenoid of the second stage open", 6.0,
                  behind="alternating current on its pins, or a plug without its rectifier"),
    _REPLACE.mode("valve_stuck", "second stage does not come though its solenoid has volts", 3.0,
                  shown_by=_SHIFTS),
    _REPLACE.another("coil", 0.6, Draw("coil_ohm", 3.0, 40.0, "scale"),
                     noun="solenoid of the second stage"),
)  # fmt: skip


def _compressor() -> PartKind:
    told_anew = {type(own) for own in _OWN}
    return replace(
        _ONE_STAGE,
        name="compressor_two_stage",
        title="two-stage compressor",
        noun="compressor",
        terminals=("C", "R", "S", "sol1", "sol2"),
        parameters=(
            *_ONE_STAGE.parameters,
            Parameter("low_share", "", 0.7, 0.3, 0.95, "load of its low stage over the high one",
                      0.05, untold=0.08, learned=False, source="about two thirds, by make"),
            Parameter("coil_ohm", "Ω", 46.0, 20.0, 2500.0, "solenoid of its second stage",
                      0.1, untold=1.2,
                      spread_source="32 to 60 Ω with one supplier, 330 or 1640 Ω with others"),
            handle("coil_open", "solenoid of its second stage open"),
            handle("valve_stuck", "stays in its low stage"),
        ),
        elements=_inside(),
        facets=(*(f for f in _ONE_STAGE.facets if type(f) not in told_anew), *_OWN),
        lacks=_ONE_STAGE.lacks - {Stages},
        states=(
            *_ONE_STAGE.states,
            State("lifted", 0.0, "rule", "its solenoid is in", "goes into its high stage",
                  "goes back into its low stage"),
        ),
        rules=(
            *_ONE_STAGE.rules,
            SolenoidRule("lifted", "solenoid", fixed(PULLS_VOLT), fixed(LETS_GO_VOLT)),
        ),
        modes=(*_ONE_STAGE.modes, *_MODES),
    )  # fmt: skip


_PLUG = Repair(
    "replace",
    "with alternating volts in and no direct volts out its rectifier is open; replace the "
    "plug, never by one without a rectifier: raw alternating current burns the solenoid",
    30.0,
    frozenset({"volts"}),
)


def _drop(p: Lookup) -> FloatArray:
    return 0.5 * p["drop_ohm"]


def _plug() -> PartKind:
    whole = negate(value("open"))
    return PartKind(
        name="stage_plug",
        title="rectifier plug of the second stage",
        terminals=("ac1", "ac2", "p", "n"),
        parameters=(
            Parameter("drop_ohm", "Ω", 4.2, 0.5, 200.0,
                      "what its rectifier takes: 1.5 to 3 V at the solenoid's amps", 0.3,
                      learned=False, source="suppliers' pages"),
            handle("open", "rectifier open"),
        ),
        elements=(
            Branch("plus", "ac1", "p", _drop, closed=whole),
            Branch("minus", "n", "ac2", _drop, closed=whole),
        ),
        facets=(
            families("electronics"),
            Stand(top=("ac1", "ac2"), bottom=("p", "n")),
            Symbol(
                (
                    Piece("plus", ("ac1", "p"), ("box",), ("plus",), aside="rectifier, +"),
                    Piece("minus", ("n", "ac2"), ("box",), ("minus",), aside="rectifier, -"),
                )
            ),
            Words(
                "plug of the second stage",
                "The plug gives the second stage the sort of current that it needs.",
                {"open": FAILED, "another_drop": SOMETHING},
            ),
            Probes(volts=(("ac1", "ac2"),), direct=(("p", "n"),)),
            Looks(),
            Terminals({"ac1": ("lead",), "ac2": ("lead",), "p": ("tab",), "n": ("tab",)},
                      reach_minutes=4.0),
            Label(unseen=("whether it has a rectifier", "fit of its pins")),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING | JOINTS | {MixedUp, Ratings},
        modes=(
            _PLUG.mode("open", "rectifier in the plug of the second stage open", 8.0),
            _PLUG.another("drop", 0.4, Draw("drop_ohm", 20.0, 2000.0),
                          noun="plug of the second stage"),
        ),
    )  # fmt: skip


KINDS = (_compressor(), _plug())
