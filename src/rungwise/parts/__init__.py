"""The part kinds that Rungwise knows; a new kind is one new file in this folder."""

from __future__ import annotations

import importlib
import pkgutil

from rungwise.parts.kind import PartKind


def _collect() -> dict[str, PartKind]:
    kinds: dict[str, PartKind] = {}
    for module in pkgutil.iter_modules(__path__):
        found = importlib.import_module(f"{__name__}.{module.name}")
        kinds.update({kind.name: kind for kind in getattr(found, "KINDS", ())})
    return kinds


KINDS: dict[str, PartKind] = _collect()
"""Every part kind by its name."""
