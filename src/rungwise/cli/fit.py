"""`rungwise fit`: whether a part, or which of the van's parts, may go into a unit."""

from __future__ import annotations

from typing import Annotated

import typer

from rungwise.cli.options import AsJson, UnitName


def fit(
    unit: UnitName,
    candidate: Annotated[
        str,
        typer.Argument(
            metavar="CANDIDATE",
            help="A file of one or more candidate parts, such as the van's stock.",
            show_default=False,
        ),
    ],
    for_part: Annotated[
        list[str] | None,
        typer.Option("--for", metavar="PART", help="Only for this part; may be repeated."),
    ] = None,
    every: Annotated[
        bool, typer.Option("--all", help="Tell of every candidate all that was compared.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Say whether a part serves in a unit, serves with changes, or does not, and why.

    Several candidates for one part are ranked: those that serve first, and among them the nearest
    in rating to the part that comes out. What nobody can judge is called not judged. Exit code 1
    when for some part of the unit no candidate serves.

    Example: rungwise fit one_pole_heater examples/maple-hollow/van-stock.toml --for contactor
    """
    from rungwise.cli.printing import waiting
    from rungwise.services import fitting_of, open_unit

    opened = open_unit(unit)
    with waiting(f"fitting parts into {opened.unit.name}"):
        found = fitting_of(opened.unit, candidate, for_part or ())
    if as_json:
        from rungwise.cli.printing import print_json
        from rungwise.services import unit_json

        print_json({"unit": unit_json(opened.unit), **found.as_json()})
    else:
        from rungwise.cli.fitting_told import tell_fitting
        from rungwise.cli.page import Page

        page = Page()
        page.title(opened.unit.title)
        tell_fitting(page, found, every=every)
    if not found.served:
        raise typer.Exit(1)
