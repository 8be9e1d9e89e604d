"""Facets of the trade: what is bought in a part's place, what it is rated for, how it wears out.

A kind that is bought tells what its label must say (`Label`) and what each rating is held against
(`Ratings`); a rating that a kind does not tell is *not judged*, never passed. Every figure here
that names no source is common practice, no source: the shop's own lives and prices replace them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum, unique
from typing import Final

from rungwise.wording import mark


class Facet:
    """Something that a part kind may tell of itself."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class LabelFigure:
    """A figure of a label that is no parameter of the circuit, with its unit and range."""

    name: str
    unit: str
    low: float
    high: float
    what: str


@dataclass(frozen=True, slots=True)
class Label(Facet):
    """What is bought in the place of such a part, and what its label says.

    Attributes:
        stated: parameters and figures that must be read off the label: a rating is not guessed.
        figures: figures of the label that are no parameter of the kind.
        words: the same as words, each with its choices.
        weighty: parameters that decide and stand on few labels; told where they are assumed.
        stands_in: the family whose kinds are asked for in each other's place; "" for none.
        unseen: what no answer about it has looked at, in words.
        read_as: parameters by what a photographed label calls them, where it has another name.
        on_a_van: its place among what a van carries first (common practice, no source); 0 for none.
    """

    stated: tuple[str, ...] = ()
    figures: tuple[LabelFigure, ...] = ()
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    weighty: tuple[str, ...] = ()
    stands_in: str = ""
    unseen: tuple[str, ...] = ()
    read_as: Mapping[str, str] = field(default_factory=dict)
    on_a_van: int = 0


TORQUE: Final = LabelFigure(
    "torque_in_lb", "", 1, 300, "torque of its lugs in in-lb, as the tool said"
)
TORQUE_SOURCE: Final = {
    "torque_source": (mark("marked on the part"), mark("maker's sheet"), mark("code table"))
}
"""Of a part whose terminals are tightened to a marked torque; stands in its label's words."""

UNSEEN_OF_A_SWITCH: Final = ("pressures", "fitting")

CONTACT_A: Final = LabelFigure("rating_a", "A", 0.1, 100, "ampere rating of its contact")


@unique
class Against(Enum):
    """What a rating is held against."""

    RUNNING_MOTORS = "full-load amps of the motors behind it"
    LOCKED_MOTORS = "locked-rotor amps of the motors behind it"
    HEATERS = "amps of the heaters behind it"
    CURRENT = "amps that run through it"
    COIL_VOLTS = "volts that its coil gets"
    MICROFARADS = "microfarads that the motor is made for"
    VOLTS = "volts across it"
    PICK_UP = "volts at which the start relay must pick up"
    DROP_OUT = "volts at which the start relay must let go"
    SECONDARY = "volt-amperes of everything on the secondary"
    PRIMARY_VOLTS = "volts that its primary gets"
    OVERCURRENT = "amps at which it must open"
    CIRCUIT = "amps of the circuit that it opens"
    WATTS = "watts of the one that comes out"
    SPEED = "speed of the one that comes out"
    WORK = "work that its load asks for"
    TIME = "seconds of the one that comes out"
    SETTING = "setting of the one that comes out"


@dataclass(frozen=True, slots=True)
class Rating:
    """A parameter, or a figure of the label, and what it is held against."""

    parameter: str
    against: Against


@dataclass(frozen=True, slots=True)
class Ratings(Facet):
    """Everything that a part of this kind is rated for."""

    ratings: tuple[Rating, ...]

    def parameter(self, against: Against) -> str | None:
        """The parameter that is held against this; None where the kind does not tell it."""
        return next((each.parameter for each in self.ratings if each.against is against), None)

    def lacking(self, *asked: Against) -> tuple[Against, ...]:
        """What of `asked` no rating of the kind answers."""
        return tuple(each for each in asked if self.parameter(each) is None)


@dataclass(frozen=True, slots=True)
class Way:
    """One way in which parts of a family end: its start life and what foretells it.

    Attributes:
        shape, scale_y: Weibull life, the scale in years.
        measure: the quantity that wears towards it; "" where nothing does.
        harm: chance that a failure of this way takes the compressor with it.
    """

    family: str
    name: str
    title: str
    shape: float
    scale_y: float
    measure: str = ""
    harm: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "title", mark(self.title))

    @property
    def key(self) -> str:
        """Such as `capacitor.weak`."""
        return f"{self.family}.{self.name}"


@dataclass(frozen=True, slots=True)
class WearFamily:
    """Kinds that wear and cost alike: their ways to end, and a part's price and minutes.

    Attributes:
        ways: the first to come ends the part; the last takes every fault mode that no other has.
        price: in the shop's own money.
        minutes: to put one in while somebody is there anyway.
    """

    name: str
    ways: tuple[Way, ...]
    price: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Wear(Facet):
    """How a part of this kind wears out.

    Attributes:
        modes: by the name of a way of its family the fault modes of this kind that belong to it.
        one_of: kinds that stand in each other's place, such as contactors; "" for none. A shop
            counts those that it has met, or the usual one.
        usual: whether it is met where nothing is known of a shop's units; of those that stand in
            each other's place, whether it is the one that is.
    """

    family: WearFamily
    modes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    one_of: str = ""
    usual: bool = True

    def way(self, mode: str) -> Way:
        """The way that a fault mode of the kind belongs to."""
        last = self.family.ways[-1]
        return next((w for w in self.family.ways if mode in self.modes.get(w.name, ())), last)


def _sudden(family: str, title: str, shape: float, scale_y: float) -> Way:
    return Way(family, "sudden", title, shape, scale_y)


CAPACITORS: Final = WearFamily("capacitor", (
    Way("capacitor", "weak", "capacitor weak", 3.0, 14.0, "capacitance", 0.03),
    _sudden("capacitor", "capacitor open or shorted", 1.5, 30.0),
), 25.0, 20.0)  # fmt: skip
CONTACTORS: Final = WearFamily("contactor", (
    Way("contactor", "contacts", "contacts worn or welded", 2.5, 16.0, "contact_drop", 0.02),
    _sudden("contactor", "coil or plunger", 1.2, 40.0),
), 35.0, 40.0)  # fmt: skip
COMPRESSORS: Final = WearFamily("compressor", (
    Way("compressor", "insulation", "winding to ground", 3.0, 30.0, "insulation"),
    _sudden("compressor", "compressor seized or open", 2.0, 35.0),
), 1600.0, 360.0)  # fmt: skip
FAN_MOTORS: Final = WearFamily("fan motor", (
    Way("fan motor", "bearings", "bearings worn", 2.5, 20.0, "amps"),
    _sudden("fan motor", "fan motor open or shorted", 1.3, 45.0),
), 220.0, 90.0)  # fmt: skip
CONTROLS: Final = WearFamily(
    "control", (_sudden("control", "control part dead", 1.1, 60.0),), 60.0, 45.0
)
SWITCHES: Final = WearFamily(
    "switch", (_sudden("switch", "switch or breaker", 1.1, 80.0),), 50.0, 40.0
)
HEATERS: Final = WearFamily("heater", (_sudden("heater", "heater dead", 1.3, 40.0),), 60.0, 45.0)
WIRING: Final = WearFamily("wiring", (_sudden("wiring", "joint or wire", 1.1, 120.0),), 8.0, 40.0)

FAMILIES: Final = (
    CAPACITORS, CONTACTORS, COMPRESSORS, FAN_MOTORS, CONTROLS, SWITCHES, HEATERS, WIRING,
)  # fmt: skip
"""Every family; what is no part wears and costs as wiring does."""
