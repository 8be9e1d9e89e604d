"""The lives of one unit's parts, from what its closed calls tell: fitted, measured, failed.

Followed are parts of which a fault may mean a new one. A part lives from the day its unit was
installed, or from the day on which it was put in, to the day on which a call found it at fault
with a fault that only a new part puts right, or on which another was fitted in its place.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rungwise import records
from rungwise.faults import fault_steps
from rungwise.maintenance import ORDINARY_STARTS, PartLife, Reading, family_of, pace, way_of
from rungwise.parts import KINDS, Motor
from rungwise.quantity import parse
from rungwise.records import PastCall
from rungwise.replacement import CANDIDATE_KINDS
from rungwise.services.history.part_readings import (
    PartReading,
    amps_checks,
    rated_of,
    taken_of,
    worn,
)
from rungwise.services.history.shop_calls import StandingSince
from rungwise.unit import Part, Unit

REPLACED = "replace"
"""The repair of a mode that only a new part puts right."""


@dataclass(frozen=True)
class _End:
    """The end of a part, and what is known of the one that came after it.

    call: the place of its call among the unit's. mode: "" where it was taken out unfailed.
    label: of the new part, as in a candidates file, or None where nobody wrote it down.
    """

    call: int
    day: dt.date
    mode: str
    label: Mapping[str, Any] | None


def followed(unit: Unit) -> tuple[Part, ...]:
    """The parts of a unit whose lives are followed."""
    return tuple(
        part
        for part in unit.parts
        if any(mode.repair == REPLACED for mode in KINDS[part.kind].modes)
    )


def lives_of(
    unit: Unit, name: str, since: StandingSince, watched: dt.date, calls: Sequence[PastCall]
) -> tuple[PartLife, ...]:
    """Every life of every followed part, those that ended before those that run.

    name: of the unit in the history. watched: since when the shop would have heard of a failure.
    calls: in the order of their days, none before the unit was installed.
    """
    return tuple(
        life
        for part in followed(unit)
        for life in _lives(unit, part, PartLife(name, part.name, part.kind, since.day,
                                                max(since.day, watched)), calls)
    )  # fmt: skip


def part_sought(truth: records.Truth | None) -> Iterator[tuple[str, str]]:
    """Part and mode of what was at fault in the end, a cause and its consequence one by one."""
    for each in fault_steps(truth.suspect) if truth else ():
        if "+" not in each.block and each.mode:
            yield each.block, each.mode


def _lives(
    unit: Unit, part: Part, first: PartLife, calls: Sequence[PastCall]
) -> Iterator[PartLife]:
    """One after the other, each with its own readings."""
    taken = list(taken_of(unit, part, calls))
    life, label, last = first, None, -1
    for end in _ends(part, calls):
        own = [t for t in taken if _within(t, last, end.call)]
        ended = replace(life, ended=end.day, mode=end.mode, watched=min(life.watched, end.day))
        yield _told(unit, part, ended, label, own, calls)
        kind = str(end.label.get("kind", "")) if end.label else ""
        life = replace(first, kind=kind if kind in KINDS else part.kind,
                       fitted=end.day, watched=end.day)  # fmt: skip
        label, last = end.label, end.call
    own = [t for t in taken if _within(t, last, len(calls))]
    yield _told(unit, part, life, label, own, calls)


def _within(taken: PartReading, after: int, until: int) -> bool:
    """Whether a reading is of the part between two ends; in a repair's own call proof is later."""
    if taken.call == after:
        return taken.after
    return after < taken.call < until or (taken.call == until and not taken.after)


def _ends(part: Part, calls: Sequence[PastCall]) -> Iterator[_End]:
    replaced = {mode.name for mode in KINDS[part.kind].modes if mode.repair == REPLACED}
    for number, each in enumerate(calls):
        label = next(
            (
                row.candidate
                for row in each.fitted
                if row.part == part.name and _stands_in(row, part)
            ),
            None,
        )
        failed = [mode for name, mode in part_sought(each.truth)
                  if name == part.name and mode in replaced]  # fmt: skip
        if failed or label is not None:
            yield _End(number, each.call.day, failed[0] if failed else "", label)


def _stands_in(row: records.FittedPart, part: Part) -> bool:
    """Whether what was fitted takes the part's place; a start kit is set beside a compressor."""
    kind = CANDIDATE_KINDS.get(str((row.candidate or {}).get("kind", "")))
    return kind is not None and any(
        family_of(piece.kind) == family_of(part.kind) and not piece.suffix for piece in kind.pieces
    )


def _told(  # a part, its life, and all that tells of it
    unit: Unit,
    part: Part,
    life: PartLife,
    label: Mapping[str, Any] | None,
    taken: Sequence[PartReading],
    calls: Sequence[PastCall],
) -> PartLife:
    """The life with the readings of its most worn section, and with its pace."""
    places: dict[str, list[PartReading]] = {}
    for each in taken:
        if _wears(life, each.reading):
            places.setdefault(each.place, []).append(each)
    rated = 0.0
    readings: tuple[Reading, ...] = ()
    if places:
        most = max(places.values(), key=lambda held: worn(held[-1], rated_of(held[-1], label)))
        rated = rated_of(most[-1], label)
        readings = tuple(each.reading for each in most)
    return replace(life, rated=rated, readings=readings, pace=_pace(unit, part, label, calls))


def _wears(life: PartLife, reading: Reading) -> bool:
    """Whether a reading tells of wear: on the day of a sudden failure it tells of that."""
    if not life.mode or reading.when != life.ended:
        return True
    return way_of(life.kind, life.mode).measure == reading.quantity


def _pace(
    unit: Unit, part: Part, label: Mapping[str, Any] | None, calls: Sequence[PastCall]
) -> float:
    """How fast contacts wear by the amps last measured; starts are taken as ordinary."""
    if family_of(part.kind) != "contactor":
        return 1.0
    rated = part.values.get("fla_a", 0.0)
    if label and "fla_a" in label:
        rated = parse(str(label["fla_a"]), "A")
    checks = {
        check
        for each, motor in unit.having(Motor)
        if motor.drives == "compressor"
        for check in amps_checks(unit, each.name, motor)
    }
    amps = [
        row.number for each in calls for row in each.proofs
        if row.check in checks and row.unit == "A" and row.number and math.isfinite(row.number)
    ]  # fmt: skip
    return pace(ORDINARY_STARTS, amps[-1], rated) if amps and rated else 1.0
