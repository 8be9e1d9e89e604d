"""A part kind: one table that says everything Rungwise knows of a sort of part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from string import Formatter
from typing import Literal, TypeVar

from rungwise.parts.caution import Signal
from rungwise.parts.element import Element
from rungwise.parts.facets import FACETS, Coil, Poles
from rungwise.parts.rule import Rule
from rungwise.parts.trade import Facet
from rungwise.wording import mark, say

Driver = Literal["rule", "position", "demand", "ambient"]
How = Literal["set", "scale"]
F = TypeVar("F", bound=Facet)


@dataclass(frozen=True, slots=True)
class Parameter:
    """One number of a part: its unit, default, allowed range, spread and where it comes from.

    `tolerance` is the relative spread (two standard deviations of the logarithm) between good
    specimens whose value the unit file tells; `untold` is the spread where it does not and
    `default` stands in (0: the same as told).  `spread_source` says where both come from.
    `moves_with` names another parameter of the kind whose deviation this one shares, such as a
    coil's inductance with its ohms.  `learned` spreads are unknowns that a call's readings
    narrow; the others are drawn and stay drawn.
    Where it is not told it may also be `other`, with the chance `other_share`: a value of
    another sort, such as the angle between two phases of three.
    `hidden` parameters are fault handles, zero or one on a good part, never in a unit file.
    What is `common` is alike on all parts of its kind in a unit: set by one maker, of one day's
    air, or of one visit.
    `actual` is what it is called where it is what the part has, if `what` is what is printed on it.
    """

    name: str
    unit: str
    default: float
    low: float
    high: float
    what: str
    tolerance: float = 0.0
    source: str = "rule of thumb"
    hidden: bool = False
    untold: float = 0.0
    spread_source: str = "rule of thumb"
    moves_with: str = ""
    learned: bool = True
    other: float = 0.0
    other_share: float = 0.0
    actual: str = ""
    common: bool = False

    def spread(self, *, told: bool) -> float:
        """Relative spread (two standard deviations of the logarithm), told or not."""
        return self.tolerance if told or not self.untold else self.untold


def handle(name: str, what: str, default: float = 0.0) -> Parameter:
    """A hidden 0-or-1 fault handle."""
    return Parameter(name, "", default, 0.0, 1.0, what, source="fault handle", hidden=True)


def closed_contact(
    ohm: float,
    low: float,
    high: float,
    tolerance: float,
    *,
    untold: float = 0.0,
    what: str = "closed contact",
) -> Parameter:
    """Ohms of a control contact that is closed; no call learns how clean the good ones are."""
    return Parameter(
        "contact_ohm", "Ω", ohm, low, high, what, tolerance, untold=untold, learned=False
    )


def by_make(name: str, ohm: float, low: float, high: float, what: str) -> Parameter:
    """Ohms inside electronics, which differ by make; no call learns them."""
    return Parameter(name, "Ω", ohm, low, high, what, 0.3, untold=0.8, learned=False)


def board_input(what: str, name: str = "input_ohm") -> Parameter:
    """What a 24 V input of electronics draws: of one make hardly anything, of another a relay's."""
    return Parameter(
        name, "Ω", 4500.0, 200.0, 1e6, what, 0.3, untold=1.5, learned=False,
        spread_source="1 to 20 kΩ by make (rule of thumb)",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class State:
    """Something that changes while the unit works; `driver` says what changes it.

    `on` and `off` are what the part then does, as a story of the call tells it.
    """

    name: str
    start: float
    driver: Driver
    what: str
    on: str = ""
    off: str = ""

    def __post_init__(self) -> None:
        for name in ("on", "off"):
            if text := getattr(self, name):
                object.__setattr__(self, name, mark(text))


@dataclass(frozen=True, slots=True)
class Draw:
    """One edit of a fault mode: a parameter set to, or scaled by, a drawn severity.

    The severity is log-uniform between `low` and `high` (fixed where they are equal).
    """

    parameter: str
    low: float
    high: float
    how: How = "set"


POWER_JOINT_OHM = (0.1, 20.0)
"""Ohms of a joint, jaw or clip gone bad in a power path (common practice, no source). One law for
all of a path: what reads alike is then told apart by readings, not by where the draws fell."""

LACKS_LEG = 0.5
"""How often a motor of three phases that lost a leg ahead of it has tripped the relay that guards
it (common practice, no source)."""

ICES = 0.6
"""How often the coil of a box that makes no defrost is found a block of ice, which lets so little
air through that its unit stands on its low-pressure control (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Mode:
    """A way in which a part of this kind fails.

    `title` and `repair_text` call the part `{noun}` or `{title}`, which its kind fills in (see
    `PartKind`), so that a part with a name of its own is told by that.
    `weight` is in parts per thousand of no-cool and poor-cool calls (common practice, no
    source).  `repair` is what the technician would then do; modes with the same repair on the
    same part are one answer; `signal` is the word of danger that its text stands behind, if any.
    `behind` names what usually caused it, so that the tool never
    stops at the effect.  `signs` gives the chance that a look shows a mark.
    `known` is false for *another fault here*: any other way in which the part may fail.
    `shown_by` are the quantities (see `CheckCard.quantity`) of which a reading on this very
    part shows the fault.  `is_effect` marks what another fault has usually brought about.
    `wrong_minutes` is what doing this repair in vain costs, in minutes: the part, the time and
    the danger (`0`: the shop's usual price).
    `edits_of` gives the edits of one part by its own numbers; `edits` are those of a usual one.
    `opens_ahead` is the share of it that has tripped or blown what feeds the part by the time
    somebody comes, with the terminals from which that device is sought; `overheats` the share
    that has stopped the outdoor air so long that a compressor's overload is open (both common
    practice, from experience, no source); `ices` the share behind which the coil of a box is a
    block of ice by then; `overdraws` the share that has tripped a relay that guards the motor and
    stays so until a hand resets it.  `left_by_trips` marks what trips of a pressure switch in an
    earlier call leave behind, `left_by_short` what a short behind a board's output does.
    """

    name: str
    title: str
    weight: float
    edits: tuple[Draw, ...]
    repair: str
    repair_text: str
    behind: str = ""
    signs: dict[str, float] = field(default_factory=dict)
    known: bool = True
    shown_by: frozenset[str] = frozenset()
    is_effect: bool = False
    wrong_minutes: float = 0.0
    edits_of: Callable[[Callable[[str], float]], tuple[Draw, ...]] | None = None
    opens_ahead: tuple[float, str] = (0.0, "")
    overheats: float = 0.0
    ices: float = 0.0
    overdraws: float = 0.0
    left_by_trips: bool = False
    left_by_short: bool = False
    signal: Signal | None = None

    def __post_init__(self) -> None:
        for name in ("title", "repair_text", "behind"):
            object.__setattr__(self, name, mark(getattr(self, name)))


@dataclass(frozen=True, slots=True)
class PartKind:
    """Terminals, parameters, inside, states, rules, fault modes and facets of a sort of part.

    `facets` and `lacks` are between them every facet there is: what a kind does not tell of
    itself is said, never left out.  Raises `ValueError` where one is missing or stands twice.
    """

    name: str
    title: str
    terminals: tuple[str, ...]
    parameters: tuple[Parameter, ...]
    elements: tuple[Element, ...]
    facets: tuple[Facet, ...]
    lacks: frozenset[type[Facet]]
    states: tuple[State, ...] = ()
    rules: tuple[Rule, ...] = ()
    modes: tuple[Mode, ...] = ()
    inner_nodes: tuple[str, ...] = ()
    noun: str = ""
    """What the texts of its modes call it by `{noun}`, where that is not its title."""
    change_minutes: tuple[float, float] = (30.0, 30.0)
    """To replace it outdoors and indoors; half an hour is usual (common practice, no source)."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "title", mark(self.title))
        object.__setattr__(self, "modes", tuple(self._telling(mode) for mode in self.modes))
        told = [type(facet) for facet in self.facets]
        unsaid = [sort.__name__ for sort in FACETS if sort not in {*told, *self.lacks}]
        twice = [sort.__name__ for sort in FACETS if told.count(sort) + (sort in self.lacks) > 1]
        if unsaid or twice:
            raise ValueError(f"{self.name}: facets not told: {unsaid}, told twice: {twice}")

    def _telling(self, mode: Mode) -> Mode:
        """The mode with this kind's own words for the part; one that has words already keeps them.

        They stand in its texts as the value `name`: of two breakers, which one tripped.
        """
        own = {"title": self.title, "noun": mark(self.noun or self.title)}
        title, repair = (_called(text, own) for text in (mode.title, mode.repair_text))
        return replace(mode, title=title, repair_text=repair)

    def facet(self, sort: type[F]) -> F | None:
        """The facet of this sort; None where the kind says that it lacks it.

        Raises KeyError where the kind says nothing of this sort, not even None.
        """
        found = next((facet for facet in self.facets if isinstance(facet, sort)), None)
        if found is None and sort not in self.lacks:
            raise KeyError(sort.__name__)
        return found

    def parameter(self, name: str) -> Parameter:
        """The parameter called `name`; raises `KeyError` when the kind has none such."""
        for parameter in self.parameters:
            if parameter.name == name:
                return parameter
        raise KeyError(name)

    @property
    def isolates(self) -> tuple[tuple[str, str], ...]:
        """Pole by pole, the (stuck-closed handle, load terminal) of a device that a hand opens."""
        poles = self.facet(Poles)
        if poles is None or poles.moved_by != "hand":
            return ()
        return tuple((pole.stuck_handle, pole.load) for pole in poles.poles)

    @property
    def is_contactor(self) -> bool:
        """Whether its coil moves poles that are made for a compressor's line."""
        coil = self.facet(Coil)
        return coil is not None and coil.duty == "definite purpose"

    @property
    def has_position(self) -> bool:
        """Whether a hand can open and close it."""
        return any(state.driver == "position" for state in self.states)


def _called(text: str, own: Mapping[str, str]) -> str:
    """A text of a mode with what it calls the part as its value `name`; one without as it is."""
    asked = [word for _, word, _, _ in Formatter().parse(text) if word]
    if not asked:
        return text
    (word,) = asked
    return say(text.format_map({word: "{name}"}), name=own[word])
