"""Facets: what a part kind tells of itself, so that no other room needs to know its name.

Each facet is a small frozen value. A kind carries the facets that it has and names those that it
lacks; between them they are all of `FACETS`, which the kind checks when it is made. A room
that needs a facet which a kind lacks refuses in circuit words, or says *not judged*.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from rungwise.parts.element import Expr
from rungwise.parts.heat_facets import Burner, Defrosts, Feeds, Ignites, Reverses, Stages
from rungwise.parts.pictures import Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import Facet, Label, Ratings, Wear
from rungwise.parts.words import Words
from rungwise.wording import mark

CONTROL_SIGNALS: Final = ("R", "C", "Y", "Y2", "G", "O", "B", "W", "W2", "E")
"""What a wire of the 24 V circuit may carry."""

Ends = tuple[str, str]
"""Two terminals of the part."""


@dataclass(frozen=True, slots=True)
class Pole:
    """One switched current path: terminals of its line and load side, and its element inside.

    Attributes:
        open_handle: the hidden parameter that keeps it from conducting; "" where there is none.
        burnt_mode: the fault mode of its contact once a loose joint beside it has burnt it.
        stuck_handle: the hidden parameter that keeps it conducting though it is moved.
    """

    line: str
    load: str
    element: str
    open_handle: str = ""
    burnt_mode: str = ""
    stuck_handle: str = ""


@dataclass(frozen=True, slots=True)
class Poles(Facet):
    """What the part switches: its poles in order, and a solid bar in the place of a pole, if any.

    Attributes:
        moved_by: a coil, a hand, or nothing but the fault current.
        at_rest: whether the poles are closed when nothing moves them.
        seen_open: for a hand's device, what an eye sees of it once it is open.
        asked: whether they close only while a control asks for it, and so end with its demand.
    """

    poles: tuple[Pole, ...]
    moved_by: Literal["coil", "hand", "itself"]
    at_rest: Literal["open", "closed"]
    seen_open: Literal["", "head pulled out", "blades", "handle"] = ""
    asked: bool = False

    @property
    def ends(self) -> tuple[Ends, ...]:
        """Line and load of all that carries: each pole, and the bar in the place of one."""
        poles = tuple((pole.line, pole.load) for pole in self.poles)
        return (*poles, self.bar) if self.bar else poles

    bar: Ends | None = None


@dataclass(frozen=True, slots=True)
class Coil(Facet):
    """A coil that moves contacts: its element and terminals, and the state that it sets.

    Attributes:
        volt: the parameter of its rated volts; "" where it has none (a start relay's coil works
            on a winding's own volts).
        duty: what it is made to switch: a compressor's line (the trade's definite-purpose
            contactor), small loads, or a start capacitor; a valve's moves no contact.
    """

    element: str
    ends: Ends
    state: str
    volt: str
    duty: Literal["definite purpose", "general purpose", "starting", "valve"]


@dataclass(frozen=True, slots=True)
class Motor(Facet):
    """A motor with windings: what it drives, and its terminals as marked.

    Attributes:
        common, run, start: its three terminals; of three phases those of the three legs, in the
            order in which they turn it forward, none of which is there to start it.
        phases: three of a motor that needs no capacitor to turn.
        leads: the elements through which the amps of its line flow.
        amps: the parameter of its plate's amps.
        locked_amps: the parameter of its locked-rotor amps.
    """

    drives: Literal["compressor", "fan"]
    element: str
    common: str
    run: str
    start: str
    amps: str = "rated_a"
    locked_amps: str = "locked_a"
    phases: Literal[1, 3] = 1
    leads: tuple[str, ...] = ("common",)

    @property
    def compresses(self) -> bool:
        """Whether it drives a compressor."""
        return self.drives == "compressor"

    @property
    def starting(self) -> str:
        """The terminal that a capacitor feeds; "" where three phases turn it."""
        return self.start if self.phases == 1 else ""

    @property
    def in_line(self) -> tuple[str, ...]:
        """The terminals that the line feeds."""
        return (self.common, self.run) if self.phases == 1 else (self.common, self.run, self.start)


@dataclass(frozen=True, slots=True)
class ElectronicMotor(Facet):
    """A motor fed through electronics of its own, known by its terminals alone.

    Nobody measures inside it: what goes in, what must come of it, and when.

    Attributes:
        line: where line volts go in; they stand there whether it turns or not.
        signals: where it is told to turn, what asks for most air first; those without a wire
            ask for nothing.
        turns: 1 where it turns, from its parameters and states.
        element: what it draws from the line while it turns.
        watt: the parameter of what it then takes.
        rated_volt: the parameter of its line's rated volts.
        held_volt: the charge that its rectified line keeps inside, over the line's RMS volts;
            no lead reaches it, so that only time lets it go.
        empties_s: seconds after which the maker lets a hand come near.
    """

    line: Ends
    signals: tuple[Ends, ...]
    turns: Expr
    element: str
    watt: str
    rated_volt: str
    held_volt: float
    empties_s: float

    @property
    def compresses(self) -> bool:
        """Whether it drives a compressor."""
        return False


@dataclass(frozen=True, slots=True)
class Section:
    """One capacitance between two terminals: its element, parameter, and modes ("" for none).

    Attributes:
        marked_for: the motor whose name stands at its terminal; "" where none does.
    """

    element: str
    ends: Ends
    microfarads: str
    purpose: Literal["run", "start"]
    open_mode: str
    weak_mode: str
    marked_for: Literal["", "compressor", "fan"] = ""


@dataclass(frozen=True, slots=True)
class Capacitor(Facet):
    """A capacitor that keeps its charge: its sections, and the parameter of its rated volts.

    Attributes:
        common: the terminal that its sections share; with one section either end.
        metal_can: whether its case is metal, so that a charge may stand against it.
    """

    sections: tuple[Section, ...]
    common: str
    metal_can: bool
    volt: str = "volt"


@dataclass(frozen=True, slots=True)
class Heater(Facet):
    """A resistance that is there to heat: its element, terminals, and rated watts and volts.

    Attributes:
        warms: the oil of a compressor that rests, the air of the house on a call for heat, or the
            ice of a cold coil in a defrost.
    """

    element: str
    ends: Ends
    watt: str = "watt"
    volt: str = "volt"
    warms: Literal["oil", "air", "ice"] = "oil"


@dataclass(frozen=True, slots=True)
class Transformer(Facet):
    """Two windings: terminals of the primary and secondary, parameters of its volts and VA."""

    element: str
    primary: Ends
    secondary: Ends
    primary_volt: str
    volt_amperes: str


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg of a supply: its terminal, and the angle of its volts to neutral in degrees.

    Attributes:
        volt: the parameter of its volts to neutral.
        lost: the fault handle of a leg that is open before the panel.
        share: its volts over those of that parameter; a high leg stands farther from neutral.
    """

    terminal: str
    angle_deg: float
    volt: str
    lost: str
    share: float = 1.0

    def phasor(self, volt: float) -> complex:
        """Its volts to neutral where the parameter has `volt`."""
        return self.share * volt * cmath.exp(1j * math.radians(self.angle_deg))


