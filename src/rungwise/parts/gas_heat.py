"""What a furnace board lights the gas with: inducer and draft switch, igniter, valve and flame rod.

Igniters of 37 to 68 Ω and of 40 to 90 Ω and flames of 1 to 6 µA are read on suppliers' pages; the
rest is common practice, no source.  Gas and its pressure, draft, combustion and the heat exchanger
are no matter of volts: they are not judged here.
"""

from __future__ import annotations

from rungwise.parts.any_signal import SignalRule
from rungwise.parts.element import EARTH, Branch, both, contact, either, negate, value
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
from rungwise.parts.furnace_rules import FlameRule
from rungwise.parts.heat_facets import Burner
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import LOAD_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.slow_actuator import SlowActuatorRule
from rungwise.parts.trade import CONTROLS, FAN_MOTORS, Against, Facet, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, LeaveOff, Plain, Words, told

_READ = frozenset({"volts", "ohms", "drop"})
_SEQUENCE = frozenset({"look:sequence"})
_GAS = "licensed gas work where required"

_DRAFT = both(value("draft"), negate(value("blocked")), negate(value("switch_open")))
_INDUCER = Repair(
    "replace",
    "with 120 V on its leads and a wheel that does not turn, the motor is at fault; replace "
    "the inducer, with its gasket",
    150.0,
    frozenset({"ohms"}),
)


def _inducer_facets() -> tuple[Facet, ...]:
    return (
        families("electronics"),
        Stand(top=("1", "2"), bottom=("com", "no"), rank=LOAD_RANK, mark="fan"),
        Symbol(
            (
                Piece("motor", ("1", "2"), ("winding",), ("motor",), aside="motor"),
                Piece("switch", ("com", "no"), ("pressure_switch",), ("switch",), through=True,
                      aside="draft switch"),
            )
        ),
        Words(
            "draft inducer",
            "The inducer draws the burnt gas out before and while the furnace burns.",
            {
                "dead": FAILED,
                "blocked": Plain(
                    "The vent, the air intake or the drain of the furnace was blocked{stopped}.",
                    "clear what is blocked", LeaveOff.BREAKER,
                ),
                "switch_open": Plain("The draft switch of the {noun} had failed."),
                "switch_stuck": Plain("The draft switch of the {noun} was stuck."),
                "another_motor": SOMETHING,
            },
        ),
        Probes(apart=(("1", "2"),), volts=(("1", "2"),), drops=False, on="heat",
               on_heat=(("com", "no"),)),
        Looks(
            (
                Look("vent", "vent", "are vent, air intake and drain of the furnace clear?",
                     ("clear", "blocked"), first=True),
                Look("tube", "tube", "is the draft switch's tube whole, dry and on?",
                     ("it is", "off, cracked or wet")),
            )
        ),
        Poles((Pole("com", "no", "switch", "switch_open", stuck_handle="switch_stuck"),),
              moved_by="itself", at_rest="open", asked=True),
        Terminals({"1": ("lead",), "2": ("lead",), "com": ("tab",), "no": ("tab",)}),
        Label(unseen=("gas side",)),
        Wear(FAN_MOTORS, usual=False),
    )  # fmt: skip


