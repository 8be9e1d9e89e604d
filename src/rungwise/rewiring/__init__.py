"""Wires: moved to a new part, checked as left, and found again when nobody knows where they go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.rewiring.caution import TERMINAL_COVER
    from rungwise.rewiring.consequence import Consequence
    from rungwise.rewiring.continuity_check import TOUCH_MINUTES, Check, Outcome
    from rungwise.rewiring.joint_care import FINISH, SCREWED
    from rungwise.rewiring.left_check import Judged, LeftCheck
    from rungwise.rewiring.lost_wires import LostWires, Misfit, Mistake, Standing
    from rungwise.rewiring.moves import MoveList, Step
    from rungwise.rewiring.possible import Crowd
    from rungwise.rewiring.recovery import Broken, Recovery, recover
    from rungwise.rewiring.rewiring_plan import Rewiring, rewire
    from rungwise.rewiring.slips import Slip, moves_after, single_slips
    from rungwise.rewiring.taken_reading import OPEN_OHM, band_of
    from rungwise.rewiring.wires_file import read_wires, wires_from, with_new_part
    from rungwise.rewiring.wires_record import LooseWire, NewPart, Reading, WiresRecord
    from rungwise.rewiring.wires_rows import wires_schema
    from rungwise.rewiring.wirings import rewired
    from rungwise.rewiring.yardstick import Yardstick
else:
    __getattr__ = door(__name__)
