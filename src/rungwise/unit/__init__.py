"""The unit: its parts, terminals, wires, joints and ratings, and the file they are read from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.parts import part_of, split_end, terminal_of
    from rungwise.unit.contradictions import contradicted
    from rungwise.unit.nameplate import FIELDS, TEXTS, VOLT, supply_range_v, volts_told
    from rungwise.unit.roles import Served
    from rungwise.unit.unit import Block, Part, Unit, Wire
    from rungwise.unit.unit_file import (
        ARRANGEMENTS,
        BLOCKS,
        FIRST_ARRANGEMENTS,
        arrangement,
        key_of,
        read_unit,
        unit_from,
        unit_of_parameter,
        unit_schema,
    )
    from rungwise.unit.usual_numbers import numbers_of_kind
    from rungwise.unit.wiring import LEGS
    from rungwise.unit.words import pair_mark, place_words, spelled_here, two_ends
else:
    __getattr__ = door(__name__)
