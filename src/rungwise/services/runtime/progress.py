"""Somebody who watches while something long is worked out; nobody, unless one is given."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager

Watching = Callable[[str], AbstractContextManager[Callable[[float], None]]]
"""Told what is worked out; gives whom to tell the share done, 0 to 1."""


@contextmanager
def unwatched(_what: str) -> Iterator[Callable[[float], None]]:
    """Nobody watches."""
    yield lambda _share: None
