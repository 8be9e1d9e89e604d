"""From the words on a nameplate or a part's label to its fields.

A plate names a line and tells its value behind the name, in the next column, or below it in a
table. Each name looks for its value in that order, and takes none that belongs to another name.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from rungwise.camera.label_names import DUAL, MISREAD, NAMES, REFRIGERANT, UF, LabelName, Value
from rungwise.camera.plate_checks import checked
from rungwise.camera.read_field import ReadField, field_from
from rungwise.camera.words import Row, Word, rows_of

SPACE, WIDE_SPACE = 0.65, 1.2
"""Of a letter's height: words of one cell stand no further apart, cells do; of a serial number,
whose groups are set apart, so far."""

FAR_BELOW = 3.2
"""Of a name's height: a value below it stands no further away."""

_ANY = re.IGNORECASE
_DIGITS = re.compile("[0-9]")
FAN_ROW = re.compile(r"\b(?:FAN|OFM|OUTDOOR\s?MOTOR|MOTOR)\b", _ANY)
COMPRESSOR_ROW = re.compile(r"\b(?:COMPRESSOR|COMPR?)\b", _ANY)


@dataclass(frozen=True)
class _Named:
    """A name found in a row. end: where in the row the name ends; stop: where the next
    name begins.
    """

    name: LabelName
    row: Row
    number: int
    start: int
    end: int
    stop: int

    @property
    def words(self) -> tuple[Word, ...]:
        """The words of the name."""
        return self.row.between(self.start, self.end)


def read_plate(words: Sequence[Word]) -> tuple[ReadField, ...]:
    """The fields of a unit's nameplate, by key of the unit file, the first reading of each.

    What is not among them was not found. A dual capacitor's label is the one field `herm_uf`.
    """
    rows = rows_of(words)
    found: dict[str, list[ReadField]] = {}
    for each in _fields(rows):
        found.setdefault(each.key, []).append(each)
    merged = {key: _one_of(fields) for key, fields in found.items()}
    return checked(merged)


def read_part(words: Sequence[Word]) -> tuple[ReadField, ...]:
    """The fields of a part's label: µF, volts, amps, coil, horsepower, speed, VA, as printed."""
    rows = rows_of(words)
    found: dict[str, list[ReadField]] = {}
    for each in (*_fields(rows), *_by_unit(rows)):
        key = {"fan_fla_a": "fla_a", "herm_uf": "uf"}.get(each.key, each.key)
        found.setdefault(key, []).append(replace(each, key=key))
    return tuple(_one_of(fields) for fields in found.values())


def _fields(rows: tuple[Row, ...]) -> Iterator[ReadField]:
    named = [each for number, row in enumerate(rows) for each in _names(row, number)]
    taken = {(each.number, word) for each in named for word in each.words}
    for each in named:
        value = _value_of(each, rows, taken)
        if value is not None:
            key = _key(each)
            yield field_from(key, value[0].printed, value[1], each.words, value[0].why)
    yield from _refrigerants(rows)
    yield from _duals(rows)


def _names(row: Row, number: int) -> Iterator[_Named]:
    """The names in a row: where two patterns meet, the longer one."""
    spans = sorted(
        ((found.start(), found.end(), name) for name in NAMES
         for found in name.pattern.finditer(row.printed)),
        key=lambda each: (each[0], each[0] - each[1]),
    )  # fmt: skip
    kept: list[tuple[int, int, LabelName]] = []
    for start, end, name in spans:
        if not kept or start >= kept[-1][1]:
            kept.append((start, end, name))
    if not kept:
        return
    stops = [*(start for start, _, _ in kept[1:]), len(row.printed)]
    for (start, end, name), stop in zip(kept, stops, strict=True):
        yield _Named(name, row, number, start, end, stop)


Found = tuple[Value, tuple[Word, ...]]


def _value_of(named: _Named, rows: tuple[Row, ...], taken: set[tuple[int, Word]]) -> Found | None:
    """The value behind a name, else before it, as in "60 HZ", else below it."""
    if _names_come_last(named.row):
        return _before(named)
    return _behind(named) or _before(named) or _below(named, rows, taken)


def _names_come_last(row: Row) -> bool:
    """Whether a row reads "30 FLA 150 LRA": a number before the first name, none after the last."""
    found = list(_names(row, 0))
    return bool(
        found
        and _DIGITS.search(row.printed[: found[0].start])
        and not _DIGITS.search(row.printed[found[-1].end :])
    )


def _before(named: _Named) -> Found | None:
    """The value that ends right before a name, where the name is its unit."""
    ahead = named.row.between(0, max(0, named.start - 1)) if named.start > 1 else ()
    for count in (3, 2, 1):
        words = ahead[-count:]
        printed = " ".join(each.printed for each in words)
        value = named.name.read(printed) if len(words) == count else None
        if value is not None and value.start == 0 and value.end == len(printed):
            return value, words
    return None


def _behind(named: _Named) -> Found | None:
    """The value behind a name on its own row."""
    printed = named.row.printed[named.end : named.stop]
    value = named.name.read(printed)
    if value is None:
        return None
    return value, named.row.between(named.end + value.start, named.end + value.end)


