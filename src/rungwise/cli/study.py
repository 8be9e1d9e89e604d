"""`rungwise study`: many simulated calls, worked to a verdict and counted."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from rungwise.cli.options import AsJson

if TYPE_CHECKING:
    from rungwise.cli.page import Page
    from rungwise.study import Study

__all__ = ["study"]


class Readings(StrEnum):
    """Where the readings come from."""

    NGSPICE = "ngspice"
    ENGINE = "engine"


class Choosing(StrEnum):
    """Ways of choosing the next check."""

    RUNGWISE = "rungwise"
    HALF_SPLITTING = "half-splitting"
    MOST_LIKELY_FIRST = "most-likely-first"


def study(
    calls: Annotated[int, typer.Option("--calls", min=1, help="How many calls.")] = 100,
    seed: Annotated[int, typer.Option("--seed", min=0, help="Of all that is drawn.")] = 1,
    source: Annotated[
        Readings, typer.Option("--source", help="Where the readings come from.")
    ] = Readings.NGSPICE,
    policy: Annotated[
        list[Choosing] | None,
        typer.Option("--policy", help="Only this way of choosing checks; may be repeated."),
    ] = None,
    processes: Annotated[
        int, typer.Option("--processes", min=1, help="How many processes share the calls.")
    ] = 1,
    as_json: AsJson = False,
) -> None:
    """Simulate calls with drawn faults, work each to a verdict, and count how it ended.

    Every reading comes from ngspice unless --source says otherwise. Each call is worked by the
    program's own choice of checks and by two plainer ones; see docs/study.md.

    Example: rungwise study --calls 5 --seed 1 --policy rungwise
    """
    from rungwise.cli.waiting import waiting
    from rungwise.study import run_study

    ways = tuple(policy or Choosing)
    with waiting(f"working {calls} calls") as progress:
        found = run_study(
            calls,
            seed,
            source=source.value,
            policies=[way.value for way in ways],
            processes=processes,
            progress=progress,
        )
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(found.as_json())
        return
    from rungwise.cli.page import Page

    _tell(Page(), found, calls)


def _tell(page: Page, found: Study, calls: int) -> None:
    facts = (f"seed {found.seed}; readings from {found.source}", "means per call; in brackets 95 %")
    page.title(f"{calls} simulated calls", facts)
    for tally in found.tallies():
        page.heading(tally.policy)
        page.pairs(tally.rows())
        missed = found.missed(tally.policy)
        if missed:
            page.say("Missed:")
        for each in missed:
            instead = ", ".join(
                f"{truth} as {answer}" + (f" ({times} times)" if times > 1 else "")
                for truth, answer, times in each.instead
            )
            page.point(f"{each.kind}, {each.missed} of {each.met}: {instead}")
