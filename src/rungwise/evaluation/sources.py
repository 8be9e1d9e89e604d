"""Where the readings of a simulated call come from: our own solution, or another program's.

A source gives what a meter without error would show, infinite for over range.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from rungwise.diagnosis import Bench, Check, Reader

SourceName = Literal["ngspice", "engine"]


class Source(Protocol):
    """Something that reads a check's meter on one unit."""

    def read(self, check: Check, reader: Reader) -> float:
        """What an errorless meter shows when `reader` is read as part of `check`."""
        ...


@dataclass(frozen=True, slots=True)
class EngineSource:
    """Readings from the solutions that the fault table is made of too; fast, and no proof."""

    bench: Bench

    def read(self, check: Check, reader: Reader) -> float:  # noqa: ARG002  # see `Source`
        """See `Source`; the reader knows its own setting."""
        return float(reader(self.bench)[0][0])
