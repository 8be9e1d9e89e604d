"""Readings at the same place are read together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.circuit.meter import FINE_VOLTS, LOW_Z_VOLTS, VOLTS
from rungwise.diagnosis.call_file import Outcome
from rungwise.diagnosis.cross_checks import remarks
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.parts.element import EARTH

Place = tuple[str, str]


def volts(
    place: Place, value: float | None, instrument: str = VOLTS.name, condition: str = "idle"
) -> Outcome:
    red, black = place
    name = f"{red} {black} {instrument} {condition}"
    where = f"{red} to {'bare metal' if black == EARTH else black}"
    return Outcome(
        CheckCard(
            name, name, unit="V", instrument=instrument, where=where, condition=condition,
            red=red, black=black,
        ),
        value,
    )  # fmt: skip


Y = ("board.Y", "board.C")
LEGS = ("contactor.L1", "contactor.L2")
L1 = ("contactor.L1", EARTH)
L2 = ("contactor.L2", EARTH)


def test_volts_that_a_low_impedance_meter_does_not_find_are_a_ghost() -> None:
    (told,) = remarks([volts(Y, 18.4), volts(Y, 0.5, LOW_Z_VOLTS.name)])
    assert told.signal == "NOTICE"
    assert told.text.startswith("18.4 V on the 10 MΩ meter is a ghost")
    assert "board.Y to board.C reads 500 mV" in told.text


@pytest.mark.parametrize(
    ("high", "low"),
    [(26.5, 26.4), (26.5, 20.0), (0.4, 0.0), (0.0, 0.0)],
    ids=["fed", "sags under load", "the meter's floor", "dead"],
)
def test_what_low_impedance_confirms_is_no_ghost(high: float, low: float) -> None:
    assert remarks([volts(Y, high), volts(Y, low, LOW_Z_VOLTS.name)]) == ()


def test_a_ghost_needs_both_meters_at_the_same_place_in_the_same_condition() -> None:
    elsewhere = volts(("coil1", "coil2"), 0.0, LOW_Z_VOLTS.name)
    on_call = volts(Y, 0.0, LOW_Z_VOLTS.name, "on a call")
    assert remarks([volts(Y, 18.4), elsewhere, on_call]) == ()
    assert remarks([volts(Y, 18.4), volts(Y, None, LOW_Z_VOLTS.name)]) == ()


def test_no_volts_from_leg_to_leg_with_a_live_leg_is_a_danger() -> None:
    told = remarks([volts(LEGS, 0.1), volts(L1, 121.0), volts(L2, 120.0)])
    assert len(told) == 2
    assert {line.signal for line in told} == {"DANGER"}
    assert all(line.text.startswith("contactor.L1 to contactor.L2 reads 100 mV") for line in told)
    assert f"a leg is live: {volts(L1, 121.0).card.where} reads 121 V" in told[0].text


@pytest.mark.parametrize(
    "outcomes",
    [
        [volts(LEGS, 240.0), volts(L1, 120.0)],
        [volts(LEGS, 0.1), volts(L1, 0.2), volts(L2, 0.1)],
        [volts(LEGS, 0.1)],
        [volts(LEGS, 0.1, FINE_VOLTS.name), volts(L1, 120.0)],
        [volts(("contactor.T1", "contactor.T2"), 0.1), volts(L1, 120.0)],
    ],
    ids=["live", "dead", "one reading", "a drop", "another place"],
)
def test_nothing_is_said_where_nothing_is_hidden(outcomes: list[Outcome]) -> None:
    assert remarks(outcomes) == ()


def test_a_missing_ghost_tells_nothing_by_itself() -> None:
    """Nobody rules out three switches because a long cable picked up no volts."""
    card = CheckCard("g", "g", unit="V", instrument=VOLTS.name, quantity="ghost")
    (told,) = remarks([Outcome(card, 0.0)])
    assert told.signal == "NOTICE"
    assert told.text.startswith("0 V with the thermostat off tells nothing by itself")
    assert remarks([Outcome(card, 17.6)]) == ()
    assert remarks([Outcome(card, None)]) == ()


def test_a_reworded_card_loses_no_danger() -> None:
    """Which leads lie where is told by values: no text of a card is read back."""
    told = [volts(LEGS, 0.1), volts(L1, 121.0)]
    reworded = [
        Outcome(replace(each.card, title="t", where=f"probe {at}"), each.value)
        for at, each in enumerate(told)
    ]
    (danger,) = remarks(told)
    text = danger.text
    for at, each in enumerate(told):
        text = text.replace(each.card.where, f"probe {at}")
    assert remarks(reworded) == (replace(danger, text=text),)
