"""One figure worked out after the repair, against its limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Level = Literal["good", "note", "caution", "again", "refuse", "worthless"]


@dataclass(frozen=True, slots=True)
class Finding:
    """A figure with its verdict.

    id: what it is, such as `sag` or `superheat`. value: in `unit`. level: "good"; "note" has
    no limit; "caution" is told and does not stop the proof; "again" waits for another reading;
    "refuse" stops it; "worthless" means that the conditions make the figure say nothing. text: in
    words. source: where the limit comes
    from, and how sure it is. side: -1 below what is good, 1 above, 0 within or not known. check:
    id of the reading that it says over again in its own words, "" for none.
    """

    id: str
    value: float | None
    unit: str
    level: Level
    text: str
    source: str
    side: int = 0
    check: str = ""
