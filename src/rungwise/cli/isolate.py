"""`rungwise isolate`: how to make a place of work dead and prove it."""

from __future__ import annotations

from typing import Annotated

import typer

from rungwise.cli.options import AsJson


def isolate(
    unit: Annotated[
        str,
        typer.Argument(
            metavar="UNIT",
            help="A unit file, a shipped arrangement, or a call file.",
            show_default=False,
        ),
    ],
    hands: Annotated[
        str,
        typer.Option(
            "--hands",
            help="Where the hands go: cabinet (load side of the disconnect), disconnect (it or its "
            "line side), indoor, everything.",
        ),
    ] = "cabinet",
    runs_on: Annotated[
        bool,
        typer.Option("--runs-on", help="It runs with the thermostat off: the breaker comes first."),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Say in which steps the place where the hands go is made dead and proved, and what stays live.

    With a call file, what its readings show decides whether the unit can be stopped. Exit code 1
    when what is described cannot be made dead by its own devices, 2 when the description lacks
    something that a plan needs.

    Example: rungwise isolate one_pole_heater --hands disconnect
    """
    from rungwise.cli.printing import waiting
    from rungwise.services import answered, is_call, isolation_of, open_unit

    answer = answered(unit, waiting) if is_call(unit) else None
    opened = answer.opened if answer else open_unit(unit)
    with waiting(f"following every way to a source of {opened.unit.name}"):
        found = isolation_of(opened.unit, hands, answer, runs_on=runs_on or None)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(found.as_json())
    else:
        from rungwise.cli.isolation_told import tell_isolation
        from rungwise.cli.page import Page

        page = Page()
        page.title(opened.unit.title)
        tell_isolation(page, found)
    if found.exit_code:
        raise typer.Exit(found.exit_code)