def _inducer() -> PartKind:
    return PartKind(
        name="draft_inducer",
        title="draft inducer",
        terminals=("1", "2", "com", "no"),
        parameters=(
            Parameter("rated_volt", "V", 120.0, 100.0, 250.0, "rated volts"),
            Parameter("rated_a", "A", 1.0, 0.2, 5.0, "amps while it runs", tolerance=0.2,
                      untold=0.5, learned=False),
            closed_contact(0.05, 1e-3, 1.0, 0.3, untold=0.8, what="its draft switch, closed"),
            Parameter("draws_s", "s", 5.0, 0.5, 30.0, "from its start to the draft",
                      learned=False),
            handle("dead", "does not turn: winding open"),
            handle("blocked", "vent, intake or drain blocked: no draft"),
            handle("switch_open", "draft switch never closes"),
            handle("switch_stuck", "draft switch never opens"),
        ),
        elements=(
            Branch("motor", "1", "2", lambda p: 0.8 * p["rated_volt"] / p["rated_a"],
                   henry=lambda p: 0.0016 * p["rated_volt"] / p["rated_a"],
                   closed=negate(value("dead"))),
            *contact("switch", "com", "no", ohm=value("contact_ohm"),
                     closed=either(value("switch_stuck"), _DRAFT)),
        ),
        facets=_inducer_facets(),
        lacks=LOADS | SWITCHING - {Poles} | JOINTS | {MixedUp, Ratings},
        states=(
            State("draft", 0.0, "rule", "it draws", "comes to speed and draws", "stops drawing"),
        ),
        rules=(
            SlowActuatorRule("draft", "motor", volts=lambda p: 0.7 * p["rated_volt"],
                             delay_s=value("draws_s"), off_s=lambda p: p["draws_s"]),
        ),
        change_minutes=(90.0, 90.0),
        modes=(
            _INDUCER.mode("dead", "{noun} does not turn", 12.0, shown_by=_READ | _SEQUENCE),
            Mode("blocked", "draft switch open, as it should be: vent, intake or drain blocked",
                 20.0, (Draw("blocked", 1, 1),), "find_cause",
                 "clear vent, intake, drain and tube before the switch, which does its job; never "
                 f"join its leads; {_GAS}", signal="WARNING",
                 behind="a nest, ice, leaves or a blocked drain",
                 signs={"vent": 0.6}, shown_by=_READ | {"look:vent"}, is_effect=True,
                 wrong_minutes=20.0),
            Mode("switch_open", "draft switch or its tube bad, with a good draft", 10.0,
                 (Draw("switch_open", 1, 1),), "switch",
                 "prove the draft with a manometer at its tube; then replace the switch, same "
                 "setting, or its tube; never join its leads",
                 signs={"tube": 0.4}, shown_by=_READ | {"look:tube"}, wrong_minutes=60.0),
            Mode("switch_stuck", "draft switch stuck closed", 2.0, (Draw("switch_stuck", 1, 1),),
                 "switch", "replace the draft switch, same setting", shown_by=_READ,
                 wrong_minutes=60.0),
            _INDUCER.another("motor", 0.8, Draw("rated_a", 1.8, 6.0, "scale")),
        ),
    )  # fmt: skip


_IGNITER = Repair(
    "replace",
    "read its ohms cold, plug off: open or far off its print is the igniter; replace it, never "
    "touching the tip",
    45.0,
    frozenset({"ohms"}),
)


def _burner_facets() -> tuple[Facet, ...]:
    return (
        families("electronics"),
        Stand(top=("I1", "I2"), bottom=("MV", "C", "FS"), rank=LOAD_RANK, mark="heater"),
        Symbol(
            (
                Piece("igniter", ("I1", "I2"), ("heater",), ("igniter",), aside="igniter"),
                Piece("valve", ("MV", "C"), ("coil",), ("valve",), aside="gas valve"),
                Piece("rod", ("FS",), aside="flame rod"),
            )
        ),
        Words(
            "gas burner",
            "The burner makes the heat: an igniter lights it, and a rod watches its flame.",
            {
                "igniter_open": Plain("The igniter of the {noun} was cracked.",
                                      "replace the igniter"),
                "rod_dirty": Plain("The rod that watches the flame was dirty.", "clean the rod"),
                "valve_open": Plain("The gas valve of the {noun} had failed.",
                                    "replace the gas valve"),
                "no_gas": Plain("No gas came to the {noun}.", "find why no gas came",
                                LeaveOff.BREAKER),
                **told(SOMETHING, ("another_igniter", "another_valve")),
            },
        ),
        Probes(apart=(("I1", "I2"),), on_heat=(("I1", "I2"),), on="heat"),
        Looks(
            (
                Look("crack", "igniter", "is the igniter whole, without a white spot or a crack?",
                     ("whole", "cracked")),
                Look("soot", "rod", "is the flame rod clean, its porcelain whole?",
                     ("clean", "coated or cracked")),
                Look("cock", "gas_cock", "is the gas cock open, and do other gas loads burn?",
                     ("they do", "closed, or nothing burns"), first=True),
            )
        ),
        Coil("valve", ("MV", "C"), "lifted", "coil_volt", "valve"),
        Burner(value("flame")),
        Terminals(dict.fromkeys(("I1", "I2", "MV", "C", "FS"), ("tab",)), reach_minutes=3.0),
        Label(unseen=("gas side", "orifices and kind of gas")),
        Ratings((Rating("coil_volt", Against.COIL_VOLTS),)),
        Wear(CONTROLS, usual=False),
    )  # fmt: skip


