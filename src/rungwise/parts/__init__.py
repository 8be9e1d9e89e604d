"""The part kinds that Rungwise knows; a new kind is one new file in this folder."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from typing import TypeVar

from rungwise.parts.kind import PartKind
from rungwise.parts.trade import Facet

F = TypeVar("F", bound=Facet)


def _collect() -> dict[str, PartKind]:
    kinds: dict[str, PartKind] = {}
    for module in pkgutil.iter_modules(__path__):
        found = importlib.import_module(f"{__name__}.{module.name}")
        kinds.update({kind.name: kind for kind in getattr(found, "KINDS", ())})
    return kinds


KINDS: dict[str, PartKind] = _collect()
"""Every part kind by its name."""


def kind_having(sort: type[F], alike: Callable[[F], bool]) -> PartKind:
    """The first kind with such a facet; raises LookupError where no kind has one."""
    for kind in KINDS.values():
        facet = kind.facet(sort)
        if facet is not None and alike(facet):
            return kind
    raise LookupError(f"no kind has such a {sort.__name__}")
