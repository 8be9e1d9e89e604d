"""Wires: moved to a new part, checked as left, and found again when nobody knows where they go."""

from __future__ import annotations

from rungwise.rewiring.consequence import Consequence, when
from rungwise.rewiring.left_check import Judged, LeftCheck
from rungwise.rewiring.moves import MoveList, Step
from rungwise.rewiring.possible import Crowd
from rungwise.rewiring.recover import Recovery, recover
from rungwise.rewiring.rewire import Rewiring, rewire
from rungwise.rewiring.wires_file import read_wires
from rungwise.rewiring.wires_record import WiresRecord
from rungwise.rewiring.yardstick import Yardstick

__all__ = [
    "Consequence",
    "Crowd",
    "Judged",
    "LeftCheck",
    "MoveList",
    "Recovery",
    "Rewiring",
    "Step",
    "WiresRecord",
    "Yardstick",
    "read_wires",
    "recover",
    "rewire",
    "when",
]
