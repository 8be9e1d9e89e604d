"""Cabinets with lost wires, drawn in the world apart and worked as `rungwise recover` asks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from rungwise.evaluation.loose_cabinet import LooseCabinet
from rungwise.rewiring.continuity_check import Check
from rungwise.rewiring.lost_wires import LostWires, Standing
from rungwise.rewiring.taken_reading import band_of
from rungwise.rewiring.wires_record import LooseWire, Reading, WiresRecord
from rungwise.unit.element import EARTH
from rungwise.unit.unit_file import arrangement

__all__ = ["Worked", "work_cabinet", "worked_line"]

MOST_CONTACTS = 400
BARE = (("contactor",), ("contactor", "capacitor"))
BROKEN = (0, 1, 0, 1, 2)
ONE_FAR_OHM = 0.45
"""A sweep ends at the first loose end that reads less: one with the far end, leads and all."""


@dataclass(frozen=True)
class Worked:
    """A cabinet worked to its end.

    actions: what a technician did, a sweep with one lead clipped being one; contacts: each touch
    of the leads, which is a reading.  end: "found", "broken", "open" or "nothing fits".
    """

    standing: Standing
    actions: int
    contacts: int
    minutes: float
    end: str


def work_cabinet(cabinet: LooseCabinet, *, gauges: bool) -> Worked:
    """Make every check that is asked for, sweeps as sweeps, until nothing more is asked."""
    standing = _lost(cabinet.unit, cabinet.off).standing(_record(cabinet, gauges=gauges))
    actions, contacts, minutes = 0, 0, 0.0
    while (check := standing.next_check) is not None and contacts < MOST_CONTACTS:
        readings = tuple(_swept(cabinet, check))
        actions, contacts = actions + 1, contacts + len(readings)
        minutes += check.minutes + TOUCH_MINUTES * (len(readings) - 1)
        standing = standing.read(*readings)
    return Worked(standing, actions, contacts, minutes, _end(standing))


TOUCH_MINUTES = 0.2


def _end(standing: Standing) -> str:
    if not standing.remaining:
        return "nothing fits"
    if standing.found:
        return "found"
    return "broken" if standing.broken else "open"


def _swept(cabinet: LooseCabinet, check: Check) -> Iterator[Reading]:
    for name in (check.a, *check.then):
        ohm = cabinet.ohms(*("earth" if each == EARTH else each for each in (name, check.b)))
        low, high = band_of(ohm) or (0.0, np.inf)
        yield Reading(name, check.b, low, high, "OL" if np.isinf(ohm) else f"{ohm:.1f} Ω", ohm=ohm)
        if ohm < ONE_FAR_OHM:
            return


@lru_cache(maxsize=8)
def _lost(unit_name: str, off: tuple[str, ...]) -> LostWires:
    return LostWires(arrangement(unit_name), off)


def _record(cabinet: LooseCabinet, *, gauges: bool) -> WiresRecord:
    loose = tuple(
        LooseWire(
            tag.name,
            tag.color,
            tag.wire.awg if gauges else None,
            both_ends=len(tag.ends) == 2,
        )
        for tag in cabinet.tags
    )
    return WiresRecord("", loose=loose)
