"""Units and calls from the text of their files, for those who keep the text elsewhere."""

from __future__ import annotations

import hashlib
from functools import lru_cache

from rungwise.diagnosis.call_file import Call, call_from
from rungwise.errors import BadCallFile
from rungwise.files.document import Document
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import unit_from

__all__ = ["call_from_text", "unit_from_text"]

KEPT = 256
"""Units held by their text; one is some tens of kilobytes."""


@lru_cache(maxsize=KEPT)
def unit_from_text(text: str, name: str = "") -> Unit:
    """The unit in the text of a unit file, kept for the next time.

    name: what the unit is called; a hash of the text where none is given.
    Raises BadUnitFile with line, key, value, what is allowed and the next step.
    """
    called = name or f"unit-{hashlib.sha256(text.encode()).hexdigest()[:12]}"
    return unit_from(Document(text, file=f"{called}.toml"), name=called)


def call_from_text(text: str, unit: Unit) -> Call:
    """The call in the text of a call file that is about `unit`, whatever its line unit = says.

    Raises BadCallFile with line, key, value, what is allowed and the next step.
    """
    return call_from(Document(text, file=f"call on {unit.name}", error=BadCallFile))
