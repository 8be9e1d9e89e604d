"""Isolation plans of damaged descriptions, each judged in the unit as it truly is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict
from functools import partial
from pathlib import Path

from rungwise.errors import RungwiseError
from rungwise.evaluation.result_file import Line, Resumed
from rungwise.files import Document
from rungwise.isolation import isolate
from rungwise.other_world import (
    IsolationCase,
    Refusal,
    ToldPlan,
    draw_isolation_case,
    judge,
    told_plan,
)
from rungwise.unit import FIRST_ARRANGEMENTS, unit_from

Progress = Callable[[float], None]
Numbered = tuple[str, int]


def run_isolation(
    numbers: Sequence[int],
    seed: int = 1,
    *,
    processes: int = 1,
    results: Path | None = None,
    progress: Progress | None = None,
) -> list[Line]:
    """Judge the cases of these numbers of every arrangement; a line of results for each.

    results: a file of lines that is added to; cases of this seed that stand there are not worked
    again.
    """
    wanted = [(name, number) for name in FIRST_ARRANGEMENTS for number in numbers]
    run = Resumed(wanted, seed, _numbered, results)
    return run.work(partial(_work, seed=seed), processes, progress)


def ask(case: IsolationCase) -> ToldPlan | Refusal:
    """What the program tells of a case: its plan, or why there is none."""
    try:
        unit = unit_from(Document(case.described.toml(), file="a damaged unit"), name="damaged")
        plan = isolate(unit, scope=case.scope, keeps_running=case.keeps_running)
        return told_plan(asdict(plan))
    except RungwiseError as error:
        return Refusal(type(error).__name__, str(error))


def _numbered(line: Line) -> Numbered:
    return line["arrangement"], line["case"]


def _work(numbered: Numbered, *, seed: int) -> Line:
    case = draw_isolation_case(*numbered, seed)
    told = ask(case)
    judged = judge(case, told)
    return {
        "seed": seed,
        "arrangement": numbered[0],
        "case": case.number,
        "family": case.family,
        "damages": list(case.damages),
        "scope": case.scope,
        "ended": judged.ended,
        "refusal": f"{told.sort}: {told.words}" if isinstance(told, Refusal) else "",
        "dangerous": judged.dangerous,
        "findings": [[each.sort, each.where] for each in judged.findings],
        "steps": judged.steps,
        "stations": judged.stations,
        "readings": judged.readings,
    }
