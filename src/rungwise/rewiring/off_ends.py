"""The wire ends that belong on the bare terminals, and the loose ends that somebody tagged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from rungwise.errors import BadWiresFile
from rungwise.rewiring.wires_record import LooseWire, WiresRecord
from rungwise.rewiring.wirings import Ends
from rungwise.unit import Unit, Wire

BoolArray = npt.NDArray[np.bool_]

MOST_ENDS = 18
"""Loose ends up to which every assignment can be counted exactly in a double: 18! < 2**53."""


@dataclass(frozen=True)
class OffEnd:
    """An end of the unit's record that is off its terminal.

    near: the terminal it belongs on. far: where its wire's other end sits, "" where that is off
    too; partner: then the index of that end.
    """

    wire: Wire
    end: str
    near: str
    far: str
    partner: int | None


class OffEnds:
    """The ends of `unit` that belong on `terminals`, in the order of its wires."""

    def __init__(self, unit: Unit, terminals: Sequence[str]) -> None:
        self.unit = unit
        found = [
            (wire, end)
            for wire in unit.wires
            for end, terminal in (("start", wire.start), ("end", wire.end))
            if terminal in terminals
        ]
        self.ends = tuple(self._made(wire, end, found) for wire, end in found)

    @staticmethod
    def _made(wire: Wire, end: str, found: Sequence[tuple[Wire, str]]) -> OffEnd:
        near, far = (wire.start, wire.end) if end == "start" else (wire.end, wire.start)
        other = (wire, "end" if end == "start" else "start")
        partner = found.index(other) if other in found else None
        return OffEnd(wire, end, near, "" if partner is not None else far, partner)

    def __len__(self) -> int:
        return len(self.ends)

    @cached_property
    def partners(self) -> BoolArray:
        """Bool [ends, ends]: the two ends of one wire."""
        size = len(self.ends)
        found = np.zeros((size, size), bool)
        for at, each in enumerate(self.ends):
            if each.partner is not None:
                found[at, each.partner] = True
        return found

    @cached_property
    def nears(self) -> tuple[str, ...]:
        """The terminals they belong on."""
        return tuple(each.near for each in self.ends)

    def wiring(self, placed: Sequence[int]) -> dict[str, Ends]:
        """Where the wires end when end `e` is put where end `placed[e]` belongs."""
        found: dict[str, Ends] = {}
        for each, goes in zip(self.ends, placed, strict=True):
            start, end = found.get(each.wire.name, (each.wire.start, each.wire.end))
            there = self.ends[goes].near
            found[each.wire.name] = (there, end) if each.end == "start" else (start, there)
        return found

    def domain(self, record: WiresRecord) -> BoolArray:
        """Bool [loose ends, off ends]: what each loose end may be, by what can be seen of it.

        Raises BadWiresFile: their number is not that of the ends that belong on the bare
        terminals, or one is seen or remembered where no such end is.
        """
        names = [end for wire in record.loose for end in wire.ends]
        if len(names) != len(self.ends):
            raise self._miscounted(record, len(names))
        if len(names) > MOST_ENDS:
            raise BadWiresFile(
                what=f"{len(names)} loose ends are more than can be told apart at once.",
                file=record.file,
                allowed=f"at most {MOST_ENDS}",
                next_step="begin with one part: put back what is sure, and list the rest",
            )
        rows = [self._fitting(wire, record) for wire in record.loose for _ in wire.ends]
        return np.array(rows)

    def _fitting(self, wire: LooseWire, record: WiresRecord) -> list[bool]:
        fits = [
            (not wire.far or each.far == wire.far)
            and (not wire.near or each.near == wire.near)
            and (not wire.both_ends or each.partner is not None)
            for each in self.ends
        ]
        if not any(fits):
            raise BadWiresFile(
                what=f"The loose wire {wire.name} {_seen(wire)}, and no wire that is off does.",
                file=record.file,
                line=wire.line,
                value=wire.name,
                allowed="; ".join(self._listed()),
                next_step="look again, or add the terminal on which it belongs to off",
            )
        return fits

    def _miscounted(self, record: WiresRecord, loose: int) -> BadWiresFile:
        return BadWiresFile(
            what=f"{loose} loose ends are listed, and {len(self.ends)} wire ends belong on the "
            "terminals that are off.",
            file=record.file,
            key="off",
            value=f"{loose} loose ends",
            allowed="; ".join(self._listed()) or "no wire ends there",
            next_step="list every loose end (both_ends = true makes two of one), and under off "
            "only what is bare",
        )

    def _listed(self) -> Iterator[str]:
        for each in self.ends:
            yield f"{each.near} ({each.wire.name})"


def _seen(wire: LooseWire) -> str:
    told = []
    if wire.far:
        told.append(f"runs to {wire.far}")
    if wire.near:
        told.append(f"belongs on {wire.near}")
    if wire.both_ends:
        told.append("hangs free at both ends")
    return " and ".join(told) or "may be any"
