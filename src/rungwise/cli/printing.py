"""Printing an answer as JSON, and a sign of life on the error stream until it is there."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import typer
from rich.console import Console
from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn

from rungwise.services import strict


def print_json(value: object) -> None:
    """Print it; OL stands where a number is infinite, null where there is none."""
    typer.echo(json.dumps(strict(value), ensure_ascii=False, indent=2))


@contextmanager
def waiting(what: str) -> Iterator[Callable[[float], None]]:
    """A bar that is told the share done; nothing at all where no terminal is watching."""
    console = Console(stderr=True)
    columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn())
    with Progress(
        *columns, console=console, transient=True, disable=not console.is_terminal
    ) as bar:
        task = bar.add_task(what, total=1.0)
        yield lambda share: bar.update(task, completed=share)
