"""A wiring label typed as a list gives the circuit that it tells, and nothing else.

Outside check: none exists for reading a label; the list of each shipped arrangement is read back
and both are solved, in every situation that a unit is held to.
"""

from __future__ import annotations

import numpy as np
import pytest
from tests.wide import WIDE, some

from rungwise.circuit import Plan, load_states, situations_of
from rungwise.errors import BadInput
from rungwise.files import Document
from rungwise.parts import Does
from rungwise.shaping import (
    Candidate,
    LabelUnit,
    chosen,
    label_of,
    portrait_of,
    read_label,
    shipped_candidates,
)
from rungwise.unit import ARRANGEMENTS, Unit, arrangement, unit_from

TYPED = """\
1. CC L1, black, disconnect load 1
2. CC L2, red, disconnect load 2
CC T1; rd; comp R
CC T2 bk comp C
cap H -> bu -> comp S
cap C, pu, CC T1
cap C, white, OFM R
cap F, br, OFM S
OFM C, yellow/black, CC T2
CC L1, or, CCH
CC L2, or, CCH
# the control wiring
Y, ye, HPS
HPS, ye, LPS
LPS, ye, CC A1
C, bu, CC coil 2
"""
"""As somebody types it who stands in the sun."""


def by_answers(**told: str) -> tuple[Candidate, ...]:
    choice = chosen({"sort": "cooling", **told})
    return (Candidate(choice.start.name, choice.unit, choice.start.base), *choice.alike)


def typed(text: str = TYPED, poles: str = "2") -> LabelUnit:
    return read_label(text, by_answers(poles=poles), settled=("poles",))


def nets(unit: Unit) -> set[frozenset[str]]:
    return {frozenset({wire.start, wire.end}) for wire in unit.wires}


WHOLE = some(ARRANGEMENTS, "one_pole_heater", "air_handler_fan_board")
"""Whose whole list is held against every arrangement, which takes seconds each: all of them with
RUNGWISE_WIDE=1."""
OUTDOOR = ARRANGEMENTS if WIDE else ARRANGEMENTS[::8]
READ = [*((name, ("outdoor",)) for name in OUTDOOR), *((name, ()) for name in WHOLE)]


@pytest.mark.parametrize(("name", "places"), READ)
def test_the_list_of_an_arrangement_reads_back_as_a_unit_that_solves_alike(
    name: str, places: tuple[str, ...]
) -> None:
    """Of the outdoor cabinet's list alone the rest is the arrangement's that it is held against."""
    held = next(each for each in shipped_candidates() if each.name == name)
    every = shipped_candidates() if not places else (held,)
    read = read_label(label_of(held.unit, places), (held, *every), settled=("poles",))
    assert read.unusual == read.cut == ()
    made = unit_from(Document(read.text, file="label.toml"), name="label")
    assert nets(made) == nets(held.unit)
    situations = situations_of(held.unit)
    meant, got = (load_states(Plan(unit), situations) for unit in (held.unit, made))
    order = [got.loads.index(part) for part in meant.loads]
    assert np.array_equal(got.code[:, order], meant.code)
    assert got.amount[:, order] == pytest.approx(meant.amount, rel=1e-6, abs=1e-6)


def test_a_label_in_the_trade_s_short_words_gives_the_unit_that_it_draws() -> None:
    """Two poles, the heater across the line, always on: the arrangement has no heater."""
    read = typed()
    assert frozenset({"contactor.L1", "heater.1"}) in nets(read.unit)
    assert frozenset({"contactor.L2", "heater.2"}) in nets(read.unit)
    assert read.cut == ()
    assert [line for line in read.unusual if "crankcase heater" in line]
    told = portrait_of(read.unit, read.start.unit)
    assert told.whole
    calling = next(each for each in told.doings if "cooling" in each.when)
    assert calling.loads["compressor"] is calling.loads["fan"] is Does.RUNS
    assert calling.loads["heater"] is Does.HEATS
    assert told.odd == ("The crankcase heater heats while the compressor runs: watts for nothing.",)


def test_a_label_that_names_the_poles_needs_no_answer() -> None:
    one, two = (
        read_label(TYPED.replace("CC L1, black", f"{words} contactor L1, black"),
                   shipped_candidates())
        for words in ("1-pole", "two-pole")
    )  # fmt: skip
    assert [each.unit.part("contactor").kind[-2:] for each in (one, two)] == ["1p", "2p"]


@pytest.mark.parametrize(
    ("old", "new", "what", "offer"),
    [
        ("comp R", "comp X", "The compressor has no terminal 'x'", "compressor C"),
        ("cap H", "capacitr H", "No part is called that", "capacitor"),
        ("bk comp", "mauve, comp", "two ends and a color", "contactor L1"),
        ("black", "blak", "No color of a wire", "black"),
        ("Y, ye, HPS", "Y, ye, pressure switch", "one of several parts", "whole name"),
        ("CC L2, or, CCH", "CC L1, or, CCH 1", "has this wire already", "take one"),
        ("CC L2, or, CCH", "CC L2, or, CC L2", "on the same terminal", "compare"),
        ("HPS, ye, LPS", "OFM, ye, LPS", "which terminal of the outdoor fan motor", "C"),
        ("LPS, ye, CC A1", "LPS, ye, CC A1, CC A2", "two ends and a color", "contactor L1"),
        (TYPED, "\n# nothing\n", "list of wires is empty", "one wire a line"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_is_near(
    old: str, new: str, what: str, offer: str
) -> None:
    with pytest.raises(BadInput) as refused:
        typed(TYPED.replace(old, new, 1))
    assert what in refused.value.what
    assert offer in (refused.value.next_step or "")


def test_a_contactor_of_untold_poles_is_not_taken_for_either() -> None:
    with pytest.raises(BadInput, match="how many poles"):
        read_label(TYPED, shipped_candidates())


@pytest.mark.parametrize(
    ("gone", "missing"),
    [
        ("CC T1; rd; comp R\n", "compressor R"),
        ("C, bu, CC coil 2\n", "two-pole contactor coil 2"),
        ("cap F, br, OFM S\n", "outdoor fan motor S"),
    ],
)
def test_a_line_left_out_is_missed_and_its_load_told_to_be_dead(gone: str, missing: str) -> None:
    read = typed(TYPED.replace(gone, ""))
    told = portrait_of(read.unit, read.start.unit)
    assert not told.whole
    assert [line for line in (*told.missing, *read.cut) if missing in line]
    assert told.lost


def test_a_wire_on_another_terminal_than_the_arrangement_s_is_called_unusual() -> None:
    read = typed(TYPED.replace("CC T1; rd; comp R", "CC T1; rd; comp S"))
    assert [e for e in read.unusual if "T1 and compressor S: joined here" in e]
    assert [e for e in read.unusual if "T1 and compressor R: apart here" in e]


def test_whatever_the_arrangement_gave_is_said() -> None:
    read = typed()
    assert "control transformer" in read.taken[0]
    assert "compressor" not in read.taken[0]
    assert arrangement(read.start.name).part("transformer") == read.unit.part("transformer")
