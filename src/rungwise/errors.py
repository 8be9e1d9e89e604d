"""Everything Rungwise can refuse, in one tree.

::

    Exception
    └── RungwiseError             catch this to catch all of ours
        ├── BadInput              somebody typed something that cannot be used
        │   ├── BadUnitFile       unit.toml: missing, broken, a value out of range
        │   ├── BadCallFile       call.toml: the same for a service call
        │   ├── BadWiresFile      wires.toml: the same, and wirings that no hand could make
        │   ├── BadCandidateFile  candidates.toml: the same for parts that may be fitted
        │   ├── BadShopFile       shop.toml: the same for a shop's history
        │   ├── BadRecord         what is to go into the records cannot stand there
        │   ├── BadArchive        an archive of records: damaged, or not one of ours
        │   ├── BadQuantity       "27 A" where volts are asked, 45 F where µF is meant
        │   ├── UnknownName       a part, terminal, check or suspect that is not there
        │   └── BadReading        a meter reading that this check cannot have
        ├── CircuitError          the network cannot be solved; says so in circuit words
        │   ├── FloatingNode      a point nothing ties to anything
        │   └── NoSettling        contacts, relays or motors come to no rest
        ├── StoreError            the records cannot be opened: no database, or not one of ours
        └── MissingProgram        another program is needed and is not installed

A `BadInput` carries its parts as fields, so that the terminal, the JSON answer and the web page
tell the same story: what happened, where, what was typed, what is allowed, what to do next.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from difflib import get_close_matches
from typing import TypedDict, TypeVar, Unpack

__all__ = [
    "BadArchive",
    "BadCallFile",
    "BadCandidateFile",
    "BadInput",
    "BadQuantity",
    "BadReading",
    "BadRecord",
    "BadShopFile",
    "BadUnitFile",
    "BadWiresFile",
    "CircuitError",
    "FloatingNode",
    "MissingProgram",
    "NoSettling",
    "RungwiseError",
    "StoreError",
    "UnknownName",
    "close_matches",
]

Told = TypeVar("Told", bound="BadInput")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")


class RungwiseError(Exception):
    """Root of all errors that Rungwise raises on purpose."""


class BadInput(RungwiseError):
    """Something a person typed cannot be used.

    All fields are keyword-only. `what` is a whole sentence; the others are None when they say
    nothing. `str(error)` is one readable text made of those that are set.

    what: what happened, in the words of the trade.
    file: the file it was read from.
    line: the line in that file, counted from 1.
    key: where in the file, such as `parts.contactor.coil_resistance_ohm`.
    value: what was typed.
    allowed: the range or the list of what would be accepted, units included.
    next_step: what to do now.
    """

    def __init__(
        self,
        *,
        what: str,
        file: str | os.PathLike[str] | None = None,
        line: int | None = None,
        key: str | None = None,
        value: str | float | None = None,
        allowed: str | None = None,
        next_step: str | None = None,
    ) -> None:
        super().__init__(what)
        self.what = what
        self.file = None if file is None else os.fspath(file)
        self.line = line
        self.key = key
        self.value = value
        self.allowed = allowed
        self.next_step = next_step

    def __str__(self) -> str:
        rows = {
            "where": self.place,
            "value": self.value,
            "allowed": self.allowed,
            "next": self.next_step,
        }
        told = [f"  {name + ':':<9}{row}" for name, row in rows.items() if row not in (None, "")]
        return "\n".join(_printable(row) for row in [self.what, *told])

    def __reduce__(self) -> tuple[object, ...]:
        # Keyword-only fields would be lost by the default pickling, and a campaign's worker
        # process sends its errors home pickled.
        return _rebuild, (type(self), self.fields())

    @property
    def place(self) -> str:
        """File, line and key in one phrase; empty when none is known."""
        line = None if self.line is None else f"line {self.line}"
        key = None if self.key is None else f"key {self.key}"
        return ", ".join(part for part in (self.file, line, key) if part)

    @property
    def last_key(self) -> str:
        """The last word of the key: the field of a form that asks for it; "" where none is told."""
        return (self.key or "").rpartition(".")[2]

    def fields(self) -> dict[str, str | float | None]:
        """The fields by name, ready for JSON and for rebuilding the error."""
        return {
            "what": self.what,
            "file": self.file,
            "line": self.line,
            "key": self.key,
            "value": self.value,
            "allowed": self.allowed,
            "next_step": self.next_step,
        }

    def retold(self, kind: type[Told], **more: str | float | None) -> Told:
        """The same story as another kind of `BadInput`, with `more` fields filled in.

        Used where a lower room knows what is wrong and the caller knows where it stands:
        `raise error.retold(BadUnitFile, file="maple.toml", line=12) from error`.
        """
        return _rebuild(kind, self.fields() | more)


class BadUnitFile(BadInput):
    """A unit file cannot be used."""


class BadCallFile(BadInput):
    """A call file cannot be used."""


class BadCandidateFile(BadInput):
    """A file of candidate parts cannot be used."""


class BadWiresFile(BadInput):
    """A wires file cannot be used, or tells of a wiring that no hand could make."""


class BadShopFile(BadInput):
    """A shop file cannot be used."""


class BadRecord(BadInput):
    """What is to go into the records cannot stand there: no such zone, a name that is empty."""


class BadArchive(BadInput):
    """An archive of records is damaged, or is not one of ours; nothing was changed."""


class BadQuantity(BadInput):
    """A number with its unit cannot be read, has the wrong dimension, or is out of range."""


class _Rest(TypedDict, total=False):
    """The fields of a `BadInput` that may be left out."""

    file: str | os.PathLike[str] | None
    line: int | None
    key: str | None
    value: str | float | None
    allowed: str | None
    next_step: str | None


class UnknownName(BadInput):
    """A part, terminal, check or suspect of this name does not exist here.

    name: the name that was asked for; shown as the value.
    known: all names that exist here. The nearest of them are offered as the next step, unless
        `next_step` says something better, and listed as allowed when they are few.
    """

    def __init__(
        self,
        *,
        what: str,
        name: str | None = None,
        known: Iterable[str] = (),
        **rest: Unpack[_Rest],
    ) -> None:
        value = rest.get("value")
        asked = name if name is not None else "" if value is None else str(value)
        names = list(known)
        self.matches = close_matches(asked, names)
        rest["value"] = asked or value
        rest["allowed"] = rest.get("allowed") or _listed(names)
        rest["next_step"] = rest.get("next_step") or _offer(self.matches)
        super().__init__(what=what, **rest)

    def __reduce__(self) -> tuple[object, ...]:
        return _rebuild, (type(self), self.fields()), {"matches": self.matches}


class BadReading(BadInput):
    """A meter reading that this check cannot have: wrong unit, or no such reading exists."""


class CircuitError(RungwiseError):
    """The network as described cannot be solved."""


class FloatingNode(CircuitError):
    """A point of the circuit is tied to nothing, so its voltage means nothing.

    node: the name of that point, such as `contactor.T1`.
    """

    def __init__(self, what: str, *, node: str | None = None) -> None:
        super().__init__(what)
        self.node = node

    @classmethod
    def of(cls, node: str) -> FloatingNode:
        """The error of one point, by its name."""
        return cls(f"nothing ties {node} to anything: it floats without any leakage", node=node)


class NoSettling(CircuitError):
    """Contacts, relays or motors keep changing and come to no rest.

    moving: the names of the parts that keep changing.
    """

    def __init__(self, what: str, *, moving: Iterable[str] = ()) -> None:
        super().__init__(what)
        self.moving = tuple(moving)


class StoreError(RungwiseError):
    """The records cannot be opened. next_step: what to do now."""

    def __init__(self, what: str, *, next_step: str | None = None) -> None:
        super().__init__(what)
        self.next_step = next_step

    def __str__(self) -> str:
        return _with_next(str(self.args[0]), self.next_step)


class MissingProgram(RungwiseError):
    """Another program is needed for this and is not installed.

    program: its name, such as `ngspice`.
    next_step: how to get it.
    """

    def __init__(
        self, what: str, *, program: str | None = None, next_step: str | None = None
    ) -> None:
        super().__init__(what)
        self.program = program
        self.next_step = next_step

    def __str__(self) -> str:
        return _with_next(str(self.args[0]), self.next_step)


def close_matches(name: str, known: Iterable[str], *, at_most: int = 3) -> tuple[str, ...]:
    """The names in `known` that `name` was most likely meant to be, nearest first.

    Capitals do not count, because a phone keyboard sets them by itself.
    """
    by_folded = {each.casefold(): each for each in known}
    near = get_close_matches(name.casefold(), by_folded, n=at_most, cutoff=0.6)
    return tuple(by_folded[each] for each in near)


def _with_next(said: str, next_step: str | None) -> str:
    return f"{said}\n  {'next:':<9}{next_step}" if next_step else said


def _offer(matches: tuple[str, ...]) -> str | None:
    """'Did you mean a or b?', or None when nothing is near."""
    return f"did you mean {' or '.join(matches)}?" if matches else None


def _listed(names: list[str], *, at_most: int = 12) -> str | None:
    """The names as a list to read, cut short with the number of those left out."""
    if not names:
        return None
    shown = ", ".join(names[:at_most])
    left_out = len(names) - at_most
    return shown if left_out <= 0 else f"{shown} and {left_out} more"


def _printable(text: str) -> str:
    """`text` without control signs, which a typed value may bring and a terminal would obey."""
    return _CONTROL.sub("\N{REPLACEMENT CHARACTER}", text)


def _rebuild(kind: type[Told], fields: dict[str, str | float | None]) -> Told:
    return kind(**fields)  # type: ignore[arg-type]  # fields() gives what __init__ takes
