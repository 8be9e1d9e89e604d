"""The file of an SQLite database, watched: what is written into a file that is gone is lost."""

from __future__ import annotations

import os
from pathlib import Path

from rungwise.errors import StoreError

__all__ = ["SqliteFile"]

OWN_EYES = 0o600
"""Customers' names and addresses are nobody's but the owner's."""


class SqliteFile:
    """One file. It is made when it is not there yet, and must then stay the same file.

    Raises OSError where no file can be made.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.exists():
            os.close(os.open(path, os.O_RDWR | os.O_CREAT, OWN_EYES))
        self._mark = self._found()

    def still_there(self, *_: object) -> None:
        """Raise StoreError when the file was taken away or another one lies in its place."""
        if self._found() != self._mark:
            raise StoreError(
                f"The file of the records is gone, or another lies in its place: {self.path.name}.",
                next_step="put it back, then start the server again; nothing of this was written",
            )

    def _found(self) -> tuple[int, int] | None:
        try:
            told = self.path.stat()
        except OSError:
            return None
        return told.st_dev, told.st_ino
