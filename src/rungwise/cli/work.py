"""`rungwise work`: a whole call, from the cause to the dead unit."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from rungwise.cli.options import AsJson, CallFile

if TYPE_CHECKING:
    from rungwise.cli.answering import Answered
    from rungwise.cli.isolating import Isolation

__all__ = ["work"]


def work(call: CallFile, as_json: AsJson = False) -> None:
    """Work a call: the cause, the next check and why, and how to make the unit dead.

    Exit code 1 while the cause is not found.

    Example: rungwise work examples/maple-hollow/call-01-suspected-contactor.toml
    """
    from rungwise.cli.answering import answered
    from rungwise.cli.isolating import isolation_of
    from rungwise.cli.waiting import waiting

    answer = answered(call)
    unit = answer.opened.unit
    with waiting(f"opening the devices of {unit.name} in turn"):
        isolation = isolation_of(unit, "outdoor", answer)
    if as_json:
        from rungwise.cli.as_json import call_json, diagnosis_json, print_json

        told = {"call": call_json(answer), **diagnosis_json(answer)}
        print_json({**told, "isolation": isolation.as_json()})
    else:
        _tell(answer, isolation)
    if not answer.decided:
        raise typer.Exit(1)


def _tell(answer: Answered, isolation: Isolation) -> None:
    from rungwise.cli.page import Page
    from rungwise.cli.telling import tell_answer

    page = Page()
    tell_answer(page, answer)
    isolation.tell(page)
