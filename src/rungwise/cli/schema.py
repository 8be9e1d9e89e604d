"""`rungwise schema`: the JSON Schema of the files that people write."""

from __future__ import annotations

import json
from enum import StrEnum
from typing import Annotated

import typer


class Written(StrEnum):
    """The files that people write."""

    UNIT = "unit"
    CALL = "call"
    CANDIDATES = "candidates"
    WIRES = "wires"
    SHOP = "shop"


def schema(
    which: Annotated[Written, typer.Argument(help="Which file.", show_default=False)],
    as_json: Annotated[  # noqa: ARG001  # it is JSON either way
        bool, typer.Option("--json", help="The same: a schema is always JSON.")
    ] = False,
) -> None:
    """Print the JSON Schema of a sort of file, for an editor that checks TOML.

    Example: rungwise schema call > call.schema.json
    """
    if which is Written.UNIT:
        from rungwise.unit import unit_schema

        made = unit_schema()
    elif which is Written.CANDIDATES:
        from rungwise.replacement import candidate_schema

        made = candidate_schema()
    elif which is Written.WIRES:
        from rungwise.rewiring import wires_schema

        made = wires_schema()
    elif which is Written.SHOP:
        from rungwise.maintenance import shop_schema

        made = shop_schema()
    else:
        from rungwise.diagnosis import call_schema

        made = call_schema()
    typer.echo(json.dumps(made, ensure_ascii=False, indent=2))