def _burner() -> PartKind:
    return PartKind(
        name="gas_burner",
        title="gas burner",
        terminals=("I1", "I2", "MV", "C", "FS"),
        parameters=(
            Parameter("igniter_ohm", "Ω", 50.0, 30.0, 200.0, "igniter, cold", tolerance=0.15,
                      untold=0.35, spread_source="37 to 90 Ω by make, on suppliers' pages"),
            Parameter("coil_volt", "V", 24.0, 12.0, 30.0, "volts of its gas valve"),
            Parameter("valve_ohm", "Ω", 60.0, 10.0, 500.0, "coil of its gas valve",
                      tolerance=0.15, untold=0.9,
                      spread_source="on no label, and by make; rule of thumb"),
            Parameter("flame_ohm", "Ω", 1.5e7, 1e6, 1e9, "what a flame is to the rod",
                      tolerance=0.5, learned=False),
            handle("igniter_open", "igniter broken"),
            handle("rod_dirty", "flame rod passes nothing"),
            handle("valve_open", "coil of the gas valve open"),
            handle("no_gas", "no gas comes"),
        ),
        elements=(
            Branch("igniter", "I1", "I2", value("igniter_ohm"),
                   closed=negate(value("igniter_open"))),
            Branch("valve", "MV", "C", value("valve_ohm"), henry=lambda p: p["valve_ohm"] / 200.0,
                   closed=negate(value("valve_open"))),
            Branch("rod", "FS", EARTH, value("flame_ohm"),
                   closed=both(value("flame"), negate(value("rod_dirty")))),
        ),
        facets=_burner_facets(),
        lacks=LOADS - {Burner} | SWITCHING - {Coil} | JOINTS | {MixedUp},
        states=(
            State("lifted", 0.0, "rule", "its gas valve is open"),
            State("flame", 0.0, "rule", "a flame burns", "lights", "goes out"),
        ),
        rules=(
            SignalRule("lifted", "valve", lambda p: 0.7 * p["coil_volt"]),
            FlameRule("flame", "valve", igniter="igniter", volts=lambda p: 0.7 * p["coil_volt"],
                      glows_a=lambda p: 60.0 / p["igniter_ohm"], gas=negate(value("no_gas")),
                      lights_s=2.0),
        ),
        change_minutes=(60.0, 60.0),
        modes=(
            _IGNITER.mode("igniter_open", "igniter cracked, open", 40.0,
                          behind="age, oil of a finger, a flame that rolls",
                          signs={"crack": 0.7}, shown_by=_READ | {"look:igniter"}),
            Mode("rod_dirty", "flame rod coated, or its porcelain cracked: no flame is proved",
                 45.0, (Draw("rod_dirty", 1, 1),), "clean",
                 "read its microamperes in series with its lead: under 1 µA is too few; clean it "
                 "with fine steel wool; look to the burner's ground and to line and neutral",
                 behind="soot and dust, a poor ground, line and neutral crossed",
                 signs={"soot": 0.6}, shown_by=_SEQUENCE | {"look:rod"}, wrong_minutes=20.0),
            Mode("valve_open", "coil of the gas valve open", 8.0, (Draw("valve_open", 1, 1),),
                 "valve",
                 "with 24 V on it in a try for ignition and open ohms, replace the gas valve; "
                 f"{_GAS}: shut the cock, prove it tight", signal="WARNING",
                 shown_by=_READ, wrong_minutes=150.0),
            Mode("no_gas", "no gas at the burner: cock, meter, tank or supplier", 15.0,
                 (Draw("no_gas", 1, 1),), "find_cause",
                 f"open the cock, try other gas loads, call the supplier; {_GAS}; gas pressure is "
                 "not judged here", signal="WARNING", signs={"cock": 0.7},
                 shown_by=_SEQUENCE | {"look:gas_cock"}, is_effect=True, wrong_minutes=20.0),
            _IGNITER.another("igniter", 1.0, Draw("igniter_ohm", 3.0, 50.0, "scale")),
            Repair("valve", f"read the ohms of the gas valve's coil; {_GAS}", 150.0,
                   frozenset({"ohms"})).another("valve", 0.8,
                                                Draw("valve_ohm", 4.0, 100.0, "scale")),
        ),
    )  # fmt: skip


KINDS = (_inducer(), _burner())
