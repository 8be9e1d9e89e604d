"""`rungwise spice`: a solved unit as a netlist for another program."""

from __future__ import annotations

import json
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from rungwise.cli.options import AsJson, UnitName
from rungwise.cli.writing import Replace, write_out


class Setting(StrEnum):
    """What the unit is doing."""

    CALLING = "calling"
    STARTING = "starting"
    STANDBY = "standby"


def spice(
    unit: UnitName,
    suspect: Annotated[
        str,
        typer.Option(
            "--suspect", metavar="ID", help="With this fault; see expect --list-suspects."
        ),
    ] = "",
    condition: Annotated[
        Setting, typer.Option("--condition", help="What the thermostat asks, and when.")
    ] = Setting.CALLING,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", metavar="FILE", help="Write it to a file.")
    ] = None,
    over: Replace = False,
    as_json: AsJson = False,
) -> None:
    """Print the unit's circuit, switched as it settles, as a netlist for ngspice.

    RMS volts and amps; node 0 is the earth; nodes are named part.terminal.

    Example: rungwise spice one_pole_heater --suspect capacitor.herm_weak -o weak.cir
    """
    text = _netlist(unit, suspect, condition)
    if as_json:
        about = {"unit": unit, "suspect": suspect or None, "condition": condition.value}
        text = json.dumps({**about, "netlist": text}, ensure_ascii=False, indent=2) + "\n"
    if output is None:
        typer.echo(text, nl=False)
        return
    write_out(output, text, "netlist", replace=over)


def _netlist(name: str, suspect: str, setting: Setting) -> str:
    from rungwise.circuit import CALLING, STANDBY, STARTING, solve, spice_netlist
    from rungwise.faults import SuspectSet
    from rungwise.services import open_unit

    opened = open_unit(name)
    suspects = SuspectSet(opened.unit)
    fault = suspects.suspect(suspect) if suspect else None
    values = suspects.typical(fault) if fault else {}
    condition = {each.name: each for each in (CALLING, STARTING, STANDBY)}[setting.value]
    title = f"{opened.unit.title}: {fault.title if fault else 'nothing wrong'}"
    return spice_netlist(solve(suspects.plan, condition, values), title=title)
