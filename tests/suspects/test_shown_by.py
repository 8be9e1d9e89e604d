"""What shows a fault directly is a reading that some check takes on that very block."""

from __future__ import annotations

import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.suspects import SuspectSet
from rungwise.suspects.suspect_set import HEALTHY
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement

NO_CHECK = {
    "capacitor.another_can",  # needs ohms from a terminal to the can
    "start_relay.stuck_in",  # needs a clamp on the kit's own lead, as the other way beside it
    "start_relay.another_pick_up",
    "delay.another_supply",  # needs the delay's own milliamperes
}
"""Faults that no check shows on their own block: they can be suspected, and never shown."""


@pytest.mark.parametrize("name", ARRANGEMENTS)
def test_what_shows_a_fault_is_read_by_some_check_on_its_own_block(name: str) -> None:
    unit = arrangement(name)
    cards = [check.card for check in checks_of(unit)]
    read = {(block, card.quantity) for card in cards for block in card.touches}
    unshown = {
        each.id
        for each in SuspectSet(unit)
        if ">" not in each.id
        and each.id != HEALTHY
        and not any((each.block, quantity) in read for quantity in each.shown_by)
    }
    assert unshown <= NO_CHECK


def test_what_no_check_shows_is_still_so_somewhere() -> None:
    """Once a check can show one of them, it leaves the list above."""
    kit = arrangement("hard_start_delay")
    read = {
        (block, check.card.quantity) for check in checks_of(kit) for block in check.card.touches
    }
    for name in NO_CHECK:
        suspect = SuspectSet(kit).suspect(name)
        assert not {(suspect.block, each) for each in suspect.shown_by} & read, name
