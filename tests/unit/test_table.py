"""A table is read key by key, and every refusal names file, line, key, range and next step."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from tests.unit.maple import document, refusal, table

from rungwise.files.table import Table


def test_a_table_gives_each_kind_of_value() -> None:
    contactor = document().root.table("parts").table("contactor")
    assert contactor.number("coil_resistance_ohm", unit="Ω", low=5, high=200) == 14
    assert contactor.number("poles", unit="") == 1
    assert contactor.flag("marked") is True
    assert contactor.text("side note") == "x"
    assert contactor.value("run") == {"volts": 240}
    assert "poles" in contactor
    assert list(contactor)[:2] == ["coil_resistance_ohm", "poles"]
    contactor.done()


def test_tables_come_in_the_order_of_the_file_or_by_name() -> None:
    root = document().root
    assert [wire.text("to") for wire in root.tables("wires")] == ["compressor.C", "compressor.R"]
    assert [wire.name for wire in root.tables("wires")] == ["wires[1]", "wires[2]"]
    assert list(root.table("parts")) == ["contactor", "capacitor"]


def test_missing_tables_may_be_allowed() -> None:
    root = table("a = 1\n")
    assert root.tables("wires") == ()
    assert list(root.table("nameplate", required=False)) == []
    assert "no nameplate" in refusal(lambda: root.table("nameplate")).what


def test_defaults_stand_in_for_missing_keys_and_for_empty_texts() -> None:
    root = table('empty = "  "\nx = 1\n')
    assert root.text("empty", default=None) is None
    assert root.text("a", default="b") == "b"
    assert root.number("b", unit="V", default=None) is None
    assert root.flag("c", default=False) is False
    assert root.strings("d", default=()) == ()
    assert root.value("e", default=3) == 3


def test_texts_are_trimmed_and_lists_of_texts_read() -> None:
    root = table('a = " x "\nb = ["p ", "q"]\n')
    assert root.text("a") == "x"
    assert root.strings("b", choices=["p", "q"]) == ("p", "q")


def test_readings_may_be_open_or_not_taken() -> None:
    root = table('a = "OL"\nb = "can\'t reach"\nc = 27\nd = "27 A"\n')
    assert root.reading("a", unit="Ω") == math.inf
    assert root.reading("b", unit="V") is None
    assert root.reading("c", unit="V") == 27
    error = refusal(lambda: root.reading("d", unit="V", what="volts across the coil"))
    assert "Volts across the coil is asked in volts (V), and '27 A' is a current" in error.what
    assert (error.line, error.key) == (4, "d")
    assert "can't reach" in str(error.allowed)
    assert "no e" in refusal(lambda: root.reading("e", unit="V")).what


def test_a_value_out_of_range_names_file_line_key_value_range_and_next_step() -> None:
    root = table("[supplies.house]\n# two legs\nvolts_v = 24\n")
    house = root.table("supplies").table("house")
    error = refusal(lambda: house.number("volts_v", unit="V", low=200, high=260))
    assert error.fields() == {
        "what": "Volts: 24 V is too low.",
        "file": "maple.toml",
        "line": 3,
        "key": "supplies.house.volts_v",
        "value": "24 V",
        "allowed": "200 to 260 V",
        "next_step": "did you mean 240 V?",
    }


@pytest.mark.parametrize("typed", ['"45 F"', "0.000045"])
def test_microfarads_typed_as_farads_are_refused_with_a_guess(typed: str) -> None:
    root = table(f"herm_uf = {typed}\n")
    error = refusal(lambda: root.number("herm_uf", unit="µF", low=1, high=200))
    assert error.value in ("45 F", "0.000045 µF")
    assert (error.line, error.allowed) == (1, "1 to 200 µF")
    assert error.next_step == "did you mean 45 µF?"


def test_a_missing_key_names_the_table_what_is_allowed_and_a_key_like_it() -> None:
    root = table("[parts.contactor]\ncoil_resistence_ohm = 14\n")
    contactor = root.table("parts").table("contactor")
    error = refusal(lambda: contactor.number("coil_resistance_ohm", unit="Ω", low=5, high=200))
    assert error.what == "Parts.contactor has no coil_resistance_ohm."
    assert (error.line, error.key, error.allowed) == (1, "parts.contactor", "5 to 200 Ω")
    assert "rename coil_resistence_ohm on line 2" in str(error.next_step)
    assert "write kind = ..." in str(refusal(lambda: contactor.text("kind")).next_step)


@pytest.mark.parametrize(
    ("act", "kind"),
    [
        (lambda root: root.number("flag", unit="V"), "a number, and this is true or false"),
        (lambda root: root.number("date", unit=""), "a number, and this is a date or time"),
        (lambda root: root.reading("list", unit="V"), "a number, and this is a list"),
        (lambda root: root.text("number"), "a text, and this is a number"),
        (lambda root: root.text("sub"), "a text, and this is a table"),
        (lambda root: root.flag("text"), "true or false, and this is a text"),
        (lambda root: root.strings("text"), "a list of texts, and this is a text"),
        (lambda root: root.strings("list"), "a list of texts, and this is a list"),
        (lambda root: root.table("list"), "a table, and this is a list"),
        (lambda root: root.tables("sub"), "a list of tables, and this is a table"),
        (lambda root: root.tables("list"), "a list of tables, and this is a list"),
    ],
)
def test_a_value_of_the_wrong_kind_is_refused_with_its_place_and_advice(
    act: Callable[[Table], object], kind: str
) -> None:
    root = table(
        'flag = true\ndate = 2024-07-01\nlist = ["a", 1]\nnumber = 4512\ntext = "yes"\n[sub]\n'
    )
    error = refusal(lambda: act(root))
    assert f"must be {kind}" in error.what
    assert error.line == document(root.document.text).line_of((str(error.key),))
    assert None not in (error.line, error.value, error.allowed, error.next_step)


def test_a_number_where_a_text_is_asked_is_shown_in_quotes() -> None:
    error = refusal(lambda: table("serial = 4512\n").text("serial"))
    assert error.next_step == 'put it in quotes: serial = "4512"'


def test_a_text_outside_the_choices_names_them_and_the_nearest() -> None:
    root = table('[[wires]]\ncolour = "blak"\nends = ["ring", "pusch"]\n')
    wire = root.tables("wires")[0]
    error = refusal(lambda: wire.text("colour", choices=["black", "red"]))
    assert (error.line, error.key, error.value) == (2, "wires[1].colour", "blak")
    assert (error.allowed, error.next_step) == ("black, red", "did you mean black?")
    error = refusal(lambda: wire.strings("ends", choices=["ring", "push"]))
    assert (error.key, error.next_step) == ("wires[1].ends[2]", "did you mean push?")
    error = refusal(lambda: wire.text("colour", choices=["red", "tan"]))
    assert error.next_step == "write one of those"


def test_a_key_that_nobody_asked_for_is_refused_with_the_nearest() -> None:
    root = table('name = "x"\n\ncolor = "red"\n')
    root.text("name")
    root.text("colour", default=None)
    error = refusal(root.done)
    assert error.what == "'color' means nothing in the file."
    assert (error.line, error.key, error.value) == (3, "color", "red")
    assert (error.allowed, error.next_step) == ("name, colour", "did you mean colour?")


def test_a_key_far_from_all_is_to_be_taken_out() -> None:
    root = table("name = 1\nzzz = 2\n")
    root.value("name")
    assert refusal(root.done).next_step == "take it out"


def test_a_long_value_is_shown_cut_short() -> None:
    error = refusal(lambda: table(f'a = "{"x" * 5000}"\n').flag("a"))
    assert len(str(error)) < 300


def test_a_caller_can_refuse_a_key_or_a_table_in_its_own_words() -> None:
    wire = document().root.tables("wires")[1]
    error = wire.bad("to", what="There is no such terminal.", value="x", allowed="C, R, S")
    assert (error.file, error.line, error.key) == ("maple.toml", 29, "wires[2].to")
    assert wire.bad(what="Both ends are the same.").line == 27


def test_keys_that_need_quotes_are_shown_with_them() -> None:
    root = table('["side notes"]\n"a.b" = 1\n')
    notes = root.table("side notes")
    assert notes.bad("a.b", what="x").key == '"side notes"."a.b"'
