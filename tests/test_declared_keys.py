"""One declaration of a key: what its reader takes its schema takes, and the other way about."""

from __future__ import annotations

import datetime as dt
from itertools import product
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from rungwise.diagnosis.call_file import call_schema
from rungwise.errors import BadCallFile
from rungwise.files.declared import Row, key
from rungwise.files.document import Document
from rungwise.files.key_dates import Date, Dates
from rungwise.files.keys import (
    Flag,
    Key,
    Many,
    Measured,
    Named,
    Number,
    One,
    Only,
    Shown,
    Text,
    TextBy,
    Texts,
    TwoNumbers,
    object_schema,
    read_keys,
)  # fmt: skip
from rungwise.maintenance.shop_file import shop_schema
from rungwise.replacement.candidate_file import candidate_schema
from rungwise.rewiring.wires_rows import wires_schema
from rungwise.unit.unit_file import unit_schema


class Inner(Row, what="a table in the table"):
    """One key that must be there, under a name that the language keeps for itself."""

    start: str = key(Text("where it starts", needed=True), called="from")


KEYS: dict[str, Key] = {
    "text": Text("a text"),
    "choice": Text("one of two", choices=("in", "out")),
    "needed": Text("a text that must be there", needed=True),
    "only": Only("one text", value="in"),
    "texts": Texts("texts"),
    "choices": Texts("texts of two", choices=("in", "out")),
    "number": Number("volts", unit="V", low=0.0, high=600.0),
    "plain": Number("a share", low=0.0, high=1.0),
    "two": TwoNumbers("rated volts", unit="V", low=100.0, high=600.0, subject="rated volts"),
    "measured": Measured("a reading"),
    "shown": Shown("a reading"),
    "flag": Flag("yes or no"),
    "date": Date("a day"),
    "dates": Dates("days"),
    "one": One(row=Inner),
    "many": Many("tables", row=Inner),
    "named": Named("names", each=Texts(needed=True)),
    "known": Named("known names", each=Texts(needed=True), known=("L1", "T1"),
                   stranger="There is no terminal"),
}  # fmt: skip
VALUES: tuple[Any, ...] = (
    "in", "sideways", 0.5, 240, 1e9, -1, True, [], ["in"], ["up"], [1], {}, {"from": "L1"},
    {"from": 3}, {"L1": ["tab"]}, {"T9": ["tab"]}, [{"from": "L1"}], [{}],
)  # fmt: skip
JUDGED_BY_THE_READER = {"number", "plain", "two", "date", "dates"}
"""Of a text under these the schema knows at most how it begins."""


def reads(keys: dict[str, Key], values: dict[str, Any]) -> bool:
    """Whether the reader takes these values."""
    try:
        read_keys(Document.of_values(values, file="call.toml", error=BadCallFile).root, keys)
    except BadCallFile:
        return False
    return True


def fits(keys: dict[str, Key], values: dict[str, Any]) -> bool:
    """Whether the schema takes them."""
    return Draft202012Validator(object_schema(keys)).is_valid(values)


@pytest.mark.parametrize("name", [each for each in KEYS if each != "measured"])
def test_reader_and_schema_take_the_same(name: str) -> None:
    keys = {name: KEYS[name]}
    for value in VALUES:
        texts = isinstance(value[0] if value and isinstance(value, list) else value, str)
        if not (texts and name in JUDGED_BY_THE_READER):
            assert fits(keys, {name: value}) is reads(keys, {name: value}), value


def test_days_are_read_as_days_and_as_texts() -> None:
    day = dt.date(2025, 7, 14)
    for value in (day, "2025-07-14", dt.datetime(2025, 7, 14, 9, 30)):  # noqa: DTZ001  # as TOML
        root = Document.of_values({"date": value, "dates": [value]}, file="call.toml").root
        found = read_keys(root, {name: KEYS[name] for name in ("date", "dates")})
        assert found == {"date": day, "dates": (day,)}


def test_a_key_that_must_be_there_is_missed_by_both() -> None:
    for name, each in KEYS.items():
        assert reads({name: each}, {"other": 1}) is False
        missing: dict[str, Any] = {}
        document = Document.of_values(missing, file="call.toml", error=BadCallFile)
        if each.needed:
            with pytest.raises(BadCallFile, match=f"no {name}"):
                each.read(document.root, name)
        else:
            each.read(document.root, name)
        assert fits({name: each}, missing) is not each.needed


@pytest.mark.parametrize(("kind", "mode"), list(product(("can", "coil"), ("open", "weak"))))
def test_choices_may_follow_from_another_key(kind: str, mode: str) -> None:
    keys: dict[str, Key] = {
        "kind": Text(needed=True, choices=("can", "coil")),
        "mode": TextBy(by="kind", by_text={"can": ("weak", "open"), "coil": ("open",)}),
    }
    allowed = (kind, mode) != ("coil", "weak")
    assert reads(keys, {"kind": kind, "mode": mode}) is allowed
    assert fits(keys, {"kind": kind, "mode": mode}) is allowed


def test_a_row_keeps_its_table_and_tells_where_it_stands() -> None:
    text = '[[wires]]\nfrom = "L1"\n[[wires]]\nfrm = "T1"\n'
    document = Document(text, file="call.toml", error=BadCallFile)
    first, second = document.root.tables("wires")
    assert Inner.read(first).start == "L1"
    with pytest.raises(BadCallFile, match="rename frm on line 4 to from"):
        Inner.read(second)


@pytest.mark.parametrize(
    "made", [unit_schema, call_schema, candidate_schema, wires_schema, shop_schema]
)
def test_every_schema_is_one(made: Any) -> None:
    Draft202012Validator.check_schema(made())
