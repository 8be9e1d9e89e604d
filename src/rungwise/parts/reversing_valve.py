"""The reversing valve of a heat pump, as its pilot coil: the refrigerant goes one way or the other.

Whether the coil has volts in cooling or in heating is a matter of the piping, so that each is a
kind of its own. The coil's figures are usual ones (24 V, 7 to 10 VA; 12 to 60 Ω by make; from
memory).
"""

from __future__ import annotations

from typing import Literal

from rungwise.parts.element import Branch, Expr, both, either, negate, value
from rungwise.parts.facets import JOINTS, LOADS, SWITCHING, Coil, MixedUp, Terminals, families
from rungwise.parts.heat_facets import Reverses
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.parts.pictures import MIDDLE_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

_COIL = Repair(
    "coil",
    "read its ohms with one lead off, and the volts there on a call that energizes it; "
    "replace the coil alone",
    40.0,
    frozenset({"ohms", "volts", "amps"}),
)
_VALVE = Repair(
    "valve",
    "with volts on its coil proved, and a screwdriver drawn to it, tap the body and let it "
    "change twice at full pressure; a valve that stays is changed by who may open the circuit",
    480.0,
    frozenset({"look:line"}),
)


def _valve(name: str, energized_in: Literal["cooling", "heating"]) -> PartKind:
    over: Expr = either(value("stuck_over"), both(value("shifted"), negate(value("stuck_back"))))
    heats = over if energized_in == "heating" else negate(over)
    other = "heating" if energized_in == "cooling" else "cooling"
    return PartKind(
        name=name,
        title="reversing valve",
        terminals=("1", "2"),
        parameters=(
            Parameter("coil_volt", "V", 24.0, 5.0, 277.0, "rated coil volts"),
            Parameter("coil_ohm", "Ω", 22.0, 5.0, 5000.0, "coil resistance", 0.1, untold=0.9,
                      spread_source="12 to 60 Ω by make; rule of thumb"),
            Parameter("coil_henry", "H", 0.16, 0.0, 50.0, "coil inductance", 0.1, untold=0.4,
                      moves_with="coil_ohm"),
            handle("coil_open", "coil open"),
            handle("stuck_over", f"valve stays in {energized_in}"),
            handle("stuck_back", f"valve stays in {other}"),
        ),
        elements=(
            Branch("coil", "1", "2", value("coil_ohm"), henry=value("coil_henry"),
                   closed=negate(value("coil_open"))),
        ),
        facets=(
            families("reversing valve"),
            Stand(top=("1", "2"), turns=True, rank=MIDDLE_RANK, mark="coil and contact"),
            Symbol((Piece("coil", ("1", "2"), ("coil",), ("coil",)),)),
            Words(
                purpose="The reversing valve lets the unit heat in winter and cool in summer.",
                modes={
                    **told(FAILED, ("coil_open", "coil_shorted")),
                    "stuck_over": Plain("The {noun} was stuck and did not change over."),
                    "stuck_back": Plain("The {noun} was stuck and did not change over."),
                    "another_coil": SOMETHING,
                },
            ),
            Probes(),
            Looks(),
            Coil("coil", ("1", "2"), "shifted", "coil_volt", "valve"),
            Reverses(heats, energized_in),
            Label(("coil_volt",)),
            Ratings((Rating("coil_volt", Against.COIL_VOLTS),)),
            Wear(CONTROLS, one_of="reversing valve", usual=False),
        ),
        lacks=LOADS | SWITCHING - {Coil, Reverses} | JOINTS | {MixedUp, Terminals},
        states=(
            State("shifted", 0.0, "rule", "coil pulls its pilot", "changes over", "changes back"),
        ),
        rules=(
            CoilRule("shifted", "coil", lambda p: 0.7 * p["coil_volt"],
                     lambda p: 0.3 * p["coil_volt"]),
        ),
        modes=_modes(energized_in, other),
    )  # fmt: skip


def _modes(energized_in: str, other: str) -> tuple[Mode, ...]:
    return (
        _COIL.mode("coil_open", "{noun}'s coil open", 12.0,
                   behind="water under its cap, or a coil energized off its valve"),
        _COIL.mode("coil_shorted", "{noun}'s coil shorted", 3.0,
                   Draw("coil_ohm", 0.02, 0.1, "scale"),
                   Draw("coil_henry", 0.001, 0.02, "scale"), opens_ahead=(0.6, "1")),
        _VALVE.mode("stuck_over", f"{{noun}} stuck in {energized_in}", 5.0),
        _VALVE.mode("stuck_back", f"{{noun}} stuck in {other}", 5.0),
        _COIL.another("coil", 0.5, Draw("coil_ohm", 3.0, 1000.0, "scale")),
    )  # fmt: skip


KINDS = (
    _valve("reversing_valve_cooling", "cooling"),
    _valve("reversing_valve_heating", "heating"),
)
