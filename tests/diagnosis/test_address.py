"""A check is addressed by values: what is read, when, between which nodes, around which wire."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.fault_table import CheckCard, FaultTable, SuspectCard
from rungwise.parts.element import EARTH
from rungwise.unit.unit_file import arrangement
from rungwise.verification.proof_checks import own_checks

ALL = ("hard_start_delay", "heater_line_side", "one_pole_heater", "two_pole_plain")
CHECKS = {name: checks_of(arrangement(name)) for name in ALL}


@pytest.mark.parametrize("name", ALL)
def test_no_two_checks_of_a_unit_have_one_address_or_one_id(name: str) -> None:
    cards = [check.card for check in CHECKS[name]]
    assert len({card.key for card in cards}) == len({card.id for card in cards}) == len(cards)


@pytest.mark.parametrize("name", ALL)
def test_every_reading_tells_its_leads_or_its_jaw_and_they_are_of_the_unit(name: str) -> None:
    unit = arrangement(name)
    nodes = {*unit.terminals(), EARTH}
    for card in (check.card for check in CHECKS[name] if check.reader):
        assert card.setting
        assert {card.red, card.black} <= (nodes if card.red else {""})
        assert card.red or card.jaw in unit.wire_by_name, card.id


def _reworded(check: Check) -> Check:
    return replace(check, card=replace(check.card, id="x", title="x", where="x", condition="x"))


def test_the_address_does_not_hang_on_any_text_of_the_card() -> None:
    for check in CHECKS["hard_start_delay"]:
        assert _reworded(check).card.key == check.card.key


def test_the_coil_of_the_proof_as_it_starts_tells_its_leads() -> None:
    (check,) = own_checks(arrangement("one_pole_heater"))
    assert (check.card.red, check.card.black) == ("contactor.coil1", "contactor.coil2")
    assert check.card.setting == "starting"


def test_a_table_with_two_checks_of_one_address_is_refused() -> None:
    card = CheckCard(
        "a", "a", unit="V", quantity="volts", setting="calling", red="p.1", black="p.2"
    )
    reversed_leads = replace(card, id="b", red="p.2", black="p.1")
    reading = np.ones((1, 2))
    with pytest.raises(ValueError, match="at one place"):
        FaultTable(
            (SuspectCard("s", "s", "p", "m", "r", "", 1.0),),
            (card, reversed_leads),
            np.zeros(1, dtype=np.intp),
            reading,
            reading,
        )
