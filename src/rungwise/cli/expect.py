"""`rungwise expect`: what every check should read on a good unit, and on a faulty one beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rungwise.cli.options import AsJson, UnitName

if TYPE_CHECKING:
    from rungwise.services import Expectation


def expect(
    unit: UnitName,
    suspect: Annotated[
        list[str] | None,
        typer.Option("--suspect", metavar="ID", help="Also with this fault; may be repeated."),
    ] = None,
    check: Annotated[
        list[str] | None,
        typer.Option(
            "--check", metavar="TEXT", help="Only checks whose id has this in it; may be repeated."
        ),
    ] = None,
    list_suspects: Annotated[
        bool, typer.Option("--list-suspects", help="List the faults by id, and end.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Say what every check should read on a healthy unit, and what its loads then take.

    A band holds 95 in 100 good specimens of the unit, on supplies as they are met.

    Example: rungwise expect one_pole_heater --check coil --suspect contactor.coil_shorted
    """
    if list_suspects:
        _list_suspects(unit, as_json=as_json)
        return
    from rungwise.cli.printing import waiting
    from rungwise.services import expectation

    found = expectation(unit, suspect or (), check or (), waiting)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(found.as_json())
        return
    _tell(found)


def _tell(found: Expectation) -> None:
    from rungwise.cli.expectation_told import tell_expectation
    from rungwise.cli.page import Page
    from rungwise.cli.telling import tell_shortfalls

    page = Page()
    tell_expectation(page, found)
    tell_shortfalls(page, found.shortfalls)


def _list_suspects(unit: str, *, as_json: bool) -> None:
    from rungwise.cli.page import Page
    from rungwise.cli.printing import print_json
    from rungwise.faults import SuspectSet
    from rungwise.services import open_unit

    suspects = tuple(SuspectSet(open_unit(unit).unit))
    if as_json:
        print_json([{"id": each.id, "title": each.title} for each in suspects])
        return
    page = Page()
    for each in suspects:
        page.point(each.title, mark=f"{each.id}:")
