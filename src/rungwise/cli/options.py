"""Arguments and options that several commands share."""

from __future__ import annotations

from typing import Annotated

import typer

CallFile = Annotated[str, typer.Argument(metavar="CALL", help="The call file.", show_default=False)]
UnitName = Annotated[
    str,
    typer.Argument(
        metavar="UNIT",
        help="A unit file, or the name of a shipped arrangement.",
        show_default=False,
    ),
]
WiresFile = Annotated[
    str, typer.Argument(metavar="WIRES", help="The wires file.", show_default=False)
]
Complaint = Annotated[
    list[str] | None,
    typer.Option(
        "--complaint",
        metavar="SAID",
        help="What the customer said, such as after_storm; may be given more than once.",
        show_default=False,
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]
