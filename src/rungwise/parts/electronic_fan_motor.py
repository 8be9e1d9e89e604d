"""A fan motor with electronics of its own: line volts always on, and a 24 V signal to turn.

What is inside (a rectifier, a module, a rotor with magnets) is not modelled as a circuit: it is
known by what goes in and what must come of it. The numbers are usual ones of half a horsepower at
120 V (common practice, no source).
"""

from __future__ import annotations

from rungwise.parts.element import Branch, both, insulation, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    ElectronicMotor,
    MixedUp,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.parts.pictures import LOAD_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import DelayRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import FAN_MOTORS, Label, Ratings, Wear
from rungwise.parts.ways import another
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

_TURNS = both(value("awake"), value("told"), negate(value("module_dead")), negate(value("seized")))
_MODULE = ("module", "with line volts and signal proved at its plug, replace its module or motor")
_MOTOR = ("replace", "replace the motor with its module, same type and turning the same way")
_IN = frozenset({"volts", "amps"})
_TURNED = frozenset({"look:turns", "amps"})
_MINUTES = 300.0

KINDS = (
    PartKind(
        name="electronic_fan_motor",
        title="fan motor with electronics",
        noun="fan motor",
        terminals=("L", "N", "signal", "common"),
        parameters=(
            Parameter("rated_volt", "V", 120.0, 100, 300, "rated volts"),
            Parameter("watt", "W", 350.0, 20, 1500, "power at its set air", 0.15, untold=0.6),
            Parameter("air_share", "", 1.0, 0.0, 2.0, "share of its air", hidden=True),
            Parameter("start_s", "s", 3.0, 0.0, 60.0, "time from signal to turning", 0.3,
                      learned=False),
            Parameter("signal_ohm", "Ω", 6000.0, 500, 1e6, "what its signal input draws", 0.3,
                      untold=0.8, learned=False),
            Parameter("idle_ohm", "Ω", 4000.0, 500, 1e6, "what its electronics draw at rest", 0.3,
                      untold=0.8, learned=False),
            Parameter("insulation_ohm", "Ω", 1e8, 1e3, 1e12, "insulation to its frame"),
            handle("module_dead", "module gives nothing to the motor"),
            handle("seized", "rotor stuck; the module gives up"),
            handle("signal_open", "harness of the signal open"),
            handle("line_shorted", "rectifier shorted"),
        ),
        elements=(
            Branch("standby", "L", "N", value("idle_ohm")),
            Branch("drive", "L", "N", lambda p: p["rated_volt"] ** 2 / p["watt"], closed=_TURNS),
            Branch("short", "L", "N", lambda p: 0.05 + 0.0 * p["watt"],
                   closed=value("line_shorted")),
            Branch("signal", "signal", "common", value("signal_ohm"),
                   closed=negate(value("signal_open"))),
            insulation("insulation", "L", value("insulation_ohm")),
        ),
        facets=(
            families("motor", "fan motor", "electronics"),
            Stand(top=("L", "N"), right=("signal", "common"), rank=LOAD_RANK, mark="fan"),
            Symbol(
                (
                    Piece("drive", ("L", "N"), ("box",), ("drive",)),
                    Piece("signal", ("signal", "common"), ("box",), ("signal",), aside="signal"),
                )
            ),
            Words(
                "fan motor",
                "This motor has electronics of its own and moves the air through the house.",
                {
                    "module_dead": Plain("The electronics of the {noun} had failed."),
                    "seized": Plain("The {noun} was stuck."),
                    "signal_open": Plain(
                        "The wire that tells the {noun} to run was broken.", "mend that wire"
                    ),
                    "line_shorted": FAILED,
                    **told(SOMETHING, ("another_watt", "another_air")),
                },
            ),
            Probes(),
            Looks(),
            ElectronicMotor(
                line=("L", "N"),
                signal=("signal", "common"),
                turns=_TURNS,
                element="drive",
                watt="watt",
                rated_volt="rated_volt",
                held_volt=1.42,
                empties_s=300.0,
            ),
            Terminals(
                dict.fromkeys(("L", "N", "signal", "common"), ("tab",)), reach_minutes=3.0
            ),
            Label(),
            Wear(FAN_MOTORS, one_of="fan motor", usual=False),
        ),
        lacks=LOADS - {ElectronicMotor} | SWITCHING | JOINTS | {MixedUp, Ratings},
        states=(
            State("awake", 0.0, "rule", "its electronics have line volts", "wakes", "goes dark"),
            State("told", 0.0, "rule", "its signal tells it to turn", "ramps up", "runs down"),
        ),
        rules=(
            DelayRule("awake", "standby", lambda p: 0.7 * p["rated_volt"],
                      lambda p: 1.0 + 0.0 * p["watt"]),
            DelayRule("told", "signal", lambda p: 15.0 + 0.0 * p["watt"], value("start_s")),
        ),
        modes=(
            Mode("module_dead", "module of the fan motor gives nothing", 20.0,
                 (Draw("module_dead", 1, 1),), *_MODULE,
                 behind="a surge, water, or heat", shown_by=_TURNED, wrong_minutes=_MINUTES),
            Mode("seized", "fan motor stuck", 8.0, (Draw("seized", 1, 1),), *_MOTOR,
                 signs={"stiff": 0.8}, shown_by=frozenset({"look:by_hand"}),
                 wrong_minutes=_MINUTES),
            Mode("signal_open", "signal harness of the fan motor open", 8.0,
                 (Draw("signal_open", 1, 1),), "harness",
                 "seat its signal plug; read 24 V at the plug itself; mend the pin or harness",
                 shown_by=_IN, wrong_minutes=30.0),
            Mode("line_shorted", "rectifier of the fan motor shorted", 4.0,
                 (Draw("line_shorted", 1, 1),), *_MOTOR,
                 shown_by=frozenset({"ohms"}), opens_ahead=(0.6, "L"), wrong_minutes=_MINUTES),
            another("watt", "fan motor", 0.5, (Draw("watt", 0.2, 0.6, "scale"),), _MOTOR, _IN,
                    _MINUTES),
            another("air", "fan motor", 0.5, (Draw("air_share", 0.1, 0.6),), _MOTOR, _TURNED,
                    _MINUTES),
        ),
    ),
)  # fmt: skip
