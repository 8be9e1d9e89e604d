"""Cabinets with lost wires, drawn in the world apart and worked as `rungwise recover` asks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path

import numpy as np

from rungwise.evaluation.result_file import Line, Resumed
from rungwise.other_world import COLORS, LooseCabinet, Tag, draw_cabinet
from rungwise.parts import EARTH, Families, Family
from rungwise.rewiring import (
    TOUCH_MINUTES,
    Check,
    LooseWire,
    LostWires,
    Reading,
    Standing,
    WiresRecord,
    band_of,
)
from rungwise.unit import FIRST_ARRANGEMENTS, arrangement

MOST_CONTACTS = 400
BARE: tuple[set[Family], ...] = ({"contactor"}, {"contactor", "dual capacitor"})
"""The families of the parts that have all their wires off."""

BROKEN = (0, 1, 2)

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


def run_cabinets(
    numbers: Sequence[int],
    seed: int = 1,
    *,
    processes: int = 1,
    results: Path | None = None,
    progress: Callable[[float], None] | None = None,
) -> list[Line]:
    """Work the cabinets of these numbers and return a line of results for each.

    Arguments as in `other_world.run_other_world`.
    """
    run = Resumed(sorted(set(numbers)), seed, lambda line: int(line["cabinet"]), results)
    return run.work(partial(_worked_line, seed=seed), processes, progress)


def drawn_cabinet(number: int, seed: int) -> tuple[LooseCabinet, Line]:
    """The cabinet of a number, and what is so: by turns every arrangement, sort of colors, number
    of broken wires, and bare parts; with the gauges told or not, by chance.
    """
    rng = np.random.default_rng([seed, number])
    turn, name = divmod(number, len(FIRST_ARRANGEMENTS))
    turn, colors = divmod(turn, len(COLORS))
    turn, broken = divmod(turn, len(BROKEN))
    unit, bare = arrangement(list(FIRST_ARRANGEMENTS)[name]), BARE[turn % len(BARE)]
    parts = [part.name for part, families in unit.having(Families) if families.names & bare]
    cabinet = draw_cabinet(unit, parts, COLORS[colors], BROKEN[broken], rng)
    told: Line = {
        "seed": seed,
        "cabinet": number,
        "arrangement": list(FIRST_ARRANGEMENTS)[name],
        "off": parts,
        "colors": COLORS[colors],
        "broken": sorted(cabinet.broken),
        "load_open": cabinet.load_open,
        "gauges": bool(rng.random() < 0.5),
    }
    return cabinet, told


def work_cabinet(cabinet: LooseCabinet, arrangement_name: str, *, gauges: bool) -> Worked:
    """Make every check that is asked for, sweeps as sweeps, until nothing more is asked."""
    record = WiresRecord("", loose=tuple(_loose(cabinet, gauges=gauges)))
    standing = _lost(arrangement_name, cabinet.off).standing(record)
    actions, contacts, minutes = 0, 0, 0.0
    while (check := standing.next_check) is not None and contacts < MOST_CONTACTS:
        readings = tuple(_swept(cabinet, check))
        actions, contacts = actions + 1, contacts + len(readings)
        minutes += check.minutes + TOUCH_MINUTES * (len(readings) - 1)
        standing = standing.read(*readings)
    return Worked(standing, actions, contacts, minutes, _end(standing))


def _worked_line(number: int, *, seed: int) -> Line:
    cabinet, told = drawn_cabinet(number, seed)
    worked = work_cabinet(cabinet, told["arrangement"], gauges=told["gauges"])
    placed = dict(worked.standing.placed)
    named = {_wire(cabinet, point) for point in worked.standing.broken}
    return {
        **told,
        "ends": len(worked.standing.names),
        "end": worked.end,
        "wrong": not cabinet.same_circuit({**_as_meant(cabinet), **placed}),
        "named": named == cabinet.broken,
        "actions": worked.actions,
        "contacts": worked.contacts,
        "minutes": round(worked.minutes, 1),
        "plain": plain_contacts(cabinet),
    }


def plain_contacts(cabinet: LooseCabinet) -> int:
    """Touches of a hand that goes in order: a lead on each far end, the other on each loose end
    that is left, until one reads; every one of them where the wire is broken.
    """
    left = [tag for tag in cabinet.tags if len(tag.ends) == 1]
    contacts = len(cabinet.tags) - len(left)
    for tag in sorted(left, key=_far):
        found = tag.wire.name not in cabinet.broken
        contacts += left.index(tag) + 1 if found else len(left)
        left = [each for each in left if not (found and each is tag)]
    return contacts


def _far(tag: Tag) -> str:
    return tag.wire.end if tag.ends == ("start",) else tag.wire.start


def _wire(cabinet: LooseCabinet, point: str) -> str:
    found = cabinet.end_of(point)
    return found[0].name if found else ""


def _as_meant(cabinet: LooseCabinet) -> dict[str, str]:
    """Where each loose end truly belongs."""
    found = {}
    for tag in cabinet.tags:
        for point, end in zip(tag.points(), tag.ends, strict=True):
            found[point] = tag.wire.start if end == "start" else tag.wire.end
    return found


def _end(standing: Standing) -> str:
    if not standing.remaining:
        return "nothing fits"
    if standing.found:
        return "found"
    return "broken" if standing.broken else "open"


def _swept(cabinet: LooseCabinet, check: Check) -> Iterator[Reading]:
    for name in (check.a, *check.then):
        ohm = cabinet.ohms(*("earth" if point == EARTH else point for point in (name, check.b)))
        low, high = band_of(ohm) or (0.0, np.inf)
        typed = "OL" if np.isinf(ohm) else f"{ohm:.1f} Ω"
        yield Reading(name, check.b, low, high, typed, ohm=ohm)
        if ohm < ONE_FAR_OHM:
            return


@lru_cache(maxsize=len(FIRST_ARRANGEMENTS) * len(BARE))
def _lost(arrangement_name: str, off: tuple[str, ...]) -> LostWires:
    return LostWires(arrangement(arrangement_name), off)


def _loose(cabinet: LooseCabinet, *, gauges: bool) -> Iterator[LooseWire]:
    for tag in cabinet.tags:
        awg = tag.wire.awg if gauges else None
        yield LooseWire(tag.name, tag.color, awg, both_ends=len(tag.ends) > 1)
