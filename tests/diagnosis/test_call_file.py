"""A call file gives what was typed, each outcome in its check's unit, and the place of each."""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path

import pytest

from rungwise.diagnosis.call_file import Call, call_schema, read_call
from rungwise.diagnosis.chips import CHIPS
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.errors import BadCallFile, BadReading, UnknownName

CHECKS = (
    CheckCard(
        "look-plunger",
        "is it pulled in?",
        "choice",
        ("yes", "no", "chattering"),
        quantity="look:plunger",
    ),
    CheckCard("volts-coil", "volts on the coil", unit="V"),
    CheckCard("ohms-coil", "ohms of the coil", unit="Ω"),
    CheckCard("uf-herm", "microfarads", unit="µF"),
)
FULL = """
unit = "two_pole_plain"
title = "No cooling"
customer = "A. Pell"
technician = "R. Amari"
date = 2026-07-03
suspected = "contactor"
wires = "wires-02-contactor-left.toml"
shop = "shop.toml"
installed = 2014-06-01
complaint = ["ice", "after_storm"]
[symptoms]
plunger = "Out"
[fitted]
file = "van-stock.toml"
name = "two-pole 30 A"
[proof]
repaired = ["contactor"]
[paper]
invoice = "2026-17"
done = ["We fitted a contactor.", "We cleaned the cabinet."]
[[readings]]
check = "volts-coil"
value = "26,4 V"
note = "on the tabs"
[[readings]]
check = "ohms-coil"
value = "OL"
[[readings]]
check = "uf-herm"
value = 44.1
[[readings]]
check = "look-plunger"
value = "-"
"""


def call(tmp_path: Path, text: str) -> Call:
    file = tmp_path / "call.toml"
    file.write_text(text, encoding="utf-8")
    return read_call(file)


def test_everything_written_is_read(tmp_path: Path) -> None:
    made = call(tmp_path, FULL)
    assert (made.shop, made.installed) == ("shop.toml", dt.date(2014, 6, 1))
    assert (made.paper.invoice, made.paper.done[1]) == ("2026-17", "We cleaned the cabinet.")
    assert (made.title, made.customer, made.technician) == ("No cooling", "A. Pell", "R. Amari")
    assert made.date == dt.date(2026, 7, 3)
    assert made.suspected_among(["fan", "contactor"]) == "contactor"
    assert made.unit().arrangement == "two_pole_plain"
    assert made.unit_path is None
    assert made.complaint == ("after_storm", "ice")


def test_outcomes_are_in_the_unit_of_their_check_and_in_order(tmp_path: Path) -> None:
    outcomes = call(tmp_path, FULL).outcomes(CHECKS)
    assert [(each.card.id, each.value) for each in outcomes] == [
        ("look-plunger", "no"),
        ("volts-coil", 26.4),
        ("ohms-coil", math.inf),
        ("uf-herm", 44.1),
        ("look-plunger", None),
    ]
    assert outcomes[1].note == "on the tabs"


def test_a_call_needs_nothing_but_its_unit(tmp_path: Path) -> None:
    made = call(tmp_path, 'unit = "two_pole_plain"\n')
    assert made.outcomes(CHECKS) == ()
    assert made.date is None
    assert made.suspected_among([]) is None


def test_a_unit_file_is_found_as_seen_from_the_call(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "units").mkdir()
    unit = tmp_path / "units" / "mill.toml"
    unit.write_text('arrangement = "two_pole_plain"\ntitle = "Mill"\n', encoding="utf-8")
    monkeypatch.chdir("/")
    made = call(tmp_path, 'unit = "units/mill.toml"\n')
    assert made.unit().title == "Mill"
    assert made.unit_path == unit


@pytest.mark.parametrize(
    ("text", "error", "line", "key"),
    [
        ('unit = "gone.toml"\n', BadCallFile, 1, "unit"),
        ('unit = "two_pole_plain"\ndate = "soon"\n', BadCallFile, 2, "date"),
        ('unit = "two_pole_plain"\n[[readings]]\ncheck = "volts-coil"\n', BadCallFile, 2, None),
        ('unit = "two_pole_plain"\ncomplaint = ["after_strom"]\n', BadCallFile, 2, None),
        ('unit = "two_pole_plain"\ncomplaint = "ice"\n', BadCallFile, 2, "complaint"),
        (
            'unit = "two_pole_plain"\ndate = 2020-01-01\ninstalled = 2026-01-01\n',
            BadCallFile,
            3,
            "installed",
        ),
    ],
)
def test_a_slip_of_form_has_its_place(
    text: str, error: type[BadCallFile], line: int, key: str | None, tmp_path: Path
) -> None:
    with pytest.raises(error) as caught:
        call(tmp_path, text).unit()
    assert caught.value.line == line
    assert key is None or caught.value.key == key
    assert caught.value.next_step


@pytest.mark.parametrize(
    ("reading", "error", "line"),
    [
        ('check = "volts-coil"\nvalue = "26 A"\n', BadReading, 4),
        ('check = "volts-coil"\nvalue = "2600 V"\n', BadReading, 4),
        ('check = "volts-coil"\nvalue = "OL"\n', BadReading, 4),
        ('check = "uf-herm"\nvalue = "45 F"\n', BadReading, 4),
        ('check = "look-plunger"\nvalue = "half in"\n', BadReading, 4),
        ('check = "volts-cool"\nvalue = 26\n', UnknownName, 3),
    ],
)
def test_a_reading_that_cannot_be_is_refused_with_its_line(
    reading: str, error: type[BadReading | UnknownName], line: int, tmp_path: Path
) -> None:
    made = call(tmp_path, f'unit = "two_pole_plain"\n[[readings]]\n{reading}')
    with pytest.raises(error) as caught:
        made.outcomes(CHECKS)
    assert caught.value.line == line
    assert caught.value.file == str(tmp_path / "call.toml")
    assert caught.value.allowed


def test_a_symptom_is_only_compared_with_what_can_be_seen(tmp_path: Path) -> None:
    made = call(tmp_path, 'unit = "two_pole_plain"\n[symptoms]\nplunge = "out"\n')
    with pytest.raises(UnknownName) as caught:
        made.outcomes(CHECKS)
    assert caught.value.allowed == "plunger"
    assert caught.value.matches == ("plunger",)


def test_a_complaint_that_is_not_known_is_refused_with_the_list(tmp_path: Path) -> None:
    with pytest.raises(BadCallFile) as caught:
        call(tmp_path, 'unit = "two_pole_plain"\ncomplaint = ["water", "after_strom"]\n')
    assert caught.value.value == "after_strom"
    assert caught.value.allowed == ", ".join(chip.id for chip in CHIPS)
    assert caught.value.next_step == "did you mean after_storm?"


def test_the_schema_lists_every_complaint() -> None:
    items = call_schema()["properties"]["complaint"]["items"]
    assert items["enum"] == [chip.id for chip in CHIPS]


def test_the_schema_knows_every_key_that_is_read(tmp_path: Path) -> None:
    known = set(call_schema()["properties"])
    assert set(call(tmp_path, FULL).document.data) == known
    items = call_schema()["properties"]["readings"]["items"]
    assert set(items["properties"]) == {"check", "value", "note"}
    proof = call_schema()["properties"]["proof"]["properties"]["readings"]["items"]
    assert set(proof["properties"]) == {"check", "value", "note", "amps", "volts"}
