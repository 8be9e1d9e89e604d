"""What every check would read under every suspected fault: all that inference needs.

Array convention of this room: N particles (rows), M checks (columns), S suspects, R repairs,
D unknowns.
A particle is one possible unit: a suspect at one severity, with some draw of what nobody told
(supply volts, load, a coil's ohms). All suspects use common random numbers, so particle k of one
suspect and of another differ only by the fault; comparing suspects then does not compare luck.
A few particles cannot cover some thirty unknowns, nor need they: around each one the readings
follow the unknowns by the slopes of its suspect, so that the unknowns are integrated and not
only sampled (`joint`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis import table_file
from rungwise.diagnosis.arrays import IntArray, RealArray
from rungwise.diagnosis.slope_table import SlopeTable
from rungwise.errors import UnknownName
from rungwise.parts import Caution, Line, Signal, line_of

LOOK_AT = "look:"
"""Begins the quantity of a look; what it is at follows."""

_NOT_TOLD: RealArray = np.empty(0)
_NO_PLACES: IntArray = np.empty(0, dtype=np.intp)
"""Stand in where a table is given no slopes, until it knows its size."""


@dataclass(frozen=True, slots=True)
class CheckKey:
    """The address of a check: what is read, with what, when, and between or around what.

    on: the nodes of both leads; of a look what it is on. See `CheckCard` for the rest.
    """

    quantity: str
    instrument: str
    setting: str
    on: frozenset[str]
    jaw: str
    link: str


FORMERLY: Mapping[tuple[str, str], str] = {
    ("look:plunger", "in"): "yes", ("look:plunger", "out"): "no",
    ("look:plunger", "chatters"): "chattering",
    ("look:sound", "runs, then trips"): "runs, then trips",
    ("look:sound", "hums and trips"): "hums and trips",
    ("look:device", "whole"): "good", ("look:burnt", "browned"): "yes",
}  # fmt: skip
"""Answers as files and records of before have them, by what is looked at and what was written."""


@dataclass(frozen=True, slots=True)
class CheckCard:
    """One thing a technician can measure or look at.

    form: "number" is a meter reading in `unit`; "choice" is one of `choices` (a symptom, a look).
    minutes: working time, without changing the unit's condition.
    risk: price of the danger in minutes; above 0 for live checks.
    where: where the leads go. condition: what must be true of the unit; checks with the same
    text share their set-up. needs: instruments and preparations.
    quantity: what is read: "volts", "ghost" (volts of a 10 MΩ meter on a wire at rest), "drop"
    (volts across something that should conduct), "sag" (line volts while a rotor stands), "amps",
    "winding_amps" (of a motor's R or S lead), "held_amps" (two seconds after a start), "inrush",
    "ohms", "megohms", "microfarads", or for a look "look:" and what it looks at.
    top: the highest number that its meter shows, beyond it reads OL; infinite where it has none.
    touches: the blocks (parts, wires) that the reading is taken on: both leads on the part, the
    jaw on its lead, the eye on it. Only such a reading can *show* that the block is at fault.
    setting: when it is read: "inrush", "starting", "restart", "calling", "standby", "dead",
    "apart" (leads off), "cooled" or "chilled"; "" for a look but that at the large line, which is
    had on three calls.
    red, black: the nodes that the leads are on, the second `EARTH` for ground; "" for no lead.
    jaw: the wire in the clamp; with leads as well, it is microfarads under load.
    link: of a wire by itself what of it is read: its "path", its "rub" or a pair's "short".
    """

    id: str
    title: str
    form: Literal["number", "choice"] = "number"
    choices: tuple[str, ...] = ()
    unit: str = ""
    minutes: float = 1.0
    risk: float = 0.0
    live: bool = False
    instrument: str = ""
    where: str = ""
    condition: str = ""
    cautions: tuple[Caution, ...] = ()
    needs: tuple[str, ...] = ()
    quantity: str = ""
    touches: tuple[str, ...] = ()
    top: float = math.inf
    setting: str = ""
    red: str = ""
    black: str = ""
    jaw: str = ""
    link: str = ""

    @property
    def key(self) -> CheckKey:
        """What check it is, whatever it is called; no two checks of a unit share it."""
        on = frozenset(self.touches) if self.form == "choice" else frozenset({self.red, self.black})
        return CheckKey(self.quantity, self.instrument, self.setting, on, self.jaw, self.link)

    @property
    def thing(self) -> str:
        """What a look is at; "" of a reading."""
        return self.quantity.removeprefix(LOOK_AT) if self.form == "choice" else ""

    def choice(self, said: str) -> str | None:
        """The answer that is meant, as it is written today; None where it is none of them."""
        told = said.strip().casefold()
        meant = (told, FORMERLY.get((self.quantity, told)))
        return next((each for each in self.choices if each.casefold() in meant), None)

    @property
    def under_load(self) -> bool:
        """Whether it is a capacitor's microfarads from amps and volts while its motor runs."""
        return bool(self.jaw and self.red)

    @property
    def clamped(self) -> bool:
        """Whether it is a wire's amps."""
        return bool(self.jaw and not self.red)


@dataclass(frozen=True, slots=True)
class SuspectCard:
    """One thing that may be wrong.

    repair: key of what would be done about it; suspects that share it are one answer.
    weight: parts per thousand of calls, before any reading.
    cause_of: id of the suspect that is its effect, if that is a suspect too.
    behind: what to look for behind it, when it is seldom the first cause itself.
    repair_minutes: time to put it right, for the order in which to try repairs.
    known: false for "another fault of this part", a way that is not one of the listed ones.
    shown_by: quantities (see CheckCard) of which a reading on this very part shows the fault.
    is_effect: what another fault has usually brought about (a tripped breaker, a blown fuse).
    wrong_minutes: what doing the repair in vain costs, minutes; 0 for the shop's usual price.
    signal: the word of danger that its repair stands behind, None for none.
    kind: of the part, wire or supply. place: where the part stands, "" of what is none.
    """

    id: str
    title: str
    part: str
    mode: str
    repair: str
    repair_text: str
    weight: float
    cause_of: str | None = None
    behind: str = ""
    repair_minutes: float = 30.0
    known: bool = True
    shown_by: tuple[str, ...] = ()
    is_effect: bool = False
    wrong_minutes: float = 0.0
    kind: str = ""
    place: str = ""
    signal: Signal | None = None

    @property
    def to_do(self) -> Line:
        """What would be done about it, behind the signal word that stands before it."""
        return line_of(self.signal, self.repair_text)


@dataclass(frozen=True, eq=False)
class Grouping:
    """Suspects put together by something they share.

    names: one name a group. of_suspect: int [S], the group of each suspect.
    """

    names: tuple[str, ...]
    of_suspect: IntArray

    @classmethod
    def by(cls, keys: Sequence[str]) -> Grouping:
        """Groups in the order in which their keys first appear."""
        names = tuple(dict.fromkeys(keys))
        place = {name: number for number, name in enumerate(names)}
        return cls(names, np.array([place[key] for key in keys], dtype=np.intp))

    def index(self, name: str) -> int:
        """Raises `UnknownName` if there is no such group."""
        return _look_up(self._places, name, "group of suspects")

    @cached_property
    def _places(self) -> dict[str, int]:
        return {each: n for n, each in enumerate(self.names)}


@dataclass(frozen=True, eq=False)
class FaultTable:
    """The reading of every check on every particle of every suspect.

    suspect_of: int [N], the suspect of each particle.
    reading: float [N, M] in the check's unit; +inf is OL (over range), NaN means that the check
        cannot be made on that particle. Not used where the check is a choice.
    reading_sd: float [N, M], meter error at that reading, one sigma, above 0.
    choice_probability: for each choice check (by column) float [N, choices], rows summing to 1.
    slope: as float [Q, M, D] or as a `SlopeTable`, which `slopes` is in any case: change of each
        reading on the scale of `scale.ReadingScale` by one standard deviation of what the
        particles leave of each unknown; D is 0 where nothing is unknown but what the particles
        sample. slope_of: int [N], the slopes of each particle.
    own: float [Q, M], variance on the scale by unknowns that this check alone sees.
    tangent: float [N, M], how far each particle reaches along its suspect's severity, on the
        scale, signed; None where particles are a cloud without an order.
    digest: hash of the content it was built from.

    Raises ValueError when shapes or cards do not agree; that is a builder's mistake.
    """

    suspects: tuple[SuspectCard, ...]
    checks: tuple[CheckCard, ...]
    suspect_of: IntArray
    reading: RealArray
    reading_sd: RealArray
    choice_probability: Mapping[int, RealArray] = field(default_factory=dict)
    digest: str = ""
    slope: SlopeTable | RealArray = field(default_factory=lambda: _NOT_TOLD)
    slope_of: IntArray = field(default_factory=lambda: _NO_PLACES)
    own: RealArray = field(default_factory=lambda: _NOT_TOLD)
    tangent: RealArray | None = None
    slopes: SlopeTable = field(init=False)

    def __post_init__(self) -> None:
        put = object.__setattr__  # the one way to tidy the fields of a frozen dataclass
        put(self, "suspect_of", _frozen(self.suspect_of, np.intp))
        # In the precision that they come in: a built table's come in single, more than a meter has.
        put(self, "reading", _frozen(self.reading, _real(self.reading)))
        put(self, "reading_sd", _frozen(self.reading_sd, _real(self.reading_sd)))
        choices = {at: _frozen(p, _real(p)) for at, p in self.choice_probability.items()}
        put(self, "choice_probability", choices)
        n, m = len(self.suspect_of), len(self.checks)
        told = np.zeros((1, m, 0)) if self.slope is _NOT_TOLD else self.slope
        slope = told if isinstance(told, SlopeTable) else SlopeTable.of(np.asarray(told))
        own = np.zeros((len(slope), m)) if self.own is _NOT_TOLD else self.own
        put(self, "slope", slope)  # what was given in full need not be held
        put(self, "slopes", slope)
        follows = np.zeros(n) if self.slope_of is _NO_PLACES else self.slope_of
        put(self, "slope_of", _frozen(follows, np.intp))
        put(self, "own", _frozen(own, np.float32))
        if self.tangent is not None:
            put(self, "tangent", _frozen(self.tangent, np.float32))
        _refuse_disagreement(self)

    @property
    def particles(self) -> int:
        """N."""
        return len(self.suspect_of)

    @cached_property
    def by_suspect(self) -> Grouping:
        """Every suspect for itself."""
        return Grouping.by([suspect.id for suspect in self.suspects])

    @cached_property
    def by_repair(self) -> Grouping:
        """Suspects that are put right by the same work."""
        return Grouping.by([suspect.repair for suspect in self.suspects])

    @cached_property
    def by_part(self) -> Grouping:
        """Suspects in the same part."""
        return Grouping.by([suspect.part for suspect in self.suspects])

    def check_index(self, check_id: str) -> int:
        """Column of a check. Raises `UnknownName` with close matches."""
        return _look_up(self._check_places, check_id, "check")

    def suspect_index(self, suspect_id: str) -> int:
        """Number of a suspect. Raises `UnknownName` with close matches."""
        return _look_up(self._suspect_places, suspect_id, "suspect")

    def check(self, check_id: str) -> CheckCard:
        """Card of a check. Raises `UnknownName` with close matches."""
        return self.checks[self.check_index(check_id)]

    def suspect(self, suspect_id: str) -> SuspectCard:
        """Card of a suspect. Raises `UnknownName` with close matches."""
        return self.suspects[self.suspect_index(suspect_id)]

    def save(self, path: str | Path) -> None:
        """Write the table as one file (see `table_file`)."""
        arrays: dict[str, npt.NDArray[Any]] = {
            "suspect_of": self.suspect_of,
            "reading": self.reading,
            "reading_sd": self.reading_sd,
            "slope_unknown": self.slopes.unknown,
            "slope_by": self.slopes.by,
            "unknowns": np.array(self.slopes.unknowns),
            "slope_of": self.slope_of,
            "own": self.own,
        }
        arrays |= {} if self.tangent is None else {"tangent": self.tangent}
        arrays |= {f"choice_{at}": p for at, p in self.choice_probability.items()}
        table_file.write(path, self.suspects, self.checks, self.digest, arrays)

    @classmethod
    def load(cls, path: str | Path) -> FaultTable:
        """Read a table back. Raises `BadInput` when the file is missing or is not one of ours."""
        cards, arrays = table_file.read(path)
        with table_file.refusing(path):
            choices = {
                int(name.removeprefix("choice_")): array
                for name, array in arrays.items()
                if name.startswith("choice_")
            }
            return cls(
                suspects=tuple(_suspect_card(card) for card in cards["suspects"]),
                checks=tuple(_check_card(card) for card in cards["checks"]),
                suspect_of=arrays["suspect_of"],
                reading=arrays["reading"],
                reading_sd=arrays["reading_sd"],
                choice_probability=choices,
                digest=cards["digest"],
                slope=SlopeTable(
                    arrays["slope_unknown"], arrays["slope_by"], int(arrays["unknowns"])
                ),
                slope_of=arrays["slope_of"],
                own=arrays["own"],
                tangent=arrays.get("tangent"),
            )

    @cached_property
    def _check_places(self) -> dict[str, int]:
        return {check.id: at for at, check in enumerate(self.checks)}

    @cached_property
    def _suspect_places(self) -> dict[str, int]:
        return {suspect.id: at for at, suspect in enumerate(self.suspects)}


def _check_card(fields: dict[str, Any]) -> CheckCard:
    cautions = tuple(Caution(**each) for each in fields["cautions"])
    return CheckCard(**{**_tidy(fields), "cautions": cautions})  # type: ignore[arg-type]  # checked by FaultTable.load's guard


def _suspect_card(fields: dict[str, object]) -> SuspectCard:
    return SuspectCard(**_tidy(fields))  # type: ignore[arg-type]  # the same


def _tidy(fields: dict[str, object]) -> dict[str, object]:
    """JSON knows no tuples; give the card back its own."""
    return {key: tuple(it) if isinstance(it, list) else it for key, it in fields.items()}


def _real(array: npt.NDArray[Any]) -> type[np.generic]:
    return np.float32 if np.asarray(array).dtype == np.float32 else np.float64


def _frozen(array: npt.ArrayLike, kind: type[np.generic]) -> npt.NDArray[np.generic]:
    """A view nobody can write through, of the wanted kind."""
    view = np.asarray(array, dtype=kind).view()
    view.flags.writeable = False
    return view


def _look_up(places: Mapping[str, int], name: str, sort: str) -> int:
    try:
        return places[name]
    except KeyError:
        raise UnknownName(what=f"There is no {sort} {name!r}.", name=name, known=places) from None


def _refuse_disagreement(table: FaultTable) -> None:
    """Raise ValueError unless arrays and cards agree."""
    n, m, s = len(table.suspect_of), len(table.checks), len(table.suspects)
    for name, array in (("reading", table.reading), ("reading_sd", table.reading_sd)):
        if array.shape != (n, m):
            raise ValueError(f"{name} has shape {array.shape}, not {(n, m)}")
    if table.slopes.checks != m:
        raise ValueError(f"the slopes are those of {table.slopes.checks} checks, not of {m}")
    if table.tangent is not None and table.tangent.shape != (n, m):
        raise ValueError(f"tangent has shape {table.tangent.shape}, not {(n, m)}")
    for cards in (table.suspects, table.checks):
        if len({card.id for card in cards}) != len(cards):
            raise ValueError("two cards have the same id")
    placed = [card.key for card in table.checks if card.red or card.jaw]
    if len(set(placed)) != len(placed):
        raise ValueError("two checks read the same at one place")
    if s == 0 or set(np.unique(table.suspect_of).tolist()) != set(range(s)):
        raise ValueError("every suspect needs a particle, and every particle a suspect")
    for at, card in enumerate(table.checks):
        _refuse_column(table, at, card)


def _refuse_column(table: FaultTable, at: int, card: CheckCard) -> None:
    if card.form == "choice":
        chances = table.choice_probability.get(at)
        if chances is None or chances.shape != (table.particles, len(card.choices)):
            raise ValueError(f"check {card.id!r} needs probabilities for each of its choices")
        if not np.allclose(chances.sum(axis=1), 1.0) or (chances < 0.0).any():
            raise ValueError(f"probabilities of check {card.id!r} do not sum to 1")
        return
    finite = np.isfinite(table.reading[:, at])
    if not (table.reading_sd[finite, at] > 0.0).all():
        raise ValueError(f"check {card.id!r} needs a meter error above 0 for every reading")
    if np.isneginf(table.reading[:, at]).any():
        raise ValueError(f"check {card.id!r} has a reading of minus infinity")
