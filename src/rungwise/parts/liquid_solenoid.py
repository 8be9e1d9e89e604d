"""The solenoid valve in the liquid line of a cooler: shut, the unit pumps down and stops by itself.

No wire joins it to the condensing unit: what tells that unit to start is the suction pressure,
which rises once the valve lets liquid through.  Its coil is for the volts of the box's circuit:
10 to 15 VA, some 0.5 to 2 kΩ at 240 V and a quarter of it at 120 V (common practice, no source).
"""

from __future__ import annotations

from rungwise.parts.element import Branch, Expr, both, either, negate, value
from rungwise.parts.facets import JOINTS, LOADS, SWITCHING, Coil, MixedUp, Terminals, families
from rungwise.parts.heat_facets import Feeds
from rungwise.parts.kind import Draw, Parameter, PartKind, State, handle
from rungwise.parts.pictures import MIDDLE_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

_READ = frozenset({"ohms", "volts", "amps"})
_COIL = Repair(
    "coil",
    "read its ohms with one lead off, and the volts there while the box calls; replace the "
    "coil alone, and never leave one energized off its valve",
    40.0,
    _READ,
)
_VALVE = Repair(
    "valve",
    "with volts on its coil proved, and a screwdriver drawn to it, watch the suction gauge as "
    "it is switched; a valve that stays is changed by who may open the circuit",
    300.0,
    _READ | {"look:pull"},
)

_OPEN: Expr = either(value("stuck_open"), both(value("lifted"), negate(value("stuck_shut"))))

_PULL = Look(
    "no_pull", "pull", "box calling: does the solenoid's coil draw a steel screwdriver to it?",
    ("draws it", "does not"), pulled="lifted",
)  # fmt: skip
_KICKS = Look(
    "kicks", "kicks", "box cold: does the unit start again and again by itself, minutes apart?",
    ("once or twice at most", "again and again"),
)  # fmt: skip

KINDS = (
    PartKind(
        name="liquid_solenoid",
        title="liquid-line solenoid",
        terminals=("1", "2"),
        parameters=(
            Parameter("coil_volt", "V", 240.0, 5.0, 277.0, "rated coil volts"),
            Parameter("coil_ohm", "Ω", 1200.0, 5.0, 10000.0, "coil resistance", 0.15, untold=0.6,
                      spread_source="0.5 to 2 kΩ at 240 V, by make; rule of thumb"),
            Parameter("coil_henry", "H", 12.0, 0.0, 100.0, "coil inductance", 0.1, untold=0.4,
                      moves_with="coil_ohm"),
            handle("coil_open", "coil open"),
            handle("stuck_shut", "valve never opens"),
            handle("stuck_open", "valve never shuts"),
            handle("leaks", "shut, it lets a little through"),
        ),
        elements=(
            Branch("coil", "1", "2", value("coil_ohm"), henry=value("coil_henry"),
                   closed=negate(value("coil_open"))),
        ),
        facets=(
            families("liquid solenoid"),
            Stand(top=("1", "2"), turns=True, rank=MIDDLE_RANK, mark="coil and contact"),
            Symbol((Piece("coil", ("1", "2"), ("coil",), ("coil",)),)),
            Words(
                "refrigerant valve",
                "This valve lets refrigerant into the cold box.",
                {
                    **told(FAILED, ("coil_open", "coil_shorted")),
                    "stuck_shut": Plain("The {noun} was stuck shut."),
                    "stuck_open": Plain("The {noun} did not shut any more."),
                    "leaks": Plain("The {noun} leaked."),
                    "another_coil": SOMETHING,
                },
            ),
            Probes(),
            Looks((_PULL, _KICKS)),
            Coil("coil", ("1", "2"), "lifted", "coil_volt", "valve"),
            Feeds(_OPEN),
            Label(("coil_volt",)),
            Ratings((Rating("coil_volt", Against.COIL_VOLTS),)),
            Wear(CONTROLS, one_of="liquid-line solenoid", usual=False),
        ),
        lacks=LOADS | SWITCHING - {Coil, Feeds} | JOINTS | {MixedUp, Terminals},
        states=(
            State("lifted", 0.0, "rule", "coil lifts its plunger", "opens", "shuts"),
        ),
        rules=(
            CoilRule("lifted", "coil", lambda p: 0.7 * p["coil_volt"],
                     lambda p: 0.3 * p["coil_volt"]),
        ),
        modes=(
            _COIL.mode("coil_open", "{noun}'s coil open", 20.0,
                       behind="water under its cap, or a coil energized off its valve",
                       signs={"no_pull": 0.97}, shown_by=_READ | {"look:pull"}),
            _COIL.mode("coil_shorted", "{noun}'s coil shorted", 3.0,
                       Draw("coil_ohm", 0.005, 0.03, "scale"),
                       Draw("coil_henry", 0.001, 0.02, "scale"), opens_ahead=(0.6, "1")),
            _VALVE.mode("stuck_shut", "{noun} stuck shut", 6.0),
            _VALVE.mode("stuck_open", "{noun} does not shut: no pump-down", 5.0,
                        shown_by=frozenset({"look:idle"})),
            _VALVE.mode("leaks", "{noun} leaks: the unit kicks all night", 15.0,
                        signs={"kicks": 0.95}, shown_by=frozenset({"look:kicks"})),
            _COIL.another("coil", 0.5, Draw("coil_ohm", 3.0, 1000.0, "scale")),
        ),
    ),
)  # fmt: skip
