"""The blower motor with a tap for each speed: heat on one, cooling on another.

A lower speed stands here as its part of the winding in series, ohms and reactance (common practice,
no source): what a tap that is not used reads above the line is not told.
"""

from __future__ import annotations

from dataclasses import replace

from rungwise.parts.element import Branch, value
from rungwise.parts.facets import MixedUp, Terminals
from rungwise.parts.kind import Parameter
from rungwise.parts.motor import KINDS as MOTORS
from rungwise.parts.pictures import LOAD_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Probes

(_FAN,) = (kind for kind in MOTORS if kind.name == "fan_motor")

_OWN = (
    Stand(("M", "C", "R", "S"), turns=True, rank=LOAD_RANK, mark="fan"),
    Symbol(
        (
            Piece("windings", ("R", "C", "S"), ("winding", "winding"), ("run", "start"),
                  round=True),
            Piece("tap", ("M", "R"), ("winding",), ("tap",), aside="tap of the lower speed"),
        )
    ),
    Probes(apart=(("M", "R"),), on_heat=(("M", "C"),)),
    Terminals(
        colors={
            "C": ("white", "purple", "orange"), "R": ("black",), "M": ("blue", "yellow", "red"),
            "S": ("brown", "brown/white"),
        },
        reach_minutes=2.0,
    ),
    MixedUp(swapped=(("M", "R"),)),
)  # fmt: skip

KINDS = (
    replace(
        _FAN,
        name="fan_motor_taps",
        title="fan motor with two speed taps",
        noun="fan motor",
        terminals=("C", "R", "M", "S"),
        parameters=(
            *_FAN.parameters,
            Parameter("tap_ohm", "Ω", 1.0, 0.1, 100.0, "winding from tap M to tap R",
                      tolerance=0.15, untold=0.6),
            Parameter("tap_henry", "H", 0.008, 1e-3, 2.0, "the same, its inductance",
                      tolerance=0.15, untold=0.6, moves_with="tap_ohm"),
        ),
        elements=(
            *_FAN.elements,
            Branch("tap", "M", "R", value("tap_ohm"), henry=value("tap_henry")),
        ),
        facets=(
            *(f for f in _FAN.facets if type(f) not in {type(own) for own in _OWN}), *_OWN
        ),
        lacks=_FAN.lacks - {MixedUp},
    ),
)  # fmt: skip
