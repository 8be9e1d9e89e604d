"""The result of making a place dead as a stamp with a clock, and what takes it away."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from pydantic import Field

from rungwise import records
from rungwise.diagnosis import CheckCard, full_id
from rungwise.isolation import WorkPlan
from rungwise.web.pages.make_dead.evidence import DeadProof
from rungwise.web.pages.make_dead.steps import StepLine
from rungwise.web.shown import Shown
from rungwise.wording import say, time_told

Stands = Literal["verified", "in part", "run out", "power on"]


class PowerStamp(Shown):
    """What the readings came to, and until when. It never says that anything is dead or safe.

    at, until: clock times of the last reading and of its end. why: what took it away.
    """

    stands: Stands
    at: str
    until: str
    until_s: float = Field(description="seconds until it runs out, 0 once it has")
    whole_s: float = Field(description="seconds that it counts in all")
    taken: int
    asked: int
    why: str


def stamp_of(
    plan: WorkPlan,
    lines: Sequence[StepLine],
    rows: Iterable[records.Step],
    proof: DeadProof,
    now: dt.datetime,
    live: records.Statement | None,
) -> PowerStamp | None:
    """The stamp of a plan that was walked to its end, None before that.

    live: what was last read or started with the power on.
    """
    by_id = {row.id: row for row in rows}
    read = [by_id[each.row] for each in lines if each.reads and each.row in by_id]
    if not read or any(each.state not in ("done", "left out") for each in lines):
        return None
    first, last = min(row.at for row in read), max(read, key=lambda row: row.at)
    end = _counted_from(lines, by_id, first) + dt.timedelta(minutes=plan.stands_for_minutes)
    stands, why = _stands(proof, live if live and live.at > last.at else None, ran_out=now > end)
    zone = last.local.tzinfo
    return PowerStamp(
        stands=stands,
        at=time_told(last.local),
        until=time_told(end.astimezone(zone)),
        until_s=max(0.0, (end - now).total_seconds()),
        whole_s=60.0 * plan.stands_for_minutes,
        taken=len(proof.taken),
        asked=proof.asked,
        why=why,
    )


def _counted_from(
    lines: Sequence[StepLine], by_id: Mapping[int, records.Step], first: dt.datetime
) -> dt.datetime:
    """The oldest reading that the place of work itself was measured by."""
    here = [by_id[each.row].at for each in lines if each.kind == "measure" and each.row in by_id]
    return min(here, default=first)


def _stands(
    proof: DeadProof, live: records.Statement | None, *, ran_out: bool
) -> tuple[Stands, str]:
    if live is not None:
        return "power on", power_since(time_told(live.local))
    if ran_out:
        return "run out", ""
    return ("in part", "") if proof.open else ("verified", "")


def power_since(clock: str) -> str:
    """Why a stamp no longer holds: what was entered at that time takes power."""
    return say("A live reading or a start was entered at {clock}.", clock=clock)


def live_since(
    readings: Iterable[records.Reading],
    cards: Mapping[str, CheckCard],
    starts: Iterable[records.Step],
) -> records.Statement | None:
    """The last thing in the records that nobody can do with the power off.

    readings: of the call and of the proof. starts: ticks of the first start.
    """
    found: list[records.Statement] = [row for row in starts if row.done]
    for row in readings:
        card = cards.get(full_id(row.check, cards))
        if card is not None and card.live and row.counts and row.value is not None:
            found.append(row)
    return max(found, key=lambda row: row.at, default=None)
