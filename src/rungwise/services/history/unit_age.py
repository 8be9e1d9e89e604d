"""Since when a unit stands where it stands, and how well that is known."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from rungwise import records
from rungwise.services.history.shop_calls import made_day
from rungwise.unit import Unit as WholeUnit

_YEAR = re.compile(r"\s*\d{4}\s*")


@dataclass(frozen=True, slots=True)
class StandingSince:
    """The day, and what it was made of: "" where that day itself is known."""

    day: dt.date
    rough: str = ""


def since(row: records.Unit, unit: WholeUnit, typed: str = "") -> StandingSince | None:
    """The day on which a unit was installed, None where nothing tells it.

    typed: what was entered as that day; a year alone stands for its middle. Where nobody entered
    any, the year or the month in which the nameplate says that it was made.
    """
    if row.installed:
        rough = f"installed in {typed.strip()}, no day is known" if _YEAR.fullmatch(typed) else ""
        return StandingSince(row.installed, rough)
    made = made_day(unit)
    told = unit.nameplate.get("made", "")
    rough = f"made {told} by its nameplate; nobody entered when it was installed"
    return StandingSince(made, rough) if made else None
