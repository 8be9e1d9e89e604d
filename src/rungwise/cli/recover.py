"""`rungwise recover`: where loose wires belong, and which continuity check to make next."""

from __future__ import annotations

import typer

from rungwise.cli.options import AsJson, UnitName, WiresFile


def recover(unit: UnitName, wires: WiresFile, as_json: AsJson = False) -> None:
    """Say what loose wires may be, what to measure next, and at last where each of them goes.

    Exit code 1 while the ways that are left do not behave alike: nothing may be powered up then.

    Example: rungwise recover unit-02-orchard-lane.toml wires-02-all-off.toml
    """
    from rungwise.cli.printing import waiting
    from rungwise.rewiring import read_wires
    from rungwise.rewiring import recover as worked
    from rungwise.services import RecoverAnswer, open_unit

    opened = open_unit(unit)
    record = read_wires(wires, opened.unit)
    with waiting(f"matching the loose wires of {opened.unit.name}"):
        answer = RecoverAnswer(worked(opened.unit, record))
        told = answer.as_json() if as_json else None
    if told is not None:
        from rungwise.cli.printing import print_json

        print_json(told)
    else:
        from rungwise.cli.page import Page
        from rungwise.cli.recovering_told import tell_recovery

        page = Page()
        page.title(opened.unit.title)
        tell_recovery(page, answer)
    if not answer.good:
        raise typer.Exit(1)