def _below(named: _Named, rows: tuple[Row, ...], taken: set[tuple[int, Word]]) -> Found | None:
    """The value below a name, in its column; none where a figure stands behind the name."""
    if not named.words or _DIGITS.search(named.row.printed[named.end : named.stop]):
        return None
    left, right = _cell(named)
    for number in range(named.number + 1, min(named.number + 3, len(rows))):
        row = rows[number]
        if row.middle - named.row.middle > FAR_BELOW * named.row.height * (number - named.number):
            return None
        wide = WIDE_SPACE if named.name.key in ("model", "serial") else SPACE
        column = _by_place(named, row) or _column(row, left, right, wide * row.height)
        if any((number, each) in taken for each in column):
            return None
        value = named.name.read(" ".join(each.printed for each in column)) if column else None
        if value is not None:
            return value, column
    return None


def _by_place(named: _Named, row: Row) -> tuple[Word, ...]:
    """The word at a name's place in a row of as many words as there are names above it."""
    names = list(_names(named.row, named.number))
    if len(names) < 2 or len(names) != len(row.words):
        return ()
    place = next(n for n, each in enumerate(names) if each.start == named.start)
    return (row.words[place],)


def _cell(named: _Named) -> tuple[float, float]:
    """Left and right of the cell that a name stands in: "COMPR. RLA" is one."""
    words = named.row.words
    first = words.index(named.words[0])
    while (
        first > 0
        and words[first].at[0] - words[first - 1].at[2] < SPACE * named.row.height
        and not _DIGITS.search(words[first - 1].printed)
    ):
        first -= 1
    return words[first].at[0], named.words[-1].at[2]


def _column(row: Row, left: float, right: float, near: float) -> tuple[Word, ...]:
    """The words of a row that stand below a name, with those that hang together with them."""
    inside = [
        number
        for number, each in enumerate(row.words)
        if min(each.at[2], right) - max(each.at[0], left)
        > 0.3 * min(each.at[2] - each.at[0], right - left)
    ]
    if not inside:
        return ()
    first, last = inside[0], inside[-1]
    while first > 0 and row.words[first].at[0] - row.words[first - 1].at[2] < near:
        first -= 1
    while last + 1 < len(row.words) and row.words[last + 1].at[0] - row.words[last].at[2] < near:
        last += 1
    return row.words[first : last + 1]


def _key(named: _Named) -> str:
    """A name's field, by what its row speaks of: amps of a row about the compressor are not the
    fan's.
    """
    key = {"uf": "herm_uf", "fla_a": "fan_fla_a"}.get(named.name.key, named.name.key)
    about = named.row.printed[: named.start]
    if key == "fan_fla_a" and COMPRESSOR_ROW.search(about) and not FAN_ROW.search(about):
        return "rla_a"
    return key


def _refrigerants(rows: tuple[Row, ...]) -> Iterator[ReadField]:
    for row in rows:
        for found in REFRIGERANT.finditer(row.printed):
            plain = found[1].upper()
            printed = f"R-{plain.replace('O', '0')}"
            why = MISREAD if "O" in plain else ""
            yield field_from("refrigerant", printed, row.between(*found.span()), why=why)


def _duals(rows: tuple[Row, ...]) -> Iterator[ReadField]:
    """Dual capacitors by their unit: "45+5 µF" needs no name."""
    for row in rows:
        for found in DUAL.finditer(row.printed):
            large, small = (float(found[n].replace(",", ".")) for n in (1, 2))
            if found[3] and large > small:
                both = f"{found[1]}+{found[2]}".replace(",", ".")
                yield field_from("herm_uf", both, row.between(*found.span()))


_UNITS = {
    key: re.compile(rf"(?<![0-9/.])({value})\s?{unit}", _ANY)
    for key, value, unit in (
        ("volt", r"(?:[0-9]{3}\s?[/-]\s?)?[0-9]{3}", r"(?:VAC|V\b|VOLTS)"),
        ("coil_volt", "24|120|208/240|240", r"(?:VAC|V)\s?(?:COIL|[0-9/ ]*HZ)"),
        ("va", "[1-9][0-9]{1,2}", "VA(?![A-Z])"),
        ("hp", r"[0-9]{1,2}\s?/\s?[0-9]{1,2}", "HP"),
        ("rated_rpm", "[0-9]{3,4}", "RPM"),
        ("fla_a", r"[0-9]{1,3}(?:\.[0-9])?", r"A(?:MPS?)?\s?FLA"),
        ("lra_a", "[0-9]{2,3}", r"A(?:MPS?)?\s?LRA"),
        ("resistive_a", "[0-9]{1,3}", r"A(?:MPS?)?\s?RES"),
    )
}


def _by_unit(rows: tuple[Row, ...]) -> Iterator[ReadField]:
    """Values that a part's label names by their unit alone: "440 VAC", "45 µF", "1/4 HP"."""
    for row in rows:
        for key, pattern in _UNITS.items():
            for found in pattern.finditer(row.printed):
                printed = re.sub(r"\s", "", found[1]).replace("-", "/")
                yield field_from(key, printed, row.between(*found.span()))
        for found in UF.finditer(row.printed):
            if not DUAL.search(row.printed):
                printed = found[1].replace(",", ".")
                yield field_from("uf", printed, row.between(*found.span()))


def _one_of(fields: list[ReadField]) -> ReadField:
    """Of several readings of one field the surest; where they differ, it is unsure."""
    best = min(fields, key=lambda each: bool(each.why))
    texts = {each.printed for each in fields}
    return (
        best
        if len(texts) == 1
        else best.doubted(f"also read: {', '.join(sorted(texts - {best.printed}))}")
    )
