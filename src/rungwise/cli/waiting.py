"""A sign of life on the error stream while something long is worked out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn


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