@dataclass(frozen=True, slots=True)
class Supply(Facet):
    """Where power comes in: its legs, its neutral ("" where it has none)."""

    legs: tuple[Leg, ...]
    neutral: str

    @property
    def phases(self) -> int:
        """Three where its legs can turn a motor by themselves."""
        return 3 if len(self.legs) > 2 else 1

    def leg_to_leg_share(self) -> float:
        """Volts between its first two legs, or from its one to neutral, over the leg's own.

        From the angle that the kind tells; of a house fed by two phases of three they are less.
        """
        one, *others = (leg.phasor(1.0) for leg in self.legs)
        return abs(one - (others[0] if others else 0.0))


@dataclass(frozen=True, slots=True)
class Junction(Facet):
    """Terminals that are there for wires to meet.

    Attributes:
        one_point: whether all of its terminals are one point; a terminal board's are apart.
        carries: what it is there for; a splice takes any wire.
        marked: whether its terminals are marked; a splice is found, never read.
    """

    one_point: bool
    carries: Literal["any", "control", "neutral", "ground"]
    marked: bool = True

    @property
    def is_splice(self) -> bool:
        """Whether it is where leads are joined, whatever they carry."""
        return self.carries == "any"


@dataclass(frozen=True, slots=True)
class Overcurrent(Facet):
    """It opens on too many amps: how, the parameter of its rating, the states that say so.

    Attributes:
        found: pole by pole, the fault mode in which it is found once it has opened.
        opened: what has happened to it then, in words.
        put_right: what is then done, with `{part}` for what it is called and `{pole}`.
        senses: paths whose amps it feels and does not open itself, line by line.
    """

    how: Literal["trips", "melts"]
    rating: str
    states: tuple[str, ...]
    found: tuple[str, ...]
    opened: str
    put_right: str
    senses: tuple[Ends, ...] = ()


@dataclass(frozen=True, slots=True)
class OpensOn(Facet):
    """A switch in series that opens, or closes, on something that is no current: on what."""

    what: Literal["high pressure", "low pressure", "water", "door", "warmth", "cold", "hot air",
                  "leaking refrigerant"]  # fmt: skip
    ends: Ends


