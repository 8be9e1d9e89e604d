"""What shows a fault directly is a reading that some check takes on that very block."""

from __future__ import annotations

import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.faults import SuspectSet
from rungwise.faults.suspect_set import HEALTHY
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
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
    assert not unshown
