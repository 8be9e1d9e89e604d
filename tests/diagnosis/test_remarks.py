"""Readings at the same place are read together."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.tables import solved

from rungwise.circuit.meter import FINE_VOLTS, LOW_Z_VOLTS, VOLTS
from rungwise.diagnosis.call_file import Outcome
from rungwise.diagnosis.cross_checks import crossed_windings, remarks, taken_again
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.reading_model import ReadingModel
from rungwise.parts.element import EARTH
from rungwise.unit import arrangement

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


def ohms(red: str, black: str, value: float) -> Outcome:
    name = f"ohms {red} {black}"
    card = CheckCard(
        name, name, unit="Ω", instrument="ohmmeter", where=f"{red} to {black}", quantity="ohms",
        condition="dead, leads off", touches=("compressor",),
        red=f"compressor.{red}", black=f"compressor.{black}",
    )  # fmt: skip
    return Outcome(card, value)


@pytest.mark.parametrize(
    ("c_r", "c_s", "r_s", "right"),
    [
        (0.7, 2.2, 2.9, True), (0.6, 2.0, 2.4, True), (math.inf, math.inf, 2.9, True),
        (math.inf,) * 3 + (True,), (0.7, 2.2, 1.0, False), (0.7, 2.2, math.inf, False),
    ],
)  # fmt: skip
def test_ohms_from_end_to_end_are_never_more_than_by_way_of_a_third(
    *, c_r: float, c_s: float, r_s: float, right: bool
) -> None:
    told = remarks([ohms("C", "R", c_r), ohms("C", "S", c_s), ohms("R", "S", r_s)])
    said = ["These three cannot all be right"]
    assert [line.text.partition(":")[0] for line in told] == ([] if right else said)


def test_an_overload_that_has_closed_since_makes_no_ohms_wrong() -> None:
    """Open while the shell was hot, 0.8 Ω through it once it was cold: both are right."""
    hot = [ohms("C", "R", math.inf), ohms("C", "S", math.inf), ohms("R", "S", 2.4)]
    cold = Outcome(replace(hot[0].card, id="cooled", setting="cooled"), 0.8)
    assert not remarks([*hot, cold])


@pytest.mark.parametrize(("c_r", "c_s", "mixed"), [(2.2, 0.7, True), (0.7, 2.2, False)])
def test_a_compressor_whose_run_winding_has_more_ohms_has_its_terminals_mixed_up(
    *, c_r: float, c_s: float, mixed: bool
) -> None:
    unit = arrangement("one_pole_heater")
    taken = [ohms("C", "R", c_r), ohms("C", "S", c_s)]
    assert bool(list(crossed_windings(unit, taken))) is mixed
    assert not list(crossed_windings(arrangement("rooftop_208"), taken))


def test_of_a_check_taken_again_unlike_the_later_one_counts_and_that_is_told() -> None:
    model = ReadingModel(solved(arrangement("one_pole_heater")))
    card = model.table.checks[model.table.check_index("uf-capacitor-HERM-C")]
    first, alike, other = (Outcome(card, value) for value in (45.0, 45.1, 31.0))
    assert not list(taken_again([first, alike], model))
    (told,) = taken_again([first, other], model)
    assert "45 µF, and then 31 µF. The later one counts." in told.text
    assert not list(taken_again([first, Outcome(card, None)], model))
