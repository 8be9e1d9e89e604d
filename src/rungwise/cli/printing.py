"""Printing an answer as JSON."""

from __future__ import annotations

import json

import typer

from rungwise.services import strict


def print_json(value: object) -> None:
    """Print it; OL stands where a number is infinite, null where there is none."""
    typer.echo(json.dumps(strict(value), ensure_ascii=False, indent=2))
