"""A file for people: every value with its line, every refusal with its place, no text lost."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st
from tests.unit.maple import MAPLE, document, refusal

from rungwise.errors import BadCallFile, BadUnitFile
from rungwise.files.document import Document
from rungwise.files.key_lines import KeyPath, find_key_lines

KEYS = st.text(st.sampled_from('abc-_.# "é'), min_size=1, max_size=4)
SCALARS = (
    st.booleans()
    | st.integers(-(10**6), 10**6)
    | st.floats(-1e6, 1e6)
    | st.text(st.sampled_from("ab\"'#=[]{}\n\\ é,"), max_size=8)
    | st.datetimes()
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(KEYS, inner, max_size=3)
        | st.lists(st.dictionaries(KEYS, inner, max_size=2), min_size=1, max_size=3)
    ),
    max_leaves=12,
)
FILES = st.dictionaries(KEYS, VALUES, min_size=1, max_size=4)


def every_path(data: Any, path: KeyPath = ()) -> Iterator[KeyPath]:
    if path:
        yield path
    pairs = data.items() if isinstance(data, dict) else enumerate(data)
    for step, inner in pairs:
        if isinstance(inner, dict | list):
            yield from every_path(inner, (*path, step))
        else:
            yield (*path, step)


# --- reading the file -------------------------------------------------------------------------


def test_reading_gives_plain_values_and_leaves_the_file_alone(tmp_path: Path) -> None:
    path = tmp_path / "maple.toml"
    path.write_text(MAPLE, encoding="utf-8")
    read = Document.read(path)
    assert read.data == tomllib.loads(MAPLE)
    assert (read.text, read.file) == (MAPLE, str(path))
    assert path.read_text(encoding="utf-8") == MAPLE


def test_a_byte_order_mark_is_not_part_of_the_first_key(tmp_path: Path) -> None:
    path = tmp_path / "maple.toml"
    path.write_bytes(b"\xef\xbb\xbfname = 1\n")
    assert Document.read(path).data == {"name": 1}


def test_a_missing_file_is_refused_with_the_nearest_name(tmp_path: Path) -> None:
    (tmp_path / "maple.toml").write_text(MAPLE, encoding="utf-8")
    error = refusal(lambda: Document.read(tmp_path / "mapel.toml"))
    assert error.what == "There is no such file."
    assert error.file == str(tmp_path / "mapel.toml")
    assert error.next_step == "did you mean maple.toml?"
    far = refusal(lambda: Document.read(tmp_path / "away" / "oak.toml"))
    assert far.next_step == "check the name and the folder"


def test_a_folder_is_refused(tmp_path: Path) -> None:
    assert "folder" in refusal(lambda: Document.read(tmp_path)).what


@pytest.mark.parametrize("name", ["a\0b", "x" * 5000])
def test_an_impossible_name_is_refused(name: str) -> None:
    assert "cannot be read" in refusal(lambda: Document.read(name)).what


def test_what_is_no_file_is_refused() -> None:
    assert "not a file to read from" in refusal(lambda: Document.read("/dev/null")).what


def test_a_file_over_the_limit_is_refused_with_both_sizes(tmp_path: Path) -> None:
    path = tmp_path / "big.toml"
    path.write_bytes(b"a = 1\n" + b"#" * 10_000_000)
    error = refusal(lambda: Document.read(path))
    assert error.value == "10,000,006 bytes"
    assert error.allowed == "at most 1,000,000 bytes"
    assert Document.read(path, limit_bytes=10_000_006).data == {"a": 1}


def test_another_encoding_is_refused_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "maple.toml"
    path.write_bytes("a = 1\nb = 'café'\n".encode("latin-1"))
    error = refusal(lambda: Document.read(path))
    assert (error.line, error.value) == (2, "byte 0xe9")
    assert "UTF-8" in str(error.next_step)


@pytest.mark.parametrize(("text", "why"), [("", "empty"), (" \n\t\n", "empty"), ("# a\n", "comm")])
def test_a_file_with_nothing_in_it_is_refused(text: str, why: str) -> None:
    assert why in refusal(lambda: document(text)).what


@pytest.mark.parametrize(
    ("text", "line", "value", "next_step"),
    [
        ("x = 1\na = 45 µF\n", 2, "a = 45 µF", 'a number with a unit needs quotes: a = "45 µF"'),
        ("a = 24 V # up\n", 1, "a = 24 V # up", 'a number with a unit needs quotes: a = "24 V"'),
        ("a = 0,4\n", 1, "a = 0,4", 'write the number with a point, or in quotes: a = "0,4"'),
        ("a = one pole\n", 1, "a = one pole", 'a text needs quotes: a = "one pole"'),
        ("a = True\n", 1, "a = True", "write true or false in small letters; a text needs quotes"),
        ("a =\n", 1, "a =", "write a value after a ="),
        ("kind contactor\n", 1, "kind contactor", "write it as key = value"),
        ("a = 1\na = 2\n", 2, "a = 2", "this key or table stands twice; take one of them out"),
        ("[a]\n[b]\n[a]\n", 3, "[a]", "this key or table stands twice; take one of them out"),
        ('a = "x\n', 1, 'a = "x', "fix this line"),
        ("[a\n", 1, "[a", "fix this line"),
        ("\n\na = [1,\n", 3, "a = [1,", "fix this line"),
        ("a = 1.5.3\n", 1, "a = 1.5.3", "fix this line"),
    ],
)
def test_broken_toml_is_refused_with_its_line_and_what_to_write(
    text: str, line: int, value: str, next_step: str
) -> None:
    error = refusal(lambda: document(text))
    assert (error.file, error.line, error.value) == ("maple.toml", line, value)
    assert f"line {line}" in error.what
    assert str(error.next_step).startswith(next_step)


def test_broken_toml_names_the_column() -> None:
    assert "line 2 at column 9:" in refusal(lambda: document("x = 1\na = 4.5 V\n")).what


@pytest.mark.parametrize(
    ("text", "why"),
    [("a = " + "[" * 5000 + "]" * 5000, "nested"), ("a = " + "9" * 5000, "thousands of digits")],
)
def test_toml_beyond_measure_is_refused(text: str, why: str) -> None:
    assert why in refusal(lambda: document(text)).what


def test_a_call_file_complains_as_a_call_file(tmp_path: Path) -> None:
    with pytest.raises(BadCallFile):
        Document.read(tmp_path / "call.toml", error=BadCallFile)
    with pytest.raises(BadCallFile):
        document("a = ", BadCallFile)
    with pytest.raises(BadCallFile):
        document("a = 1", BadCallFile).root.text("b")


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        read = document(text)
    except BadUnitFile as error:
        assert error.file == "maple.toml"  # noqa: PT017  # either outcome is right
    else:
        assert read.data == tomllib.loads(text)


# --- where things stand -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 2), (("notes",), 3), (("parts",), 8), (("parts", "contactor"), 8),
        (("parts", "contactor", "coil_resistance_ohm"), 10),
        (("parts", "contactor", "side note"), 13), (("parts", "contactor", "run", "volts"), 14),
        (("parts", "capacitor", "sections"), 17), (("parts", "capacitor", "sections", 0), 18),
        (("parts", "capacitor", "sections", 1), 19),
        (("parts", "capacitor", "sections", 2, "uf"), 20),
        (("parts", "capacitor", "sections", 2, "at", 1), 20),
        (("wires",), 23), (("wires", 0), 23), (("wires", 0, "to"), 25), (("wires", 1), 27),
        (("wires", 1, "from"), 28), (("wires", 1, "joints", "far", "kind"), 30),
        (("wires", 1, "photos", 1), 33), (("wires", 1, "photos", 1, "file"), 34),
    ],
)  # fmt: skip
def test_every_key_has_its_line(path: KeyPath, line: int) -> None:
    assert document().line_of(path) == line


def test_what_is_not_there_has_the_line_of_the_table_around_it() -> None:
    assert document().line_of(("parts", "contactor", "coil_volts")) == 8
    assert document().line_of(("wires", 1, "colour")) == 27
    assert document().line_of(("nothing",)) is None
    assert document().line_of(()) is None


def test_a_table_stands_at_its_own_header_rather_than_at_that_of_a_sub_table() -> None:
    assert find_key_lines("[a.b]\n[a]\nc = 1\n") == {("a",): 2, ("a", "b"): 1, ("a", "c"): 3}


@pytest.mark.parametrize(
    "text",
    [
        'a = """x""""\nb = 1', "a = '''x''''\nb = 1", 'a = "\\""\nb = 1', "a = '\\'\nb = 1",
        "a = 1979-05-27 07:32:00\nb = 1", 'a = """\\\n"""\nb = 1', "a = [[1], [2,],]\nb = 1",
        "a = [ # ]\n]\nb = 1", "a = {}\r\nb = 1", '"a\\u0062" = 1\nb = 1', "a . 'x' = 1\nb = 1",
    ],
)  # fmt: skip
def test_strings_dates_and_brackets_do_not_hide_the_next_key(text: str) -> None:
    assert document(text).line_of(("b",)) == text[: text.rindex("b")].count("\n") + 1
    assert set(every_path(tomllib.loads(text))) <= set(find_key_lines(text))


@given(FILES)
def test_every_value_of_any_file_has_a_line_with_its_key(data: dict[str, Any]) -> None:
    text = tomlkit.dumps(data)
    lines = find_key_lines(text)
    rows = text.split("\n")
    for path in every_path(tomllib.loads(text)):
        if isinstance(path[-1], str) and path[-1].isalpha():
            assert path[-1] in rows[lines[path] - 1]
        assert path in lines


# --- changing a value -------------------------------------------------------------------------


def test_a_changed_value_leaves_every_other_line_as_it_was() -> None:
    after = document().with_value(("parts", "contactor", "coil_resistance_ohm"), 12.5)
    changed = [
        pair for pair in zip(MAPLE.split("\n"), after.split("\n"), strict=True) if len({*pair}) > 1
    ]
    assert changed == [
        ('coil_resistance_ohm = "14 Ω"  # good', "coil_resistance_ohm = 12.5  # good")
    ]


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("wires", 1, "to"), "compressor.S"), (("wires", 2), {"from": "a", "to": "b"}),
        (("wires", 2, "from"), "a"), (("readings", 0), {"check": "coil", "value": "27 V"}),
        (("readings", 0, "check"), "coil"), (("parts", "fan", "volts"), 240), (("town",), "Hollow"),
        (("parts", "capacitor", "sections", 3), 7.5), (("tags", 0), "a"), (("new", "deep", "x"), 1),
        (("parts", "capacitor", "sections", 2, "uf"), 4), (("parts", "fan"), {"volts": 240}),
        (("wires", 1, "joints", "near"), {"kind": "ring"}), (("name",), ["a", "b"]),
    ],
)  # fmt: skip
def test_a_value_is_put_where_the_path_leads_and_nowhere_else(path: KeyPath, value: Any) -> None:
    wanted = put(copy.deepcopy(document().data), path, value)
    after = document().with_value(path, value)
    assert tomllib.loads(after) == wanted
    for comment in ("# The unit behind", "   # as on the door", "# measured", "# good", "# herm ]"):
        assert comment in after


def put(data: dict[str, Any], path: KeyPath, value: Any) -> dict[str, Any]:
    """The same change on plain data, for comparison."""
    node: Any = data
    for step, following in zip(path, (*path[1:], None), strict=True):
        inner = value if following is None else [] if isinstance(following, int) else {}
        if isinstance(node, list) and step == len(node):
            node.append(inner)
        elif following is None or (isinstance(node, dict) and step not in node):
            node[step] = inner
        node = node[step]
    return data


def test_a_new_reading_is_a_table_of_its_own_after_a_blank_line() -> None:
    after = document("a = 1\n").with_value(("readings", 0), {"check": "coil", "value": 27})
    assert after == 'a = 1\n\n[[readings]]\ncheck = "coil"\nvalue = 27\n'


@pytest.mark.parametrize(
    "path",
    [
        ("wires", 5, "from"),
        ("wires", 0),
        ("wires", 2),
        ("name", "x"),
        ("name", 0),
        ("wires", "from"),
        ("parts", 0),
    ],
)
def test_a_path_that_leads_nowhere_is_refused(path: KeyPath) -> None:
    error = refusal(lambda: document().with_value(path, "x"))
    assert "cannot be written" in error.what
    assert error.key is not None


def test_a_change_that_would_stray_from_its_place_is_refused_or_made_right() -> None:
    """The TOML writer would put the first at the top as [a.b.d], which is another key."""
    error = refusal(lambda: document("[p]\na.b.c = 1\n").with_value(("p", "a", "b", "d"), {"e": 1}))
    assert error.next_step == "write it there by hand"
    inline = document("x = {a = 1}\n").with_value(("x", "b", 0), {"c": 1})
    assert tomllib.loads(inline) == {"x": {"a": 1, "b": [{"c": 1}]}}
    apart = document("[a.b]\nx = nan\n[c]\n[a.d]\ny = 1\n").with_value(("a", "e", "f"), 0.5)
    assert tomllib.loads(apart)["a"]["e"] == {"f": 0.5}


@pytest.mark.parametrize("value", [None, object(), {"a": None}])
def test_a_value_of_no_kind_that_toml_has_is_refused(value: object) -> None:
    assert "cannot be written" in refusal(lambda: document().with_value(("name",), value)).what


def test_a_file_from_windows_stays_one() -> None:
    text = 'a = 1 # one\r\n\r\n[b]\r\nc = "x"\r\n'
    after = document(text).with_value(("readings", 0), {"check": "coil"})
    assert after == text + '\r\n[[readings]]\r\ncheck = "coil"\r\n'


@given(FILES, st.data())
def test_any_value_of_any_file_can_be_changed(data: dict[str, Any], draw: st.DataObject) -> None:
    read = document(tomlkit.dumps(data))
    path = draw.draw(st.sampled_from(list(every_path(read.data))))
    value = draw.draw(st.sampled_from(["changed", 7, ["a", 1], {"b": "c"}]))
    wanted = put(copy.deepcopy(read.data), path, value)
    try:
        after = read.with_value(path, value)
    except BadUnitFile:
        # only one of [[tables]] cannot become something else
        assert isinstance(path[-1], int)
        assert not isinstance(value, dict)
    else:
        assert tomllib.loads(after) == wanted


@pytest.mark.parametrize(
    "text",
    [
        ".".join("a" * 5000) + " = 1",
        "[" + ".".join("a" * 5000) + "]\nb = 1",
        "a = " + "[" * 5000 + "]" * 5000,
        "a = " + "{b = " * 3000 + "1" + "}" * 3000,
    ],
    ids=["dotted key", "dotted table", "arrays", "inline tables"],
)
def test_nesting_that_no_file_of_ours_needs_is_refused_in_words(text: str) -> None:
    with pytest.raises(BadUnitFile, match="nested too deep"):
        Document(text, file="deep.toml")
