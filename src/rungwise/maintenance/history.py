"""What a shop knows of its units: parts, visits with readings, closed calls. Plain values.

Whoever keeps records fills these; nothing here knows where they lie.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from rungwise.errors import BadQuantity

_DAYS = 365.25


def years(start: dt.date, end: dt.date) -> float:
    """Years from one day to another."""
    return (end - start).days / _DAYS


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a followed quantity, in the unit of its meter."""

    when: dt.date
    quantity: str
    value: float


@dataclass(frozen=True, slots=True)
class PartLife:
    """One part in its place, from fitted to failed, taken out, or today.

    watched: since when the shop would have heard of its failure. ended: the day it failed or was
    taken out, or None while it runs. mode: the fault mode that ended it, "" if none did.
    rated: its rated µF or amps, where a quantity is told as a share of them.
    pace: how fast it wears against an ordinary one, from `contact_wear.pace`; 1 if not known.
    Raises BadQuantity when the days are out of order.
    """

    unit: str
    part: str
    kind: str
    fitted: dt.date
    watched: dt.date
    ended: dt.date | None = None
    mode: str = ""
    rated: float = 0.0
    readings: tuple[Reading, ...] = ()
    pace: float = 1.0

    def __post_init__(self) -> None:
        ended = self.ended or self.watched
        if not self.fitted <= self.watched <= ended:
            raise BadQuantity(
                what=f"The days of {self.unit}, {self.part}, are out of order.",
                value=f"fitted {self.fitted}, watched since {self.watched}, ended {self.ended}",
                allowed="fitted, then watched, then ended",
            )
        if not self.pace > 0.0:
            raise BadQuantity(what="A pace of wear must be above 0.", value=self.pace)

    @property
    def running(self) -> bool:
        """Whether it is still in the unit."""
        return self.ended is None

    def age_y(self, day: dt.date) -> float:
        """Its age on a day."""
        return years(self.fitted, day)


@dataclass(frozen=True, slots=True)
class UnitHistory:
    """One unit: when it was installed, its parts (also those taken out), the days of visits."""

    name: str
    installed: dt.date
    parts: tuple[PartLife, ...]
    visits: tuple[dt.date, ...] = ()

    @property
    def last_seen(self) -> dt.date:
        """The last visit, or the day it was installed."""
        return max(self.visits, default=self.installed)


@dataclass(frozen=True, slots=True)
class ClosedCall:
    """A call whose fault is known: the mode of a part kind, and how old the unit was.

    complaint: ids of what the customer said, empty where nobody asked.
    """

    kind: str
    mode: str
    age_y: float
    complaint: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StockLine:
    """A part that the van may carry: used how often in how many weeks, and what it costs.

    expected_a_week: before the shop has counted.
    """

    part: str
    used: int
    weeks: float
    cost: float
    expected_a_week: float


@dataclass(frozen=True, slots=True)
class ShopHistory:
    """All that upkeep reads."""

    today: dt.date
    units: tuple[UnitHistory, ...] = ()
    calls: tuple[ClosedCall, ...] = ()
    stock: tuple[StockLine, ...] = ()

    @property
    def parts(self) -> tuple[PartLife, ...]:
        """Every part of every unit."""
        return tuple(part for unit in self.units for part in unit.parts)
