"""Joining points with nothing inside: terminal board, splice, earth lug."""

from __future__ import annotations

from rungwise.unit.element import EARTH, Branch, fixed
from rungwise.unit.kind import PartKind

KINDS = (
    PartKind("terminal_board", "control terminal board", ("R", "C", "Y", "G"), (), ()),
    PartKind("splice", "splice", ("1",), (), ()),
    PartKind("neutral_bar", "neutral bar", ("N",), (), ()),
    PartKind("earth_lug", "earth lug", ("E",), (), (Branch("bond", "E", EARTH, fixed(0.01)),)),
)
