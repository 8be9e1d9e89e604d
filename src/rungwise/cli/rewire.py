"""`rungwise rewire`: wires to a new part in working order, and the check of how they were left."""

from __future__ import annotations

import typer

from rungwise.cli.options import AsJson, UnitName, WiresFile


def rewire(unit: UnitName, wires: WiresFile, as_json: AsJson = False) -> None:
    """List the moves of the wires to a new part, and say what each wire does as it was left.

    Exit code 1 when a wire as left, or the new part itself, makes the unit do anything else than
    it is meant to.

    Example: rungwise rewire unit-01-mill-street.toml wires-01-contactor.toml
    """
    from rungwise.cli.printing import waiting
    from rungwise.rewiring import read_wires
    from rungwise.rewiring import rewire as worked
    from rungwise.services import RewireAnswer, open_unit

    opened = open_unit(unit)
    record = read_wires(wires, opened.unit)
    with waiting(f"solving the wirings of {opened.unit.name}"):
        answer = RewireAnswer(worked(opened.unit, record))
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(answer.as_json())
    else:
        from rungwise.cli.page import Page
        from rungwise.cli.rewiring_told import tell_rewiring

        page = Page()
        page.title(opened.unit.title)
        tell_rewiring(page, answer)
    if not answer.good:
        raise typer.Exit(1)