@dataclass(frozen=True, slots=True)
class Demand:
    """What a control can be set to: the terminals that it then energizes, and how that is told.

    Attributes:
        needs: terminals of which one at least has a wire in a unit that can be asked for this;
            none where it asks for no more than others do.
    """

    energizes: tuple[str, ...]
    told: str
    needs: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "told", mark(self.told))

    @property
    def asks(self) -> tuple[str, ...]:
        """Every terminal that has to do with it, each once."""
        return tuple(dict.fromkeys((*self.energizes, *self.needs)))


@dataclass(frozen=True, slots=True)
class Control(Facet):
    """What asks the unit to run: the terminal that feeds it, and what it can be set to, by name.

    Attributes:
        states: per terminal that a demand may energize, the state that says so.
    """

    feed: str
    demands: Mapping[str, Demand]
    states: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Timer(Facet):
    """It passes a signal on after a while: its terminals, and the parameter of its seconds."""

    signal_in: str
    signal_out: str
    common: str
    seconds: str


@dataclass(frozen=True, slots=True)
class MixedUp(Facet):
    """Terminals whose wires are mixed up after earlier work (common practice, no source).

    Attributes:
        swapped: pairs of terminals, one wire of each on the other.
        landed: a terminal, the neighbor on which one of its wires may have been landed instead,
            and which wires: those of what asks it to run, or those toward the outdoor unit.
        fed_for_ever: load and line side of a pole; a load's lead landed there is never switched.
        beside: a terminal, and the one beside it on which one of its leads may have been landed.
    """

    swapped: tuple[Ends, ...] = ()
    landed: tuple[tuple[str, str, frozenset[Literal["control", "field"]]], ...] = ()
    fed_for_ever: tuple[Ends, ...] = ()
    beside: tuple[Ends, ...] = ()


@dataclass(frozen=True, slots=True)
class Terminals(Facet):
    """What its terminals are to a hand: all of it common practice, no source.

    Attributes:
        places: by terminal what takes a wire each, `tab`, `plate`, `screw`, `lug` or
            `lead`; a terminal that is missing takes any number.
        sides: the sides of the part in the order in which they are wired, with their terminals.
        colors: by terminal the colors that its wire often has.
        reach_minutes: to reach them where they lie under a cover of their own or at the end of a
            harness; None where their place alone decides.
    """

    places: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    sides: tuple[tuple[str, tuple[str, ...]], ...] = ()
    colors: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    reach_minutes: float | None = None


Family = Literal[
    "breaker", "one-pole breaker", "disconnect", "service switch", "fuse", "control fuse",
    "contactor", "relay", "motor", "compressor", "fan motor", "capacitor", "run capacitor",
    "dual capacitor", "start kit", "heater", "heater thermostat", "transformer", "electronics",
    "delay", "board", "thermostat", "float switch", "high-pressure switch", "low-pressure switch",
    "door switch", "limit", "reversing valve", "defrost board", "defrost thermostat",
    "outdoor thermostat", "sensor", "liquid solenoid", "defrost timer", "defrost heater",
    "supply", "junction", "wire", "cable",
]  # fmt: skip
"""A word by which people speak of parts of several kinds."""


@dataclass(frozen=True, slots=True)
class Families(Facet):
    """The words that people have for parts of this kind, the widest among them.

    What a customer says of *a capacitor* is said of each kind that is of that family.
    """

    names: frozenset[Family]


def families(*names: Family) -> Families:
    """The families of a kind."""
    return Families(frozenset(names))


@dataclass(frozen=True, slots=True)
class Conductor(Facet):
    """A wire, or two that run side by side: how many conductors."""

    conductors: int


FACETS: Final[tuple[type[Facet], ...]] = (
    Poles, Coil, Feeds, Defrosts, Motor, ElectronicMotor, Capacitor, Heater, Burner, Stages,
    Transformer, Supply, Junction, Ignites, Overcurrent, OpensOn, Control, Reverses, Timer,
    Conductor, Families, MixedUp, Terminals, Label, Looks, Probes, Ratings, Wear, Stand, Symbol,
    Words,
)  # fmt: skip
"""Every facet; a kind has each of them or says that it lacks it."""

Sorts = frozenset[type[Facet]]

LOADS: Final[Sorts] = frozenset(
    {Motor, ElectronicMotor, Capacitor, Heater, Burner, Stages, Transformer, Supply}
)
"""What a kind lacks that neither drives, stores, heats, burns, transforms nor feeds."""

SWITCHING: Final[Sorts] = frozenset(
    {Poles, Coil, Defrosts, Feeds, Ignites, Overcurrent, OpensOn, Control, Reverses, Timer}
)
"""What a kind lacks that switches nothing and asks for nothing."""

JOINTS: Final[Sorts] = frozenset({Junction, Conductor})
"""What a kind lacks that is there for more than to join."""
