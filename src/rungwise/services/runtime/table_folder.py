"""The folder of fault tables does not grow for ever: those not used for longest go."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from rungwise.services.runtime.table_store import SUFFIX

__all__ = ["MOST_TABLES", "used"]

MOST_TABLES = 32
"""Tables kept, each some 35 MB: about 1.1 GB of the disk. A shop works on fewer units in a week."""


def used(path: Path, most: int = MOST_TABLES) -> None:
    """Note that the table at `path` was used now, and let go of all but the `most` used last.

    The time of change of the file is when it was used last. Another process may take files away
    meanwhile, or the folder may be one to read only: what cannot be done is left.
    """
    with contextlib.suppress(OSError):
        os.utime(path)
    others = [each for each in path.parent.glob(f"*{SUFFIX}") if each != path]
    for each in sorted(others, key=_last_used, reverse=True)[max(0, most - 1) :]:
        with contextlib.suppress(OSError):
            each.unlink()


def _last_used(path: Path) -> float:
    """Seconds since 1970; 0 for a file that went meanwhile."""
    try:
        return path.stat().st_mtime
    except OSError:
        return 0.0
