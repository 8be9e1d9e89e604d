"""The plan for making a place of work dead, with what a call has shown of the unit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from rungwise.circuit import STANDBY, loads_of, solve
from rungwise.faults import SuspectSet
from rungwise.isolation import WorkPlan, isolate
from rungwise.parts import Does, Motor
from rungwise.services.diagnose import CallDiagnosis
from rungwise.services.runtime.worker_pool import elsewhere
from rungwise.unit import Unit

IDLE, RUNS_ON = "look-idle", "keeps running"
"""The look at an outdoor unit with the thermostat off, and its outcome."""

CHANCE = 0.1
"""From this chance on the unit is taken for one that runs on: the breaker first costs a walk."""

WORTH_SOLVING = 0.02
"""Suspects less likely than this do not decide it."""

RUNNING_RULE = {"chance": CHANCE, "worth": WORTH_SOLVING, "idle": IDLE, "runs": RUNS_ON}
"""What `keeps_running` goes by, for a phone that decides it without signal."""


@dataclass(frozen=True)
class Isolation:
    """How a place of work is made dead, or why there is no plan."""

    plan: WorkPlan

    @property
    def reached(self) -> bool:
        """Whether there is a plan, which then proves each device that it relies on."""
        return not self.plan.refusals

    @property
    def exit_code(self) -> int:
        """0 with a plan, 2 where the description lacks something, 1 where nothing opens it."""
        if self.reached:
            return 0
        return 2 if any(each.of_description for each in self.plan.refusals) else 1

    def as_json(self) -> dict[str, Any]:
        """The same as plain values."""
        return {**_plain(asdict(self.plan)), "reached": self.reached}


def isolation_of(
    unit: Unit, scope: str, answer: CallDiagnosis | None = None, *, runs_on: bool | None = None
) -> Isolation:
    """The plan for `scope` of `unit`; answer: of a call on it, if there is one.

    runs_on: whether it runs with the thermostat off; None: as far as the call tells.
    Raises UnknownName for a scope that does not exist.
    """
    if runs_on is None:
        runs_on = answer is not None and keeps_running(unit, answer)
    return Isolation(elsewhere(isolate, unit, scope=scope, keeps_running=runs_on))


def keeps_running(unit: Unit, answer: CallDiagnosis) -> bool:
    """Whether the outdoor unit runs on with the thermostat off: as seen, else as is likely."""
    seen = [each.value for each in answer.outcomes if each.card.id == IDLE and each.value]
    if seen:
        return seen[-1] == RUNS_ON
    odds = {each: p for each, p in answer.belief.by_suspect().items() if p >= WORTH_SOLVING}
    known = {suspect.id for suspect in answer.belief.table.suspects}
    likely = [each for each in odds if each in known]
    if sum(odds[each] for each in likely) < CHANCE:
        return False
    running = running_on(unit, likely)
    return sum(odds[each] for each in running) >= CHANCE


def running_on(unit: Unit, ids: Iterable[str]) -> list[str]:
    """Those of the suspects with which an outdoor motor draws current without a call."""
    suspects = SuspectSet(unit)
    motors = [part.name for part, _ in unit.having(Motor) if part.place == "outdoor"]
    found = []
    for each in ids:
        solution = solve(suspects.plan, STANDBY, suspects.typical(suspects.suspect(each)))
        if any(load.part in motors and load.does != Does.OFF for load in loads_of(solution)):
            found.append(each)
    return found


def _plain(value: Any) -> Any:
    """Tuples as lists, all through."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    return [_plain(each) for each in value] if isinstance(value, tuple | list) else value
