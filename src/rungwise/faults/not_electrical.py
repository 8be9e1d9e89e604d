"""What stops the cooling while the circuit does its work, and is told by the eye alone.

Without it a clogged filter or an iced coil would fit nothing known. Its weight and its signs are
common practice, from experience, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.faults.suspect import Suspect
from rungwise.unit import Unit
from rungwise.wording import mark

FROZEN = 12.0

WHOLE = "unit"
"""The block of what is no part of the circuit."""


def not_electrical(unit: Unit) -> Iterator[Suspect]:
    """The suspects of a unit that cools; they change nothing in its circuit."""
    if unit.roles.compressors:
        yield Suspect(
            f"{WHOLE}.frozen_coil",
            mark("indoor coil frozen over, low air flow"),
            WHOLE,
            "frozen_coil",
            (),
            FROZEN,
            f"{WHOLE}:thaw",
            mark(
                "cooling off and fan ON until the ice is gone; then filter, blower,"
                " duct and vents; then the charge"
            ),
            behind=mark("a clogged filter, a slow blower, closed vents or a low charge"),
            signs={"ice": 0.85, "frosted_line": 0.7, "filter": 0.7, "water": 0.2},
            repair_minutes=60.0,
            shown_by=frozenset({"look:ice", "look:line"}),
            wrong_minutes=60.0,
        )
