"""`rungwise isolate`: how to make a unit dead and prove it."""

from __future__ import annotations

from typing import Annotated

import typer

from rungwise.cli.options import AsJson

__all__ = ["isolate"]


def isolate(
    unit: Annotated[
        str,
        typer.Argument(
            metavar="UNIT",
            help="A unit file, a shipped arrangement, or a call file.",
            show_default=False,
        ),
    ],
    zone: Annotated[
        str, typer.Option("--zone", help="Where the hands will be: outdoor or indoor.")
    ] = "outdoor",
    as_json: AsJson = False,
) -> None:
    """Say what is live, and in which steps it is made dead and proved dead.

    With a call file, the dangers of the fault that its readings show are added. Exit code 1 when
    something stays live, or when a device's failure could not be seen on a meter.

    Example: rungwise isolate one_pole_heater --zone outdoor
    """
    from rungwise.answers.answering import answered
    from rungwise.answers.isolating import isolation_of
    from rungwise.answers.opening import is_call, open_unit
    from rungwise.cli.waiting import waiting

    answer = answered(unit, waiting) if is_call(unit) else None
    opened = answer.opened if answer else open_unit(unit)
    with waiting(f"opening the devices of {opened.unit.name} in turn"):
        found = isolation_of(opened.unit, zone, answer)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(found.as_json())
    else:
        from rungwise.cli.isolation_told import tell_isolation
        from rungwise.cli.page import Page

        page = Page()
        page.title(opened.unit.title)
        tell_isolation(page, found)
    if not found.reached:
        raise typer.Exit(1)
