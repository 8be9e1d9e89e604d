"""What takes seconds for each unit is tried on a few; on all of them with RUNGWISE_WIDE=1."""

from __future__ import annotations

import os
from collections.abc import Sequence

__all__ = ["WIDE", "some"]

WIDE = bool(os.environ.get("RUNGWISE_WIDE"))


def some(every: Sequence[str], *few: str) -> Sequence[str]:
    """These few of them, or all."""
    assert few
    assert set(few) <= set(every)
    return every if WIDE else few
